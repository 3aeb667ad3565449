//! One row: a question in a few words, boxes for its choices, blanks for the rest.

use serde::Serialize;

use crate::answers::Standing;
use crate::knowledge::{AnswerTest, Choice, Condition, Kind, Question, QuestionIx, Text};
use crate::path::{Path, State};

use super::super::words;

/// A choice has no more words than this.
const TICK: usize = 3;
/// Rows of readings have a blank for each of so many cylinders where their number is not known.
const CYLINDERS: usize = 4;

/// One question to fill in.
#[derive(Clone, Debug, Serialize)]
pub struct Row {
    pub name: String,
    /// The letters of the hazards that go with it.
    pub letters: Vec<char>,
    pub core: bool,
    /// It follows another row and is asked only after some of its answers.
    pub below: bool,
    pub boxes: Vec<String>,
    /// Names of blanks: cylinders, or nothing for one alone.
    pub blanks: Vec<String>,
    pub unit: &'static str,
    /// A box for what can't be seen.
    pub unseen: bool,
}

impl Row {
    #[must_use]
    pub fn words(&self) -> usize {
        let boxes: usize = self.boxes.iter().map(|label| words::count(label)).sum();
        words::count(&self.name)
            + boxes
            + self.blanks.len()
            + words::count(self.unit)
            + usize::from(self.unseen) * 2
            + usize::from(self.core)
            + usize::from(self.below) * 2
    }
}

/// The row of a question; its letters are put in by the side it stands on.
#[must_use]
pub fn row_of(path: &Path<'_>, ix: QuestionIx) -> Row {
    let question = path.knowledge.question(ix);
    let count = path.live.cylinders().unwrap_or(CYLINDERS);
    let by_cylinder = || (1..=count).map(|number| number.to_string()).collect();
    let (boxes, blanks, unit) = match &question.kind {
        Kind::One(choices) | Kind::Many(choices) => (choices.iter().map(tick).collect(), Vec::new(), ""),
        Kind::Each(choices) => (choices.iter().map(tick).collect(), by_cylinder(), ""),
        Kind::Amount(amount) => (Vec::new(), vec![String::new()], amount.unit.symbol()),
        Kind::Readings(amount, _) => (Vec::new(), by_cylinder(), amount.unit.symbol()),
        Kind::Prices { .. } => (Vec::new(), vec![String::new(); 3], ""),
        Kind::Count { .. } | Kind::Year { .. } | Kind::Money { .. } | Kind::Text(_) => {
            (Vec::new(), vec![String::new()], "")
        }
    };
    Row {
        name: question.brief.to_string(),
        letters: Vec::new(),
        core: question.core,
        below: question.follows.is_some(),
        unseen: unseen(question),
        boxes,
        blanks,
        unit,
    }
}

/// The seller's answers and the home's facts need no box for what can't be seen.
fn unseen(question: &Question) -> bool {
    !question.told
        && !matches!(question.kind, Kind::Text(_) | Kind::Money { .. } | Kind::Prices { .. })
        && !question.choices().is_empty()
}

/// A choice in one to three plain words.
#[must_use]
pub fn tick(choice: &Choice) -> String {
    choice.tick.as_ref().map_or_else(
        || {
            let plain = choice.label.split([',', ';', ':', '(']).next().unwrap_or("");
            plain.split_whitespace().take(TICK).collect::<Vec<_>>().join(" ")
        },
        Text::to_string,
    )
}

/// Open on the path, not yet decided, or a follow-up of such a one; what an early end shut is not.
#[must_use]
pub fn may_be_asked(path: &Path<'_>, ix: QuestionIx) -> bool {
    if let Some(step) = path.step(ix) {
        return step.state == State::Open;
    }
    let root = path.knowledge.root_of(ix);
    let shut = path.ended.iter().any(|ended| ended.shut.contains(&root));
    let follows_open = path.knowledge.question(ix).follows.is_some_and(|above| may_be_asked(path, above));
    !shut && (follows_open || waits_for_a_value(path, ix) || path.live.standing(ix) == Standing::MayApply)
}

/// Asked once another question, itself still open, has any value.
fn waits_for_a_value(path: &Path<'_>, ix: QuestionIx) -> bool {
    match &path.knowledge.question(ix).when {
        Some(Condition::Answer(other, AnswerTest::Answered(true))) => may_be_asked(path, *other),
        _ => false,
    }
}
