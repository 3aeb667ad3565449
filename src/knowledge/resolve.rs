//! Raw conditions to [`Condition`]s.
//!
//! [`resolve`] refuses a condition that has no test or more than one, names a thing that does not exist, or tests a
//! kind in a way it can't be tested.

use super::condition::{AnswerTest, Condition, MeasureTest};
use super::ids::{ChoiceId, QuestionIx};
use super::measures::{KnownMeasure, MeasureId};
use super::model::{Amount, Kind, Question};
use super::near_name;
use super::raw::RawCondition;
use super::text::Text;
use super::wrong::{Thing, Wrong};
use crate::units::{Quantity, parse_quantity};

/// What conditions may name: the questions, with a way to say "did you mean".
pub struct Names<'a> {
    pub questions: &'a [Question],
    pub find: &'a dyn Fn(&str) -> Option<QuestionIx>,
    pub measures: &'a [KnownMeasure],
}

/// Reads a raw condition.
///
/// # Errors
/// Each thing that is wrong.
pub fn resolve(raw: &RawCondition, names: &Names<'_>) -> Result<Condition, Vec<Wrong>> {
    let heads =
        [raw.answer.is_some(), raw.measure.is_some(), raw.all.is_some(), raw.any.is_some(), raw.not.is_some()];
    if heads.iter().filter(|present| **present).count() != 1 {
        return Err(vec![Wrong::ConditionHead]);
    }
    let tests = tests_of(raw);
    if raw.answer.is_none() && raw.measure.is_none() && !tests.is_empty() {
        return Err(vec![Wrong::TestAlone(tests.join(", "))]);
    }
    if let Some(id) = &raw.answer {
        return resolve_answer(id, raw, &tests, names).map_err(|problem| vec![problem]);
    }
    if let Some(name) = &raw.measure {
        return resolve_measure(name, raw, &tests, names.measures).map_err(|problem| vec![problem]);
    }
    if let Some(part) = &raw.not {
        return resolve(part, names).map(|part| Condition::Not(Box::new(part)));
    }
    let parts = raw.all.as_ref().or(raw.any.as_ref()).map_or(&[][..], Vec::as_slice);
    let mut done = Vec::new();
    let mut problems = Vec::new();
    for part in parts {
        match resolve(part, names) {
            Ok(condition) => done.push(condition),
            Err(mut found) => problems.append(&mut found),
        }
    }
    match (problems.is_empty(), raw.all.is_some()) {
        (false, _) => Err(problems),
        (true, true) => Ok(Condition::All(done)),
        (true, false) if done.is_empty() => Err(vec![Wrong::AnyOfNothing]),
        (true, false) => Ok(Condition::Any(done)),
    }
}

fn tests_of(raw: &RawCondition) -> Vec<&'static str> {
    [
        ("is", raw.is.is_some()),
        ("any-of", raw.any_of.is_some()),
        ("has", raw.has.is_some()),
        ("only", raw.only.is_some()),
        ("at-least", raw.at_least.is_some()),
        ("at-most", raw.at_most.is_some()),
        ("answered", raw.answered.is_some()),
        ("above", raw.above.is_some()),
        ("below", raw.below.is_some()),
    ]
    .into_iter()
    .filter_map(|(name, present)| present.then_some(name))
    .collect()
}

