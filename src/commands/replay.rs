//! `skeg replay`: an answers file through the same checks; nothing is saved.

use std::path::Path;

use crate::cli::Paper;
use crate::edge;
use crate::judge::judge;
use crate::store::read_answers_file;

use super::{Bench, Ending, out, output, report};

/// Judges an answers file and prints the paper.
pub fn run(bench: &Bench, file: &Path, paper: &Paper) -> Result<Ending, String> {
    let told = |error: String| format!("can't read {}: {error}", edge::path(file));
    let text = edge::read_text(file).map_err(told)?;
    let (record, date) = read_answers_file(&text, &bench.knowledge, bench.around.today).map_err(|problems| {
        let lines: Vec<String> = problems.iter().map(|problem| format!("  {}", edge::shown(problem))).collect();
        format!("{}:\n{}", edge::path(file), lines.join("\n"))
    })?;
    if bench.around.clock_is_off && date == bench.around.today {
        out::aside(&format!("The clock here says {date}, and that can't be: put a \"date\" into the file."));
    }
    let name = file.file_stem().map(|stem| stem.to_string_lossy().into_owned()).unwrap_or_default();
    let judgement = judge(&bench.knowledge, &record, date);
    output::put(bench, &paper.output, &report::render(&judgement, &name, paper)?)
}
