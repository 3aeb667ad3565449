//! What the examples are judged to be, figure by figure: the chances, the sums, each measure with its working, the
//! reasons of those that are missing. Much of it stands in no paper.
//!
//! `tests/judged/` keeps the JSON of each example. After a change that is meant:
//! `SKEG_WRITE_JUDGED=1 cargo test --test judged`; read the difference.

mod support;

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use serde_json::Value;
use support::skeg;

/// Another mathematics library rounds the last digits otherwise.
const SLACK: f64 = 1e-9;

/// Names of the files of a folder that end so, without that ending.
fn named(folder: &str, ending: &str) -> BTreeSet<String> {
    let all = fs::read_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join(folder)).expect("a folder");
    let names = all.map(|entry| entry.expect("an entry").file_name().to_string_lossy().into_owned());
    names.filter_map(|name| name.strip_suffix(ending).map(str::to_owned)).collect()
}

fn kept(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/judged").join(format!("{name}.json"))
}

/// Where two differ, with both values.
fn compare(place: &str, was: &Value, is: &Value, differ: &mut Vec<String>) {
    match (was, is) {
        (Value::Object(old), Value::Object(new)) => {
            for key in old.keys().chain(new.keys()).collect::<BTreeSet<_>>() {
                let of = |map: &serde_json::Map<String, Value>| map.get(key).cloned().unwrap_or(Value::Null);
                compare(&format!("{place}.{key}"), &of(old), &of(new), differ);
            }
        }
        (Value::Array(old), Value::Array(new)) if old.len() == new.len() => {
            for (at, (old, new)) in old.iter().zip(new).enumerate() {
                compare(&format!("{place}[{at}]"), old, new, differ);
            }
        }
        (Value::Number(old), Value::Number(new)) => {
            let (old, new) = (old.as_f64().unwrap_or(f64::NAN), new.as_f64().unwrap_or(f64::NAN));
            if (old - new).abs() > SLACK * old.abs().max(new.abs()) {
                differ.push(format!("{place}: {old} became {new}"));
            }
        }
        _ if was == is => {}
        _ => differ.push(format!("{place}: {was} became {is}")),
    }
}

#[test]
fn every_example_is_judged_as_it_was() {
    let mut differ = Vec::new();
    for name in named("examples", ".json") {
        let file = format!("examples/{name}.json");
        let given = skeg().args(["replay", &file, "--format", "json"]).ok();
        if std::env::var_os("SKEG_WRITE_JUDGED").is_some() {
            fs::write(kept(&name), &given).expect("the judgement is kept");
        }
        let was = fs::read_to_string(kept(&name)).unwrap_or_else(|_| panic!("nothing is kept of {file}"));
        let parsed = |text: &str| serde_json::from_str::<Value>(text).expect("JSON");
        compare(&name, &parsed(&was), &parsed(&given), &mut differ);
    }
    assert!(differ.is_empty(), "{} places differ:\n{}", differ.len(), differ.join("\n"));
}

#[test]
fn nothing_else_is_kept() {
    assert_eq!(named("tests/judged", ".json"), named("examples", ".json"));
    // And what the buyers of tests/cases.rs come to.
    assert_eq!(named("tests/judged", "").len(), named("tests/judged", ".json").len() + 1);
}

#[test]
fn a_figure_that_moves_is_told_and_another_last_digit_is_not() {
    let differing = |was: &str, is: &str| {
        let parsed = |text: &str| serde_json::from_str::<Value>(text).expect("JSON");
        let mut differ = Vec::new();
        compare("it", &parsed(was), &parsed(is), &mut differ);
        differ.len()
    };
    assert_eq!(differing(r#"{"a": [0.1, "b"]}"#, r#"{"a": [0.100000000001, "b"]}"#), 0);
    assert_eq!(differing(r#"{"a": [0.1, "b"]}"#, r#"{"a": [0.10001, "c"], "d": 1}"#), 3);
    assert_eq!(differing("[1, 2]", "[1]"), 1);
}
