//! The terminal's mode for the whole conversation: keys come one by one and are not shown by the terminal.
//!
//! The key reader switches modes at every key; without this a key that falls into the gap is shown or loses its
//! Ctrl-C. When it is dropped, also by a panic, the mode is as it was and the cursor is there.

use std::io::{self, Write, stderr, stdin};
use std::sync::{Mutex, MutexGuard, PoisonError};

use rustix::termios::{InputModes, LocalModes, OptionalActions, SpecialCodeIndex, Termios, tcgetattr, tcsetattr};

/// Holds the terminal's mode; gives it back when dropped.
#[derive(Debug)]
pub struct Guard {
    before: Termios,
    ours: Termios,
}

impl Guard {
    /// Sets the mode of the conversation.
    pub fn hold() -> io::Result<Self> {
        let before = tcgetattr(stdin())?;
        let mut ours = before.clone();
        let cleared = LocalModes::ECHO | LocalModes::ICANON | LocalModes::ISIG | LocalModes::IEXTEN;
        ours.local_modes.remove(cleared);
        ours.input_modes.remove(InputModes::IXON);
        ours.special_codes[SpecialCodeIndex::VMIN] = 1;
        ours.special_codes[SpecialCodeIndex::VTIME] = 0;
        *held() = Some(before.clone());
        let guard = Self { before, ours };
        tcsetattr(stdin(), OptionalActions::Drain, &guard.ours)?;
        Ok(guard)
    }

    /// Does something with the terminal as it was before, such as another program.
    pub fn outside<T>(&self, act: impl FnOnce() -> T) -> T {
        give_back_as(&self.before);
        let done = act();
        let _ = tcsetattr(stdin(), OptionalActions::Flush, &self.ours);
        done
    }
}

impl Drop for Guard {
    fn drop(&mut self) {
        *held() = None;
        give_back_as(&self.before);
    }
}

/// The mode to give back if the program breaks while it holds the terminal.
static HELD: Mutex<Option<Termios>> = Mutex::new(None);

fn held() -> MutexGuard<'static, Option<Termios>> {
    HELD.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Gives the terminal back, if it is held: for the moment before the program ends in an unforeseen way.
pub fn give_back() {
    if let Some(before) = held().take() {
        give_back_as(&before);
    }
}

/// The mode as it was, the cursor shown; a terminal that is gone needs neither. What was typed and not read is not
/// meant for the shell.
fn give_back_as(before: &Termios) {
    let _ = tcsetattr(stdin(), OptionalActions::Flush, before);
    let _ = stderr().write_all(b"\x1b[?25h");
}
