//! Plain lines: appended one below the other, no colours, no lists, the same words as in the terminal.
//!
//! For pipes, scripts, screen readers and terminals that can do no more. [`Plain::open`] listens to the process's
//! own lines and signals; [`Plain::new`] to any lines. Where lines come from a script they are written out too, so
//! that the whole conversation can be read afterwards.

mod stdin;
#[cfg(test)]
mod tests;

use std::io::{self, BufRead, BufReader, IsTerminal, Read, Stdout, Write};
use std::path::PathBuf;

use crate::answers::Said;
use crate::edge;
use crate::knowledge::{Question, Wait};

use super::shared::{Desk, Heard, Ink, List, Manner, ask, echo, lines, pick, say};
use super::system::Listening;
use super::{Act, Leave, Talk, Turn, Words};

pub use stdin::Stdin;

/// A conversation in plain lines.
#[derive(Debug)]
pub struct Plain<R, W> {
    input: R,
    output: W,
    columns: usize,
    echoes: bool,
    home: Option<PathBuf>,
    manner: Manner,
    left: Option<Leave>,
    /// What is said can't be written any more.
    unheard: Option<io::ErrorKind>,
    /// Signals are heard while this is held.
    listening: Option<Listening>,
}

impl Plain<BufReader<Stdin>, Stdout> {
    /// Talks through standard input and output, and hears Ctrl-C, SIGTERM and a hang-up while it waits.
    #[must_use]
    pub fn open(columns: usize) -> Self {
        let listening = Listening::begin();
        let mut plain = Self::new(BufReader::new(Stdin::new(listening.clone())), io::stdout(), columns);
        plain.echoes = !io::stdin().is_terminal();
        plain.listening = listening;
        plain
    }
}

impl<R: BufRead, W: Write> Plain<R, W> {
    /// Talks through any lines, in so many columns.
    #[must_use]
    pub fn new(input: R, output: W, columns: usize) -> Self {
        Self {
            input,
            output,
            columns: columns.clamp(20, lines::WIDEST),
            echoes: false,
            home: std::env::home_dir(),
            manner: Manner::default(),
            left: None,
            unheard: None,
            listening: None,
        }
    }

    /// Writes out what is read, for input that nobody sees being typed.
    #[cfg(test)]
    pub fn echoing(mut self) -> Self {
        self.echoes = true;
        self
    }

    /// Notes that something could not be written.
    fn heard(&mut self, written: io::Result<()>) {
        if let Err(error) = written {
            self.unheard.get_or_insert(error.kind());
        }
    }

    fn read_line(&mut self) -> Result<String, Leave> {
        match self.unheard {
            // Whoever closed the pipe has what they wanted.
            Some(io::ErrorKind::BrokenPipe) => return Err(Leave::EndOfInput),
            Some(_) => return Err(Leave::Unheard),
            None => {}
        }
        let mut bytes = Vec::new();
        // What goes on after the longest line is read as the next one.
        match (&mut self.input).take(edge::MOST_LINE as u64).read_until(b'\n', &mut bytes) {
            Ok(0) => Err(self.listening.as_ref().and_then(Listening::leave).unwrap_or(Leave::EndOfInput)),
            Ok(_) => Ok(String::from_utf8_lossy(&bytes).trim_end_matches(['\n', '\r']).to_owned()),
            Err(error) => Err(stdin::left(&error)),
        }
    }
}

impl<R: BufRead, W: Write> Desk for Plain<R, W> {
    fn columns(&self) -> usize {
        self.columns
    }

    fn rows(&self) -> Option<usize> {
        None
    }

    fn put(&mut self, line: &[(Ink, &str)]) {
        let text: String = line.iter().map(|(_, text)| *text).collect();
        let written = writeln!(self.output, "{}", text.trim_end());
        self.heard(written);
    }

    fn fresh(&mut self) {}

    fn read(&mut self, _kept: &str) -> Result<Heard, Leave> {
        if let Some(left) = self.left {
            return Err(left);
        }
        let written = write!(self.output, "> ").and_then(|()| self.output.flush());
        self.heard(written);
        let line = self.read_line();
        if self.echoes || line.is_err() {
            let shown = line.as_deref().unwrap_or("");
            let written = writeln!(self.output, "{}", lines::clean(shown).trim_end());
            self.heard(written);
        }
        match line {
            Ok(line) => Ok(Heard::Text(line)),
            Err(leave) => {
                self.left = Some(leave);
                Err(leave)
            }
        }
    }

    fn seen(&self) -> bool {
        false
    }

    fn list(&mut self, _list: &List<'_>) -> Result<Option<Vec<usize>>, Leave> {
        Ok(None)
    }

    fn count_down(&mut self, wait: &Wait) -> Result<(), Leave> {
        say::say(
            self,
            &format!("I can't count here: look at a clock. {} from now.", say::minutes_words(wait.minutes)),
        );
        Ok(())
    }

    fn editor(&self) -> Option<String> {
        None
    }

    fn edit(&mut self, _text: &str) -> Result<String, String> {
        Err("There is no editor here.".into())
    }

    fn home(&self) -> Option<PathBuf> {
        self.home.clone()
    }

    fn manner(&mut self) -> &mut Manner {
        &mut self.manner
    }
}

impl<R: BufRead, W: Write> Talk for Plain<R, W> {
    fn tell(&mut self, words: &Words<'_>) {
        say::tell(self, words);
        let written = self.output.flush();
        self.heard(written);
    }

    fn ask(&mut self, turn: &Turn<'_>) -> Act {
        ask::ask(self, turn)
    }

    fn taken(&mut self, question: &Question, said: &Said) {
        echo::understood(self, question, said);
    }

    fn is_unheard(&self) -> bool {
        self.unheard.is_some_and(|kind| kind != io::ErrorKind::BrokenPipe)
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
        self.columns
    }
}
