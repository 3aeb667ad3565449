//! What a buyer meets in one sitting beside the motor: in which order things are said, and what is asked or not.

mod support;

use skeg::{Said, Saved, Store};
use support::talk::{Answering, Sitting};
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
    let told = said(&stolen, &["change", "kim", "stolen-check"], &["hit", "y", "2"]);
    in_order(&told, &["Say you need to think", "The interview ends here", "reported stolen. The police alone"]);
    assert!(!told.contains("Turn away"), "at home nobody looks over a shoulder: {told}");
    let other = kim(90.0, &[("serial-matches", "")]);
    let told = said(&other, &["change", "kim", "serial-matches"], &["no", "y", "", "2"]);
    in_order(&told, &["Turn away from the seller", "This ends it for now"]);
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

/// Readings are asked for in their number and unit, and shown as bars.
#[test]
fn readings_are_shown_as_bars() {
    let told = said(
        &kim(900.0, &[("compression", "")]),
        &["change", "kim", "compression"],
        &["", "abc", "188 190 120", "y"],
    );
    in_order(&told, &["I take 3 readings with blanks between, in psi", "1 ###", "188 psi", "3 ###", "120 psi low"]);
}

/// Nothing is said of several cylinders where there is one.
#[test]
fn one_cylinder_is_asked_about_as_one() {
    let one = kim(900.0, &[("cylinders", "1"), ("plugs", ""), ("compression", "150")]);
    for (at, typed, read) in [("plugs", "tan", "alike: tan"), ("compression", "140", "140 psi")] {
        let told = said(&one, &["change", "kim", at], &["", typed, "y"]);
        assert!(told.contains(read) && !told.contains("cylinders") && !told.contains("readings"), "{told}");
    }
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

/// The next checks as they are listed, on one line.
fn next(home: &TempDir, more: &[&str]) -> String {
    let out = skeg().home(home.path()).args([&["next", "kim"], more].concat()).ok();
    out.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Each check stands with its id, its minutes and what it tells; a sum only where one was worked out.
#[test]
fn the_next_checks_are_told_with_what_they_cost_and_tell() {
    let open =
        [("gear-oil", ""), ("gear-oil-after", ""), ("gearcase-outside", ""), ("primer-bulb", ""), ("skeg", "")];
    let told = next(&kim(90.0, &open), &[]);
    in_order(
        &told,
        &[
            "First, whatever the price: core and safety checks",
            "gear oil (gear-oil): 5 min; tells whether the gearcase seals leak",
            "gearcase from outside (gearcase-outside): under 1 min; tells whether the gearcase is cracked; or the gearcase seals leak",
            "Then, most worth a minute first",
            "gear oil after the run (gear-oil-after): 3 min, worth up to $",
            "; tells whether the gearcase seals leak",
            "Worth is what knowing could save at most. Typical, from memory; get a quote.",
        ],
    );
    assert!(!told.contains("No worths"), "{told}");
    let kroner = kim(90.0, &[("currency", "kr"), ("gear-oil", ""), ("parts-scale", "")]);
    assert!(next(&kroner, &[]).contains("No worths: "), "{}", next(&kroner, &[]));
}

/// With minutes the checks come as they are walked, within the minutes, with what they are worth together.
#[test]
fn so_many_minutes_are_planned_in_walking_order() {
    let open =
        [("gear-oil", ""), ("gear-oil-after", ""), ("gearcase-outside", ""), ("primer-bulb", ""), ("skeg", "")];
    let home = kim(90.0, &open);
    let told = next(&home, &["--minutes", "30"]);
    in_order(
        &told,
        &[
            "What 30 minutes would best go to, in walking order (10 min)",
            "Leg",
            "gear oil (gear-oil): 5 min; tells",
            "skeg (skeg): under 1 min",
            "gear oil after the run (gear-oil-after): 3 min, worth up to $",
            "Fuel",
            "primer bulb (primer-bulb): 1 min, worth up to $",
            "Beside the core and safety checks, together worth up to $",
        ],
    );
    let few = next(&home, &["--minutes", "6"]);
    assert!(few.contains("What 6 minutes") && few.contains("Left out for time"), "{few}");
    assert_eq!(next(&home, &["--minutes", "0.1"]), "Nothing that is open fits into 0.1 minutes.");
    // Nothing of the core is left out for its price, and where it is all there is nothing is said of worth.
    let core = next(&kim(90.0, &[("gear-oil", ""), ("skeg", "")]), &["--minutes", "30"]);
    assert!(core.contains("gear oil (gear-oil)") && !core.contains("together worth"), "{core}");
}

/// What another answer does to others is counted and told before it is done.
#[test]
fn a_change_tells_what_it_puts_to_sleep() {
    let change = |id: &str, typed: &str| said(&kim(90.0, &[]), &["change", "kim", id], &[typed, "n", ""]);
    let told = change("start", "rope");
    assert!(told.contains("puts 4 answers to sleep (volts at rest, "), "{told}");
    assert!(told.contains("they come back if you change it again, and wakes one answer"), "{told}");
    let told = change("hours", "-");
    assert!(told.contains("puts one answer to sleep (where hours come from); it comes back if you"), "{told}");
    let told = change("currency", "EUR");
    assert!(told.contains("Changing this wakes one answer (what parts cost you). Go ahead?"), "{told}");
    let told = change("gear-oil", "clear");
    assert!(!told.contains("Changing this"), "it changes nothing but itself: {told}");
}

/// A price of another motor is held against what is asked for this one, and that against nothing of its own.
#[test]
fn prices_are_held_against_the_asking_price_and_it_is_not_held_against_itself() {
    let change = |id: &str, typed: &[&str]| said(&kim(90.0, &[]), &["change", "kim", id], typed);
    let told = change("comparables", &["700", "n", "4200"]);
    assert!(told.contains("I read 700, a fraction of the others around 4100. Is it typed right?"), "{told}");
    let told = change("asking-price", &["700"]);
    assert!(!told.contains("typed right?") && told.contains("= 700"), "{told}");
}

/// Where one stands rises by one with each question, and the last is the last of all.
#[test]
fn the_place_in_the_visit_rises_to_its_end() {
    let home = tempfile::tempdir().unwrap();
    let mut answers = Answering::example("sound-motor").but("visit-minutes", "480");
    let sat = Sitting::start(home.path(), 80, &["start", "kim"]).answered(&mut answers);
    assert_eq!(sat.status, Some(0), "{}", sat.err);
    let place = |line: &str| {
        let part = line.split(", ").find(|part| part.contains('/'))?;
        let (number, of) = part.split_once('/')?;
        Some((line.starts_with("At home"), number.parse::<usize>().ok()?, of.parse::<usize>().ok()?))
    };
    let all: Vec<(bool, usize, usize)> = sat.talked.lines().filter_map(place).collect();
    for home in [true, false] {
        let own: Vec<(usize, usize)> =
            all.iter().filter(|(at_home, ..)| *at_home == home).map(|(_, number, of)| (*number, *of)).collect();
        assert!(own.len() > 40, "{own:?}");
        assert!(own.iter().enumerate().all(|(place, (number, _))| *number == place + 1), "{own:?}");
        assert!(own.is_sorted_by_key(|(_, of)| of), "what there is to ask never gets less: {own:?}");
        assert!(own.last().is_some_and(|(number, of)| number == of), "{own:?}");
    }
}

/// That a part ends is told once, and after its follow-ups: one of them may undo it.
#[test]
fn an_end_is_told_once_and_after_its_follow_ups() {
    let home = tempfile::tempdir().unwrap();
    let mut answers = Answering::example("oily-plugs");
    let sat = Sitting::start(home.path(), 80, &["start", "kim"]).answered(&mut answers);
    let talked = sat.talked.split_whitespace().collect::<Vec<_>>().join(" ");
    let follow_up = &knowledge().question(ix("plug-oil-story")).ask;
    assert_eq!(talked.matches("Here this part ends: ").count(), 1, "{talked}");
    in_order(&talked, &[follow_up, "Here this part ends: "]);
}

/// A clock that is right is nothing to talk about, whether or not the answers have their own date.
#[test]
fn a_right_clock_is_not_spoken_of() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("a.json");
    for text in [r#"{ "answers": { "gear-oil": "milky" } }"#, r#"{ "date": "2026-05-01", "answers": {} }"#] {
        std::fs::write(&file, text).unwrap();
        let ran = skeg().args(["replay", file.to_str().unwrap()]).run();
        assert_eq!((ran.status, ran.err.as_str()), (Some(0), ""), "{text}");
    }
}

/// Whoever knows what it is worth hears what a bad look takes off it; a sound motor's looks take nothing off.
#[test]
fn what_a_look_takes_off_the_price_is_told() {
    let talked = |example: &str| {
        let home = tempfile::tempdir().unwrap();
        let sat = Sitting::start(home.path(), 80, &["start", "kim"]).answered(&mut Answering::example(example));
        assert_eq!(sat.status, Some(0), "{}", sat.err);
        sat.talked.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let off = "off its worth, by what was seen.";
    let milky = talked("milky-gearcase");
    in_order(&milky, &["What comes out past the drain screw?", "About $", off]);
    assert!(!talked("sound-motor").contains(off));
}
