//! Damage and hand edits: a file that is not as it was written is never opened as if it were.

use std::fs;
use std::path::Path;

use skeg::{Condition, Saved, Store};

use crate::support::{knowledge, skeg};
use crate::{json, times, under_way};

/// What a file holds as far as it is believed without asking; `None` when it is not.
fn believed(store: &Store) -> Option<Saved> {
    store.load("kim", knowledge()).ok()
}

/// Damages the file in some way and looks whether anything else than before is believed.
fn never_believed(damaged: &[Vec<u8>], whole: &[u8]) {
    let folder = tempfile::tempdir().unwrap();
    let store = Store::at(folder.path().to_owned());
    fs::write(folder.path().join("kim.json"), whole).unwrap();
    let before = believed(&store).expect("the file is whole");
    let mut silent = 0;
    for bytes in damaged {
        fs::write(folder.path().join("kim.json"), bytes).unwrap();
        silent += usize::from(believed(&store).is_some_and(|other| other != before));
    }
    assert_eq!(silent, 0, "of {} damaged files", damaged.len());
    println!("{} damaged files, 0 silently different", damaged.len());
}

fn whole() -> Vec<u8> {
    let home = tempfile::tempdir().unwrap();
    fs::read(under_way(home.path())).unwrap()
}

#[test]
fn every_byte_changed_three_ways() {
    let whole = whole();
    let mut damaged = Vec::new();
    for place in (0..whole.len()).step_by(times(7, 1)) {
        for change in [0x01u8, 0x08, 0x80] {
            let mut bytes = whole.clone();
            bytes[place] ^= change;
            damaged.push(bytes);
        }
        if whole[place].is_ascii_digit() {
            let mut bytes = whole.clone();
            bytes[place] = b'0' + (whole[place] - b'0' + 5) % 10;
            damaged.push(bytes);
        }
    }
    never_believed(&damaged, &whole);
}

#[test]
fn cut_short_a_byte_gone_a_byte_twice_pieces_swapped() {
    let whole = whole();
    let mut damaged = Vec::new();
    for place in (0..whole.len()).step_by(times(7, 1)) {
        damaged.push(whole[..place].to_vec());
        damaged.push([&whole[..place], &whole[place + 1..]].concat());
        damaged.push([&whole[..=place], &whole[place..]].concat());
        let other = (place * 7 + 31) % whole.len();
        let (from, to) = (place.min(other), place.max(other));
        damaged.push([&whole[..from], &whole[to..]].concat());
        damaged.push([&whole[..to], &whole[from..]].concat());
        damaged.push([&whole[..from], &vec![0; to - from][..], &whole[to..]].concat());
    }
    never_believed(&damaged, &whole);
}

#[test]
fn a_hand_edit_is_shown_and_taken_after_a_yes() {
    let home = tempfile::tempdir().unwrap();
    let file = under_way(home.path());
    let edited = fs::read_to_string(&file).unwrap().replace("\"60 hp\"", "\"40 hp\"");
    fs::write(&file, &edited).unwrap();
    // Commands that only print don't believe it, and say what to do.
    let told = skeg().home(home.path()).args(["report", "kim"]).problem();
    assert!(told.contains("edited by hand") && told.contains("skeg resume kim"), "{told}");
    assert!(skeg().home(home.path()).args(["list"]).ok().contains("EDITED BY HAND"));
    // Left as it is where nobody agrees.
    for typed in ["", "leave\n", "."] {
        let ran = skeg().home(home.path()).args(["resume", "kim", "--plain"]).typed(typed).run();
        assert!(ran.out.contains("was edited by hand"), "{}", ran.out);
        assert!(
            ran.out.contains("40 hp (before: 60 hp)") || ran.out.contains("40 hp (before: no answer)"),
            "{}",
            ran.out
        );
        assert_eq!(fs::read_to_string(&file).unwrap(), edited);
    }
    let ran = skeg().home(home.path()).args(["resume", "kim", "--plain"]).typed("1\n").run();
    assert_eq!(ran.status, Some(0), "{}", ran.err);
    assert!(fs::read_to_string(&file).unwrap().contains("40 hp"));
    skeg().home(home.path()).args(["report", "kim"]).ok();
}

#[test]
fn blanks_and_line_ends_are_no_edit() {
    let home = tempfile::tempdir().unwrap();
    let file = under_way(home.path());
    let mailed = fs::read_to_string(&file).unwrap().replace('\n', "\r\n").replace("  ", "\t");
    fs::write(&file, mailed).unwrap();
    skeg().home(home.path()).args(["report", "kim"]).ok();
}

