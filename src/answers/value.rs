//! What an answer can be, and the text that typed again gives the same.

use crate::knowledge::ChoiceId;
use crate::units::Quantity;

/// The value of an answer, shaped by the kind of its question.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    One(ChoiceId),
    /// At least one choice, in the order of the question data.
    Many(Vec<ChoiceId>),
    /// One choice a cylinder; a single one stands for all alike.
    Each(Vec<ChoiceId>),
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

impl Value {
    /// The text that, typed again, gives this very value.
    #[must_use]
    pub fn to_text(&self) -> String {
        match self {
            Self::One(choice) => choice.to_string(),
            Self::Many(choices) | Self::Each(choices) => {
                choices.iter().map(ChoiceId::as_str).collect::<Vec<_>>().join(" ")
            }
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
            (Self::Each(choices), Some(wanted)) => choices.len() == 1 || choices.len() == wanted,
            (Self::Readings(readings), Some(wanted)) => readings.len() == wanted,
            _ => true,
        }
    }
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
