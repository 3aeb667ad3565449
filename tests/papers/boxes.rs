//! The numbers and words a mechanic writes into boxes.

use std::path::Path;

use crate::beside::flat;
use crate::support::{self, TODAY, record, skeg};
use crate::{file, interview, judged, keep, milky, paper, take_in, take_in_typing};
use serde_json::Value;

#[test]
fn readings_in_the_paper_become_the_mechanics_answers() {
    let home = milky();
    let text = paper(home.path(), "milky")
        .replace("c1 ____  c2 ____  c3 ____", "c1 171  c2 168  c3 140 psi")
        .replace("block ____", "block warm");
    let ran = take_in(home.path(), "milky", &text);
    assert_eq!(ran.status, Some(0), "{}", ran.err);
    assert!(ran.out.contains("compression: 171 168 140 psi") && ran.out.contains("block warm"), "{}", ran.out);
    let kept: Value = serde_json::from_str(&file(home.path(), "milky")).unwrap();
    let answers = kept["answers"].as_array().unwrap();
    let compression = answers.iter().find(|one| one["id"] == "compression").unwrap();
    assert_eq!((&compression["value"], &compression["by-mechanic"]), (&"171 168 140 psi".into(), &true.into()));
    let report = judged(home.path(), "milky");
    assert_ne!(report["measures"]["compression-state"]["value"], "even");
}

/// What a mechanic may write into every box of the numbers, and where it is to stand afterwards: an answer, or among
/// the mechanic's words.
const BOXES: [(&str, &str, Result<&str, &str>); 17] = [
    ("block", "warm", Err("block warm")),
    ("throttle", "open", Err("throttle open")),
    ("heard", "exhaust", Ok("leak-where")),
    ("result", "held", Ok("gear-pressure-test")),
    ("pressure", "12 psi", Err("pressure 12 psi")),
    ("vacuum", "10", Err("vacuum 10")),
    ("minutes", "5", Err("minutes 5")),
    ("on", "water", Ok("run-where")),
    ("oil", "unchanged", Ok("gear-oil-after")),
    ("revs", "5800", Ok("full-revs")),
    ("rest", "12.5", Ok("volts-rest")),
    ("cranking", "10.5", Ok("volts-cranking")),
    ("running", "14.2", Ok("volts-running")),
    ("rpm", "1600", Ok("volts-revs")),
    ("heads", "even", Ok("heads-even")),
    ("hours", "255", Ok("hours")),
    ("codes", "none", Ok("unit-report")),
];

#[test]
fn every_box_of_the_numbers_is_kept() {
    let home = tempfile::tempdir().unwrap();
    interview(home.path(), "afloat", "afloat-trial");
    let mut filled = paper(home.path(), "afloat");
    for (name, value, _) in BOXES {
        let was = format!(" {name} ____");
        assert_eq!(filled.matches(&was).count(), 1, "{name}: {filled}");
        filled = filled.replace(&was, &format!(" {name} {value}"));
    }
    let ran = take_in(home.path(), "afloat", &filled);
    assert_eq!(ran.status, Some(0), "{}", ran.err);
    let kept: Value = serde_json::from_str(&file(home.path(), "afloat")).unwrap();
    let points = kept["settled"].as_array().unwrap();
    let notes = points.iter().find(|point| point["point"] == "notes").unwrap()["words"].as_str().unwrap();
    for (name, value, goes) in BOXES {
        match goes {
            Err(words) => assert!(notes.contains(words), "{name}: {notes}"),
            Ok(id) => {
                let answer = kept["answers"].as_array().unwrap().iter().find(|one| one["id"] == *id);
                let answer = answer.unwrap_or_else(|| panic!("{name}: no answer {id}"));
                let said = answer["value"].as_str().unwrap();
                let none = (value, said) == ("none", "clean");
                assert!(answer["by-mechanic"] == true && (said.starts_with(value) || none), "{name}: {answer}");
            }
        }
    }
    // The buyer reads what has no question of its own, and another paper takes nothing of it away.
    take_in(home.path(), "afloat", &paper(home.path(), "afloat").replace("total: ______", "total: 640"));
    let report = flat(&skeg().home(home.path()).args(["report", "afloat"]).ok());
    for words in ["block warm", "throttle open", "total: 640"] {
        assert!(report.contains(words), "{words}: {report}");
    }
    assert!(take_in(home.path(), "afloat", &filled).out.contains("Nothing was changed"));
}

/// What a mechanic's reading answers a question with.
pub fn read_by_mechanic(home: &Path, name: &str, id: &str) -> String {
    let kept: Value = serde_json::from_str(&file(home, name)).unwrap();
    let answer = kept["answers"].as_array().unwrap().iter().find(|one| one["id"] == id);
    let answer = answer.unwrap_or_else(|| panic!("no answer {id}: {kept}"));
    assert_eq!(answer["by-mechanic"], true, "{answer}");
    let report = judged(home, name);
    let step = report["path"].as_array().unwrap().iter().find(|step| step["id"] == id);
    step.and_then(|step| step["value"].as_str()).unwrap_or_default().to_owned()
}

