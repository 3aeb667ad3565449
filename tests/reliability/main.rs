//! What the program promises when things go wrong. `RELIABILITY.md` lists each promise with the test that holds it.
//!
//! Every test runs in a short form; `SKEG_LONG=1` runs the long one.

mod damage;
mod hostile;
mod kills;
mod outlive;
mod output;
mod sitting;
#[path = "../support/mod.rs"]
mod support;

use std::fs;
use std::path::{Path, PathBuf};

/// How often something is done: the short form, or the long one where it was asked for.
fn times(short: usize, long: usize) -> usize {
    if std::env::var_os("SKEG_LONG").is_some_and(|value| value == "1") { long } else { short }
}

/// An interview with every sort of answer, notes, and a version before.
fn under_way(home: &Path) -> PathBuf {
    let typed = "monohull\nn smells of fuel\n20 1/4 in\nstraight\n0\nreadable\n60 hp\n-\nx too dark\n";
    support::skeg().home(home).args(["start", "kim", "--plain"]).typed(typed).ok();
    home.join("kim.json")
}

/// The seal a file has to have, for tests that write files of their own.
fn sealed(mut content: serde_json::Value) -> String {
    content["seal"] = skeg::store::seal_of(&content).into();
    content.to_string()
}

fn json(path: &Path) -> serde_json::Value {
    serde_json::from_str(&fs::read_to_string(path).unwrap()).unwrap()
}
