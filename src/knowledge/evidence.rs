//! Rules on evidence that keep the judgement honest, looked at once all names are resolved.
//!
//! A check that can only speak against a motor would make looking worse than not looking; two good words of one
//! fault on one question would count one look twice; a follow-up that outweighs what opened it would make a bad
//! sign better than a clean one.

use std::collections::{BTreeMap, BTreeSet};

use super::condition::{AnswerTest, Condition};
use super::ids::{ChoiceId, FaultIx, QuestionIx};
use super::model::{Knowledge, Strength};
use super::read::Problem;

/// Everything the rules refuse.
pub fn problems(knowledge: &Knowledge) -> Vec<Problem> {
    let mut found = Vec::new();
    for finding in knowledge.findings.iter().filter(|finding| !needs_something_seen(&finding.when)) {
        found.push(Problem {
            file: format!("stage {}", knowledge.stages[finding.stage].id),
            line: 1,
            id: Some(finding.id.to_string()),
            field: Some("when".into()),
            message: "it would fire on nothing but things that are not so: name what has to be seen".into(),
        });
    }
    for ix in knowledge.places() {
        let question = knowledge.question(ix);
        // What the seller tells is no look: the buyer cannot leave it out to be better off.
        if question.follows.is_none() && !question.told && speaks_only_against_the_motor(knowledge, ix) {
            found.push(told(knowledge, ix, "its answers can speak for a fault, but none speaks against any: looking would be worse than not looking"));
        }
        for fault in twice_good(knowledge, ix) {
            found.push(told(
                knowledge,
                ix,
                &format!("two good findings speak against {}: one look counts once", knowledge.faults[fault.0].id),
            ));
        }
        for fault in outweighed(knowledge, ix) {
            found.push(told(
                knowledge,
                ix,
                &format!(
                    "its word against {} outweighs every word for it among the answers that open it",
                    knowledge.faults[fault.0].id
                ),
            ));
        }
    }
    found
}

/// Whether a condition can only be yes when something was seen: a question that does not apply is a no, and the
/// `not` of it would be a yes.
fn needs_something_seen(when: &Condition) -> bool {
    match when {
        Condition::All(parts) => parts.iter().any(needs_something_seen),
        Condition::Any(parts) => parts.iter().all(needs_something_seen),
        Condition::Not(_) | Condition::Answer(_, AnswerTest::Answered(false)) => false,
        Condition::Answer(..) | Condition::Measure(..) => true,
    }
}

fn told(knowledge: &Knowledge, ix: QuestionIx, message: &str) -> Problem {
    let stage = &knowledge.stages[knowledge.question(ix).stage];
    Problem {
        file: format!("stage {}", stage.id),
        line: 1,
        id: Some(knowledge.question(ix).id.to_string()),
        field: Some("evidence".into()),
        message: message.to_owned(),
    }
}

fn speaks_only_against_the_motor(knowledge: &Knowledge, ix: QuestionIx) -> bool {
    let own = || knowledge.findings.iter().filter(move |finding| finding.last == Some(ix));
    own().any(|finding| !finding.speaks_for.is_empty())
        && !knowledge.findings.iter().any(|finding| finding.check == Some(ix) && !finding.against.is_empty())
}

fn twice_good(knowledge: &Knowledge, ix: QuestionIx) -> Vec<FaultIx> {
    // Of one sign only the strongest counts, so its findings are one word.
    let mut once: BTreeMap<FaultIx, &str> = BTreeMap::new();
    let mut twice = Vec::new();
    for finding in knowledge.findings.iter().filter(|finding| finding.last == Some(ix)) {
        for (fault, _) in &finding.against {
            if once.insert(*fault, &finding.sign).is_some_and(|sign| sign != finding.sign) {
                twice.push(*fault);
            }
        }
    }
    twice
}

/// Faults against which a follow-up says more than any answer that opens it says for them.
fn outweighed(knowledge: &Knowledge, ix: QuestionIx) -> Vec<FaultIx> {
    let question = knowledge.question(ix);
    let (Some(above), Some(when)) = (question.follows, &question.when) else { return Vec::new() };
    let opening = choices_tested(when, above);
    let mut worse = Vec::new();
    for finding in knowledge.findings.iter().filter(|finding| finding.last == Some(ix)) {
        for (fault, strength) in &finding.against {
            if strength.factor() > strongest_for(knowledge, above, &opening, *fault) {
                worse.push(*fault);
            }
        }
    }
    worse
}

fn strongest_for(knowledge: &Knowledge, above: QuestionIx, opening: &BTreeSet<ChoiceId>, fault: FaultIx) -> f64 {
    knowledge
        .findings
        .iter()
        .filter(|finding| !choices_tested(&finding.when, above).is_disjoint(opening))
        .flat_map(|finding| &finding.speaks_for)
        .filter(|(about, _)| *about == fault)
        .map(|(_, strength): &(FaultIx, Strength)| strength.factor())
        .fold(1.0, f64::max)
}

/// The choices of a question that a condition asks for, those under a `not` left out.
fn choices_tested(when: &Condition, question: QuestionIx) -> BTreeSet<ChoiceId> {
    match when {
        Condition::Answer(
            ix,
            AnswerTest::AnyOf(choices) | AnswerTest::Has(choices) | AnswerTest::Only(choices),
        ) if *ix == question => choices.iter().cloned().collect(),
        Condition::All(parts) | Condition::Any(parts) => {
            parts.iter().flat_map(|part| choices_tested(part, question)).collect()
        }
        _ => BTreeSet::new(),
    }
}
