//! Papers out and back in through the program. Start at [`paper`] and [`take_in`]; a file a paper, or a way it comes back.

mod beside;
mod boxes;
#[path = "../support/browser.rs"]
mod browser;
mod coming_back;
mod page;
#[path = "../terminal/pty.rs"]
#[allow(dead_code)] // the terminal tests press more keys than these
mod pty;
mod settled;
#[path = "../support/mod.rs"]
mod support;

use std::fs;
use std::path::Path;

use serde_json::Value;
use support::{knowledge, skeg};

/// An interview of that name with the answers of an example.
fn interview(home: &Path, name: &str, example: &str) {
    let text = fs::read_to_string(format!("examples/{example}.json")).unwrap();
    let (record, date) = skeg::read_answers_file(&text, knowledge(), jiff::civil::date(2026, 5, 3))
        .expect("the example is readable");
    keep(home, name, record, date);
}

fn keep(home: &Path, name: &str, record: skeg::Record, date: jiff::civil::Date) {
    let mut saved = skeg::Saved::new(name, date, knowledge());
    saved.record = record;
    let store = skeg::Store::at(home.to_owned());
    let held = store.hold(name).unwrap();
    store.save(&held, &saved, knowledge()).unwrap();
}

/// A home with the motor whose gear oil is milky.
fn milky() -> tempfile::TempDir {
    let home = tempfile::tempdir().unwrap();
    interview(home.path(), "milky", "milky-gearcase");
    home
}

fn paper(home: &Path, name: &str) -> String {
    skeg().home(home).args(["report", name, "--for", "mechanic"]).ok()
}

fn judged(home: &Path, name: &str) -> Value {
    skeg().home(home).args(["report", name, "--format", "json"]).json()
}

fn file(home: &Path, name: &str) -> String {
    fs::read_to_string(home.join(format!("{name}.json"))).unwrap()
}

fn settled(home: &Path, name: &str) -> Value {
    serde_json::from_str::<Value>(&file(home, name)).unwrap()["settled"].take()
}

/// The paper with one box of a point ticked in the given way, and a price and words under it.
fn ticked(paper: &str, code: &str, label: &str, mark: &str, price: &str, note: &str) -> String {
    let is_it = |line: &&str| line.contains(&format!("{code}: [ ")) || line.contains(&format!("{code}: [x"));
    let line = paper.lines().find(is_it).unwrap_or_else(|| panic!("no point {code}: {paper}"));
    let mut new = line.replacen(&format!("[ ] {label}"), &format!("[{mark}] {label}"), 1);
    if !price.is_empty() {
        new = new.replacen("______", price, 1);
    }
    if !note.is_empty() {
        new = format!("{new}\n{note}");
    }
    paper.replacen(line, &new, 1)
}

/// Takes a paper in as a script does.
fn take_in(home: &Path, name: &str, text: &str) -> support::Ran {
    let file = home.join("back.txt");
    fs::write(&file, text).unwrap();
    skeg().home(home).args(["take-in", name, file.to_str().unwrap(), "--yes"]).run()
}

/// The same with somebody there who answers.
fn take_in_typing(home: &Path, name: &str, text: &str, typed: &str) -> support::Ran {
    let file = home.join("back.txt");
    fs::write(&file, text).unwrap();
    skeg().home(home).args(["take-in", name, file.to_str().unwrap()]).typed(typed).run()
}
