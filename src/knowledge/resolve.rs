//! Raw conditions to [`Condition`]s.
//!
//! [`resolve`] refuses a condition that has no test or more than one, names a thing that does not exist, or tests a
//! kind in a way it can't be tested.

use super::condition::{AnswerTest, Condition, MeasureTest};
use super::ids::{ChoiceId, QuestionIx};
use super::measures::{KnownMeasure, MeasureId};
use super::model::{Amount, Kind, Question};
use super::raw::RawCondition;
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
/// A sentence for each thing that is wrong, ready to follow the field's name.
pub fn resolve(raw: &RawCondition, names: &Names<'_>) -> Result<Condition, Vec<String>> {
    let heads =
        [raw.answer.is_some(), raw.measure.is_some(), raw.all.is_some(), raw.any.is_some(), raw.not.is_some()];
    if heads.iter().filter(|present| **present).count() != 1 {
        return Err(vec!["a condition holds exactly one of answer, measure, all, any, not".into()]);
    }
    let tests = tests_of(raw);
    if raw.answer.is_none() && raw.measure.is_none() && !tests.is_empty() {
        return Err(vec![format!("{} needs an answer or a measure beside it", tests.join(", "))]);
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
        (true, false) if done.is_empty() => Err(vec!["any of nothing is never yes".into()]),
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

fn resolve_answer(id: &str, raw: &RawCondition, tests: &[&str], names: &Names<'_>) -> Result<Condition, String> {
    let Some(ix) = (names.find)(id) else {
        let known = names.questions.iter().map(|question| question.id.as_str());
        return Err(format!("there is no question {id:?}{}", super::near(id, known)));
    };
    let question = &names.questions[ix.0];
    let [test] = tests else {
        return Err(format!("the condition on {id} needs exactly one test, it has {}", tests.len()));
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
        return Err(format!("{id} can be tested by {}, not by {test}", allowed.join(", ")));
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
fn choices_named(question: &Question, wanted: &[String]) -> Result<Vec<ChoiceId>, String> {
    if matches!(question.kind, Kind::Text(_)) {
        return Ok(wanted.iter().map(|word| ChoiceId::from(word.to_lowercase().as_str())).collect());
    }
    wanted
        .iter()
        .map(|name| {
            let found = question.choices().iter().find(|choice| choice.id == name.as_str());
            found.map(|choice| choice.id.clone()).ok_or_else(|| {
                let known = question.choices().iter().map(|choice| choice.id.as_str());
                format!("{} has no choice {name:?}{}", question.id, super::near(name, known))
            })
        })
        .collect()
}

/// Reads the amount of a test in the house unit of the question it tests.
fn read_bound(question: &Question, text: &str) -> Result<f64, String> {
    match &question.kind {
        Kind::Amount(Amount { dimension, unit, .. }) | Kind::Readings(Amount { dimension, unit, .. }, _) => {
            parse_quantity(text, *dimension, *unit)
                .map(Quantity::house)
                .map_err(|problem| format!("the amount {text:?}: {problem}"))
        }
        _ => text.trim().parse().map_err(|_| format!("{text:?} is not a number")),
    }
}

fn resolve_measure(
    name: &str,
    raw: &RawCondition,
    tests: &[&str],
    measures: &[KnownMeasure],
) -> Result<Condition, String> {
    let Some(place) = measures.iter().position(|measure| measure.name == name) else {
        let known = measures.iter().map(|measure| measure.name);
        return Err(format!("there is no measure {name:?}{}", super::near(name, known)));
    };
    let [test] = tests else {
        return Err(format!("the condition on {name} needs exactly one test, it has {}", tests.len()));
    };
    let words = measures[place].words;
    let allowed: &[&str] = if words.is_empty() { &["above", "below"] } else { &["is", "any-of"] };
    if !allowed.contains(test) {
        return Err(format!("{name} can be tested by {}, not by {test}", allowed.join(", ")));
    }
    let single = raw.is.as_ref().map(std::slice::from_ref);
    let mut wanted = Vec::new();
    for word in raw.any_of.as_deref().or(single).unwrap_or(&[]) {
        match words.iter().find(|known| **known == word.as_str()) {
            Some(known) => wanted.push(*known),
            None => return Err(format!("{name} is never {word:?}{}", super::near(word, words.iter().copied()))),
        }
    }
    let test = match *test {
        "above" => MeasureTest::Above(raw.above.unwrap_or_default()),
        "below" => MeasureTest::Below(raw.below.unwrap_or_default()),
        _ => MeasureTest::AnyOf(wanted),
    };
    Ok(Condition::Measure(MeasureId(place), test))
}