#[test]
fn what_a_mechanic_read_counts_where_the_buyer_is_not_asked() {
    // The oil is clear, so nobody asks the buyer for a pressure test.
    let home = tempfile::tempdir().unwrap();
    keep(home.path(), "sound", record(&[("gear-oil", "dark")]), TODAY);
    let chance = || judged(home.path(), "sound")["chances"]["gearcase-seals"].as_f64().unwrap();
    let odds = |chance: f64| chance / (1.0 - chance);
    let before = odds(chance());
    take_in(home.path(), "sound", &paper(home.path(), "sound").replace("result ____", "result dropped"));
    let after = judged(home.path(), "sound");
    let fired = |id: &str| after["findings"].as_array().unwrap().iter().any(|finding| finding["id"] == id);
    assert!(fired("gear-pressure-dropped"), "{}", after["findings"]);
    assert!((odds(chance()) / before - 50.0).abs() < 0.1, "near-proof: {before} {}", odds(chance()));
    interview(home.path(), "fair", "sound-motor");
    take_in(home.path(), "fair", &paper(home.path(), "fair").replace("result ____", "result dropped"));
    assert_eq!(judged(home.path(), "fair")["verdict"]["call"], "only-if");
}

#[test]
fn words_in_a_box_are_read_as_its_choices() {
    for (name, words, id, value) in [
        ("heard", "exhaust", "leak-where", "exhaust"),
        ("heard", "at the intake, c2", "leak-where", "intake"),
        ("heard", "crankcase and exhaust", "leak-where", "crankcase exhaust"),
        ("heard", "next cylinder", "leak-where", "next-cylinder"),
        ("heard", "bubbles", "leak-where", "water"),
        ("heard", "water back", "leak-where", "water"),
        ("codes", "P0217 overheat", "unit-report", "faults-heat"),
        ("codes", "overheat event at 180 h", "unit-report", "faults-heat"),
        ("codes", "low oil pressure", "unit-report", "faults-heat"),
        ("codes", "P0335", "unit-report", "faults"),
        ("codes", "none", "unit-report", "clean"),
    ] {
        let home = tempfile::tempdir().unwrap();
        interview(home.path(), "sound", "sound-motor");
        let filled = paper(home.path(), "sound").replace(&format!("{name} ____"), &format!("{name} {words}"));
        let ran = take_in(home.path(), "sound", &filled);
        assert_eq!(read_by_mechanic(home.path(), "sound", id), value, "{words}: {}", ran.out);
        let noted = ran.out.contains("Kept as the mechanic's words");
        assert_eq!(noted, name == "codes" && words.contains(|sign: char| sign.is_ascii_digit()), "{}", ran.out);
    }
    // What could be more than one thing is asked about, and where nobody is there the words are kept.
    let home = tempfile::tempdir().unwrap();
    interview(home.path(), "sound", "sound-motor");
    let filled = paper(home.path(), "sound").replace("codes ____", "codes overheat, cleared");
    let ran = take_in(home.path(), "sound", &filled);
    assert!(
        ran.out.contains("Kept as the mechanic's words") && ran.out.contains("overheat, cleared"),
        "{}",
        ran.out
    );
}

#[test]
fn the_wet_test_has_a_box_where_a_cylinder_is_low() {
    let home = tempfile::tempdir().unwrap();
    interview(home.path(), "sound", "sound-motor");
    assert!(!paper(home.path(), "sound").contains("oiled:"));
    let mut low = support::sound_motor();
    support::say_all(&mut low, &[("compression", "150 180 178"), ("compression-again", "150 180 178")]);
    low.answer_mut(support::ix("compression-wet")).said = None;
    keep(home.path(), "low", low, TODAY);
    let filled = paper(home.path(), "low");
    assert!(filled.contains("oiled: wet ____"), "{filled}");
    take_in(home.path(), "low", &filled.replace("wet ____", "wet 175 psi"));
    assert_eq!(read_by_mechanic(home.path(), "low", "compression-wet"), "175 psi");
}

#[test]
fn a_line_that_belongs_to_no_key_is_never_dropped_unsaid() {
    let home = milky();
    let text = format!(
        "{}\n[x] faulty: the lower mount, $90\n",
        paper(home.path(), "milky").replace("signed ______________", "signed Jo")
    );
    let ran = take_in(home.path(), "milky", &text);
    assert!(ran.out.contains("the lower mount"), "{}", ran.out);
    let ran = take_in_typing(home.path(), "milky", &text, "1\ny\n");
    assert!(ran.out.contains("Kept as the mechanic's words"), "{}", ran.out);
}
