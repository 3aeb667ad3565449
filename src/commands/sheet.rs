//! `skeg sheet`: the field sheet of an interview, or a fresh one.

use crate::answers::Record;
use crate::cli::{Output, SheetFormat};
use crate::path::walk;
use crate::report;

use super::{Bench, Ending, open, output};

/// Prints or writes the sheet.
pub fn run(bench: &Bench, name: Option<&str>, format: SheetFormat, output: &Output) -> Result<Ending, String> {
    let knowledge = &bench.knowledge;
    let (record, date) = match name {
        Some(name) => {
            let saved = open::whole(bench, name)?;
            (saved.record, saved.date)
        }
        None => (Record::new(knowledge), bench.around.today),
    };
    let path = walk(knowledge, &record, date);
    output::put(bench, output, &report::sheet(&path, name, None, format == SheetFormat::Html)?)
}
