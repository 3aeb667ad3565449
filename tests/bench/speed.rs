//! Timings: `cargo bench`. Medians over many runs; a shared machine is noisy, so compare, don't quote one run.

use std::hint::black_box;
use std::path::Path;
use std::process::{Command, Stdio};
use std::sync::Arc;
use std::time::{Duration, Instant};

use jiff::civil::date;
use skeg::Reader;
use skeg::Record;
use skeg::judge;
use skeg::load_shipped;
use skeg::plan;
use skeg::read_answers_file;
use skeg::walk;

/// Lines such as people type, long and short.
const LINES: [(&str, &str); 5] = [
    ("gear-oil", "brown like strong tea, and you can see through it"),
    ("plugs", "2 and 3 sooty, rest tan"),
    ("gearcase-outside", "dented at the front and somebody has welded the fin, but no leaks"),
    ("lanyard", "he says it stops every time"),
    ("dipstick", "could not find one anywhere, there is only a filler cap on top of the engine"),
];

fn main() {
    // `cargo test --benches` passes a flag that means: only see that it runs.
    let runs = if std::env::args().any(|arg| arg == "--bench") { 200 } else { 1 };
    let knowledge = load_shipped();
    let today = date(2026, 5, 1);
    let text = std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/milky-gearcase.json"))
        .expect("the example is there");
    let (record, _) = read_answers_file(&text, &knowledge, today).expect("the example is readable");
    let empty = Record::new(&knowledge);

    time("load and check the questions", runs, || drop(black_box(load_shipped())));
    time("path of a full interview", runs, || drop(black_box(walk(&knowledge, &record, today))));
    time("judge a full interview", runs, || drop(black_box(judge(&knowledge, &record, today))));
    time("judge an interview with nothing answered", runs, || drop(black_box(judge(&knowledge, &empty, today))));
    let open = walk(&knowledge, &empty, today);
    time("plan of a visit of an hour and a half", runs, || drop(black_box(plan(&open, 90.0))));
    let shared = Arc::new(knowledge.clone());
    time("words made ready, and the first line read", runs, || {
        black_box(Reader::new(&shared).read(LINES[0].0, LINES[0].1, 2026, None));
    });
    let reader = Reader::new(&shared);
    // The promise is 0.2 ms a line; this is a hundred of them.
    time("a hundred lines of free words read", runs, || {
        for (question, line) in LINES.iter().cycle().take(100) {
            black_box(reader.read(question, line, 2026, Some(4)));
        }
    });
    let home = tempfile::tempdir().expect("a folder for the interviews");
    time("whole program: replay", runs, || run(&["replay", "examples/milky-gearcase.json"], home.path()));
    time("whole program: to the first question", runs, || {
        run(&["start", "--plain"], home.path());
        let _ = std::fs::remove_file(home.path().join("motor-1.json"));
    });
}

fn run(args: &[&str], home: &Path) {
    let status = Command::new(env!("CARGO_BIN_EXE_skeg"))
        .args(args)
        .arg("--home")
        .arg(home)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status()
        .expect("the program runs");
    assert!(status.success());
}

fn time(what: &str, runs: usize, mut work: impl FnMut()) {
    work();
    let mut all: Vec<Duration> = (0..runs)
        .map(|_| {
            let begun = Instant::now();
            work();
            begun.elapsed()
        })
        .collect();
    all.sort();
    println!("{what}: median {:?}, least {:?}, most {:?}", all[runs / 2], all[0], all[runs - 1]);
}
