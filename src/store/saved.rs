//! What a saved interview holds, and the text of its file.
//!
//! Every answer is kept as the text that typed again gives the same, so that one parser reads what people type, what
//! scripts say and what was saved. The file ends with a seal over its content; see [`super::seal`].

use std::collections::{BTreeMap, HashSet};

use jiff::civil::Date;
use serde::{Deserialize, Serialize};
use serde_json::Value as Json;

use crate::answers::{Answer, Changed, Context, Outcome, Record, Said, Settled, parse_answer};
use crate::edge::shown;
use crate::knowledge::{Knowledge, QuestionIx};

use super::seal::{self, Sealed};

/// The format this program writes; it reads this and older ones: 1 had no seal.
pub const FORMAT: u32 = 2;
/// What a short visit takes, in minutes.
pub const SHORT_MINUTES: f64 = 30.0;

/// One saved interview.
#[derive(Clone, Debug, PartialEq)]
pub struct Saved {
    pub name: String,
    /// The day it began: the date everything is judged by.
    pub date: Date,
    /// Minutes named for the whole visit, in place of what was answered.
    pub minutes: Option<f64>,
    pub record: Record,
    /// Answers this question data can't read; kept as they are.
    pub unread: Vec<Unread>,
    /// The question data it was last saved with was another.
    pub other_questions: bool,
    /// The name it had before its file was copied or renamed.
    pub was_called: Option<String>,
}

/// An answer to a question that is not in the data, or that it can't read any more.
#[derive(Clone, Debug, PartialEq)]
pub struct Unread {
    raw: Json,
    /// The question is in the data, and its answer has to be given again.
    pub asked_again: bool,
}

impl Unread {
    /// Which question it is of, and what was said there.
    #[must_use]
    pub fn words(&self) -> String {
        let text = |field: &str| self.raw.get(field).and_then(Json::as_str);
        let said = match (text("value"), text("not-done")) {
            (Some(value), _) => value.to_owned(),
            (None, Some(reason)) => format!("not done: {reason}"),
            (None, None) if self.raw.get("cant-tell").is_some() => "can't tell".to_owned(),
            (None, None) => "a note or photo".to_owned(),
        };
        shown(&format!("{}: {said}", text("id").unwrap_or("?")))
    }
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct File {
    format: u32,
    name: String,
    date: String,
    questions: String,
    /// Written by earlier versions: what takes half an hour.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    short: bool,
    /// Minutes named for the whole visit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    minutes: Option<f64>,
    answers: Vec<Json>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    settled: Vec<FileSettled>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    seal: Option<String>,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct FileAnswer {
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
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    by_mechanic: bool,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct FileSettled {
    point: String,
    outcome: FileOutcome,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    price: Option<f64>,
    #[serde(default)]
    words: String,
    /// Answers that changed after it was called fine, with what stood there.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    changed: BTreeMap<String, String>,
}

#[derive(Clone, Copy, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
enum FileOutcome {
    Fine,
    Faulty,
    CantSay,
}

impl Saved {
    /// A fresh interview.
    #[must_use]
    pub fn new(name: &str, date: Date, knowledge: &Knowledge) -> Self {
        Self {
            name: name.to_owned(),
            date,
            minutes: None,
            record: Record::new(knowledge),
            unread: Vec::new(),
            other_questions: false,
            was_called: None,
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
            short: false,
            minutes: self.minutes,
            answers: answers.chain(self.unread.iter().map(|unread| unread.raw.clone())).collect(),
            settled: self.record.settled.iter().map(|one| file_settled(knowledge, one)).collect(),
            seal: None,
        };
        let content = serde_json::to_value(&file).unwrap_or_default();
        let file = File { seal: Some(seal::of(&content)), ..file };
        serde_json::to_string_pretty(&file).unwrap_or_default() + "\n"
    }

    /// Reads the text of a file that stands under this name, and how its seal stands to it.
    ///
    /// # Errors
    /// It is not such a file, or damaged; in words.
    pub fn parse(text: &str, name: &str, knowledge: &Knowledge) -> Result<(Self, Sealed), String> {
        let content: Json =
            serde_json::from_str(text).map_err(|error| format!("not a saved interview, or damaged ({error})"))?;
        let sealed = seal::look(&content);
        let file: File = serde_json::from_value(content).map_err(|error| format!("damaged ({error})"))?;
        let date: Date = file.date.parse().map_err(|_| format!("damaged (the date {:?})", file.date))?;
        let mut saved = Self::new(name, date, knowledge);
        saved.was_called = (file.name != name).then_some(file.name);
        saved.minutes = file.minutes.or_else(|| file.short.then_some(SHORT_MINUTES));
        saved.other_questions = file.questions != knowledge.fingerprint;
        saved.record.settled = file.settled.into_iter().map(|one| settled(knowledge, one)).collect();
        let mut seen = HashSet::new();
        for raw in file.answers {
            let answer: FileAnswer =
                serde_json::from_value(raw).map_err(|error| format!("damaged (an answer: {error})"))?;
            if !seen.insert(answer.id.clone()) {
                return Err(format!("{} is answered twice in it", shown(&answer.id)));
            }
            saved.take(answer, knowledge);
        }
        Ok((saved, sealed))
    }

    /// Takes an answer of a file; what this question data can't read is kept as it is.
    pub(super) fn take(&mut self, file: FileAnswer, knowledge: &Knowledge) {
        let raw = serde_json::to_value(&file).unwrap_or_default();
        let context = Context { year: self.date.year(), ..Context::default() };
        let ix = knowledge.find(&file.id);
        match ix.and_then(|ix| Some((ix, read_answer(knowledge, ix, file, &context)?))) {
            Some((ix, answer)) => *self.record.answer_mut(ix) = answer,
            None => self.unread.push(Unread { raw, asked_again: ix.is_some() }),
        }
    }

    /// The answers that can't be read with this question data, a line each.
    #[must_use]
    pub fn unread_lines(&self) -> Vec<String> {
        self.unread.iter().map(Unread::words).collect()
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
        by_mechanic: answer.by_mechanic,
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
    Some(Answer { said, note: file.note, photos: file.photos, by_mechanic: file.by_mechanic })
}

fn file_settled(knowledge: &Knowledge, settled: &Settled) -> FileSettled {
    let changed = settled.changed.iter();
    let changed = changed.map(|one| (knowledge.question(one.question).id.to_string(), one.was.clone()));
    FileSettled {
        point: settled.point.clone(),
        outcome: match settled.outcome {
            Outcome::Fine => FileOutcome::Fine,
            Outcome::Faulty => FileOutcome::Faulty,
            Outcome::CantSay => FileOutcome::CantSay,
        },
        price: settled.price,
        words: settled.words.clone(),
        changed: changed.collect(),
    }
}

pub(super) fn settled(knowledge: &Knowledge, file: FileSettled) -> Settled {
    let changed = file.changed.into_iter();
    Settled {
        point: file.point,
        outcome: match file.outcome {
            FileOutcome::Fine => Outcome::Fine,
            FileOutcome::Faulty => Outcome::Faulty,
            FileOutcome::CantSay => Outcome::CantSay,
        },
        price: file.price,
        words: file.words,
        changed: changed.filter_map(|(id, was)| Some(Changed { question: knowledge.find(&id)?, was })).collect(),
    }
}
