//! What the question data says of this motor: the texts that fit it, the minutes, the evidence words in force.

use crate::knowledge::{FaultIx, Finding, Question, Strength, Text, Variant};

use super::conditions::View;
use super::truth::Truth;

/// The texts of a question for this motor.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Texts<'k> {
    pub brief: &'k str,
    pub ask: &'k str,
    pub act: Option<&'k str>,
    pub how: &'k [Text],
    pub why: &'k str,
    /// On this motor it is a workshop's job.
    pub workshop: bool,
}

/// Evidence words for and against faults.
pub type WordsInForce<'k> = (&'k [(FaultIx, Strength)], &'k [(FaultIx, Strength)]);

/// Cylinders reckoned with while their number is not known.
const CYLINDERS_UNKNOWN: f64 = 2.0;

impl View<'_, '_> {
    /// The usual texts of a question, or those of the first variant whose condition is yes; what a variant leaves out
    /// stays as it is.
    #[must_use]
    pub fn texts<'k>(&self, question: &'k Question) -> Texts<'k> {
        let variant = self.variant(question);
        let other = |text: fn(&Variant) -> Option<&str>| variant.and_then(text);
        Texts {
            brief: other(|variant| variant.brief.as_deref()).unwrap_or(&question.brief),
            ask: other(|variant| variant.ask.as_deref()).unwrap_or(&question.ask),
            act: other(|variant| variant.act.as_deref()).or(question.act.as_deref()),
            how: variant.and_then(|variant| variant.how.as_deref()).unwrap_or(&question.how),
            why: other(|variant| variant.why.as_deref()).unwrap_or(&question.why),
            workshop: variant.is_some_and(|variant| variant.workshop),
        }
    }

    /// What a question needs in the hands on this motor.
    #[must_use]
    pub fn tools<'k>(&self, question: &'k Question) -> &'k [Text] {
        self.variant(question).and_then(|variant| variant.tools.as_deref()).unwrap_or(&question.tools)
    }

    fn variant<'k>(&self, question: &'k Question) -> Option<&'k Variant> {
        question.variants.iter().find(|variant| self.holds(&variant.when) == Truth::Yes)
    }

    /// Minutes a novice takes for a question on this motor, reading included.
    #[must_use]
    pub fn minutes(&self, question: &Question) -> f64 {
        let cylinders = self.live.cylinders().map_or(CYLINDERS_UNKNOWN, |count| count as f64);
        question.minutes + question.minutes_cylinder * cylinders
    }

    /// The evidence words of a finding that count here: those of the first case that is yes, else its own. A case
    /// nobody knows about changes nothing.
    #[must_use]
    pub fn words_in_force<'k>(&self, finding: &'k Finding) -> WordsInForce<'k> {
        match finding.instead.iter().find(|case| self.holds(&case.when) == Truth::Yes) {
            Some(case) => (&case.speaks_for, &case.against),
            None => (&finding.speaks_for, &finding.against),
        }
    }
}
