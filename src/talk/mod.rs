//! Asking a person: gets a prepared turn, returns an act.
//!
//! Start at [`Talk`]. Two ways to talk implement it: [`terminal`] (arrows, numbers, words; the only file that
//! knows dialoguer is `terminal/prompt.rs`) and [`plain`] (append-only lines, for pipes, screen readers, dumb
//! terminals). Both read what is typed through the one parser in [`crate::answers`], as an answers file does,
//! which needs nobody to ask. Talk decides nothing: it does not know what comes next, and it saves nothing.

pub mod plain;
mod shared;
mod system;
pub mod terminal;

pub use system::give_back as give_terminal_back;

use crate::answers::{Context, Said};
use crate::knowledge::{Level, Picture, Question, QuestionIx, Term, Wait};
use crate::path::Texts;
use crate::path::sitting::Warned;

/// One question, ready to be asked.
#[derive(Clone, Debug)]
pub struct Turn<'a> {
    pub ix: QuestionIx,
    pub question: &'a Question,
    /// What reading the answer depends on: entries wanted, year, currency.
    pub context: Context,
    /// The texts that fit this motor.
    pub texts: Texts<'a>,
    /// Where one stands, which look of how many this is, and the minutes left of the plan.
    pub header: Header<'a>,
    /// The cautions that stand before the step.
    pub warned: Warned<'a>,
    pub card: Option<Card<'a>>,
    /// What is needed in the hands, in plain words.
    pub tools: Vec<&'a str>,
    /// Minutes it takes on this motor.
    pub minutes: f64,
    pub picture: Option<&'a Picture>,
    pub wait: Option<&'a Wait>,
    /// Trade words that stand in the question.
    pub terms: Vec<&'a Term>,
    /// Every trade word, for `what is a …`.
    pub glossary: &'a [Term],
    /// What was said before, as text that typed again gives the same.
    pub before: Option<String>,
    pub note: Option<&'a str>,
    pub photos: &'a [String],
    /// The answers so far, for looking back and jumping.
    pub so_far: Vec<Earlier<'a>>,
}

/// Where one stands in the visit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Header<'a> {
    pub station: &'a str,
    /// From 1.
    pub number: usize,
    pub of: usize,
    /// Minutes left of the plan; none at home.
    pub minutes: Option<f64>,
}

/// A card read before a run of the engine: the cautions in one, and what to watch while it runs.
#[derive(Clone, Debug, PartialEq)]
pub struct Card<'a> {
    pub title: &'a str,
    pub level: Level,
    pub cautions: Vec<&'a str>,
    pub watch: Vec<&'a str>,
}

/// One answer given earlier.
#[derive(Clone, Debug)]
pub struct Earlier<'a> {
    pub ix: QuestionIx,
    pub brief: &'a str,
    pub text: String,
}

/// What the person did.
#[derive(Clone, Debug, PartialEq)]
pub enum Act {
    Say(Said),
    /// Part of an answer, kept at once while the question goes on; `None` takes back what was kept so.
    Keep(Option<Said>),
    /// Nobody looked, and this is what the seller says: can't tell, with that as the note.
    SellerSays(String),
    /// A note beside the question; an empty one takes the note away.
    Note(String),
    /// A photo's path, checked to exist.
    Photo(String),
    Back,
    /// To an earlier answer, to change it.
    Jump(QuestionIx),
    /// There is less time than planned.
    ShortOfTime,
    Leave(Leave),
}

/// How a person leaves; everything said is saved already.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Leave {
    /// Asked to stop.
    Stop,
    /// Ctrl-C or SIGINT.
    Interrupt,
    /// The terminal was closed.
    HangUp,
    /// SIGTERM.
    #[cfg_attr(windows, allow(dead_code))] // no such signal there
    Terminate,
    /// No more input.
    EndOfInput,
    /// What is said can't be written any more, such as on a full disk.
    Unheard,
}

/// Something said between questions.
#[derive(Clone, Debug, PartialEq)]
pub enum Words<'a> {
    /// What an answer means and what comes next.
    Reply(String),
    /// A quiet aside that weighs: the second sign of something.
    Margin(String),
    /// A stage begins.
    StageOpens { title: &'a str, about: &'a str },
    /// A part of the interview ended early, and why.
    Ended(String),
    /// Plain sentences.
    Plain(String),
    /// A list, a line or two each.
    Points(Vec<String>),
    /// Lines that are shown as they stand: pictures, bars, tables.
    Picture(Vec<String>),
    /// A heading over what follows.
    Heading(String),
}

/// A way to talk to a person.
pub trait Talk {
    /// Says something.
    fn tell(&mut self, words: &Words<'_>);

    /// Asks one question until something comes of it. What can't be read is told and asked again, the typed text
    /// kept; looking up why, how, words and pictures happens inside.
    fn ask(&mut self, turn: &Turn<'_>) -> Act;

    /// Says what was understood, once it is kept.
    fn taken(&mut self, question: &Question, said: &Said);

    /// Asks for a line of free words, such as a folder; empty for none.
    ///
    /// # Errors
    /// How the person left.
    fn line(&mut self, question: &str) -> Result<String, Leave>;

    /// Whether something that was said could not be written.
    fn is_unheard(&self) -> bool {
        false
    }

    /// Asks yes or no about something that is about to happen. `Err` when the person leaves instead.
    ///
    /// # Errors
    /// How the person left.
    fn confirm(&mut self, question: &str) -> Result<bool, Leave>;

    /// Lets the person pick one of several things, by its place.
    ///
    /// # Errors
    /// How the person left.
    fn pick(&mut self, question: &str, items: &[String]) -> Result<usize, Leave>;

    /// Columns there are to write in.
    fn columns(&self) -> usize;
}
