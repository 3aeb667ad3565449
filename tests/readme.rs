//! The samples in README.md are made here: `SKEG_WRITE_EXAMPLES=1 cargo test --test readme` writes them anew.

mod support;

use std::fs;

use support::talk::{Answering, Sitting};

const README: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/README.md");
/// Columns of a recorded conversation, so that it fits a page.
const COLUMNS: usize = 76;

/// The lines from the one that holds `from` to the one that holds `to`, both included.
fn between(text: &str, from: &str, to: &str) -> String {
    let lines: Vec<&str> = text.lines().collect();
    let start = lines.iter().position(|line| line.contains(from)).unwrap_or_else(|| panic!("no {from:?}: {text}"));
    let length = lines[start..].iter().position(|line| line.contains(to)).unwrap_or_else(|| panic!("no {to:?}"));
    lines[start..=start + length].join("\n")
}

/// Each sample by its name.
fn samples() -> Vec<(&'static str, String)> {
    let home = tempfile::tempdir().unwrap();
    let mut answers =
        Answering::example("milky-gearcase").but("gear-oil", "like a latte").but("visit-minutes", "60 min");
    let sat = Sitting::start(home.path(), COLUMNS, &["start", "harbour-40"]).answered(&mut answers);
    assert_eq!(sat.status, Some(0), "{}", sat.err);
    let said = sat.talked;
    // The header above the first box of the gear oil's question.
    let asked = said.find("What comes out past the drain screw?").expect("the question");
    let header = said[..asked].rfind("Leg, ").expect("its header");
    let talk = between(&said[header..], "Leg, ", "known job");
    let report = fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/examples/milky-gearcase.md")).unwrap();
    vec![
        ("plan", between(&said, "The plan of your visit", "Running")),
        ("talk", talk),
        ("verdict", between(&said, "Where it stands", "Pay for")),
        ("report", report.lines().take(24).collect::<Vec<_>>().join("\n").trim_end().to_owned()),
    ]
}

/// A README with the text block behind each sample's comment replaced.
fn with_samples(readme: &str, samples: &[(&str, String)]) -> String {
    let mut whole = readme.to_owned();
    for (name, sample) in samples {
        let mark = format!("<!-- sample: {name} -->\n\n```text\n");
        let start = whole.find(&mark).unwrap_or_else(|| panic!("README.md has no sample {name}")) + mark.len();
        let end = start + whole[start..].find("\n```").expect("the end of the block");
        whole.replace_range(start..end, sample);
    }
    whole
}

#[test]
fn the_samples_of_the_readme_are_what_the_program_says() {
    let readme = fs::read_to_string(README).unwrap();
    let whole = with_samples(&readme, &samples());
    if std::env::var_os("SKEG_WRITE_EXAMPLES").is_some() {
        fs::write(README, &whole).unwrap();
    } else {
        assert_eq!(readme, whole, "SKEG_WRITE_EXAMPLES=1 cargo test --test readme writes the samples anew");
    }
}
