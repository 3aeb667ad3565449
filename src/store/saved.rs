//! What a saved interview and an answers file hold, and reading them.
//!
//! A saved interview keeps every answer as the text that typed again gives the same, so that one parser reads
//! what people type, what scripts say and what was saved.

use std::fmt;

use jiff::civil::Date;
use serde::de::{Deserializer, MapAccess, Visitor};
use serde::{Deserialize, Serialize};
use serde_json::Value as Json;

use crate::answers::{Answer, Context, Outcome, Record, Said, Settled, parse_answer};
use crate::knowledge::{Knowledge, QuestionIx, near};
use crate::path::{walk, wanted_entries};

/// The format this program writes; it reads this and older ones.
const FORMAT: u32 = 1;

/// One saved interview.
#[derive(Clone, Debug, PartialEq)]
pub struct Saved {
    pub name: String,
    /// The day it began: the date everything is judged by.
    pub date: Date,
    /// Core and safety questions first.
    pub short: bool,
    pub record: Record,
    /// Answers this question data can't read; kept as they are.
    pub unread: Vec<Unread>,
    /// The question data it was last saved with was another.
    pub other_questions: bool,
}

/// An answer to a question that is not in the data, or that it can't read any more.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Unread(Json);

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct File {
    format: u32,
    name: String,
    date: String,
    questions: String,
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    short: bool,
    answers: Vec<Json>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    settled: Vec<FileSettled>,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct FileAnswer {
    id: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    value: Option<String>,
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    cant_tell: bool,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    not_done: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    note: Option<String>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    photos: Vec<String>,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct FileSettled {
    point: String,
    outcome: FileOutcome,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    price: Option<f64>,
    #[serde(default)]
    words: String,
}

#[derive(Clone, Copy, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
enum FileOutcome {
    Fine,
    Faulty,
    CantSay,
}

/// Only the format number, to tell a newer file from a damaged one.
#[derive(Deserialize)]
struct Version {
    format: u32,
}

impl Saved {
    /// A fresh interview.
    #[must_use]
    pub fn new(name: &str, date: Date, knowledge: &Knowledge) -> Self {
        Self {
            name: name.to_owned(),
            date,
            short: false,
            record: Record::new(knowledge),
            unread: Vec::new(),
            other_questions: false,
        }
    }

    /// The text of its file.
    #[must_use]
    pub fn to_text(&self, knowledge: &Knowledge) -> String {
        let answers = self.record.entries().map(|(ix, answer)| {
            serde_json::to_value(file_answer(knowledge.question(ix).id.as_str(), answer)).unwrap_or_default()
        });
        let file = File {
            format: FORMAT,
            name: self.name.clone(),
            date: self.date.to_string(),
            questions: knowledge.fingerprint.clone(),
            short: self.short,
            answers: answers.chain(self.unread.iter().map(|unread| unread.0.clone())).collect(),
            settled: self.record.settled.iter().map(file_settled).collect(),
        };
        serde_json::to_string_pretty(&file).unwrap_or_default() + "\n"
    }

    /// Reads the text of a file.
    ///
    /// # Errors
    /// It is of a newer format, or is not such a file; nothing is guessed.
    pub fn parse(text: &str, knowledge: &Knowledge) -> Result<Self, String> {
        match serde_json::from_str::<Version>(text) {
            Ok(version) if version.format > FORMAT => {
                return Err(format!(
                    "saved by a newer skeg (format {}, this one reads up to {FORMAT}): use that one",
                    version.format
                ));
            }
            Ok(_) => {}
            Err(error) => return Err(format!("not a saved interview, or damaged ({error})")),
        }
        let file: File = serde_json::from_str(text).map_err(|error| format!("damaged ({error})"))?;
        let date: Date = file.date.parse().map_err(|_| format!("damaged (the date {:?})", file.date))?;
        let mut saved = Self::new(&file.name, date, knowledge);
        saved.short = file.short;
        saved.other_questions = file.questions != knowledge.fingerprint;
        saved.record.settled = file.settled.into_iter().map(settled).collect();
        let context = Context { wanted: None, year: date.year(), currency: None };
        for raw in file.answers {
            let read: FileAnswer =
                serde_json::from_value(raw.clone()).map_err(|error| format!("damaged (an answer: {error})"))?;
            match knowledge.find(&read.id).and_then(|ix| Some((ix, read_answer(knowledge, ix, read, &context)?))) {
                Some((ix, answer)) => *saved.record.answer_mut(ix) = answer,
                None => saved.unread.push(Unread(raw)),
            }
        }
        Ok(saved)
    }
}

fn file_answer(id: &str, answer: &Answer) -> FileAnswer {
    let mut file = FileAnswer {
        id: id.to_owned(),
        value: None,
        cant_tell: false,
        not_done: None,
        note: answer.note.clone(),
        photos: answer.photos.clone(),
    };
    match &answer.said {
        Some(Said::Value(value)) => file.value = Some(value.to_text()),
        Some(Said::CantTell) => file.cant_tell = true,
        Some(Said::NotDone(reason)) => file.not_done = Some(reason.clone()),
        None => {}
    }
    file
}

fn read_answer(knowledge: &Knowledge, ix: QuestionIx, file: FileAnswer, context: &Context) -> Option<Answer> {
    let said = match (file.value, file.cant_tell, file.not_done) {
        (Some(text), false, None) => Some(parse_answer(knowledge.question(ix), &text, context).ok()?.said),
        (None, true, None) => Some(Said::CantTell),
        (None, false, Some(reason)) => Some(Said::NotDone(reason)),
        (None, false, None) => None,
        _ => return None,
    };
    Some(Answer { said, note: file.note, photos: file.photos })
}

fn file_settled(settled: &Settled) -> FileSettled {
    FileSettled {
        point: settled.point.clone(),
        outcome: match settled.outcome {
            Outcome::Fine => FileOutcome::Fine,
            Outcome::Faulty => FileOutcome::Faulty,
            Outcome::CantSay => FileOutcome::CantSay,
        },
        price: settled.price,
        words: settled.words.clone(),
    }
}

fn settled(file: FileSettled) -> Settled {
    Settled {
        point: file.point,
        outcome: match file.outcome {
            FileOutcome::Fine => Outcome::Fine,
            FileOutcome::Faulty => Outcome::Faulty,
            FileOutcome::CantSay => Outcome::CantSay,
        },
        price: file.price,
        words: file.words,
    }
}

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
    let file: AnswersFile =
        serde_json::from_str(text).map_err(|error| vec![format!("not an answers file: {error}")])?;
    let date = match &file.date {
        None => today,
        Some(date) => date.parse().map_err(|_| vec![format!("date: {date:?} is not a day such as 2026-05-01")])?,
    };
    let mut problems = Vec::new();
    let mut typed: Vec<(QuestionIx, String)> = Vec::new();
    for (id, value) in file.answers.0 {
        match (knowledge.find(&id), typed_text(&value)) {
            (None, _) => {
                let known = knowledge.questions.iter().map(|question| question.id.as_str());
                problems.push(format!("{id}: there is no such question{}", near(&id, known)));
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
    for (ix, text) in typed {
        let context = context_for(knowledge, &record, date, ix);
        match parse_answer(knowledge.question(ix), &text, &context) {
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
    let mut context = Context { wanted: None, year: date.year(), currency: None };
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
        context.currency = path.live.text("currency").map(str::to_owned);
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
