//! Conditions on answers and measures, resolved: every id known, every amount in its house unit.
//!
//! They are built in [`super::resolve`] and evaluated in [`crate::path`].

use super::ids::{ChoiceId, QuestionIx};
use super::measures::MeasureId;

/// A condition that is yes, no or unknown of an interview.
#[derive(Clone, Debug, PartialEq)]
pub enum Condition {
    Answer(QuestionIx, AnswerTest),
    Measure(MeasureId, MeasureTest),
    All(Vec<Condition>),
    Any(Vec<Condition>),
    Not(Box<Condition>),
}

#[derive(Clone, Debug, PartialEq)]
pub enum AnswerTest {
    /// The one choice is among these; of a text, what was typed.
    AnyOf(Vec<ChoiceId>),
    /// Some choice is among these.
    Has(Vec<ChoiceId>),
    /// Every choice is among these.
    Only(Vec<ChoiceId>),
    /// At or over, in the house unit.
    AtLeast(f64),
    /// At or under, in the house unit.
    AtMost(f64),
    /// There is a value (true) or none (false).
    Answered(bool),
}

#[derive(Clone, Debug, PartialEq)]
pub enum MeasureTest {
    AnyOf(Vec<&'static str>),
    Above(f64),
    Below(f64),
}

impl Condition {
    /// Calls `see` for every question and measure it names.
    pub fn visit(&self, see: &mut impl FnMut(Named)) {
        match self {
            Self::Answer(question, _) => see(Named::Question(*question)),
            Self::Measure(measure, _) => see(Named::Measure(*measure)),
            Self::All(parts) | Self::Any(parts) => parts.iter().for_each(|part| part.visit(see)),
            Self::Not(part) => part.visit(see),
        }
    }

    /// The condition that always holds.
    #[must_use]
    pub fn always() -> Self {
        Self::All(Vec::new())
    }
}

/// A thing a condition looks at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Named {
    Question(QuestionIx),
    Measure(MeasureId),
}
