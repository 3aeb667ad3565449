//! The mechanic's paper on its way back: who it is of, and what was filled in at each point.
//!
//! Start at [`read_paper`]. [`decode`] makes text of a file, whatever mail program or telephone wrote it; [`plain`]
//! takes off what they put around lines; [`keys`] finds the keyed lines; [`marks`] their boxes, [`point`] what these
//! amount to, [`cells`] the numbers of [`grid`]. What is not clear is told as unclear and never guessed or dropped: a
//! box that can't be read, two boxes, a price with words in it, words under a point, a tick without a key.

mod cells;
mod decode;
pub mod grid;
mod html;
mod keys;
mod marks;
mod plain;
mod point;
#[cfg(test)]
mod tests;

use std::fmt;
use std::hash::Hasher;

use crate::answers::{Outcome, Record, Said, Settled};
use crate::knowledge::{FindingIx, Knowledge};

pub use cells::FilledCell;
pub use decode::text_of;
pub use point::{name, one_price};

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

/// The headings of the paper: each ends what belongs to the key above it.
pub const TITLES: &[&str] = &[
    "Points to settle",
    "Nobody has seen these",
    "Numbers",
    "At the end",
    "Over the page",
    "In order",
    "Settled before",
];

/// Keys of the lines for what was found besides.
pub const ALSO: [&str; 3] = ["also-1", "also-2", "also-3"];
/// Keys of the last lines of the paper.
pub const LAST: [&str; 5] = ["overall", "total", "rate", "valid-until", "workshop"];

/// What the reader knows of the interview a paper is said to be of.
#[derive(Clone, Debug)]
pub struct Known<'k> {
    /// Every code a point of such a paper can have.
    pub codes: Vec<&'k str>,
    /// The paper as it would be printed today: what stands in it was written by no mechanic.
    pub printed: &'k str,
    pub cylinders: Option<usize>,
}

impl<'k> Known<'k> {
    /// Of the data alone: stories and core checks.
    #[must_use]
    pub fn new(knowledge: &'k Knowledge, printed: &'k str, cylinders: Option<usize>) -> Self {
        let stories =
            (0..knowledge.findings.len()).map(FindingIx).map(|ix| knowledge.story_id(knowledge.story_of(ix)));
        let faults = knowledge.faults.iter().map(|fault| fault.id.as_str());
        let checks =
            knowledge.questions.iter().filter(|question| question.core).map(|question| question.id.as_str());
        let mut codes: Vec<&str> = stories.chain(faults).chain(checks).collect();
        codes.sort_unstable();
        codes.dedup();
        codes.retain(|code| *code != grid::COMPRESSION);
        Self { codes, printed, cylinders }
    }
}

/// A paper as it came back.
#[derive(Clone, Debug, PartialEq)]
pub struct Filled {
    /// The interview it was written for and the state it had then; compare with [`state_code`]. None: that line is
    /// gone.
    pub of: Option<(String, String)>,
    /// Every point that is still in the paper, each code once, in the order of the paper.
    pub points: Vec<FilledPoint>,
    /// What was found besides, one line each.
    pub also: Vec<FilledPoint>,
    pub cells: Vec<FilledCell>,
    /// What stands in the last lines: key and words.
    pub last: Vec<(String, String)>,
    /// Lines that say something and belong to no key.
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
        Some(Settled { price, words: self.words.clone(), ..Settled::new(self.code.clone(), outcome) })
    }
}

/// Why a text can't be taken in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PaperError {
    /// Neither the line with name and code nor a point.
    NotAPaper,
    /// The line, but no point is left.
    NoPoints,
    /// Lines of two interviews or of two states of one.
    TwoPapers(String, String),
}

