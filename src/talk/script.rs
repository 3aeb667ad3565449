//! An answers file as a way of talking: the typed text of each question, nothing said aloud.

use std::collections::HashMap;

use crate::answers::{Said, parse_answer};
use crate::knowledge::QuestionIx;

use super::{Act, Leave, Talk, Turn, Words};

/// Typed texts by question, as an answers file holds them.
#[derive(Clone, Debug, Default)]
pub struct Script {
    typed: HashMap<QuestionIx, String>,
    /// What could not be read, with the question it stands at.
    pub refused: Vec<(QuestionIx, String)>,
}

impl Script {
    /// A script of these typed texts.
    #[must_use]
    pub fn new(typed: HashMap<QuestionIx, String>) -> Self {
        Self { typed, refused: Vec::new() }
    }
}

impl Talk for Script {
    fn tell(&mut self, _words: &Words<'_>) {}

    fn ask(&mut self, turn: &Turn<'_>) -> Act {
        let Some(typed) = self.typed.get(&turn.ix) else {
            return Act::Leave(Leave::EndOfInput);
        };
        match parse_answer(turn.question, typed, &turn.context) {
            Ok(read) => Act::Say(read.said),
            Err(refusal) => {
                self.refused.push((turn.ix, refusal.message));
                Act::Say(Said::CantTell)
            }
        }
    }

    fn confirm(&mut self, _question: &str) -> Result<bool, Leave> {
        Ok(true)
    }

    fn pick(&mut self, _question: &str, _items: &[String]) -> Result<usize, Leave> {
        Ok(0)
    }

    fn columns(&self) -> usize {
        80
    }
}
