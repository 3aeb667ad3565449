//! An answers file: what a person would type, by question id, read through the same parser as typed text.

use std::fmt;
use std::sync::Arc;

use jiff::civil::Date;
use serde::Deserialize;
use serde::de::{Deserializer, MapAccess, Visitor};
use serde_json::Value as Json;

use crate::answers::{Context, LateReader, Record, parse_answer};
use crate::edge::{check_json, shown};
use crate::knowledge::{Knowledge, MOST_QUESTIONS, QuestionIx, near, roles};
use crate::path::{walk, wanted_entries};

/// An answers file: what a person would type, by question id, in any order.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct AnswersFile {
    date: Option<String>,
    answers: Pairs,
}

/// A JSON object that keeps every pair: a key that stands twice is seen, not swallowed.
struct Pairs(Vec<(String, Json)>);

impl<'de> Deserialize<'de> for Pairs {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Gather;
        impl<'de> Visitor<'de> for Gather {
            type Value = Pairs;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("an object of question ids and what was answered")
            }

            fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Pairs, A::Error> {
                let mut all = Vec::new();
                while let Some(pair) = map.next_entry()? {
                    all.push(pair);
                }
                Ok(Pairs(all))
            }
        }
        deserializer.deserialize_map(Gather)
    }
}

/// Reads an answers file into a record and the date it names.
///
/// Lists are read with what stands before them in asking order, so `178,180,176` is three readings of a motor
/// with three cylinders. Sleeping answers are fine.
///
/// # Errors
/// Every problem: an unknown id, one that stands twice, a value that can't be read.
pub fn read_answers_file(text: &str, knowledge: &Knowledge, today: Date) -> Result<(Record, Date), Vec<String>> {
    check_json(text).map_err(|told| vec![told])?;
    let file: AnswersFile =
        serde_json::from_str(text).map_err(|error| vec![format!("not an answers file: {error}")])?;
    let date = match &file.date {
        None => today,
        Some(date) => date.parse().map_err(|_| vec![format!("date: {date:?} is not a day such as 2026-05-01")])?,
    };
    if file.answers.0.len() > MOST_QUESTIONS {
        return Err(vec![format!("it holds more than {MOST_QUESTIONS} answers; I read up to {MOST_QUESTIONS}")]);
    }
    let mut problems = Vec::new();
    let mut typed: Vec<(QuestionIx, String)> = Vec::new();
    for (id, value) in file.answers.0 {
        match (knowledge.find(&id), typed_text(&value)) {
            (None, _) => {
                let known = knowledge.questions.iter().map(|question| question.id.as_str());
                problems.push(format!("{}: there is no such question{}", shown(&id), near(&id, known)));
            }
            (Some(ix), _) if typed.iter().any(|(other, _)| *other == ix) => {
                problems.push(format!("{id}: answered twice"));
            }
            (Some(_), Err(told)) => problems.push(format!("{id}: {told}")),
            (Some(ix), Ok(Some(text))) => typed.push((ix, text)),
            (Some(_), Ok(None)) => {}
        }
    }
    typed.sort_by_key(|(ix, _)| *ix);
    let mut record = Record::new(knowledge);
    // Made only when free words turn up: most files have none.
    let mut reader: Option<Arc<LateReader>> = None;
    for (ix, text) in typed {
        let context = context_for(knowledge, &record, date, ix);
        let question = knowledge.question(ix);
        let read = parse_answer(question, &text, &context).or_else(|refusal| {
            if question.choices().is_empty() {
                return Err(refusal);
            }
            let reader = reader.get_or_insert_with(|| Arc::new(LateReader::new(Arc::new(knowledge.clone()))));
            parse_answer(question, &text, &Context { reader: Some(Arc::clone(reader)), ..context })
        });
        match read {
            Ok(read) => record.say(ix, read.said),
            Err(refusal) => problems.push(format!("{}: {}", knowledge.question(ix).id, refusal.message)),
        }
    }
    if problems.is_empty() { Ok((record, date)) } else { Err(problems) }
}

/// What reading the answer of a question depends on, from the answers before it.
fn context_for(knowledge: &Knowledge, record: &Record, date: Date, ix: QuestionIx) -> Context {
    use crate::knowledge::{Kind, TextForm};
    let kind = &knowledge.question(ix).kind;
    let mut context = Context { year: date.year(), ..Context::default() };
    // Only lists, heads and money look at other answers; the path is worked out for them alone.
    if matches!(
        kind,
        Kind::Each(_)
            | Kind::Readings(..)
            | Kind::Money { .. }
            | Kind::Prices { .. }
            | Kind::Text(TextForm::CylinderGroups)
    ) {
        let path = walk(knowledge, record, date);
        context.wanted = wanted_entries(knowledge, ix, &path.live, date);
        context.currency = path.live.get(roles::CURRENCY).map(str::to_owned);
    }
    context
}

/// The text a person would have typed for a JSON value; `None` for null, which answers nothing.
fn typed_text(value: &Json) -> Result<Option<String>, String> {
    match value {
        Json::Null => Ok(None),
        Json::String(text) => Ok(Some(text.clone())),
        Json::Number(number) => Ok(Some(number.to_string())),
        Json::Array(entries) => {
            let texts: Result<Vec<Option<String>>, String> = entries.iter().map(typed_text).collect();
            Ok(Some(
                texts?.into_iter().map(|text| text.unwrap_or_else(|| "?".into())).collect::<Vec<_>>().join("; "),
            ))
        }
        Json::Object(fields) => match (fields.len(), fields.get("not-done")) {
            (1, Some(Json::String(reason))) => Ok(Some(format!("not done: {reason}"))),
            _ => Err("an answer is text, a number, a list, or { \"not-done\": \"the reason\" }".into()),
        },
        Json::Bool(_) => Err("true and false are no answers here: type the words of a choice".into()),
    }
}
