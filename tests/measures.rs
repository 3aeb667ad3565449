//! Measures from answer to paper: check values of published sources through the whole program.

mod support;

use serde_json::{Value, json};
use skeg::MEASURES;
use support::skeg;

/// The JSON of an answers file.
fn replayed(answers: &Value) -> Value {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("a.json");
    std::fs::write(&file, json!({ "date": "2026-05-01", "answers": answers }).to_string()).unwrap();
    skeg().args(["replay", file.to_str().unwrap(), "--format", "json"]).json()
}

fn afloat() -> Value {
    let text = std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/examples/afloat-trial.json")).unwrap();
    serde_json::from_str::<Value>(&text).unwrap()["answers"].take()
}

fn number(json: &Value, measure: &str) -> f64 {
    json["measures"][measure]["value"]
        .as_f64()
        .unwrap_or_else(|| panic!("{measure}: {}", json["measures"][measure]))
}

fn word<'j>(json: &'j Value, measure: &str) -> &'j str {
    json["measures"][measure]["value"]
        .as_str()
        .unwrap_or_else(|| panic!("{measure}: {}", json["measures"][measure]))
}

fn near(found: f64, wanted: f64, slack: f64) {
    assert!((found - wanted).abs() <= slack, "{found} is not {wanted}");
}

#[test]
fn every_measure_is_in_the_json_and_every_figure_in_the_report_with_its_working() {
    for example in ["sound-motor", "milky-gearcase", "wrong-shaft"] {
        let file = format!("examples/{example}.json");
        let json = skeg().args(["replay", &file, "--format", "json"]).json();
        let report = skeg().args(["replay", &file]).ok();
        let flat = report.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase();
        for measure in MEASURES {
            let given = &json["measures"][measure.name];
            let how = given["how"].as_str().unwrap_or_else(|| panic!("{} is not in the JSON", measure.name));
            assert!(!how.is_empty(), "{} says nothing of its working", measure.name);
            if !given["value"].is_null() {
                assert!(
                    flat.contains(&measure.title.to_lowercase()),
                    "{example}: {} is not in the report",
                    measure.title
                );
            }
        }
    }
}

// 33 CFR 183.53(a), read (edition 2001): a printed worked example and values of its table and formulas.
#[test]
fn capacity_by_the_rule() {
    let boat = |length: &str, width: &str, height: &str, steering: &str, bottom: &str| {
        replayed(&json!({
            "boat-kind": "monohull", "transom-height": height, "transom-measured": "straight-down",
            "capacity-plate": "missing", "boat-length": length, "transom-width": width, "hull-bottom": bottom,
            "steering": steering, "claimed-power": "40 hp",
        }))
    };
    for (length, width, height, steering, bottom, limit) in [
        ("19.5 ft", "7 ft", "20 in", "wheel-cable", "other", 185.0),
        ("16 ft", "6 ft", "20 in", "wheel-cable", "other", 105.0),
        ("16 ft", "6 ft", "15 in", "wheel-cable", "other", 55.0),
        ("16 ft", "6 ft", "20 in", "tiller", "flat-hard-chine", 35.0),
        ("14 ft", "4 ft 6 in", "20 in", "tiller", "other", 30.0),
        ("14 ft", "4.5 ft", "20 in", "tiller", "flat-hard-chine", 20.0),
        ("14 ft", "4.5 ft", "20 in", "wheel-hydraulic", "other", 40.0),
        ("12 ft", "3.5 ft", "15 in", "tiller", "other", 7.5),
        ("12 ft", "3.5 ft", "15 in", "tiller", "flat-hard-chine", 5.0),
        ("10 ft", "3.5 ft", "15 in", "tiller", "other", 3.0),
        ("10.5 ft", "5 ft", "15 in", "tiller", "other", 15.0),
    ] {
        near(number(&boat(length, width, height, steering, bottom), "power-limit"), limit, 1e-9);
    }
    assert_eq!(word(&boat("14 ft", "4.5 ft", "20 in", "tiller", "other"), "power"), "over");
    assert_eq!(word(&boat("16 ft", "6 ft", "20 in", "wheel-cable", "other"), "power"), "within");
    // Outside its scope the rule says nothing, and neither does the program.
    let long = boat("20 ft", "7 ft", "20 in", "wheel-cable", "other");
    assert!(long["measures"]["power-limit"]["value"].is_null());
    assert!(!long["measures"]["power-limit"]["how"].as_str().unwrap().is_empty());
}

// US Army TM 5-4210-230-14&P-1, read: lowest not under 75 % of the highest. The 85 and 90 % and
// the 10 psi limits are practice.
#[test]
fn compression_states() {
    for (readings, share, state) in [
        ("150 150 150 110", 0.733, "failed"),
        ("150 150 150 120", 0.800, "poor"),
        ("150 130", 0.867, "uneven"),
        ("120 118 122", 0.967, "even"),
        ("130 100", 0.769, "poor"),
        ("130 97", 0.746, "failed"),
        ("149 138", 0.926, "uneven"),
        ("140 134", 0.957, "watch"),
        ("200 183", 0.915, "watch"),
        ("200 185", 0.925, "even"),
    ] {
        let count = readings.split(' ').count();
        let json = replayed(&json!({ "strokes": "four", "cylinders": count, "compression": readings }));
        near(number(&json, "compression-share"), share, 5e-4);
        assert_eq!(word(&json, "compression-state"), state, "{readings}");
    }
    // The same readings in another unit are the same motor.
    let bar = replayed(&json!({ "strokes": "four", "cylinders": 2, "compression": "8,963 6,688 bar" }));
    near(number(&bar, "compression-share"), 97.0 / 130.0, 1e-3);
    assert_eq!(word(&bar, "compression-state"), "failed");
}

