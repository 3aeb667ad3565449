//! Free words at a question with choices: what the reading makes of them, as an answer or as readings to ask about.

use crate::answers::reading::{Meant, Reading};
use crate::answers::record::Said;
use crate::answers::value::{Each, Value};
use crate::knowledge::{Choice, ChoiceId, Kind, Question};

use super::{Context, Proposal, Refusal, Typed};

/// Reads words that are no listed name; `refused` is what comes of it when nothing is near.
pub fn read_words(question: &Question, typed: &str, context: &Context, refused: Refusal) -> Result<Typed, Refusal> {
    let Some(reader) = &context.reader else { return Err(refused) };
    // What is listed word for word needs no reading.
    let listed = reader.question(question.id.as_str()).map(|question| super::named(question, typed, context));
    if let Some(Ok(value)) = listed {
        return Ok(value.into());
    }
    match reader.read(question.id.as_str(), typed, context.year, context.wanted) {
        Reading::Taken(meant) => {
            let Proposal { said, note } = proposal(question, typed, &meant);
            Ok(Typed { said, note, doubt: None })
        }
        Reading::Asks(all) => {
            let readings = all.iter().map(|meant| proposal(question, typed, meant)).collect();
            Err(unclear(question.choices(), typed, readings))
        }
        Reading::Unread => Err(refused),
    }
}

/// Begins a note of what nobody looked at and the seller tells.
pub const SELLER_SAYS: &str = "seller says: ";

fn proposal(question: &Question, typed: &str, meant: &Meant) -> Proposal {
    let choices = question.choices();
    let id = |place: &usize| choices.get(*place).map(|choice| choice.id.clone());
    match meant {
        Meant::CantTell => Said::CantTell.into(),
        Meant::NotDone => Said::NotDone(String::new()).into(),
        Meant::SellersWord => Proposal { said: Said::CantTell, note: Some(format!("{SELLER_SAYS}{typed}")) },
        Meant::Choices(places) => {
            let ids: Vec<ChoiceId> = places.iter().filter_map(id).collect();
            Said::Value(match (&question.kind, ids.as_slice()) {
                (Kind::One(_), [first, ..]) => Value::One(first.clone()),
                (Kind::Each(_), [all]) => Value::Each(Each::All(all.clone())),
                (Kind::Each(_), _) => Value::Each(Each::Listed(ids)),
                _ => Value::Many(ids),
            })
            .into()
        }
    }
}

/// A refusal that asks which of several readings is meant.
pub fn unclear(choices: &[Choice], typed: &str, readings: Vec<Proposal>) -> Refusal {
    let names: Vec<String> = readings.iter().map(|reading| in_words(choices, reading)).collect();
    Refusal {
        message: format!(
            "{typed:?} could be more than one thing: {}. Which one did you mean?",
            names.join("; or ")
        ),
        readings,
        strange: false,
    }
}

/// A reading in full words: `3, milky`.
#[must_use]
pub fn in_words(choices: &[Choice], reading: &Proposal) -> String {
    let named = |id: &ChoiceId| {
        let place = choices.iter().position(|choice| choice.id == *id).unwrap_or(0);
        format!("{}, {}", place + 1, choices.get(place).map_or("", |choice| choice.label.as_str()))
    };
    match (&reading.said, &reading.note) {
        (Said::CantTell, Some(_)) => "the seller's word, not your own look".into(),
        (Said::CantTell, None) => "can't tell".into(),
        (Said::NotDone(_), _) => "not done".into(),
        (Said::Value(Value::One(id)), _) => named(id),
        (Said::Value(Value::Many(ids)), _) => ids.iter().map(named).collect::<Vec<_>>().join(" and "),
        (Said::Value(Value::Each(each)), _) => match each.alike() {
            Some(all) => named(all),
            None => cylinder_by_cylinder(choices, each.choices()),
        },
        (Said::Value(value), _) => value.to_text(),
    }
}

/// `cylinder 1: tan; 2: oily`.
fn cylinder_by_cylinder(choices: &[Choice], picked: &[ChoiceId]) -> String {
    let label = |id: &ChoiceId| {
        choices
            .iter()
            .find(|choice| choice.id == *id)
            .map_or_else(|| id.to_string(), |choice| choice.label.to_string())
    };
    let each = picked.iter().enumerate().map(|(place, id)| format!("{}: {}", place + 1, label(id)));
    format!("cylinder {}", each.collect::<Vec<_>>().join("; "))
}
