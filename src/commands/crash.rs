//! If the program breaks after all: the terminal given back, one plain sentence, where the answers are.

use std::panic;
use std::path::{Path, PathBuf};
use std::sync::OnceLock;

use crate::edge;
use crate::talk::give_terminal_back;

use super::out::aside;

static HOME: OnceLock<PathBuf> = OnceLock::new();

/// Where the answers of this run lie.
pub fn answers_lie_in(home: &Path) {
    let _ = HOME.set(home.to_owned());
}

/// From here on a break is told in a sentence instead of a trace.
pub fn tell_crashes() {
    panic::set_hook(Box::new(|broke| {
        give_terminal_back();
        let place = broke.location().map_or_else(String::new, |at| format!(" ({}:{})", at.file(), at.line()));
        let answers = HOME.get().map_or_else(String::new, |home| {
            format!(" Every answer that was saved is in {}: skeg resume carries on.", edge::path(home))
        });
        aside(&format!("\nskeg: I broke, which is my fault and not yours{place}.{answers}"));
    }));
}
