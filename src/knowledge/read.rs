//! Text of the question files to raw shapes, element by element.
//!
//! Each element of an array is read by itself, so that one slip does not hide the next and every problem
//! can name its file, line, id and field. Start at [`Reading::stage_file`].

use std::fmt;
use std::sync::Arc;

use serde::Deserialize;
use serde::de::DeserializeOwned;
use serde_json::value::RawValue;

use super::raw::{RawFinding, RawQuestion, RawStage};
use super::wrong::Wrong;

/// One thing that is wrong in the question data.
#[derive(Clone, Debug, PartialEq)]
pub struct Problem {
    pub file: String,
    /// Line of the element, or of the very place where it is known; from 1.
    pub line: usize,
    pub id: Option<String>,
    pub field: Option<String>,
    pub wrong: Wrong,
}

impl Problem {
    /// A problem with a file as a whole.
    #[must_use]
    pub fn of_file(file: &str, wrong: Wrong) -> Self {
        Self { file: file.to_owned(), line: 1, id: None, field: None, wrong }
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{}: ", self.file, self.line)?;
        if let Some(id) = &self.id {
            write!(f, "{id}: ")?;
        }
        if let Some(field) = &self.field {
            write!(f, "{field}: ")?;
        }
        write!(f, "{}", self.wrong)
    }
}

/// A raw element with the place it stands at.
#[derive(Debug)]
pub struct Placed<T> {
    pub file: Arc<str>,
    pub line: usize,
    pub raw: T,
}

impl<T> Placed<T> {
    /// A problem with this element.
    pub fn problem(&self, id: &str, field: &str, wrong: Wrong) -> Problem {
        Problem {
            file: self.file.to_string(),
            line: self.line,
            id: Some(id.to_owned()),
            field: Some(field.to_owned()),
            wrong,
        }
    }
}

/// A stage file, read but not resolved.
#[derive(Debug)]
pub struct ReadStage {
    pub stage: Placed<RawStage>,
    pub questions: Vec<Placed<RawQuestion>>,
    pub findings: Vec<Placed<RawFinding>>,
}

/// One file being read; problems are gathered, not returned at the first.
pub struct Reading<'a> {
    file: Arc<str>,
    text: &'a str,
    /// Offsets of the line ends, so that a place is turned into a line without reading the text again.
    line_ends: Vec<usize>,
    problems: &'a mut Vec<Problem>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct StageParts<'a> {
    #[serde(borrow)]
    stage: &'a RawValue,
    #[serde(borrow)]
    questions: Vec<&'a RawValue>,
    #[serde(borrow)]
    findings: Vec<&'a RawValue>,
}

impl<'a> Reading<'a> {
    /// Begins to read a file.
    pub fn new(file: &'a str, text: &'a str, problems: &'a mut Vec<Problem>) -> Self {
        Self {
            file: file.into(),
            text,
            line_ends: text.match_indices('\n').map(|(place, _)| place).collect(),
            problems,
        }
    }

    /// Reads a stage file; `None` when not even its outline can be read.
    pub fn stage_file(&mut self) -> Option<ReadStage> {
        let parts: StageParts<'a> = self.outline()?;
        Some(ReadStage {
            stage: self.element(parts.stage)?,
            questions: self.elements(&parts.questions),
            findings: self.elements(&parts.findings),
        })
    }

    /// The outline of a file: which top-level fields it has.
    pub fn outline<T: Deserialize<'a>>(&mut self) -> Option<T> {
        match serde_json::from_str(self.text) {
            Ok(parts) => Some(parts),
            Err(error) => {
                self.problems.push(Problem {
                    file: self.file.to_string(),
                    line: error.line().max(1),
                    id: None,
                    field: None,
                    wrong: Wrong::Unreadable(in_plain_words(&error.to_string())),
                });
                None
            }
        }
    }

    /// Reads every element that can be read.
    pub fn elements<T: DeserializeOwned>(&mut self, raws: &[&'a RawValue]) -> Vec<Placed<T>> {
        raws.iter().filter_map(|raw| self.element(raw)).collect()
    }

    /// Reads one element, or notes why it can't be read.
    pub fn element<T: DeserializeOwned>(&mut self, raw: &'a RawValue) -> Option<Placed<T>> {
        let line = self.line_of(raw.get());
        // The plain way first: following the path to a field costs time, and only a problem needs it.
        if let Ok(value) = serde_json::from_str(raw.get()) {
            return Some(Placed { file: self.file.clone(), line, raw: value });
        }
        let mut deserializer = serde_json::Deserializer::from_str(raw.get());
        match serde_path_to_error::deserialize(&mut deserializer) {
            Ok(value) => Some(Placed { file: self.file.clone(), line, raw: value }),
            Err(error) => {
                let field = error.path().to_string();
                let inner = error.into_inner();
                self.problems.push(Problem {
                    file: self.file.to_string(),
                    line: line + inner.line().saturating_sub(1),
                    id: id_of(raw),
                    field: (field != ".").then_some(field),
                    wrong: Wrong::Unreadable(in_plain_words(&inner.to_string())),
                });
                None
            }
        }
    }

    /// Line of a piece of the text; the piece is a slice of it, so its address tells where it stands.
    fn line_of(&self, piece: &str) -> usize {
        let offset = (piece.as_ptr() as usize).saturating_sub(self.text.as_ptr() as usize);
        1 + self.line_ends.partition_point(|end| *end < offset)
    }
}

/// The id of an element that can't be read as a whole.
fn id_of(raw: &RawValue) -> Option<String> {
    let value: serde_json::Value = serde_json::from_str(raw.get()).ok()?;
    value.get("id")?.as_str().map(str::to_owned)
}

/// serde's message without its own place, with the nearest known name after an unknown one.
fn in_plain_words(message: &str) -> String {
    let message = message.split(" at line ").next().unwrap_or(message);
    let mut quoted = message.split('`').skip(1).step_by(2);
    match (message.starts_with("unknown "), quoted.next()) {
        (true, Some(odd)) => format!("{message}{}", super::near(odd, quoted)),
        _ => message.to_owned(),
    }
}
