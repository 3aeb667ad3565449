//! What an answer can be, and the text that typed again gives the same.

use crate::knowledge::ChoiceId;
use crate::units::Quantity;

/// The value of an answer, shaped by the kind of its question.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    One(ChoiceId),
    /// At least one choice, in the order of the question data.
    Many(Vec<ChoiceId>),
    Each(Each),
    Amount(Quantity),
    /// One reading a cylinder, `None` for one that was not read.
    Readings(Vec<Option<Quantity>>),
    Count(u32),
    Year(i16),
    /// In the buyer's currency.
    Money(f64),
    Prices(Vec<f64>),
    Text(String),
}

/// One choice a cylinder. A list keeps its length: what was said of two cylinders says nothing of four.
#[derive(Clone, Debug, PartialEq)]
pub enum Each<C = ChoiceId> {
    /// Said once for all, however many there are.
    All(C),
    /// One by one, in order from cylinder 1.
    Listed(Vec<C>),
}

impl<C: PartialEq> Each<C> {
    /// The choices: one for all alike, else one a cylinder.
    #[must_use]
    pub fn choices(&self) -> &[C] {
        match self {
            Self::All(choice) => std::slice::from_ref(choice),
            Self::Listed(choices) => choices,
        }
    }

    /// The choice of a cylinder, numbered from 1.
    #[must_use]
    pub fn at(&self, cylinder: usize) -> Option<&C> {
        match self {
            Self::All(choice) => Some(choice),
            Self::Listed(choices) => choices.get(cylinder.checked_sub(1)?),
        }
    }

    /// The one choice all have, where they are alike.
    #[must_use]
    pub fn alike(&self) -> Option<&C> {
        let choices = self.choices();
        choices.first().filter(|first| choices.iter().all(|choice| choice == *first))
    }
}

impl Value {
    /// The text that, typed again, gives this very value.
    #[must_use]
    pub fn to_text(&self) -> String {
        match self {
            Self::One(choice) => choice.to_string(),
            Self::Many(choices) => list_text(choices),
            Self::Each(each) => list_text(each.choices()),
            Self::Amount(quantity) => quantity.to_string(),
            Self::Readings(readings) => readings_text(readings),
            Self::Count(count) => count.to_string(),
            Self::Year(year) => year.to_string(),
            Self::Money(money) => money.to_string(),
            Self::Prices(prices) => prices.iter().map(f64::to_string).collect::<Vec<_>>().join(" "),
            Self::Text(text) => super::special::literal(text),
        }
    }

    /// Whether the value holds one entry for each of `wanted` cylinders.
    #[must_use]
    pub fn fits(&self, wanted: Option<usize>) -> bool {
        match (self, wanted) {
            (Self::Each(Each::Listed(choices)), Some(wanted)) => choices.len() == wanted,
            (Self::Readings(readings), Some(wanted)) => readings.len() == wanted,
            _ => true,
        }
    }
}

fn list_text(choices: &[ChoiceId]) -> String {
    choices.iter().map(ChoiceId::as_str).collect::<Vec<_>>().join(" ")
}

/// Readings with their unit once at the end when it is the same for all.
fn readings_text(readings: &[Option<Quantity>]) -> String {
    let mut units = readings.iter().flatten().map(|quantity| quantity.unit);
    let first = units.next();
    let alike = units.all(|unit| Some(unit) == first);
    let words = readings.iter().map(|reading| match reading {
        None => "?".to_owned(),
        Some(quantity) if alike => quantity.number.to_string(),
        Some(quantity) => quantity.to_string().replace(' ', ""),
    });
    let text = words.collect::<Vec<_>>().join(" ");
    match first.filter(|_| alike).map(crate::units::Unit::symbol) {
        Some(symbol) if !symbol.is_empty() => format!("{text} {symbol}"),
        _ => text,
    }
}
