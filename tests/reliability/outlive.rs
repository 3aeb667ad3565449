//! Saved interviews outlive the data they were made with, and every format ever written opens.

use std::fs;

use skeg::{Condition, Store};

use crate::support::{knowledge, skeg};
use crate::{json, sealed, under_way};

#[test]
fn every_format_ever_written_opens() {
    let formats = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/reliability/formats");
    let mut seen = Vec::new();
    for file in fs::read_dir(formats).unwrap() {
        let path = file.unwrap().path();
        let home = tempfile::tempdir().unwrap();
        fs::copy(&path, home.path().join("kim.json")).unwrap();
        let found = Store::at(home.path().to_owned()).find("kim", knowledge()).unwrap();
        assert_eq!(found.condition, Condition::Whole, "{}", path.display());
        let saved = found.saved.unwrap();
        // Questions come and go: what can't be read any more is kept all the same.
        assert_eq!(saved.record.entries().count() + saved.unread.len(), 6, "{}", path.display());
        assert_eq!(saved.record.settled.len(), 2);
        assert_eq!(saved.minutes, Some(skeg::SHORT_MINUTES));
        seen.push(json(&path)["format"].as_u64().unwrap());
        // What is written next is the newest format, with nothing lost.
        let text = saved.to_text(knowledge());
        let again: serde_json::Value = serde_json::from_str(&text).unwrap();
        assert_eq!(again["answers"].as_array().unwrap().len(), 6);
    }
    seen.sort_unstable();
    assert_eq!(seen, (1..=skeg::FORMAT.into()).collect::<Vec<u64>>(), "a fixture for each format");
}

#[test]
fn what_other_questions_make_of_it_is_shown_before_anything_is_written() {
    let home = tempfile::tempdir().unwrap();
    let file = under_way(home.path());
    let mut content = json(&file);
    content["questions"] = "0000000000000000".into();
    let answers = content["answers"].as_array_mut().unwrap();
    let asleep = serde_json::json!({ "id": "telltale-cleared", "cant-tell": true });
    answers.push(serde_json::json!({ "id": "a-question-of-old", "value": "yes, it did" }));
    answers.push(serde_json::json!({ "id": "gear-oil", "value": "a word nobody knows any more" }));
    if knowledge().find("telltale-cleared").is_some() {
        answers.push(asleep);
    }
    let text = sealed(content);
    fs::write(&file, &text).unwrap();
    let ran = skeg().home(home.path()).args(["resume", "kim", "--plain"]).run();
    let said = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
    for told in [
        "question files have changed",
        "carried over: ",
        "asleep, back when",
        "to be asked again",
        "a word nobody knows any more",
        "a-question-of-old: yes, it did",
        "Nothing is written yet",
    ] {
        assert!(said.contains(told), "{told}: {said}");
    }
    assert_eq!(fs::read_to_string(&file).unwrap(), text, "nobody agreed");
    // The printing commands tell of it too.
    let ran = skeg().home(home.path()).args(["report", "kim"]).run();
    assert!(ran.err.contains("a-question-of-old"), "{}", ran.err);
    skeg().home(home.path()).args(["resume", "kim", "--plain"]).typed("yes\n").ok();
    let kept = fs::read_to_string(&file).unwrap();
    assert!(kept.contains("a-question-of-old") && kept.contains("a word nobody knows any more"));
}
