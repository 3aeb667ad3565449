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

use skeg::{Saved, Store};

/// How often something is done: the short form, or the long one where it was asked for.
fn times(short: usize, long: usize) -> usize {
    if std::env::var_os("SKEG_LONG").is_some_and(|value| value == "1") { long } else { short }
}

/// An interview with several sorts of answers, a note, and a version before; each answer saved by itself.
fn under_way(home: &Path) -> PathBuf {
    let knowledge = support::knowledge();
    let store = Store::at(home.to_owned());
    let held = store.hold("kim").unwrap();
    let mut saved = Saved::new("kim", support::TODAY, knowledge);
    saved.record.answer_mut(support::ix("boat-kind")).note = Some("smells of fuel".into());
    for answer in [
        ("boat-kind", "monohull"),
        ("transom-height", "20.25 in"),
        ("transom-measured", "straight-down"),
        ("setback", "0 in"),
        ("capacity-plate", "readable"),
        ("plate-power", "60 hp"),
        ("steering", "can't tell"),
        ("boat-controls", "not done: too dark"),
    ] {
        support::say_all(&mut saved.record, &[answer]);
        store.save(&held, &saved, knowledge).unwrap();
    }
    store.file_of("kim")
}

/// The seal a file has to have, for tests that write files of their own.
fn sealed(mut content: serde_json::Value) -> String {
    content["seal"] = skeg::seal_of(&content).into();
    content.to_string()
}

fn json(path: &Path) -> serde_json::Value {
    serde_json::from_str(&fs::read_to_string(path).unwrap()).unwrap()
}
