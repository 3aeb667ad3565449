//! What both ways of talking have in common, which is nearly all: what is said, and what typed words do.
//!
//! A front end is a [`Desk`]: it puts lines, reads lines, and may offer lists. Start at [`ask::ask`], the loop of
//! one question. Whatever a list returns is turned into the words one could have typed, so that there is one way
//! to an answer. Nothing here knows a terminal.

pub mod ask;
mod beside;
pub mod command;
mod cylinders;
pub mod echo;
pub mod lines;
mod lists;
mod look_up;
mod meant;
pub mod pages;
pub mod pick;
pub mod say;
mod show;

use std::collections::HashSet;
use std::mem::Discriminant;
use std::path::PathBuf;

use crate::knowledge::{Kind, QuestionIx, Wait};
use crate::units::Quantity;

use super::Leave;

/// How a stretch of text stands out; everything can be read without it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ink {
    Plain,
    /// A heading, a question.
    Strong,
    /// What can be passed over.
    Quiet,
    /// The signal word of a caution.
    Signal,
}

/// What came of reading a line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Heard {
    Text(String),
    /// A list was wanted; the text typed so far.
    List(String),
    /// One step back.
    Back,
}

/// Lines to pick from with the arrow keys.
#[derive(Clone, Debug)]
pub struct List<'a> {
    pub items: &'a [String],
    /// So many of the first lines have numbers.
    pub numbers: usize,
    /// The lines that are ticked already; `None` when one line is picked by itself.
    pub ticked: Option<&'a [usize]>,
}

/// What a front end remembers from question to question.
#[derive(Clone, Debug, Default)]
pub struct Manner {
    /// All the keys were shown once.
    pub keys_told: bool,
    /// Questions shown so far.
    pub turns: usize,
    /// What kinds of answer were explained in a whole sentence.
    pub kinds_told: HashSet<Discriminant<Kind>>,
    /// Somebody could not tell something, and knows how to say it.
    pub cant_tell_used: bool,
    /// The question whose opening was shown last.
    pub last: Option<QuestionIx>,
    pub unread: pages::Unread,
    /// What is being given piece by piece, each piece kept as it comes.
    pub going: Option<(QuestionIx, Going)>,
    /// Said at the next turn: by then what it is about is kept.
    pub once_kept: Option<String>,
    /// It was told once how a line that stands there already is mended.
    pub mending_told: bool,
}

/// An answer or a note under way.
#[derive(Clone, Debug, PartialEq)]
pub enum Going {
    /// Readings so far, and whether the way to give them was told.
    Row(Vec<Option<Quantity>>, bool),
    /// Lines of a note so far.
    Note(Vec<String>),
}

/// What a front end must be able to do.
pub trait Desk {
    /// Columns to write in, at least 20.
    fn columns(&self) -> usize;

    /// Rows that can be seen at once, where that is known.
    fn rows(&self) -> Option<usize>;

    /// Puts one line; the stretches hold no control characters.
    fn put(&mut self, line: &[(Ink, &str)]);

    /// Gets ready for a new question: measures the window, drops what was typed ahead.
    fn fresh(&mut self);

    /// Reads a line; `kept` stands in it already where lines can be mended.
    fn read(&mut self, kept: &str) -> Result<Heard, Leave>;

    /// Whether lists and drawings suit this front end; else numbers and words do.
    fn seen(&self) -> bool;

    /// Lets the person pick with arrow keys; `None` when nothing was picked.
    fn list(&mut self, list: &List<'_>) -> Result<Option<Vec<usize>>, Leave>;

    /// Counts a wait down until it is over or a key is pressed; words have been said before.
    fn count_down(&mut self, wait: &Wait) -> Result<(), Leave>;

    /// The editor's name, where there is one.
    fn editor(&self) -> Option<String>;

    /// Lets the person edit a text in it; `Err` says in words what went wrong.
    fn edit(&mut self, text: &str) -> Result<String, String>;

    /// The home folder, for `~` in a path.
    fn home(&self) -> Option<PathBuf>;

    fn manner(&mut self) -> &mut Manner;
}
