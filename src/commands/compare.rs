//! `skeg compare`: several motors side by side.

use crate::cli::{CompareFormat, Output};
use crate::judge::judge;
use crate::report::compare::{candidate, order, table, to_json, to_markdown};

use super::{Bench, Ending, open, output};

/// Prints the motors side by side, the one to look at again first in front.
pub fn run(bench: &Bench, names: &[String], format: CompareFormat, output: &Output) -> Result<Ending, String> {
    let mut all = Vec::new();
    for (place, name) in names.iter().enumerate() {
        if names[..place].contains(name) {
            return Err(format!("{name:?} stands twice"));
        }
        let saved = open::whole(bench, name)?;
        all.push(candidate(name, &judge(&bench.knowledge, &saved.record, saved.date)));
    }
    let ordered = order(all);
    let text = match format {
        CompareFormat::Table => table(&ordered, bench.around.columns.min(80)),
        CompareFormat::Markdown => to_markdown(&ordered),
        CompareFormat::Json => to_json(&ordered),
    };
    output::put(bench, output, &text)
}
