//! `skeg list`: saved interviews, one line each.

use std::fmt::Write as _;

use crate::edge;
use crate::judge::Call;
use crate::path::{State, walk};
use crate::report::words;
use crate::store::{Condition, Entry, Saved};

use super::said::count;
use super::{Bench, Ending, out};

/// Prints the list: what is not whole first, then the latest first.
pub fn run(bench: &Bench) -> Result<Ending, String> {
    let entries = bench.store.list(&bench.knowledge)?;
    let mut text = String::new();
    if entries.is_empty() {
        let _ = writeln!(text, "No interviews yet in {}. Begin one: skeg start", edge::path(bench.store.folder()));
    }
    let widest = entries.iter().map(|entry| entry.name.len()).max().unwrap_or(0);
    for entry in &entries {
        let _ = writeln!(text, "{:widest$}  {}", edge::shown(&entry.name), one_line(bench, entry));
    }
    out::print(&text).map(|()| Ending::Done)
}

/// What one interview is about and how far it is.
pub fn one_line(bench: &Bench, entry: &Entry) -> String {
    let found = match &entry.found {
        Ok(found) => found,
        Err(problem) => return format!("can't be read: {}", edge::shown(problem)),
    };
    let how = match &found.condition {
        Condition::Whole => "",
        Condition::Edited => "EDITED BY HAND, to be looked at: ",
        Condition::Damaged(_) => "DAMAGED: ",
        Condition::Gone => "ITS FILE IS GONE, the version before: ",
    };
    match found.saved.as_ref().or(found.before.as_ref()) {
        Some(saved) => format!("{how}{}, {}{}", saved.date, progress(bench, saved), unread(saved)),
        None => format!("{how}it can't be read, and there is no version before"),
    }
}

fn unread(saved: &Saved) -> String {
    match saved.unread.len() {
        0 => String::new(),
        number => format!(", {} not readable with these questions", count(number, "answer")),
    }
}

fn progress(bench: &Bench, saved: &Saved) -> String {
    let path = walk(&bench.knowledge, &saved.record, saved.date);
    let open = path.steps.iter().filter(|step| step.state == State::Open).count();
    let motor = crate::report::motor_line(&path);
    let findings = crate::judge::look(&path);
    let call = crate::judge::decide(&path, &findings).call;
    let stands = match (open, call) {
        (0, call) => format!("done, {}", words::call(call)),
        (open, call @ Call::WalkAway) => format!("{} open, {} so far", count(open, "question"), words::call(call)),
        (open, _) => format!("{} open", count(open, "question")),
    };
    format!("{motor}: {stands}")
}
