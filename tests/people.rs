//! What people say at the motor, and what the program makes of it: `tests/reading/people.tsv`.
//!
//! A line is a question, what was meant and the words. Meant are ids of choices joined by `+`, with `|` between
//! what would do as well; `cant-tell`, `not-done`, and `ask-back` where nobody could know without asking. Beside it
//! `people.read` keeps what the program reads in each line today, so that a change of the words or of the reading
//! shows all it changes.

mod support;

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::OnceLock;

use support::skeg;

fn file(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/reading").join(name)
}

/// One line of the people's words.
struct Line {
    question: String,
    meant: String,
    words: String,
}

fn people() -> Vec<Line> {
    let text = fs::read_to_string(file("people.tsv")).expect("the people's words");
    text.lines()
        .map(|line| {
            let cells: Vec<&str> = line.split('\t').collect();
            let [question, meant, words] = cells[..] else { panic!("{line:?} has not three cells") };
            Line { question: question.into(), meant: meant.into(), words: words.into() }
        })
        .collect()
}

/// What `skeg questions read` makes of each line: how it was read, a tab, and the readings.
fn readings() -> &'static [String] {
    static READ: OnceLock<Vec<String>> = OnceLock::new();
    READ.get_or_init(|| {
        let lines = people();
        let typed: String = lines.iter().map(|line| format!("{}\t{}\n", line.question, line.words)).collect();
        let out = skeg().args(["questions", "read"]).typed(&typed).ok();
        let read: Vec<String> = out.lines().map(|line| line.splitn(3, '\t').nth(2).unwrap_or("").into()).collect();
        assert_eq!(read.len(), lines.len(), "a line in, a line out");
        read
    })
}

/// After a change that is meant: `SKEG_WRITE_READ=1 cargo test --test people`; read the difference.
#[test]
fn what_people_say_is_read_as_it_was() {
    let kept = file("people.read");
    if std::env::var_os("SKEG_WRITE_READ").is_some() {
        fs::write(&kept, readings().join("\n") + "\n").expect("the readings are kept");
    }
    let kept = fs::read_to_string(kept).unwrap_or_default();
    let was: Vec<&str> = kept.lines().collect();
    assert_eq!(was.len(), readings().len(), "lines are kept for other words: write them anew");
    let all = people();
    let other = all.iter().zip(was).zip(readings()).filter(|((_, was), is)| was != is);
    let told: Vec<String> = other
        .map(|((line, was), is)| format!("{}: {:?} was {was:?}, is {is:?}", line.question, line.words))
        .collect();
    assert!(told.is_empty(), "{} lines are read otherwise:\n{}", told.len(), told.join("\n"));
}

/// How a line went, best first.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Went {
    /// Taken as it was meant.
    Right,
    /// Asked, and rightly: what was meant stands first, or nobody could know without asking.
    First,
    /// What was meant is among the three that are offered.
    AmongThree,
    /// Asked without what was meant, or not understood.
    Lost,
    /// Taken, and otherwise than it was meant.
    Wrong,
}

fn went(meant: &str, read: &str) -> Went {
    // The order of several choices says nothing.
    let set = |ids: &str| ids.split('+').map(str::to_owned).collect::<BTreeSet<String>>();
    let wanted: Vec<BTreeSet<String>> = meant.split('|').map(set).collect();
    let (how, readings) = read.split_once('\t').expect("how it was read, a tab and the readings");
    let offered: Vec<bool> = readings.split('|').take(3).map(|one| wanted.contains(&set(one))).collect();
    match how {
        "taken" if offered[0] => Went::Right,
        "taken" => Went::Wrong,
        _ if wanted.contains(&set("ask-back")) => Went::First,
        "asks" if offered[0] => Went::First,
        "asks" if offered.contains(&true) => Went::AmongThree,
        "asks" | "unread" => Went::Lost,
        other => panic!("{other:?} is no way to read"),
    }
}

/// What is promised of words nobody told the program before.
#[test]
fn people_are_understood_as_often_as_promised() {
    let all = people();
    let ways: Vec<Went> = all.iter().zip(readings()).map(|(line, read)| went(&line.meant, read)).collect();
    let share = |of: usize, all: usize| 100.0 * of as f64 / all as f64;
    let count = |wanted: &[Went]| ways.iter().filter(|way| wanted.contains(way)).count();
    // What has to be asked can't be taken.
    let plain = all.iter().filter(|line| !line.meant.contains("ask-back")).count();
    let first = share(count(&[Went::Right, Went::First]), all.len());
    let three = share(count(&[Went::Right, Went::First, Went::AmongThree]), all.len());
    let wrong = share(count(&[Went::Wrong]), all.len());
    let taken = share(count(&[Went::Right]), plain);
    let told = format!("first {first:.1} %, among three {three:.1} %, wrong {wrong:.2} %, taken {taken:.1} %");
    assert!(first >= 88.0 && three >= 96.0 && wrong <= 1.2 && taken >= 47.0, "{told}");
}

#[test]
fn every_line_belongs_to_a_question_and_means_what_it_offers() {
    let known = support::knowledge();
    let silent = ["cant-tell", "not-done", "ask-back"];
    for line in people() {
        let choices = known.question(support::ix(&line.question)).choices();
        for id in line.meant.split(['|', '+']).filter(|id| !choices.is_empty() && !silent.contains(id)) {
            assert!(choices.iter().any(|choice| choice.id == *id), "{}: no choice {id}", line.question);
        }
    }
}
