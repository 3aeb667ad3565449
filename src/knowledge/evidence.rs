//! Rules on evidence that keep the judgement honest, looked at once all names are resolved.
//!
//! A check that can only speak against a motor would make looking worse than not looking; two good words of one
//! fault on one question would count one look twice; a follow-up that outweighs what opened it would make a bad
//! sign better than a clean one.

use std::collections::{BTreeMap, BTreeSet};

use super::condition::{AnswerTest, Condition};
use super::ids::{ChoiceId, FaultIx, FindingIx, QuestionIx};
use super::model::{Knowledge, Strength};
use super::read::Problem;
use super::wrong::Wrong;

/// Everything the rules refuse.
pub fn problems(knowledge: &Knowledge) -> Vec<Problem> {
    let mut found = Vec::new();
    for (place, finding) in knowledge.findings.iter().enumerate() {
        if !needs_something_seen(&finding.when) {
            found.push(knowledge.marks.finding(FindingIx(place), knowledge, "when", Wrong::FiresOnNothing));
        }
    }
    for ix in knowledge.places() {
        let question = knowledge.question(ix);
        let mut told = |wrong| found.push(knowledge.marks.question(ix, knowledge, "evidence", wrong));
        let fault = |fault: FaultIx| knowledge.faults[fault.0].id.to_string();
        // What the seller tells is no look: the buyer cannot leave it out to be better off.
        if question.follows.is_none() && !question.told && speaks_only_against_the_motor(knowledge, ix) {
            told(Wrong::OnlyAgainst);
        }
        for about in twice_good(knowledge, ix) {
            told(Wrong::TwiceGood(fault(about)));
        }
        for about in outweighed(knowledge, ix) {
            told(Wrong::Outweighs(fault(about)));
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
            if once.insert(*fault, &finding.sign).is_some_and(|sign| sign != finding.sign.as_str()) {
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
