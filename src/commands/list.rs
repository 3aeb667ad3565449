//! `skeg list`: saved interviews, one line each.

use std::fmt::Write as _;
use std::io::{Write, stdout};

use crate::judge::Call;
use crate::path::{State, walk};
use crate::store::{Entry, Saved};

use super::{Bench, Ending};

/// Prints the list, latest first.
pub fn run(bench: &Bench) -> Result<Ending, String> {
    let entries = bench.store.list(&bench.knowledge)?;
    let mut text = String::new();
    if entries.is_empty() {
        let _ = writeln!(text, "No interviews yet in {}. Begin one: skeg start", bench.store.folder().display());
    }
    let widest = entries.iter().map(|entry| entry.name.len()).max().unwrap_or(0);
    for entry in &entries {
        let _ = writeln!(text, "{:widest$}  {}", entry.name, one_line(bench, entry));
    }
    let _ = stdout().write_all(text.as_bytes());
    Ok(Ending::Done)
}

/// What one interview is about and how far it is.
pub fn one_line(bench: &Bench, entry: &Entry) -> String {
    match &entry.saved {
        Ok(saved) => format!("{}, {}", saved.date, progress(bench, saved)),
        Err(problem) => format!("can't be read: {problem}"),
    }
}

fn progress(bench: &Bench, saved: &Saved) -> String {
    let path = walk(&bench.knowledge, &saved.record, saved.date);
    let open = path.steps.iter().filter(|step| step.state == State::Open).count();
    let motor = crate::report::motor_line(&path);
    let findings = crate::judge::look(&path);
    let call = crate::judge::decide(&path, &findings).call;
    let stands = match (open, call) {
        (0, call) => format!("done: {}", call_words(call)),
        (open, Call::WalkAway) => format!("{open} questions open, walk away so far"),
        (open, _) => format!("{open} questions open"),
    };
    format!("{motor}: {stands}")
}

/// The call in two or three words.
#[must_use]
pub fn call_words(call: Call) -> &'static str {
    match call {
        Call::Fair => "fair at the right price",
        Call::OnlyIf => "only if it is settled",
        Call::Undecided => "undecided",
        Call::WalkAway => "walk away",
    }
}
