//! Anything at all, at every door: typed text, answers files, saved interviews, question folders, papers, mails.
//!
//! Each door has a kept corpus under `corpus/`: what once brought something down stays there, beside a few seeds. Every
//! run tries all of the corpus, then texts made from it. `SKEG_FUZZ_SECONDS=600` gives each door so many seconds; without
//! it a few hundred texts are tried. Nothing may panic, hang, or break the law of its door.

#[path = "../support/mod.rs"]
mod support;

use std::fs;
use std::path::PathBuf;
use std::time::{Duration, Instant};

use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};
use skeg::judge;
use skeg::load;
use skeg::{Condition, Store, read_answers_file};
use skeg::{Context, parse_answer};
use skeg::{File, embedded_files};
use skeg::{Known, read_paper, text_of};
use skeg::{acts, check_json};
use support::{TODAY, knowledge};

/// Texts tried beside the corpus where no time is given.
const FEW: usize = 200;
/// No text of this size may take longer, on a busy machine.
const PATIENCE: Duration = Duration::from_secs(20);

/// The corpus of a door, in the order of its names.
fn corpus(door: &str) -> Vec<String> {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/fuzz/corpus").join(door);
    let mut files: Vec<PathBuf> = fs::read_dir(folder).unwrap().map(|file| file.unwrap().path()).collect();
    files.sort();
    let texts: Vec<String> =
        files.iter().map(|file| String::from_utf8_lossy(&fs::read(file).unwrap()).into_owned()).collect();
    assert!(!texts.is_empty(), "{door} has no corpus");
    texts
}

/// One change to a text: where, how far, and what is put there.
type Change = (prop::sample::Index, prop::sample::Index, u8, String);

fn changes() -> impl Strategy<Value = Vec<Change>> {
    let put = prop_oneof![
        "\\PC{0,6}",
        "[0-9.,;:/?=+-]{1,8}",
        "[\\[\\]{}\"\\\\<>&#*`_|~-]{1,6}",
        prop::sample::select(vec![
            "\u{212a}",
            "\u{130}",
            "\u{202e}",
            "\u{200b}",
            "\u{0}",
            "\u{1b}[2J",
            "\r",
            "\n",
            "\u{2028}",
            "\u{feff}",
            "1e999",
            "-0",
            "NaN",
            "99999999999999999999",
            "null",
            "true",
            "\\u0000",
            "\\ud800",
            "\u{10ffff}",
            "=",
            "not done: ",
            "can't tell",
            "- [x] fine (1)",
            "kr",
            "\u{df}",
            "9999-12-31",
        ])
        .prop_map(str::to_owned),
    ];
    prop::collection::vec((any::<prop::sample::Index>(), any::<prop::sample::Index>(), 0u8..5, put), 1..6)
}

fn changed(mut text: String, changes: &[Change], others: &[String]) -> String {
    for (at, to, how, put) in changes {
        let places: Vec<usize> = text.char_indices().map(|(place, _)| place).chain([text.len()]).collect();
        let (from, end) = (*at.get(&places), *to.get(&places));
        let (from, end) = (from.min(end), from.max(end));
        let other = to.get(others);
        match how {
            0 => text.insert_str(from, put),
            1 => text.replace_range(from..end, put),
            2 => text.truncate(from),
            3 => {
                let twice = text[from..end].to_owned();
                text.insert_str(from, &twice);
            }
            _ => {
                let half = other.char_indices().nth(other.chars().count() / 2).map_or(0, |(place, _)| place);
                text.truncate(from);
                text.push_str(&other[half..]);
            }
        }
        if text.len() > 200_000 {
            break;
        }
    }
    text
}

/// Tries the corpus and texts made from it.
fn try_all(door: &str, law: impl Fn(&str)) {
    let seeds = corpus(door);
    let seconds = std::env::var("SKEG_FUZZ_SECONDS").ok().and_then(|text| text.parse().ok());
    let salt = seconds.map_or(0, |_: u64| u64::from(std::process::id()));
    let mut seed = [0; 32];
    seed[..8].copy_from_slice(&salt.to_le_bytes());
    let mut runner = TestRunner::new_with_rng(Config::default(), TestRng::from_seed(RngAlgorithm::ChaCha, &seed));
    let strategy = (any::<prop::sample::Index>(), changes());
    let begun = Instant::now();
    let mut tried = 0;
    let one = |text: &str| {
        let at = Instant::now();
        let broke = std::panic::catch_unwind(std::panic::AssertUnwindSafe(|| law(text))).is_err();
        assert!(!broke, "{door}: keep this in the corpus:\n{text:?}");
        assert!(at.elapsed() < PATIENCE, "{door}: it takes {:?}:\n{text:?}", at.elapsed());
    };
    for text in &seeds {
        one(text);
    }
    loop {
        let done = match seconds {
            Some(seconds) => begun.elapsed() >= Duration::from_secs(seconds),
            None => tried >= FEW,
        };
        if done {
            break;
        }
        let (which, changes) = strategy.new_tree(&mut runner).unwrap().current();
        let mut text = changed(which.get(&seeds).clone(), &changes, &seeds);
        while text.len() > 200_000 {
            text.pop();
        }
        one(&text);
        tried += 1;
    }
    println!("{door}: {} kept and {tried} made texts in {:?}", seeds.len(), begun.elapsed());
}

