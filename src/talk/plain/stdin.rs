//! Standard input that can be left: it waits for a line and for a signal at once.

use std::fmt;
use std::io::{self, Read};

use crate::talk::Leave;
use crate::talk::system::{Listening, read_lines};

/// Standard input; a signal ends a waiting read.
#[derive(Debug)]
pub struct Stdin {
    listening: Option<Listening>,
}

impl Stdin {
    pub(super) fn new(listening: Option<Listening>) -> Self {
        Self { listening }
    }
}

impl Read for Stdin {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        read_lines(self.listening.as_ref(), buffer).map_err(|leave| io::Error::other(Left(leave)))?
    }
}

/// How the person left, on its way through a reader.
#[derive(Clone, Copy, Debug)]
struct Left(Leave);

impl fmt::Display for Left {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "left: {:?}", self.0)
    }
}

impl std::error::Error for Left {}

/// What a failed read means: a signal, or a terminal that is gone.
pub(super) fn left(error: &io::Error) -> Leave {
    match error.get_ref().and_then(|inner| inner.downcast_ref::<Left>()) {
        Some(Left(leave)) => *leave,
        None => Leave::HangUp,
    }
}