// US Standard Atmosphere 1976, computed with two independent libraries.
#[test]
fn readings_at_altitude() {
    for (altitude, ratio) in [("500 m", 0.942_13), ("1000 m", 0.886_99), ("2000 m", 0.784_56), ("3000 m", 0.691_92)]
    {
        let json = replayed(&json!({
            "cylinders": 2, "compression": "106 107", "compression-factory": "120 psi", "altitude": altitude,
        }));
        near(number(&json, "air-ratio"), ratio, 1e-5);
        near(number(&json, "compression-expected"), 120.0 * ratio, 2e-3);
    }
    let high =
        json!({ "cylinders": 2, "compression": "96 94", "compression-factory": "120 psi", "altitude": "2000 m" });
    assert_eq!(word(&replayed(&high), "all-low"), "no");
    let low =
        json!({ "cylinders": 2, "compression": "96 94", "compression-factory": "120 psi", "altitude": "0 m" });
    assert_eq!(word(&replayed(&low), "all-low"), "low");
    // A dead engine is even too, with a factory figure and without; one cylinder can be low as well as six.
    let far = |answers: Value| assert_eq!(word(&replayed(&answers), "all-low"), "far", "{answers}");
    far(json!({ "cylinders": 3, "compression": "60 61 60", "compression-factory": "190 psi" }));
    far(json!({ "cylinders": 3, "compression": "5 5 5" }));
    far(json!({ "cylinders": 1, "compression": "0" }));
}

// Unit definitions; the first is a published worked example.
#[test]
fn propeller_slip() {
    for (revs, pitch, ratio, speed, theoretical, slip) in [
        ("6000 rpm", "25 in", "1.86", "68 mph", 76.3685, 0.1096),
        ("5500", "19", "1.75", "50 mph", 56.5476, 0.1158),
        ("5200", "21", "1.87:1", "52 mph", 55.2990, 0.0597),
        ("5800", "15", "2.33", "32 mph", 35.3590, 0.0950),
        ("5800", "38.1 cm", "2.33", "27.807 kn", 35.3590, 0.0950),
    ] {
        // A motor that may be run at full throttle: the trial afloat of the examples.
        let mut answers = afloat();
        for (id, said) in [("full-revs", revs), ("gear-ratio", ratio), ("prop-pitch", pitch), ("gps-speed", speed)]
        {
            answers[id] = said.into();
        }
        let json = replayed(&answers);
        near(number(&json, "prop-speed"), theoretical, 1e-3);
        near(number(&json, "prop-slip"), slip, 1e-4);
    }
}

// EPA engine family names, read; NONROAD activity, read.
#[test]
fn label_year_and_hours() {
    for (label, year) in [
        ("BXXXM02.1XXX", Some(2011.0)),
        ("9XXXM02.1XXX", Some(2009.0)),
        ("JXXXM02.1XXX", Some(2018.0)),
        ("IXXXM02.1XXX", None),
        ("BXXXA02.1XXX", None),
    ] {
        let json = replayed(&json!({ "claimed-year": 2014, "claimed-power": "40 hp", "label-family": label }));
        match year {
            Some(year) => near(number(&json, "label-year"), year, 1e-9),
            None => assert!(json["measures"]["label-year"]["value"].is_null(), "{label}"),
        }
    }
    let json = replayed(&json!({ "claimed-year": 2014, "label-family": "BXXXM02.1XXX" }));
    near(number(&json, "label-gap"), 3.0, 1e-9);
    near(number(&json, "hours-expected"), 417.6, 1e-6);
    near(number(&json, "age"), 12.0, 1e-9);
    assert!(json["findings"].as_array().unwrap().iter().any(|finding| finding["grade"] == "serious"));
}

// Common practice; 17 in along a transom raked 13 degrees is 16.56 in high (computed).
#[test]
fn transom_and_shaft() {
    let json = replayed(&json!({
        "transom-height": "17 in", "transom-measured": "along-transom", "transom-rake": "13 deg", "shaft-length": "20 in",
    }));
    near(number(&json, "transom-drop"), 16.56, 5e-3);
    near(number(&json, "transom-class"), 15.0, 1e-9);
    assert_eq!(word(&json, "fit"), "misfit");
    let tie = replayed(
        &json!({ "transom-height": "22.5 in", "transom-measured": "straight-down", "shaft-length": "635 mm" }),
    );
    near(number(&tie, "transom-class"), 25.0, 1e-9);
    assert_eq!(word(&tie, "fit"), "fits");
}
