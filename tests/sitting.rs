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
    in_order(
        &said(&more, &["resume", "kim"], &["", "milky", "y", "", "1"]),
        &["1 look on", "tip of the drain screw"],
    );
}

#[test]
fn a_stolen_motor_is_a_matter_of_the_police_alone() {
    let stolen = kim(90.0, &[("stolen-check", "hit")]);
    let report = skeg().home(stolen.path()).args(["report", "kim"]).ok();
    assert!(report.contains("the police, from somewhere else, about this: stolen check"), "{report}");
    assert!(!report.contains("office that gives papers") && !report.contains("if \"not looked up"), "{report}");
}

#[test]
fn a_weak_telltale_ends_nothing_before_it_was_cleared_and_the_run_goes_on_after() {
    let run = ["telltale", "telltale-cleared", "alarm-running", "lanyard", "recall"].map(|id| (id, ""));
    let typed = ["-", "", "", "weak", "flows", "silent", "1"];
    let told = said(&kim(900.0, &run), &["resume", "kim"], &typed);
    assert!(!told.contains("Here this part ends"), "{told}");
    in_order(
        &told,
        &["What comes out once", "Only the outlet", "What did the alarm do", "when the lanyard is pulled"],
    );
}

/// However little time is left, what must be seen of an engine that runs is seen.
#[test]
fn a_run_that_was_begun_is_finished() {
    let run = ["alarm-running", "lanyard", "recall"].map(|id| (id, ""));
    let told = said(&kim(10.0, &run), &["resume", "kim"], &["-", "", "", "silent", "1"]);
    in_order(&told, &["2 looks", "What did the alarm do", "when the lanyard is pulled", "Turn away"]);
}

#[test]
fn a_card_tells_what_is_planned_and_what_this_motor_has() {
    let run_1 = ["starts-in-gear", "cold-start", "lanyard"].map(|id| (id, ""));
    let keyed = said(&kim(900.0, &run_1), &["change", "kim", "starts-in-gear"], &["."]);
    in_order(
        &keyed,
        &["Run 1", "Clip off, in gear", "Plugs back in", "pull the stop cord. Start", "Key or button"],
    );
    let rope = [&run_1[..], &[("start", "rope"), ("plugs", "")]].concat();
    let roped = said(&kim(900.0, &rope), &["change", "kim", "starts-in-gear"], &["."]);
    in_order(&roped, &["Run 1", "pull the stop cord, not the rope", "Stop button, then"]);
    assert!(!roped.contains("Plugs back in") && !roped.contains("Key or button"), "{roped}");

    let run_2 = ["smoke", "volts-running", "volts-revs", "recall"].map(|id| (id, ""));
    let all = said(&kim(900.0, &run_2), &["resume", "kim"], &["-", "", "", "."]);
    in_order(&all, &["Run 2: at idle", "Meter on before", "Smoke:", "Volts at 1500 revs"]);
    let without = [&run_2[..], &[("visit-tools", "plug-spanner, drain-kit, water")]].concat();
    let without = said(&kim(900.0, &without), &["resume", "kim"], &["-", "", "", "."]);
    in_order(&without, &["Run 2: at idle", "Smoke:"]);
    assert!(!without.contains("Volts at 1500") && !without.contains("Meter on"), "{without}");
}

#[test]
fn a_tool_that_turns_up_comes_to_those_there_were() {
    let few = [("visit-tools", "meter, drain-kit, plug-spanner"), ("run-where", "")];
    let home = kim(900.0, &few);
    said(&home, &["resume", "kim"], &["", "", "a tool", "water", "."]);
    let saved = std::fs::read_to_string(home.path().join("kim.json")).unwrap();
    assert!(saved.contains("meter plug-spanner drain-kit water"), "{saved}");
}

#[test]
fn oil_opened_after_a_run_may_look_milky_for_a_while() {
    let warm = said(&kim(900.0, &[("gear-oil", "")]), &["change", "kim", "gear-oil"], &["milky", "n"]);
    in_order(&warm, &["beaten up by a run", "twenty minutes"]);
    let cold = [("gear-oil", ""), ("cold-start", "")];
    let cold = said(&kim(900.0, &cold), &["change", "kim", "gear-oil"], &["milky", "n"]);
    assert!(!cold.contains("beaten up by a run"), "{cold}");
}