impl fmt::Display for PaperError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotAPaper => out.write_str(
                "this is not a mechanic's paper: none of its lines with a key and boxes is in it. Without the file, skeg take-in NAME asks for each point",
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
/// It is no such paper, or it holds two.
pub fn read_paper(text: &str, known: &Known<'_>) -> Result<Filled, PaperError> {
    let lines = plain::plain_lines(text);
    let rows: Vec<&str> = grid::ROWS
        .iter()
        .map(|row| row.key)
        .chain([grid::COMPRESSION, grid::LEAK_DOWN, grid::CYLINDERS.name])
        .collect();
    let all: Vec<&str> = known.codes.iter().copied().chain(rows.iter().copied()).chain(ALSO).chain(LAST).collect();
    let printed = Printed::new(known.printed);
    let parts = keys::split(&lines, &all, &|key, after| printed.goes_on(key, after));
    let of = name_of(&lines)?;
    if !parts.iter().any(|part| part.key.is_some()) {
        return Err(if of.is_some() { PaperError::NoPoints } else { PaperError::NotAPaper });
    }
    let mut filled =
        Filled { of, points: Vec::new(), also: Vec::new(), cells: Vec::new(), last: Vec::new(), loose: Vec::new() };
    for part in &parts {
        match part.key.as_deref() {
            None => filled.loose.extend(loose_lines(&printed.taken_from(&part.body, false))),
            Some(key) if ALSO.contains(&key) => filled.add_also(key, &part.body),
            Some(key) if LAST.contains(&key) => filled.add_last(key, &part.body),
            Some(key) if rows.contains(&key) => filled.add_cells(cells::read(key, &part.body, known.cylinders)),
            Some(key) => filled.add_point(point::read(key, &printed.taken_from(&part.body, true))),
        }
    }
    Ok(filled)
}

impl Filled {
    fn add_point(&mut self, read: FilledPoint) {
        match self.points.iter_mut().find(|other| other.code == read.code) {
            Some(other) => point::merge(other, read),
            None => self.points.push(read),
        }
    }

    fn add_cells(&mut self, cells: Vec<FilledCell>) {
        for cell in cells {
            if !self.cells.contains(&cell) {
                self.cells.push(cell);
            }
        }
    }

    /// Words with a price are a fault that no point asked about.
    fn add_also(&mut self, key: &str, body: &str) {
        let read = point::read(key, body);
        if !read.is_blank() && !self.also.contains(&read) {
            self.also.push(read);
        }
    }

    fn add_last(&mut self, key: &str, body: &str) {
        let words = last_words(key, body);
        if !words.is_empty() && !self.last.iter().any(|(_, said)| *said == words) {
            self.last.push((key.to_owned(), words));
        }
    }
}

/// What was written in a last line: of `overall` the words behind the ticked box, else all that fills the blanks.
fn last_words(key: &str, body: &str) -> String {
    let line = body.replace('\n', " ").replace("with labour and tax: yes / no", " ");
    if key == "overall" {
        let mut rest = line.as_str();
        while let Some(place) = rest.find(['[', '(', '\u{2611}', '\u{2612}', '\u{1f5f9}']) {
            let Some((mark, after)) = marks::box_at(&rest[place..]) else {
                rest = &rest[place + 1..];
                continue;
            };
            if mark == marks::Mark::Ticked {
                let end = after.find(['[', '(', '\u{2610}']).unwrap_or(after.len());
                return super::words::typed(&after[..end]);
            }
            rest = after;
        }
        return String::new();
    }
    let blank = |word: &&str| word.chars().all(|sign| sign == '_');
    let printed = ["with", "labour", "and", "tax:", "yes", "/", "no", "an", "hour", "date", "signed"];
    let words: Vec<&str> = line.split_whitespace().filter(|word| !blank(word)).collect();
    if words.iter().all(|word| printed.contains(word)) {
        return String::new();
    }
    super::words::typed(&words.join(" ").replace('_', ""))
}

/// Lines without a key that hold a tick, a sum or one of the three words: somebody meant something by them.
fn loose_lines(body: &str) -> Vec<String> {
    let says = |line: &&str| {
        let lower = line.to_lowercase();
        let word = |wanted: &str| lower.split(|sign: char| !sign.is_alphanumeric()).any(|word| word == wanted);
        let sum = line.contains(['$', '\u{20ac}', '\u{a3}']) && line.contains(|sign: char| sign.is_ascii_digit());
        let ticked = line
            .char_indices()
            .any(|(place, _)| matches!(marks::box_at(&line[place..]), Some((marks::Mark::Ticked, _))));
        ticked || sum || word("faulty") || word("price") || word("fine")
    };
    body.lines().filter(says).map(super::words::typed).collect()
}

/// The words of the paper as it was printed, to tell what was written into it.
struct Printed {
    words: Vec<String>,
}

impl Printed {
    fn new(text: &str) -> Self {
        let lines = plain::plain_lines(text);
        let words = lines.iter().flat_map(|line| line.split_whitespace()).map(bare).filter(|word| !word.is_empty());
        Self { words: words.collect() }
    }

    /// The text without runs of words that stand in the printed paper one after the other; behind a key
    /// boxes and their labels stay. Fewer than [`RUN`] words may be anybody's.
    fn taken_from(&self, body: &str, labels_stay: bool) -> String {
        let lines: Vec<Vec<&str>> = body.lines().map(|line| line.split_whitespace().collect()).collect();
        let flat: Vec<(usize, &str)> =
            lines.iter().enumerate().flat_map(|(at, words)| words.iter().map(move |word| (at, *word))).collect();
        let spoken: Vec<String> = flat.iter().map(|(_, word)| bare(word)).collect();
        let mut kept: Vec<String> = vec![String::new(); lines.len()];
        let mut place = 0;
        while place < flat.len() {
            let run = self.run_at(&spoken[place..]);
            let words = spoken[place..place + run].iter().filter(|word| !word.is_empty()).count();
            let labels =
                spoken[place..place + run].iter().any(|word| ["fine", "faulty", "price"].contains(&word.as_str()));
            if words >= RUN && !(labels && labels_stay) {
                place += run;
                continue;
            }
            let (at, word) = flat[place];
            if !kept[at].is_empty() {
                kept[at].push(' ');
            }
            kept[at].push_str(word);
            place += 1;
        }
        kept.join("\n")
    }

    /// Whether the printed paper has this word with the first words of what follows behind it.
    fn goes_on(&self, word: &str, after: &str) -> bool {
        let next: Vec<String> =
            after.split_whitespace().map(bare).filter(|word| !word.is_empty()).take(2).collect();
        // An answer to the line itself begins with one of its own words.
        if next
            .first()
            .is_some_and(|first| ["fine", "faulty", "can't", "can", "cannot", "price"].contains(&first.as_str()))
        {
            return false;
        }
        let run: Vec<String> = std::iter::once(word.to_owned()).chain(next).collect();
        run.len() > 1 && self.words.windows(run.len()).any(|words| words == run.as_slice())
    }

    /// How many of these words stand in the printed paper in this order.
    fn run_at(&self, spoken: &[String]) -> usize {
        let Some(first) = spoken.first().filter(|first| !first.is_empty()) else { return 0 };
        let starts = self.words.iter().enumerate().filter(|(_, word)| *word == first).map(|(place, _)| place);
        starts.map(|start| self.run_from(start, spoken)).max().unwrap_or(0)
    }

    fn run_from(&self, start: usize, spoken: &[String]) -> usize {
        let mut place = start;
        let mut taken = 0;
        for (at, word) in spoken.iter().enumerate() {
            if word.is_empty() {
                continue;
            }
            if self.words.get(place) != Some(word) {
                break;
            }
            place += 1;
            taken = at + 1;
        }
        taken
    }
}

/// A run of so many words of the printed paper was printed.
const RUN: usize = 4;

/// A word without the signs around it, in small letters; nothing for what is only signs.
fn bare(word: &str) -> String {
    word.trim_matches(|sign: char| !sign.is_alphanumeric()).to_lowercase()
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
pub(super) fn name_and_state(text: &str) -> Option<(String, String)> {
    let slashes: Vec<usize> = text.match_indices('/').map(|(place, _)| place).collect();
    slashes.into_iter().rev().find_map(|place| {
        let code = text[place + 1..].split_whitespace().next()?.trim_matches(['*', '_', '`']).to_lowercase();
        let fits = code.len() == CODE_LENGTH && code.bytes().all(|letter| LETTERS.contains(&letter));
        let name = plain::shown_again(text[..place].trim());
        fits.then_some((name, code))
    })
}
