//! Lists for the arrow keys: the only file that knows dialoguer.
//!
//! What it needs to behave: labels cut by width and by bytes (it counts bytes), a first line that is chosen, a
//! length that fits the window, no report of its own, a window of at least five rows.

use std::fmt;
use std::io;
use std::panic::{AssertUnwindSafe, catch_unwind};

use console::Term;
use dialoguer::theme::Theme;
use dialoguer::{MultiSelect, Select};

use crate::talk::Leave;
use crate::talk::shared::lines::cut;

/// Rows and columns of the window.
pub fn size() -> (usize, usize) {
    let (rows, columns) = Term::stderr().size();
    (usize::from(rows), usize::from(columns))
}

/// Lets one line be picked, or several where some may be `ticked` already; `None` after Esc.
pub fn list(
    items: &[String],
    ticked: Option<&[usize]>,
    (rows, columns): (usize, usize),
) -> Result<Option<Vec<usize>>, Leave> {
    // The window may shrink below what the list can bear while it is open; then there is no list.
    let picked = catch_unwind(AssertUnwindSafe(|| match ticked {
        None => one(items, rows, columns),
        Some(ticked) => several(items, ticked, rows, columns),
    }));
    match picked {
        Ok(Ok(places)) => Ok(places),
        Ok(Err(dialoguer::Error::IO(error))) if error.kind() == io::ErrorKind::Interrupted => Err(Leave::Interrupt),
        Ok(Err(_)) => Err(Leave::HangUp),
        Err(_) => {
            let _ = Term::stderr().show_cursor();
            Ok(None)
        }
    }
}

fn one(items: &[String], rows: usize, columns: usize) -> dialoguer::Result<Option<Vec<usize>>> {
    let select = Select::with_theme(&Quiet)
        .with_prompt(heading(["(arrows, Enter takes, Esc goes back)", "(Enter takes, Esc back)"], columns))
        .report(false)
        .items(labels(items, columns, 3))
        .default(0)
        .max_length(rows);
    Ok(select.interact_on_opt(&Term::stderr())?.map(|place| vec![place]))
}

fn several(
    items: &[String],
    ticked: &[usize],
    rows: usize,
    columns: usize,
) -> dialoguer::Result<Option<Vec<usize>>> {
    let ticks: Vec<bool> = (0..items.len()).map(|place| ticked.contains(&place)).collect();
    MultiSelect::with_theme(&Quiet)
        .with_prompt(heading(["(space ticks, Enter takes, Esc back)", "(space ticks, Enter)"], columns))
        .report(false)
        .items(labels(items, columns, 7))
        .defaults(&ticks)
        .max_length(rows)
        .interact_on_opt(&Term::stderr())
}

/// The first that leaves room for the page numbers, in one row.
fn heading(words: [&str; 2], columns: usize) -> String {
    let room = columns.saturating_sub(16);
    let fits = words.iter().find(|words| words.len() <= room);
    cut(fits.unwrap_or(&words[1]), room.max(4), columns)
}

/// The items cut to the room behind the marks.
fn labels(items: &[String], columns: usize, marks: usize) -> Vec<String> {
    items.iter().map(|item| cut(item, columns.saturating_sub(marks), columns)).collect()
}

/// No colours, no colon behind the prompt.
struct Quiet;

impl Theme for Quiet {
    fn format_prompt(&self, out: &mut dyn fmt::Write, prompt: &str) -> fmt::Result {
        out.write_str(prompt)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::talk::shared::lines::width;

    #[test]
    fn labels_fit_by_width_and_by_bytes() {
        let items = ["“curly” – and – dashed – all – over – the – line".to_owned(), "水".repeat(30)];
        for label in labels(&items, 40, 3) {
            assert!(width(&label) <= 37 && label.len() <= 40, "{label}");
        }
    }
}