fn resolve_answer(id: &str, raw: &RawCondition, tests: &[&str], names: &Names<'_>) -> Result<Condition, Wrong> {
    let Some(ix) = (names.find)(id) else {
        let known = names.questions.iter().map(|question| question.id.as_str());
        return Err(Wrong::unknown(Thing::Question, id, known));
    };
    let question = &names.questions[ix.0];
    let [test] = tests else {
        return Err(Wrong::OneTest { name: id.to_owned(), found: tests.len() });
    };
    let allowed: &[&str] = match &question.kind {
        Kind::One(_) | Kind::Text(_) => &["is", "any-of", "answered"],
        Kind::Many(_) | Kind::Each(_) => &["has", "only", "answered"],
        Kind::Amount(_) | Kind::Readings(..) | Kind::Count { .. } | Kind::Year { .. } => {
            &["at-least", "at-most", "answered"]
        }
        Kind::Money { .. } | Kind::Prices { .. } => &["answered"],
    };
    if !allowed.contains(test) {
        return Err(wrong_test(id, allowed, test));
    }
    let list = raw.any_of.as_ref().or(raw.has.as_ref()).or(raw.only.as_ref());
    let single = raw.is.as_ref().map(std::slice::from_ref);
    let choices = choices_named(question, list.map(Vec::as_slice).or(single).unwrap_or(&[]))?;
    let amount = raw.at_least.as_ref().or(raw.at_most.as_ref());
    let bound = amount.map(|text| read_bound(question, text)).transpose()?.unwrap_or(0.0);
    Ok(Condition::Answer(
        ix,
        match *test {
            "is" | "any-of" => AnswerTest::AnyOf(choices),
            "has" => AnswerTest::Has(choices),
            "only" => AnswerTest::Only(choices),
            "at-least" => AnswerTest::AtLeast(bound),
            "at-most" => AnswerTest::AtMost(bound),
            _ => AnswerTest::Answered(raw.answered == Some(true)),
        },
    ))
}

/// The choices a test names; of a text the words themselves, in lower case.
fn choices_named(question: &Question, wanted: &[Text]) -> Result<Vec<ChoiceId>, Wrong> {
    if matches!(question.kind, Kind::Text(_)) {
        return Ok(wanted.iter().map(|word| ChoiceId::from(word.to_lowercase().as_str())).collect());
    }
    wanted
        .iter()
        .map(|name| {
            let found = question.choices().iter().find(|choice| choice.id == name.as_str());
            found.map(|choice| choice.id.clone()).ok_or_else(|| {
                let known = question.choices().iter().map(|choice| choice.id.as_str());
                let near = near_name(name, known).map(str::to_owned);
                Wrong::UnknownChoice { of: question.id.to_string(), name: name.to_string(), near }
            })
        })
        .collect()
}

/// Reads the amount of a test in the house unit of the question it tests.
fn read_bound(question: &Question, text: &str) -> Result<f64, Wrong> {
    match &question.kind {
        Kind::Amount(Amount { dimension, unit, .. }) | Kind::Readings(Amount { dimension, unit, .. }, _) => {
            parse_quantity(text, *dimension, *unit).map(Quantity::house).map_err(Wrong::BadAmount)
        }
        _ => text.trim().parse().map_err(|_| Wrong::NotANumber(text.to_owned())),
    }
}

fn resolve_measure(
    name: &str,
    raw: &RawCondition,
    tests: &[&str],
    measures: &[KnownMeasure],
) -> Result<Condition, Wrong> {
    let Some(place) = measures.iter().position(|measure| measure.name == name) else {
        let known = measures.iter().map(|measure| measure.name);
        return Err(Wrong::unknown(Thing::Measure, name, known));
    };
    let [test] = tests else {
        return Err(Wrong::OneTest { name: name.to_owned(), found: tests.len() });
    };
    let words = measures[place].words;
    let allowed: &[&str] = if words.is_empty() { &["above", "below"] } else { &["is", "any-of"] };
    if !allowed.contains(test) {
        return Err(wrong_test(name, allowed, test));
    }
    let single = raw.is.as_ref().map(std::slice::from_ref);
    let mut wanted = Vec::new();
    for word in raw.any_of.as_deref().or(single).unwrap_or(&[]) {
        match words.iter().find(|known| **known == word.as_str()) {
            Some(known) => wanted.push(*known),
            None => {
                let near = near_name(word, words.iter().copied()).map(str::to_owned);
                return Err(Wrong::WordNever { measure: name.to_owned(), word: word.to_string(), near });
            }
        }
    }
    let test = match *test {
        "above" => MeasureTest::Above(raw.above.unwrap_or_default()),
        "below" => MeasureTest::Below(raw.below.unwrap_or_default()),
        _ => MeasureTest::AnyOf(wanted),
    };
    Ok(Condition::Measure(MeasureId(place), test))
}

fn wrong_test(name: &str, allowed: &[&str], found: &str) -> Wrong {
    Wrong::WrongTest { name: name.to_owned(), allowed: allowed.join(", "), found: found.to_owned() }
}
