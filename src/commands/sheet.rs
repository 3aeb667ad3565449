//! `skeg sheet`: the field sheet of an interview, or a fresh one; and the page before the drive.

use crate::answers::Record;
use crate::cli::{Output, SheetFormat};
use crate::path::plan::{plan, visit_minutes};
use crate::path::walk;
use crate::report;

use super::{Bench, Ending, open, output};

/// Which sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum What {
    /// What is still open, a row each.
    Rows(SheetFormat),
    /// What to bring and what to send the seller.
    Before,
}

/// Prints or writes a sheet. `minutes` plans the visit anew; without them all that is open has a row, and the page
/// before the drive goes by the plan of the interview.
pub fn run(
    bench: &Bench,
    name: Option<&str>,
    what: What,
    minutes: Option<f64>,
    output: &Output,
) -> Result<Ending, String> {
    let knowledge = &bench.knowledge;
    let (record, date, kept) = match name {
        Some(name) => {
            let saved = open::whole(bench, name)?;
            (saved.record, saved.date, saved.minutes)
        }
        None => (Record::new(knowledge), bench.around.today, None),
    };
    let path = walk(knowledge, &record, date);
    let text = match what {
        What::Before => {
            let minutes = minutes.or(kept).unwrap_or_else(|| visit_minutes(&path));
            report::before_page(&path, name, &plan(&path, minutes))
        }
        What::Rows(format) => {
            let planned = minutes
                .map(|minutes| -> Vec<_> { plan(&path, minutes).looks.iter().map(|look| look.question).collect() });
            report::sheet(&path, name, planned.as_deref(), format == SheetFormat::Html)?
        }
    };
    output::put(bench, output, &text)
}
