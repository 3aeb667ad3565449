//! What was understood, in a short line after an answer.

use crate::answers::{Said, Value};
use crate::knowledge::{ChoiceId, Question};
use crate::measure::compression::bars;
use crate::units::{Dimension, Psi, Quantity, Unit};

use super::say::{hang, picture};
use super::{Desk, Ink};

/// Says what was understood.
pub fn understood(desk: &mut dyn Desk, question: &Question, said: &Said) {
    if let Said::Value(Value::Readings(readings)) = said {
        return readings_seen(desk, readings);
    }
    hang(desk, Ink::Quiet, "  = ", &in_words(question, said));
}

/// An answer in words for people: labels, amounts with their unit.
pub fn in_words(question: &Question, said: &Said) -> String {
    let label =
        |id: &ChoiceId| question.choice(id).map_or_else(|| id.to_string(), |choice| choice.label.to_string());
    match said {
        Said::CantTell => "can't tell".into(),
        Said::NotDone(reason) if reason.is_empty() => "not done".into(),
        Said::NotDone(reason) => format!("not done: {reason}"),
        Said::Value(Value::One(choice)) => label(choice),
        Said::Value(Value::Many(choices)) => choices.iter().map(label).collect::<Vec<_>>().join("; "),
        Said::Value(Value::Each(each)) => match each.alike() {
            Some(all) => format!("all alike: {}", label(all)),
            None => numbered(each.choices().iter().map(label)),
        },
        Said::Value(Value::Prices(prices)) => prices.iter().map(f64::to_string).collect::<Vec<_>>().join(", "),
        Said::Value(Value::Text(text)) => text.clone(),
        Said::Value(value) => value.to_text(),
    }
}

/// Readings: as bars where they are pressures and are seen, else in words.
pub fn readings_seen(desk: &mut dyn Desk, readings: &[Option<Quantity>]) {
    let unit = readings.iter().flatten().map(|reading| reading.unit).next().unwrap_or(Unit::Psi);
    if desk.seen() && unit.dimension() == Dimension::Pressure && readings.len() > 1 {
        let values: Vec<Option<Psi>> =
            readings.iter().map(|reading| reading.and_then(|quantity| Psi::try_from(quantity).ok())).collect();
        let lines = bars(&values, unit, desk.columns().min(60) - 4);
        picture(desk, &lines.into_iter().map(|line| format!("  {line}")).collect::<Vec<_>>());
    } else {
        let words = numbered(readings.iter().map(|reading| reading.map_or("not read".into(), |it| it.to_string())));
        hang(desk, Ink::Quiet, "  = ", &words);
    }
}

/// `1: tan; 2: oily`.
fn numbered(items: impl Iterator<Item = String>) -> String {
    items.enumerate().map(|(place, item)| format!("{}: {item}", place + 1)).collect::<Vec<_>>().join("; ")
}
