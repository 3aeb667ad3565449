//! What a buyer meets in one sitting beside the motor: in which order things are said, and what is asked or not.

mod support;

use skeg::{Said, Saved, Store};
use support::{TODAY, ix, knowledge, say_all, skeg, sound_motor};
use tempfile::TempDir;

/// A home with an interview called kim: the sound motor of the examples with other answers, an empty one
/// taken away; nobody can tell the rest.
fn kim(minutes: f64, changes: &[(&str, &str)]) -> TempDir {
    let mut record = sound_motor();
    for at in knowledge().places() {
        record.answer_mut(at).said.get_or_insert(Said::CantTell);
    }
    let (gone, other): (Vec<_>, Vec<_>) = changes.iter().copied().partition(|(_, text)| text.is_empty());
    for (id, _) in gone {
        record.answer_mut(ix(id)).said = None;
    }
    say_all(&mut record, &other);
    let home = tempfile::tempdir().unwrap();
    let store = Store::at(home.path().to_owned());
    let held = store.hold("kim").unwrap();
    let mut saved = Saved::new("kim", TODAY, knowledge());
    (saved.record, saved.minutes) = (record, Some(minutes));
    store.save(&held, &saved, knowledge()).unwrap();
    home
}

/// What is said while these lines are typed.
fn said(home: &TempDir, args: &[&str], lines: &[&str]) -> String {
    let all = args.iter().copied().chain(["--plain"]);
    let typed: String = lines.iter().map(|line| format!("{line}\n")).collect();
    let ran = skeg().home(home.path()).args(all).typed(&typed).run();
    assert_eq!(ran.status, Some(0), "{}{}", ran.out, ran.err);
    ran.out.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// These stand in what was said, in this order.
fn in_order(said: &str, wanted: &[&str]) {
    let mut rest = said;
    for words in wanted {
        rest =
            rest.split_once(words).unwrap_or_else(|| panic!("{words:?} does not come after the others:\n{said}")).1;
    }
}

#[test]
fn the_screen_is_turned_away_before_a_stop_is_told() {
    let stolen = kim(90.0, &[("stolen-check", "")]);
    let told = said(&stolen, &["change", "kim", "stolen-check"], &["hit", "y", "", "2"]);
    in_order(&told, &["Turn away from the seller", "Say you need to think", "reported stolen. The police alone"]);
    in_order(&told, &["Turn away", "The interview ends here", "This ends it for now"]);
    let milky = kim(90.0, &[("dipstick", "")]);
    let told = said(&milky, &["change", "kim", "dipstick"], &["milky", "y", "", "2"]);
    in_order(&told, &["Turn away from the seller", "Here this part ends", "This ends it for now"]);
}

#[test]
fn looking_on_is_offered_only_where_something_would_be_asked() {
    let ways = |told: &str| told.rsplit_once("What now?").map(|(_, ways)| ways.to_owned()).unwrap();
    let once =
        said(&kim(90.0, &[("stolen-check", "")]), &["change", "kim", "stolen-check"], &["hit", "y", "", "2"]);
    assert!(!ways(&once).contains("look on") && !ways(&once).contains("see where"), "{once}");
    let last = said(&kim(900.0, &[("stolen-check", "")]), &["resume", "kim"], &["", "hit", "y", "", "1", "", ""]);
    in_order(&last, &["What now?", "1 see where it stands", "2 change that answer", "Where it stands"]);
    let more = kim(900.0, &[("dipstick", ""), ("gear-metal", "")]);
    in_order(&said(&more, &["resume", "kim"], &["", "milky", "y", "", "1"]), &["1 look on", "splinters"]);
}

#[test]
fn a_stolen_motor_is_a_matter_of_the_police_alone() {
    let stolen = kim(90.0, &[("stolen-check", "hit")]);
    let report = skeg().home(stolen.path()).args(["report", "kim"]).ok();
    assert!(report.contains("the police, from somewhere else, about this: stolen check"), "{report}");
    assert!(!report.contains("office that gives papers") && !report.contains("if \"not looked up"), "{report}");
}