#[test]
fn what_was_said_is_not_asked_again() {
    let home = tempfile::tempdir().unwrap();
    said(&home, &["start", "kim", "--minutes", "45"], &["."]);
    let saved = std::fs::read_to_string(home.path().join("kim.json")).unwrap();
    assert!(saved.contains("\"visit-minutes\"") && saved.contains("45 min"), "{saved}");
    let band = kim(90.0, &[("rated-from", ""), ("rated-to", ""), ("gear-ratio", "")]);
    let told = said(&band, &["resume", "kim"], &["-", "."]);
    assert!(!told.contains("Where does that band end"), "{told}");
    let worn = kim(90.0, &[("hours", ""), ("wear", "")]);
    let told = said(&worn, &["change", "kim", "wear"], &["."]);
    assert!(told.contains("What looks much used on it?"), "{told}");
}

#[test]
fn the_seller_is_asked_only_what_nobody_has_answered() {
    let sheet = |changes: &[(&str, &str)]| {
        let home = kim(90.0, changes);
        skeg().home(home.path()).args(["sheet", "kim", "--before"]).ok()
    };
    let refused = sheet(&[("seller-refuses", "plugs"), ("belt", "receipt"), ("opened", "")]);
    assert!(!refused.contains("May I take") && !refused.contains("plugs loosened"), "{refused}");
    assert!(!refused.contains("timing belt") && refused.contains("Has it ever been opened?"), "{refused}");
    let open = sheet(&[("seller-refuses", ""), ("belt", "")]);
    assert!(open.contains("May I take the spark plugs") && open.contains("timing belt"), "{open}");
}

#[test]
fn a_lock_that_does_not_hold_is_not_to_be_put_in() {
    let bad = [("tilt-lock", "does-not"), ("trim-holds", ""), ("trim", "power")];
    let told = said(&kim(900.0, &bad), &["change", "kim", "trim-holds"], &["", "."]);
    assert!(told.contains("A strong support goes under the leg") && !told.contains("Tilt lock in"), "{told}");
}

#[test]
fn a_reason_is_no_key_and_the_way_back_names_the_home() {
    let home = kim(900.0, &[("skeg", "")]);
    let told = said(&home, &["change", "kim", "skeg"], &["x", "?", "b", "x", "no light"]);
    in_order(&told, &["Why not?", "left to look at", "Why not?", "Why not?"]);
    let saved = std::fs::read_to_string(home.path().join("kim.json")).unwrap();
    assert!(saved.contains("\"no light\""), "{saved}");
    let folder = home.path().to_str().unwrap();
    let told = said(&home, &["resume", "kim", "--home", folder], &["."]);
    let line = told.rsplit_once("Carry on with: ").map(|(_, line)| line.to_owned());
    assert!(line.is_none_or(|line| line.contains("--home")), "{told}");
}

#[test]
fn words_where_a_number_is_wanted_are_asked_about() {
    let home = kim(90.0, &[("serial-number", ""), ("label-family", "")]);
    let told = said(&home, &["change", "kim", "serial-number"], &["no papers with number", "-"]);
    in_order(&told, &["Is that its number, or could you not find one?"]);
    let told = said(&home, &["change", "kim", "label-family"], &["I find no label", ""]);
    in_order(&told, &["Did you mean", "Enter is yes"]);
    let saved = std::fs::read_to_string(home.path().join("kim.json")).unwrap();
    assert!(!saved.contains("papers with") && !saved.contains("IFINDNOLABEL"), "{saved}");
}

#[test]
fn what_is_usual_is_said_in_the_unit_that_was_typed() {
    let home = kim(90.0, &[("capacity-plate", "missing"), ("boat-length", "")]);
    let told = said(&home, &["change", "kim", "boat-length"], &["7", "-"]);
    in_order(&told, &["I read 7 ft", "Usually it is 8 ft to 30 ft"]);
    let told = said(&home, &["change", "kim", "visit-minutes"], &["20 kg", "-"]);
    assert!(told.contains("wanted is a time"), "{told}");
}
