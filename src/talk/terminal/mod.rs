//! The terminal: the same conversation with a line that can be mended, lists for the arrow keys, a countdown.
//!
//! Start at [`Terminal::open`]. The terminal's mode is held for the whole conversation; `line` edits one line,
//! `prompt` is the only file that knows dialoguer, `countdown` the only one that knows indicatif. Everything is
//! written to standard error, where lists are drawn too, so that nothing overtakes anything.

mod countdown;
mod editor;
mod line;
mod prompt;

use std::fmt;
use std::io::{IsTerminal, Write, stderr, stdin, stdout};
use std::path::PathBuf;

use crate::answers::Said;
use crate::knowledge::{Question, Wait};

use super::shared::{Desk, Heard, Ink, List, Manner, ask, echo, lines, pick, say};
use super::system::{Guard, Listening, forget_typed, takes_keys};
use prompt::Listed;

use super::{Act, Leave, Talk, Turn, Words};

/// Fewer rows or columns, and lines are better.
const LEAST: (usize, usize) = (5, 20);

/// Why there is no terminal to talk in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum WhyNot {
    NotATerminal,
    Dumb,
    Small {
        rows: usize,
        columns: usize,
    },
    /// The system does not let us hold it.
    Refused(String),
}

impl fmt::Display for WhyNot {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotATerminal => write!(out, "This is not a terminal")?,
            Self::Dumb => write!(out, "The terminal says that it can only take lines")?,
            Self::Small { rows, columns } => {
                write!(
                    out,
                    "The window has {columns} columns and {rows} rows, and lists need {} and {}",
                    LEAST.1, LEAST.0
                )?;
            }
            Self::Refused(why) => write!(out, "The terminal can't be held ({why})")?,
        }
        write!(out, ": I talk in plain lines.")
    }
}

impl std::error::Error for WhyNot {}

/// A conversation in a terminal.
#[derive(Debug)]
pub struct Terminal {
    guard: Guard,
    listening: Listening,
    paints: bool,
    size: (usize, usize),
    manner: Manner,
    /// What was typed into a list: the line that is read next begins with it.
    begun: Option<String>,
    /// The editor's command, word by word.
    editor: Option<Vec<String>>,
}

impl Terminal {
    /// Takes hold of the terminal; `color` allows bold, dim and reversed letters.
    ///
    /// # Errors
    /// Why plain lines are better here.
    pub fn open(color: bool) -> Result<Self, WhyNot> {
        if !stdin().is_terminal() || !stdout().is_terminal() || !stderr().is_terminal() {
            return Err(WhyNot::NotATerminal);
        }
        if !takes_keys() {
            return Err(WhyNot::Dumb);
        }
        let (rows, columns) = prompt::size();
        if rows < LEAST.0 || columns < LEAST.1 {
            return Err(WhyNot::Small { rows, columns });
        }
        let listening = Listening::begin().ok_or_else(|| WhyNot::Refused("signals can't be heard".into()))?;
        let guard = Guard::hold().map_err(|error| WhyNot::Refused(error.to_string()))?;
        let size = (rows, columns);
        Ok(Self {
            guard,
            listening,
            paints: color,
            size,
            manner: Manner::default(),
            begun: None,
            editor: editor::named(),
        })
    }

    /// Whether a list can be drawn in the window as it is now.
    fn has_room(&mut self) -> bool {
        self.size = prompt::size();
        self.size.0 >= LEAST.0 && self.size.1 >= LEAST.1
    }
}

/// The text in that ink; nothing but the text where colours are not wanted.
fn painted(ink: Ink, text: &str, paints: bool) -> String {
    let code = match ink {
        Ink::Strong => "1",
        Ink::Quiet => "2",
        Ink::Signal => "1;7",
        Ink::Plain => return text.to_owned(),
    };
    if paints && !text.is_empty() { format!("\u{1b}[{code}m{text}\u{1b}[0m") } else { text.to_owned() }
}

impl Desk for Terminal {
    fn columns(&self) -> usize {
        self.size.1.clamp(LEAST.1, lines::WIDEST)
    }

    fn rows(&self) -> Option<usize> {
        Some(self.size.0)
    }

    fn put(&mut self, line: &[(Ink, &str)]) {
        let mut text: String = line.iter().map(|(ink, text)| painted(*ink, text, self.paints)).collect();
        text.push('\n');
        self.manner.unread.line();
        let _ = stderr().write_all(text.as_bytes());
    }

    fn fresh(&mut self) {
        forget_typed();
        self.size = prompt::size();
    }

    fn read(&mut self, kept: &str) -> Result<Heard, Leave> {
        self.manner.unread.read();
        line::read(&self.listening, kept, self.begun.take().as_deref(), self.paints)
    }

    fn seen(&self) -> bool {
        true
    }

    fn list(&mut self, list: &List<'_>) -> Result<Option<Vec<usize>>, Leave> {
        if !self.has_room() {
            say::say(self, "The window is too small for the list now: type a number or words.");
            return Ok(None);
        }
        // What was typed into a list before this one comes first.
        if self.begun.is_some() {
            return Ok(None);
        }
        match prompt::list(&self.listening, list)? {
            Listed::Picked(places) => return Ok(Some(places)),
            Listed::Typed(begun) => self.begun = Some(begun),
            Listed::Nothing => {}
        }
        Ok(None)
    }

    fn count_down(&mut self, wait: &Wait) -> Result<(), Leave> {
        let over = countdown::run(&self.listening, wait.minutes)?;
        say::say(self, if over { "The time is over. Now look." } else { "Stopped counting." });
        Ok(())
    }

    fn editor(&self) -> Option<String> {
        self.editor.as_deref().and_then(<[String]>::first).map(|program| lines::clean(program))
    }

    fn edit(&mut self, text: &str) -> Result<String, String> {
        let command = self.editor.clone().ok_or("There is no editor here.")?;
        let edited = self.guard.outside(|| editor::edit(&command, text));
        self.listening.forget_interrupt();
        edited
    }

    fn home(&self) -> Option<PathBuf> {
        std::env::home_dir()
    }

    fn manner(&mut self) -> &mut Manner {
        &mut self.manner
    }
}

impl Talk for Terminal {
    fn tell(&mut self, words: &Words<'_>) {
        self.size = prompt::size();
        say::tell(self, words);
    }

    fn ask(&mut self, turn: &Turn<'_>) -> Act {
        ask::ask(self, turn)
    }

    fn taken(&mut self, question: &Question, said: &Said) {
        echo::understood(self, question, said);
    }

    fn line(&mut self, question: &str) -> Result<String, Leave> {
        pick::line(self, question)
    }

    fn confirm(&mut self, question: &str) -> Result<bool, Leave> {
        pick::confirm(self, question)
    }

    fn pick(&mut self, question: &str, items: &[String]) -> Result<usize, Leave> {
        pick::pick(self, question, items)
    }

    fn columns(&self) -> usize {
        Desk::columns(self)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn without_colours_there_are_only_letters() {
        for ink in [Ink::Plain, Ink::Strong, Ink::Quiet, Ink::Signal] {
            assert_eq!(painted(ink, "CAUTION", false), "CAUTION");
        }
        assert_eq!(painted(Ink::Strong, "What?", true), "\u{1b}[1mWhat?\u{1b}[0m");
    }

    #[test]
    fn the_reason_for_plain_lines_is_told() {
        let small = WhyNot::Small { rows: 4, columns: 30 };
        assert_eq!(
            small.to_string(),
            "The window has 30 columns and 4 rows, and lists need 20 and 5: I talk in plain lines."
        );
    }
}
