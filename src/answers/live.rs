//! The answers that count at a point of the path: what stands there, or why nothing does.

use crate::knowledge::{ChoiceId, Knowledge, QuestionIx};
use crate::units::Quantity;

use super::value::{Each, Value};

/// How a question stands once the path has come past it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Standing<'a> {
    /// On the path with a value.
    Value(&'a Value),
    /// On the path, nothing known; `Some` names the choice it reads as meanwhile.
    Silent(Option<&'a ChoiceId>),
    /// Shut by an early end, or nobody can say whether it applies.
    MayApply,
    /// Not asked of this motor and this boat.
    DoesNotApply,
}

/// The standing of every question the path has come past; later ones may still apply.
#[derive(Clone, Debug)]
pub struct Live<'a> {
    pub knowledge: &'a Knowledge,
    standings: Vec<Standing<'a>>,
}

impl<'a> Live<'a> {
    /// Nothing known yet.
    #[must_use]
    pub fn new(knowledge: &'a Knowledge) -> Self {
        Self { knowledge, standings: vec![Standing::MayApply; knowledge.questions.len()] }
    }

    /// Notes how a question stands.
    pub fn set(&mut self, ix: QuestionIx, standing: Standing<'a>) {
        self.standings[ix.0] = standing;
    }

    /// How a question stands.
    #[must_use]
    pub fn standing(&self, ix: QuestionIx) -> Standing<'a> {
        self.standings[ix.0]
    }

    /// How the question of that id stands; one that is not in the data does not apply.
    #[must_use]
    pub fn standing_of(&self, id: &str) -> Standing<'a> {
        self.knowledge.find(id).map_or(Standing::DoesNotApply, |ix| self.standing(ix))
    }

    /// The value of the question of that id.
    #[must_use]
    pub fn value(&self, id: &str) -> Option<&'a Value> {
        match self.standing_of(id) {
            Standing::Value(value) => Some(value),
            _ => None,
        }
    }

    /// The chosen one, of a question of kind one.
    #[must_use]
    pub fn choice(&self, id: &str) -> Option<&'a str> {
        match self.value(id)? {
            Value::One(choice) => Some(choice.as_str()),
            _ => None,
        }
    }

    /// The amount as the buyer typed it.
    #[must_use]
    pub fn amount(&self, id: &str) -> Option<Quantity> {
        match self.value(id)? {
            Value::Amount(quantity) => Some(*quantity),
            _ => None,
        }
    }

    /// A count or a year as a number.
    #[must_use]
    pub fn number(&self, id: &str) -> Option<i64> {
        match self.value(id)? {
            Value::Count(count) => Some(i64::from(*count)),
            Value::Year(year) => Some(i64::from(*year)),
            _ => None,
        }
    }

    /// Readings a cylinder.
    #[must_use]
    pub fn readings(&self, id: &str) -> Option<&'a [Option<Quantity>]> {
        match self.value(id)? {
            Value::Readings(readings) => Some(readings),
            _ => None,
        }
    }

    /// A choice a cylinder.
    #[must_use]
    pub fn each(&self, id: &str) -> Option<&'a Each> {
        match self.value(id)? {
            Value::Each(each) => Some(each),
            _ => None,
        }
    }

    /// Prices of comparable motors.
    #[must_use]
    pub fn prices(&self, id: &str) -> Option<&'a [f64]> {
        match self.value(id)? {
            Value::Prices(prices) => Some(prices),
            _ => None,
        }
    }

    /// An amount of money.
    #[must_use]
    pub fn money(&self, id: &str) -> Option<f64> {
        match self.value(id)? {
            Value::Money(money) => Some(*money),
            _ => None,
        }
    }

    /// Typed text.
    #[must_use]
    pub fn text(&self, id: &str) -> Option<&'a str> {
        match self.value(id)? {
            Value::Text(text) => Some(text),
            _ => None,
        }
    }

    /// The number of cylinders, where it is known.
    #[must_use]
    pub fn cylinders(&self) -> Option<usize> {
        self.number("cylinders").and_then(|count| usize::try_from(count).ok())
    }
}
