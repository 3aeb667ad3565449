//! The mechanic's paper on its way back: who it is of, and what was filled in at each point.
//!
//! Start at [`read_paper`]. [`plain`] takes off what mail and editors put around lines, [`sections`] finds the
//! points, [`scan`] their boxes and labels, [`point`] says what that amounts to. What is not clear is told as unclear
//! and never guessed: a box that can't be read, two boxes, a price with words in it, boxes of another point.

mod plain;
mod point;
mod scan;
mod sections;
#[cfg(test)]
mod tests;

use std::fmt;
use std::hash::Hasher;

use crate::answers::{Outcome, Record, Said, Settled};
use crate::knowledge::Knowledge;

/// Letters and digits of a state code: none that is easily taken for another.
const LETTERS: &[u8; 32] = b"0123456789abcdefghjkmnpqrstvwxyz";
/// Letters of a state code, five bits each.
const CODE_LENGTH: usize = 7;

/// A short name for exactly these saved answers.
///
/// Notes, photos and what a mechanic settled do not change it, so that a paper can be taken in twice.
#[must_use]
pub fn state_code(knowledge: &Knowledge, record: &Record) -> String {
    let mut hasher = fnv::FnvHasher::default();
    for (ix, answer) in record.entries() {
        let said = match &answer.said {
            Some(Said::Value(value)) => format!("={}", value.to_text()),
            Some(Said::CantTell) => "?".to_owned(),
            Some(Said::NotDone(_)) => "-".to_owned(),
            None => continue,
        };
        hasher.write(knowledge.question(ix).id.as_str().as_bytes());
        hasher.write(&[0]);
        hasher.write(said.as_bytes());
        hasher.write(&[0]);
    }
    let hash = hasher.finish();
    let letter = |place: usize| char::from(LETTERS[(hash >> (5 * place) & 31) as usize]);
    (0..CODE_LENGTH).map(letter).collect()
}

/// A paper as it came back.
#[derive(Clone, Debug, PartialEq)]
pub struct Filled {
    /// The interview it was written for.
    pub name: String,
    /// The state of that interview; compare with [`state_code`].
    pub state: String,
    /// Every point that is still in the paper, each code once, in the order of the paper.
    pub points: Vec<FilledPoint>,
    /// Ticks that stand under no point, told in sentences.
    pub loose: Vec<String>,
}

/// What was filled in at one point.
#[derive(Clone, Debug, PartialEq)]
pub struct FilledPoint {
    pub code: String,
    pub outcome: Reading<Outcome>,
    pub price: Reading<Price>,
    /// The mechanic's own words; empty where there are none.
    pub words: String,
}

/// What was read of one thing.
#[derive(Clone, Debug, PartialEq)]
pub enum Reading<T> {
    /// Left as it was.
    Blank,
    Said(T),
    /// Something stands there, but not what it means; told in a sentence.
    Unclear(String),
}

/// A price a mechanic named.
#[derive(Clone, Debug, PartialEq)]
pub struct Price {
    pub sum: f64,
    /// As it stands in the paper; it may name a currency that is not the buyer's.
    pub written: String,
}

impl FilledPoint {
    /// Whether nothing was filled in here.
    #[must_use]
    pub fn is_blank(&self) -> bool {
        self.outcome == Reading::Blank && self.price == Reading::Blank && self.words.is_empty()
    }

    /// What to keep of it, when all of it is clear.
    #[must_use]
    pub fn settled(&self) -> Option<Settled> {
        let Reading::Said(outcome) = self.outcome else { return None };
        let price = match &self.price {
            Reading::Said(price) => Some(price.sum),
            Reading::Blank => None,
            Reading::Unclear(_) => return None,
        };
        Some(Settled { point: self.code.clone(), outcome, price, words: self.words.clone() })
    }
}

/// Why a text can't be taken in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PaperError {
    /// Neither the line with name and code nor a point.
    NotAPaper,
    /// Points, but no line that says which interview they belong to.
    NoName,
    /// The line, but no point is left.
    NoPoints,
    /// Lines of two interviews or of two states of one.
    TwoPapers(String, String),
}

impl fmt::Display for PaperError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotAPaper => out.write_str(
                "this is not a mechanic's paper: it has no line \"Paper: NAME / CODE\" and no point with a code",
            ),
            Self::NoName => out.write_str(
                "the line \"Paper: NAME / CODE\" is missing, so nobody can say which interview this belongs to",
            ),
            Self::NoPoints => out.write_str("no point is left in this paper, so there is nothing to take in"),
            Self::TwoPapers(one, other) => {
                write!(out, "this holds two papers, {one} and {other}: take them in one by one")
            }
        }
    }
}

impl std::error::Error for PaperError {}

/// Reads a mechanic's filled-in paper.
///
/// # Errors
/// It is no such paper, or it can't be said of which interview, or it holds two.
pub fn read_paper(text: &str) -> Result<Filled, PaperError> {
    let lines = plain::plain_lines(text);
    let parts = sections::split(&lines);
    let has_points = parts.iter().any(|part| part.head.is_some());
    let (name, state) = match (name_of(&lines)?, has_points) {
        (Some(named), true) => named,
        (Some(_), false) => return Err(PaperError::NoPoints),
        (None, true) => return Err(PaperError::NoName),
        (None, false) => return Err(PaperError::NotAPaper),
    };
    let mut points: Vec<FilledPoint> = Vec::new();
    let mut loose = Vec::new();
    for part in &parts {
        let Some(head) = &part.head else {
            loose.extend(point::loose_ticks(&part.body));
            continue;
        };
        let read = point::read(head, &part.body);
        match points.iter_mut().find(|other| other.code == read.code) {
            Some(other) => point::merge(other, read),
            None => points.push(read),
        }
    }
    Ok(Filled { name, state, points, loose })
}

/// Name and state by the line `Paper: NAME / CODE`, which may be folded.
fn name_of(lines: &[String]) -> Result<Option<(String, String)>, PaperError> {
    let mut found: Option<(String, String)> = None;
    let begins = |place: &usize| lines[*place].get(..6).is_some_and(|head| head.eq_ignore_ascii_case("paper:"));
    let alone = |place: &usize| place.checked_sub(1).is_none_or(|above| lines[above].is_empty());
    let all: Vec<usize> = (0..lines.len()).filter(begins).collect();
    // Inside a paragraph it is something that was typed, unless there is no other.
    let own: Vec<usize> = all.iter().copied().filter(alone).collect();
    for place in if own.is_empty() { all } else { own } {
        let joined: Vec<&str> =
            lines[place..].iter().take_while(|line| !line.is_empty()).map(String::as_str).collect();
        let Some(named) = name_and_state(&joined.join(" ")[6..]) else { continue };
        match &found {
            Some(other) if *other != named => {
                let told = |(name, state): &(String, String)| format!("{name} / {state}");
                return Err(PaperError::TwoPapers(told(other), told(&named)));
            }
            _ => found = Some(named),
        }
    }
    Ok(found)
}

/// The last ` / ` that a state code follows parts the two.
fn name_and_state(text: &str) -> Option<(String, String)> {
    let slashes: Vec<usize> = text.match_indices('/').map(|(place, _)| place).collect();
    slashes.into_iter().rev().find_map(|place| {
        let code = text[place + 1..].split_whitespace().next()?.trim_matches(['*', '_', '`']).to_lowercase();
        let fits = code.len() == CODE_LENGTH && code.bytes().all(|letter| LETTERS.contains(&letter));
        let name = plain::shown_again(text[..place].trim());
        fits.then_some((name, code))
    })
}
