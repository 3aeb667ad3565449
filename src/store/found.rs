//! A saved interview as it was found: whole, edited by hand, damaged, gone; and what can still be had of it.
//!
//! Nothing is guessed. What is not whole comes with what can be read of it and with the version before, so that a
//! person can look at the difference and choose.

use serde::Deserialize;

use crate::answers::{Answer, Said};
use crate::edge::{check_json, shown};
use crate::knowledge::Knowledge;

use super::saved::{FORMAT, FileAnswer, FileSettled, Saved, settled};
use super::seal::{self, Sealed};

/// In what state a file was found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Condition {
    /// As it was written.
    Whole,
    /// Readable, and not as it was written.
    Edited,
    /// Not readable as a whole, and why.
    Damaged(String),
    /// Only the version before is there.
    Gone,
}

/// An interview as it was found.
#[derive(Clone, Debug)]
pub struct Found {
    pub condition: Condition,
    /// The interview; of a damaged file what can be read of it.
    pub saved: Option<Saved>,
    /// The version before the last answer, where it is whole.
    pub before: Option<Saved>,
}

/// Only the format number, to tell a newer file from a damaged one.
#[derive(Deserialize)]
struct Version {
    format: u32,
}

/// What a text is, and what can be read of it.
///
/// # Errors
/// It was saved by a newer program.
pub fn look(text: &str, name: &str, knowledge: &Knowledge) -> Result<(Condition, Option<Saved>), String> {
    if let Err(why) = check_json(text) {
        return Ok((Condition::Damaged(why), None));
    }
    if let Ok(Version { format }) = serde_json::from_str(text)
        && format > FORMAT
        && !is_ours(text)
    {
        return Err(format!(
            "saved by a newer skeg (format {format}, this one reads up to {FORMAT}): use that one"
        ));
    }
    match Saved::parse(text, name, knowledge) {
        Ok((saved, Sealed::Whole | Sealed::Never)) => Ok((Condition::Whole, Some(saved))),
        Ok((saved, Sealed::Broken)) => Ok((Condition::Edited, Some(saved))),
        Err(why) => Ok((Condition::Damaged(why), salvage(text, name, knowledge))),
    }
}

/// Whether only the format number is not what this program wrote: damage, not a newer program.
fn is_ours(text: &str) -> bool {
    let Ok(mut content) = serde_json::from_str::<serde_json::Value>(text) else { return false };
    content["format"] = FORMAT.into();
    seal::look(&content) == Sealed::Whole
}

/// What can be read of a damaged text: every answer and settled point that is whole in itself.
fn salvage(text: &str, name: &str, knowledge: &Knowledge) -> Option<Saved> {
    let day = field(text, "date").and_then(|day| day.parse().ok())?;
    let mut saved = Saved::new(name, day, knowledge);
    saved.minutes = text.contains("\"short\": true").then_some(super::saved::SHORT_MINUTES);
    let mut any = false;
    for (place, _) in text.match_indices('{').skip(1) {
        let piece = piece_at(text, place);
        if let Some(answer) = first_of::<FileAnswer>(piece) {
            saved.take(answer, knowledge);
            any = true;
        } else if let Some(point) = first_of::<FileSettled>(piece) {
            saved.record.settled.push(settled(knowledge, point));
            any = true;
        }
    }
    any.then_some(saved)
}

/// No answer is longer; so a text full of brackets is not read over and over.
const LONGEST_PIECE: usize = 20_000;

fn piece_at(text: &str, place: usize) -> &str {
    let mut end = text.len().min(place + LONGEST_PIECE);
    while !text.is_char_boundary(end) {
        end -= 1;
    }
    &text[place..end]
}

fn first_of<'t, T: Deserialize<'t>>(text: &'t str) -> Option<T> {
    serde_json::Deserializer::from_str(text).into_iter::<T>().next()?.ok()
}

/// The text of a field, wherever it stands first.
fn field<'t>(text: &'t str, name: &str) -> Option<&'t str> {
    let (_, after) = text.split_once(&format!("\"{name}\""))?;
    after.split_once('"')?.1.split('"').next()
}

/// What differs from one version to another, a line each, in the order of the questions.
#[must_use]
pub fn differences(knowledge: &Knowledge, before: &Saved, after: &Saved) -> Vec<String> {
    let mut lines = Vec::new();
    if before.date != after.date {
        lines.push(format!("date: {} (before: {})", after.date, before.date));
    }
    for ix in knowledge.places() {
        let (old, new) = (before.record.answer(ix), after.record.answer(ix));
        if old != new {
            lines.push(format!("{}: {} (before: {})", knowledge.question(ix).id, words(new), words(old)));
        }
    }
    let points = |saved: &Saved| saved.record.settled.clone();
    if points(before) != points(after) {
        let (old, new) = (points(before).len(), points(after).len());
        lines.push(format!("settled by a mechanic: {new} points (before: {old}), or other words or prices"));
    }
    let (old, new) = (before.unread_lines(), after.unread_lines());
    lines.extend(
        new.iter().filter(|line| !old.contains(line)).map(|line| format!("new, and not readable here: {line}")),
    );
    lines.extend(old.iter().filter(|line| !new.contains(line)).map(|line| format!("gone: {line}")));
    lines
}

/// All that stands at a question, in one line.
fn words(answer: &Answer) -> String {
    let said = match &answer.said {
        None => "no answer".to_owned(),
        Some(Said::Value(value)) => shown(&value.to_text()),
        Some(Said::CantTell) => "can't tell".to_owned(),
        Some(Said::NotDone(reason)) => format!("not done: {}", shown(reason)),
    };
    let note = answer.note.as_ref().map_or_else(String::new, |note| format!(", note {:?}", shown(note)));
    let photos = if answer.photos.is_empty() {
        String::new()
    } else {
        format!(", photos: {}", shown(&answer.photos.join("; ")))
    };
    said + &note + &photos
}