#[test]
fn of_a_damaged_file_the_readable_part_and_the_version_before_are_offered_and_nothing_is_thrown_away() {
    let home = tempfile::tempdir().unwrap();
    let file = under_way(home.path());
    let whole = fs::read_to_string(&file).unwrap();
    let cut = &whole[..whole.find("plate-power").unwrap()];
    fs::write(&file, cut).unwrap();
    let listed = skeg().home(home.path()).args(["list"]).ok();
    assert!(listed.contains("DAMAGED"), "{listed}");
    let ran = skeg().home(home.path()).args(["resume", "kim", "--plain"]).typed("take what can\n.\n").run();
    for words in ["kim is damaged", "take what can be read", "take the version before"] {
        assert!(ran.out.contains(words), "{words}: {}", ran.out);
    }
    assert!(json(&file)["answers"].as_array().unwrap().len() >= 3);
    let aside = fs::read_to_string(home.path().join("kim.json.aside-1")).unwrap();
    assert_eq!(aside, cut);
    // The version before is still there.
    assert!(home.path().join("kim.json.bak").exists());
}

#[test]
fn a_file_that_is_gone_comes_back_from_the_version_before() {
    let home = tempfile::tempdir().unwrap();
    let file = under_way(home.path());
    fs::remove_file(&file).unwrap();
    assert!(skeg().home(home.path()).args(["list"]).ok().contains("ITS FILE IS GONE"));
    assert!(skeg().home(home.path()).args(["start", "kim", "--plain"]).problem().contains("already"));
    skeg().home(home.path()).args(["resume", "kim", "--plain"]).typed("1\n").ok();
    assert!(json(&file)["answers"].as_array().unwrap().len() >= 6);
}

#[test]
fn the_newest_is_opened_or_told_about_and_never_passed_over() {
    let home = tempfile::tempdir().unwrap();
    under_way(home.path());
    fs::write(home.path().join("zoe.json"), "{ \"format\": 2, \"name\"").unwrap();
    let listed = skeg().home(home.path()).args(["list"]).ok();
    assert!(listed.starts_with("zoe"), "damaged ones first: {listed}");
    let told = skeg().home(home.path()).args(["resume", "--plain"]).problem();
    assert!(told.contains("zoe"), "{told}");
    // An older one that is damaged is named when the newest is opened.
    let typed = "monohull\n";
    skeg().home(home.path()).args(["start", "new", "--plain"]).typed(typed).ok();
    let ran = skeg().home(home.path()).args(["resume", "--plain"]).run();
    assert!(ran.err.contains("zoe") && ran.out.contains("new"), "{}{}", ran.err, ran.out);
}

#[test]
fn a_newer_file_is_left_alone() {
    let home = tempfile::tempdir().unwrap();
    let text = r#"{ "format": 99, "name": "kim", "what": "ever" }"#;
    fs::write(home.path().join("kim.json"), text).unwrap();
    assert!(skeg().home(home.path()).args(["resume", "kim", "--plain"]).problem().contains("newer skeg"));
    assert_eq!(fs::read_to_string(home.path().join("kim.json")).unwrap(), text);
}

#[test]
fn the_file_name_is_the_name() {
    let home = tempfile::tempdir().unwrap();
    let file = under_way(home.path());
    let copy = home.path().join("copy.json");
    fs::copy(&file, &copy).unwrap();
    let before = fs::read(&file).unwrap();
    let ran = skeg().home(home.path()).args(["change", "copy", "transom-height", "--plain"]).typed("15 in\n").run();
    assert_eq!(ran.status, Some(0), "{}{}", ran.out, ran.err);
    assert!(ran.out.contains("written as \"kim\""), "{}", ran.out);
    assert_eq!(fs::read(&file).unwrap(), before, "the other file is as it was");
    assert_eq!(json(&copy)["name"], "copy");
    assert!(fs::read_to_string(&copy).unwrap().contains("15 in"));
}

#[test]
fn names_that_some_system_cannot_tell_apart_are_refused() {
    let home = tempfile::tempdir().unwrap();
    under_way(home.path());
    for (name, told) in
        [("con", "device"), ("NUL", "device"), ("aux", "device"), ("KIM", "capitals"), ("a/b", "can't be a name")]
    {
        let problem = skeg().home(home.path()).args(["start", name, "--plain"]).problem();
        assert!(problem.contains(told), "{name}: {problem}");
    }
    fs::write(home.path().join("my motor.json"), "{}").unwrap();
    assert!(skeg().home(home.path()).args(["list"]).ok().contains("can't be a name"));
}

#[test]
fn a_save_that_stands_still_leaves_the_version_before_as_it_was() {
    let home = tempfile::tempdir().unwrap();
    under_way(home.path());
    let bak = home.path().join("kim.json.bak");
    let before = fs::read(&bak).unwrap();
    skeg().home(home.path()).args(["resume", "kim", "--plain"]).typed(".\n").ok();
    assert_eq!(fs::read(&bak).unwrap(), before);
    let store = Store::at(home.path().to_owned());
    let found = store.find("kim", knowledge()).unwrap();
    assert_eq!(found.condition, Condition::Whole);
    let (now, old) = (found.saved.unwrap(), found.before.unwrap());
    assert_eq!(skeg::differences(knowledge(), &old, &now).len(), 1, "one answer lies between");
    assert!(Path::new(&bak).exists());
}