/// What is taken as an answer, typed again, gives the same answer.
#[test]
fn typed_text() {
    try_all("typed", |text| {
        for question in &knowledge().questions {
            for wanted in [None, Some(1), Some(4)] {
                let currency = Some("EUR".to_owned()).filter(|_| wanted == Some(4));
                let context = Context { wanted, year: 2026, currency, ..Context::default() };
                match parse_answer(question, text, &context) {
                    Ok(typed) => {
                        if let skeg::Said::Value(value) = &typed.said {
                            let again = parse_answer(question, &value.to_text(), &context);
                            assert_eq!(
                                again.map(|it| it.said).as_ref(),
                                Ok(&typed.said),
                                "{}: {value:?}",
                                question.id
                            );
                        }
                    }
                    Err(refusal) => assert!(!refusal.message.is_empty()),
                }
            }
        }
    });
}

/// Judging takes far longer than reading: one text in eight goes all the way.
fn judged(text: &str) -> bool {
    text.len().is_multiple_of(8)
}

/// What is read can be judged; what is not is told.
#[test]
fn answers_file() {
    try_all("answers", |text| match read_answers_file(text, knowledge(), TODAY) {
        Ok((record, date)) if judged(text) => drop(judge(knowledge(), &record, date)),
        Ok(_) => {}
        Err(problems) => assert!(!problems.is_empty()),
    });
}

/// What is believed without asking is what was written: a changed text is only believed if it says the same.
#[test]
fn save() {
    let folder = tempfile::tempdir().unwrap();
    let store = Store::at(folder.path().to_owned());
    let file = folder.path().join("kim.json");
    let whole: Vec<_> = corpus("save")
        .iter()
        .filter_map(|text| {
            fs::write(&file, text).unwrap();
            let found = store.find("kim", knowledge()).ok()?;
            found.saved.filter(|_| found.condition == Condition::Whole)
        })
        .collect();
    assert!(!whole.is_empty(), "the corpus holds whole files");
    try_all("save", |text| {
        fs::write(&file, text).unwrap();
        if let Ok(found) = store.find("kim", knowledge())
            && let Some(saved) = found.saved
        {
            if judged(text) {
                drop(judge(knowledge(), &saved.record, saved.date));
            }
            // What was written before there were seals has to be believed as it stands.
            let unsealed = !text.contains("\"seal\"") && text.contains("\"format\": 1");
            let known = unsealed || whole.contains(&saved);
            assert!(known || found.condition != Condition::Whole, "believed, and other than any that was written");
        }
    });
}

/// A changed question folder is taken or its problems are told.
#[test]
fn question_folder() {
    let shipped = embedded_files();
    try_all("questions", |text| {
        let mut files = shipped.clone();
        let odd = File { name: files[text.len() % files.len()].name.clone(), text: text.to_owned() };
        let place = text.len() % files.len();
        files[place] = odd;
        match load(&files) {
            Ok(_) => {}
            Err(problems) => assert!(!problems.is_empty()),
        }
    });
}

/// A paper that came back is read or refused, and what is shown of it does not act.
#[test]
fn paper() {
    try_all("paper", |text| {
        if let Ok(filled) = read_paper(text, &Known::new(knowledge(), "", Some(3))) {
            for point in &filled.points {
                assert!(!point.words.chars().any(|c| acts(c) && c.is_control()), "{:?}", point.words);
            }
        }
    });
}

/// The same for a paper inside the HTML of a mail.
#[test]
fn mail() {
    try_all("mail", |text| {
        if let Ok(text) = text_of(text.as_bytes()) {
            drop(read_paper(&text, &Known::new(knowledge(), "", Some(3))));
        }
    });
}

/// The bounds of a text are looked at before anything is built from it, in no time.
#[test]
fn bounds_are_cheap() {
    let begun = Instant::now();
    let large = format!("[{}]", "{\"a\":[\"x\\\"\"]},".repeat(500_000));
    assert!(check_json(&large).is_err());
    assert!(begun.elapsed() < Duration::from_secs(10));
}
