//! Which choices are asked about once more before they are taken: those that bring a stop or close something.

use super::condition::{AnswerTest, Condition};
use super::ids::{ChoiceId, QuestionIx};
use super::model::{Choice, Finding, Grade, Kind, Question};

/// Marks the choices that close something, or on which a finding graded stop can rest.
pub fn mark(questions: &mut [Question], findings: &[Finding]) {
    let stops: Vec<&Finding> = findings.iter().filter(|finding| finding.grade == Grade::Stop).collect();
    for (place, question) in questions.iter_mut().enumerate() {
        let ix = QuestionIx(place);
        let (Kind::One(choices) | Kind::Many(choices) | Kind::Each(choices)) = &mut question.kind else { continue };
        let ids: Vec<ChoiceId> = choices.iter().map(|choice| choice.id.clone()).collect();
        for choice in choices {
            choice.ends = !choice.closes.is_empty() || stops.iter().any(|stop| brings(stop, ix, choice, &ids));
        }
    }
}

/// Whether this choice alone makes the finding fire, or is the last piece of it.
fn brings(stop: &Finding, ix: QuestionIx, choice: &Choice, all: &[ChoiceId]) -> bool {
    match with(&stop.when, ix, &choice.id) {
        Some(yes) => yes && all.iter().any(|other| with(&stop.when, ix, other) != Some(true)),
        None => stop.last == Some(ix) && all.iter().any(|other| with(&stop.when, ix, other) == Some(false)),
    }
}

/// The condition where nothing but this answer is known; `None` where more must be known.
fn with(condition: &Condition, ix: QuestionIx, choice: &ChoiceId) -> Option<bool> {
    match condition {
        Condition::Answer(at, test) if *at == ix => Some(match test {
            AnswerTest::AnyOf(ids) | AnswerTest::Has(ids) | AnswerTest::Only(ids) => ids.contains(choice),
            AnswerTest::Answered(wanted) => *wanted,
            AnswerTest::AtLeast(_) | AnswerTest::AtMost(_) => false,
        }),
        Condition::Answer(..) | Condition::Measure(..) => None,
        Condition::Not(part) => with(part, ix, choice).map(|yes| !yes),
        Condition::All(parts) => folded(parts, ix, choice, false),
        Condition::Any(parts) => folded(parts, ix, choice, true),
    }
}

/// One part of that worth decides; else all must be known.
fn folded(parts: &[Condition], ix: QuestionIx, choice: &ChoiceId, decides: bool) -> Option<bool> {
    let mut known = true;
    for part in parts {
        match with(part, ix, choice) {
            Some(yes) if yes == decides => return Some(decides),
            Some(_) => {}
            None => known = false,
        }
    }
    known.then_some(!decides)
}
