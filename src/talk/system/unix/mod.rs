//! Unix: Linux, macOS, Android.

mod guard;
mod signals;

use std::io::{self, stdin};
use std::time::Duration;

use console::{Key, Term};
use rustix::termios::{QueueSelector, tcflush};

use crate::talk::Leave;

pub use guard::{Guard, give_back};
pub use signals::Listening;
use signals::wait_for;

/// The editor where none is named; people here name theirs.
pub const EDITOR: Option<&str> = None;

/// Whether the terminal says that it can do more than lines.
pub fn takes_keys() -> bool {
    std::env::var_os("TERM").is_some_and(|term| !term.is_empty() && term != "dumb")
}

/// The next key, an arrow key that came in pieces put together again; `None` when the time is over.
pub fn next_key(listening: &Listening, time: Option<Duration>) -> Result<Option<Key>, Leave> {
    if !wait_for(listening, time)? {
        return Ok(None);
    }
    let key = one_key(listening)?;
    if key != Key::Escape || !wait_for(listening, Some(Duration::from_millis(40)))? {
        return Ok(Some(key));
    }
    if !matches!(one_key(listening)?, Key::Char('[' | 'O')) {
        return Ok(Some(Key::Unknown));
    }
    Ok(Some(match one_key(listening)? {
        Key::Char('A') => Key::ArrowUp,
        Key::Char('B') => Key::ArrowDown,
        Key::Char('C') => Key::ArrowRight,
        Key::Char('D') => Key::ArrowLeft,
        Key::Char('H') => Key::Home,
        Key::Char('F') => Key::End,
        Key::Char('Z') => Key::BackTab,
        _ => Key::Unknown,
    }))
}

fn one_key(listening: &Listening) -> Result<Key, Leave> {
    wait_for(listening, None)?;
    Term::stderr().read_key().map_err(|error| {
        let interrupted = error.kind() == io::ErrorKind::Interrupted;
        listening.leave().unwrap_or(if interrupted { Leave::Interrupt } else { Leave::HangUp })
    })
}

/// What was typed ahead is not meant for what comes now.
pub fn forget_typed() {
    let _ = tcflush(stdin(), QueueSelector::IFlush);
}

/// Reads standard input; a signal ends a waiting read.
pub fn read_lines(listening: Option<&Listening>, buffer: &mut [u8]) -> Result<io::Result<usize>, Leave> {
    if let Some(listening) = listening {
        wait_for(listening, None)?;
    }
    Ok(rustix::io::retry_on_intr(|| rustix::io::read(stdin(), &mut *buffer)).map_err(io::Error::from))
}

/// The words of a command, quotes and backslashes as a shell takes them; nothing where a quote stays open.
pub fn words_of(command: &str) -> Vec<String> {
    shell_words::split(command).unwrap_or_default()
}
