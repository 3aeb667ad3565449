//! A paper asked point by point, at a terminal, and while somebody else holds the interview.

use std::fs;
use std::path::Path;

use crate::boxes::read_by_mechanic;
use crate::pty::{CTRL_C, Window, window};
use crate::support::skeg;
use crate::{file, milky, paper, settled, take_in, ticked};

#[test]
fn without_a_paper_every_point_is_asked() {
    let home = milky();
    // The first point faulty at 420 with words, everything else not looked at, nothing read, nothing besides.
    let points = skeg()
        .home(home.path())
        .args(["report", "milky", "--for", "mechanic"])
        .ok()
        .matches("can't say  price")
        .count();
    let mut typed = "2\n420\nboth seals\n".to_owned();
    typed.push_str(&"4\n".repeat(points - 1));
    // Of what a workshop reads only the volts at rest and the codes were told.
    typed.push_str("\n\n\n\n\n\n12.1\n\n\n\n\n\nP0217 overheat\n\ny\n");
    let ran = skeg().home(home.path()).args(["take-in", "milky"]).typed(&typed).run();
    assert_eq!(ran.status, Some(0), "{}{}", ran.out, ran.err);
    assert!(ran.out.contains("Taken in."), "{}", ran.out);
    for brief in ["where the air came out", "volts while cranking", "heat at the heads", "hours"] {
        assert!(ran.out.contains(&format!("Did they read this: {brief}?")), "{brief}: {}", ran.out);
    }
    assert_eq!(read_by_mechanic(home.path(), "milky", "volts-rest"), "12.1 V");
    assert_eq!(read_by_mechanic(home.path(), "milky", "unit-report"), "faults-heat");
    let kept = settled(home.path(), "milky");
    assert_eq!((&kept[0]["point"], &kept[0]["outcome"]), (&"gearcase-seals".into(), &"faulty".into()));
    assert_eq!((&kept[0]["price"], &kept[0]["words"]), (&420.0.into(), &"both seals".into()));
}

/// A window in which a filled-in paper is being taken in.
fn taking_in(home: &Path, filled: &str) -> Window {
    let path = home.join("back.txt");
    fs::write(&path, filled).unwrap();
    let home = home.to_str().unwrap();
    window(80, 40).env("SKEG_HOME", home).skeg(&["take-in", "milky", path.to_str().unwrap()])
}

#[test]
fn at_a_terminal_nothing_is_kept_before_it_is_confirmed() {
    let home = milky();
    let text = file(home.path(), "milky");
    let filled = ticked(&paper(home.path(), "milky"), "gearcase-seals", "fine", "x", "", "held air");
    let asked = "may I keep it?";
    assert_eq!(taking_in(home.path(), &filled).shows(asked).line("n").told("Nothing was changed").ends(), 0);
    assert_eq!(file(home.path(), "milky"), text);
    assert_eq!(taking_in(home.path(), &filled).shows(asked).waits().press(CTRL_C).ends(), 130);
    assert_eq!(file(home.path(), "milky"), text);
    // Leaving while a point is asked about leaves everything as it was, too.
    let both = filled.replacen("[ ] faulty", "[x] faulty", 1);
    assert_eq!(taking_in(home.path(), &both).shows("What does the paper mean").waits().press(CTRL_C).ends(), 130);
    assert_eq!(file(home.path(), "milky"), text);
    assert_eq!(taking_in(home.path(), &filled).shows(asked).line("y").told("Taken in.").ends(), 0);
    assert_eq!(settled(home.path(), "milky")[0]["words"], "held air");
}

#[test]
fn an_interview_that_is_open_elsewhere_is_not_written() {
    let home = milky();
    let text = file(home.path(), "milky");
    let filled = ticked(&paper(home.path(), "milky"), "gearcase-seals", "fine", "x", "", "");
    let held = skeg::Store::at(home.path().to_owned()).hold("milky").unwrap();
    let ran = take_in(home.path(), "milky", &filled);
    assert!(ran.status == Some(1) && ran.err.contains("busy"), "{}", ran.err);
    assert_eq!(file(home.path(), "milky"), text);
    drop(held);
    assert_eq!(take_in(home.path(), "milky", &filled).status, Some(0));
}
