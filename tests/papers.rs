//! Papers out and back in through the program: the mechanic's paper, the field sheet, the comparison.

#[path = "terminal/pty.rs"]
#[allow(dead_code)] // the terminal tests press more keys than these
mod pty;
mod support;

use std::fs;
use std::path::Path;

use pty::{CTRL_C, Window, window};
use serde_json::Value;
use support::{TODAY, ix, knowledge, record, skeg};

/// An interview of that name with the answers of an example.
fn interview(home: &Path, name: &str, example: &str) {
    let text = fs::read_to_string(format!("examples/{example}.json")).unwrap();
    let (record, date) = skeg::store::read_answers_file(&text, knowledge(), jiff::civil::date(2026, 5, 3))
        .expect("the example is readable");
    keep(home, name, record, date);
}

fn keep(home: &Path, name: &str, record: skeg::answers::Record, date: jiff::civil::Date) {
    let mut saved = skeg::store::Saved::new(name, date, knowledge());
    saved.record = record;
    let store = skeg::store::Store::at(home.to_owned());
    let held = store.hold(name).unwrap();
    store.save(&held, &saved, knowledge()).unwrap();
}

/// A home with the motor whose gear oil is milky.
fn milky() -> tempfile::TempDir {
    let home = tempfile::tempdir().unwrap();
    interview(home.path(), "milky", "milky-gearcase");
    home
}

fn paper(home: &Path, name: &str) -> String {
    skeg().home(home).args(["report", name, "--for", "mechanic"]).ok()
}

fn judged(home: &Path, name: &str) -> Value {
    skeg().home(home).args(["report", name, "--format", "json"]).json()
}

fn file(home: &Path, name: &str) -> String {
    fs::read_to_string(home.join(format!("{name}.json"))).unwrap()
}

fn settled(home: &Path, name: &str) -> Value {
    serde_json::from_str::<Value>(&file(home, name)).unwrap()["settled"].take()
}

/// The paper with one box of a point ticked in the given way, and a price and a note.
fn ticked(paper: &str, code: &str, label: &str, mark: &str, price: &str, note: &str) -> String {
    let (before, after) = paper.split_once(&format!("[{code}]")).unwrap_or_else(|| panic!("no point {code}"));
    let after = after.replacen(&format!("[ ] {label}"), &format!("[{mark}] {label}"), 1);
    let after =
        after.replacen("Price:", &format!("Price: {price}"), 1).replacen("Note:", &format!("Note: {note}"), 1);
    format!("{before}[{code}]{after}")
}

fn take_in(home: &Path, name: &str, text: &str) -> support::Ran {
    take_in_typing(home, name, text, "")
}

fn take_in_typing(home: &Path, name: &str, text: &str, typed: &str) -> support::Ran {
    let file = home.join("back.txt");
    fs::write(&file, text).unwrap();
    skeg().home(home).args(["take-in", name, file.to_str().unwrap()]).typed(typed).run()
}

/// How a paper comes back: as it was, or as a mail program made it.
type Style = fn(&str) -> String;

fn quoted(text: &str) -> String {
    text.lines().map(|line| format!("> {line}\n")).collect()
}

fn quoted_twice_by_another_system(text: &str) -> String {
    text.lines().map(|line| format!(">> {line}\r\n")).collect()
}

/// Long lines broken, and the pieces quoted.
fn wrapped_again(text: &str) -> String {
    let pieces = text.lines().flat_map(|line| textwrap::wrap(line, 50));
    pieces.map(|piece| format!("> {piece}\n")).collect()
}

/// A greeting above, and the points before the one that was filled in taken out.
fn shortened(text: &str) -> String {
    let line = text.lines().find(|line| line.contains("Paper:")).expect("the paper's name");
    let begins = text.find("[gearcase-seals]").map(|at| text[..at].rfind("\n#").expect("a heading") + 1);
    format!("Hello, here it is.\n\n{line}\n\n{}", &text[begins.expect("the point")..])
}

const STYLES: [(&str, &str, Style); 6] = [
    ("as it was", "x", str::to_owned),
    ("quoted", "X", quoted),
    ("quoted twice", "*", quoted_twice_by_another_system),
    ("wrapped again", "x", wrapped_again),
    ("shortened", "X", shortened),
    ("blanks in empty lines", " x ", |text| text.replace("\n\n", "\n \n")),
];

#[test]
fn a_fault_called_fine_gets_near_proof_against_it_and_the_money_follows() {
    for (name, mark, style) in STYLES {
        let home = milky();
        let before = judged(home.path(), "milky");
        let filled =
            ticked(&paper(home.path(), "milky"), "gearcase-seals", "fine", mark, "", "held 10 psi for an hour");
        let ran = take_in(home.path(), "milky", &style(&filled));
        assert_eq!(ran.status, Some(0), "{name}: {}", ran.err);
        assert!(ran.out.contains("fine, \"held 10 psi for an hour\""), "{name}: {}", ran.out);
        let after = judged(home.path(), "milky");
        // The mechanic's look stands in place of the buyer's signs: prior 12 %, odds over 50, held at 1 %.
        let was = before["chances"]["gearcase-seals"].as_f64().unwrap();
        let is = after["chances"]["gearcase-seals"].as_f64().unwrap();
        assert!(is < was, "{name}: {was} {is}");
        assert!((is - 0.01).abs() < 1e-9, "{name}: {is}");
        assert_eq!(after["verdict"]["call"], "fair", "{name}: what was settled leaves the verdict");
        let mean = |judged: &Value| judged["money"]["cost"]["mean"].as_f64().unwrap();
        assert!(mean(&after) < mean(&before), "{name}");
        let report = skeg().home(home.path()).args(["report", "milky"]).ok();
        assert!(report.contains("Settled by a mechanic") && report.contains("held 10 psi for an hour"), "{name}");
    }
}

#[test]
fn a_fault_called_faulty_is_sure_at_the_named_price() {
    let mean_at = |written: &str, price: f64| {
        let home = milky();
        let filled = ticked(&paper(home.path(), "milky"), "gearcase-seals", "faulty", "x", written, "both seals");
        let ran = take_in(home.path(), "milky", &filled);
        assert_eq!(ran.status, Some(0), "{}", ran.err);
        let kept = settled(home.path(), "milky");
        assert_eq!((&kept[0]["price"], &kept[0]["words"]), (&price.into(), &"both seals".into()), "{written}");
        let after = judged(home.path(), "milky");
        assert_eq!(after["chances"]["gearcase-seals"], 1.0, "{written}");
        // A new gearcase would bring its own seals: the price counts as far as none is needed.
        let spared = |fault: &str| 1.0 - after["chances"][fault].as_f64().unwrap();
        let kept = spared("gears") * spared("shift-dog") * spared("gearcase-crack");
        (after["money"]["cost"]["mean"].as_f64().unwrap(), kept)
    };
    let (low, kept) = mean_at("234.50", 234.5);
    for written in ["1.234,50", "1,234.50", "$1234.50", "1 234,50", "1'234.50", "USD 1234.5"] {
        let (high, _) = mean_at(written, 1234.5);
        assert!((high - low - 1000.0 * kept).abs() < 1e-6, "{written}: {low} {high}");
    }
}

#[test]
fn a_stop_called_fine_is_cleared_and_offers_are_made_again() {
    let home = tempfile::tempdir().unwrap();
    interview(home.path(), "oily", "oily-plugs");
    let before = judged(home.path(), "oily");
    assert_eq!(before["verdict"]["call"], "walk-away");
    assert!(before["money"]["ceiling"].is_null());
    let filled = ticked(&paper(home.path(), "oily"), "plugs-stay-oily", "fine", "x", "", "leak-down 8 % all round");
    assert_eq!(take_in(home.path(), "oily", &filled).status, Some(0));
    let after = judged(home.path(), "oily");
    assert_ne!(after["verdict"]["call"], "walk-away", "{}", after["verdict"]);
    assert!(after["money"]["ceiling"].as_f64().is_some());
    // Beside another motor it has no stop either.
    interview(home.path(), "sound", "sound-motor");
    let both = skeg().home(home.path()).args(["compare", "oily", "sound", "--format", "json"]).json();
    let oily = both["motors"].as_array().unwrap().iter().find(|one| one["name"] == "oily").unwrap();
    assert_eq!(oily["stops"], Value::Array(Vec::new()));
}

#[test]
fn taking_a_paper_in_twice_changes_nothing() {
    let home = milky();
    let whole = paper(home.path(), "milky");
    let one = ticked(&whole, "gearcase-seals", "faulty", "x", "400", "both seals");
    let filled = ticked(&one, "corrosion-wiring", "faulty", "X", "", "green plugs");
    assert!(take_in(home.path(), "milky", &filled).out.contains("2 points taken in"));
    let text = file(home.path(), "milky");
    for again in [filled.clone(), wrapped_again(&filled), one.clone()] {
        let ran = take_in(home.path(), "milky", &again);
        assert_eq!(ran.status, Some(0), "{}", ran.err);
        assert!(ran.out.contains("taken in before") && ran.out.contains("Nothing was changed"), "{}", ran.out);
        assert_eq!(file(home.path(), "milky"), text);
    }
    // The mechanic's last word on a point counts, and the others stay.
    let better = ticked(&whole, "gearcase-seals", "fine", "x", "", "looked again");
    assert!(take_in(home.path(), "milky", &better).out.contains("one point taken in"));
    let kept = settled(home.path(), "milky");
    let points: Vec<(&str, &str)> = kept
        .as_array()
        .unwrap()
        .iter()
        .map(|point| (point["point"].as_str().unwrap(), point["outcome"].as_str().unwrap()))
        .collect();
    assert_eq!(points, [("corrosion-wiring", "faulty"), ("gearcase-seals", "fine")]);
}

#[test]
fn a_paper_that_does_not_belong_here_changes_nothing() {
    let home = milky();
    interview(home.path(), "other", "oily-plugs");
    let text = file(home.path(), "milky");
    let nameless: String =
        paper(home.path(), "milky").lines().filter(|line| !line.contains("Paper:")).collect::<Vec<_>>().join("\n");
    for (paper, told) in [
        ("a letter about something else", "not a mechanic's paper"),
        ("", "not a mechanic's paper"),
        (&*nameless, "nobody can say which interview"),
        (&*paper(home.path(), "other"), "belongs to \"other\", not to \"milky\""),
    ] {
        let ran = take_in(home.path(), "milky", paper);
        assert_eq!(ran.status, Some(1), "{}", ran.out);
        assert!(ran.err.contains(told) && ran.err.contains("nothing was changed"), "{}", ran.err);
        assert_eq!(file(home.path(), "milky"), text);
    }
    fs::write(home.path().join("picture"), [0xff, 0xd8, 0xff, 0xe0]).unwrap();
    for (name, told) in [("picture", "not text"), ("nowhere.txt", "can't read it")] {
        let path = home.path().join(name);
        let told_by = skeg().home(home.path()).args(["take-in", "milky", path.to_str().unwrap()]).problem();
        assert!(told_by.contains(told) && told_by.contains("nothing was changed"), "{told_by}");
        assert_eq!(file(home.path(), "milky"), text);
    }
    let unknown = skeg().home(home.path()).args(["take-in", "mliky", "back.txt"]).problem();
    assert!(unknown.contains("mliky") && unknown.contains("milky"), "{unknown}");
    assert!(!home.path().join(".mliky.lock").exists());
}

#[test]
fn a_paper_of_older_answers_is_refused_until_they_are_the_same_again() {
    let home = milky();
    let filled = ticked(&paper(home.path(), "milky"), "gearcase-seals", "fine", "x", "", "");
    let change = |typed: &str| {
        let args = ["change", "milky", "gear-seals", "--plain"];
        assert_eq!(skeg().home(home.path()).args(args).typed(typed).run().status, Some(0));
    };
    change("recent\n");
    let text = file(home.path(), "milky");
    assert!(text.contains("recent"));
    let ran = take_in(home.path(), "milky", &filled);
    assert_eq!(ran.status, Some(1), "{}", ran.out);
    assert!(ran.err.contains("before answers of \"milky\" changed"), "{}", ran.err);
    assert_eq!(file(home.path(), "milky"), text);
    change("never\n");
    assert_eq!(take_in(home.path(), "milky", &filled).status, Some(0));
    assert_eq!(settled(home.path(), "milky")[0]["point"], "gearcase-seals");
}

#[test]
fn what_is_not_sure_is_asked_and_stays_open_when_nobody_answers() {
    let home = milky();
    let text = file(home.path(), "milky");
    let whole = paper(home.path(), "milky");
    let fine = ticked(&whole, "gearcase-seals", "fine", "x", "", "looks dry");
    let both = ticked(&fine, "gearcase-seals", "faulty", "x", "", "");
    let unticked = ticked(&whole, "gearcase-seals", "fine", " ", "", "looks dry");
    let fine_at_two_prices = ticked(&whole, "gearcase-seals", "fine", "x", "100-200", "");
    for unsure in [&both, &unticked, &fine_at_two_prices] {
        let ran = take_in(home.path(), "milky", unsure);
        assert_eq!(ran.status, Some(0), "{}", ran.err);
        assert!(ran.out.contains("stays open") && ran.out.contains("Nothing was changed"), "{}", ran.out);
        assert_eq!(file(home.path(), "milky"), text);
    }
    let ran = take_in_typing(home.path(), "milky", &both, "2\n");
    assert!(ran.out.contains("one point taken in"), "{}", ran.out);
    assert_eq!(settled(home.path(), "milky")[0]["outcome"], "faulty");
    // Settled by an answer, it stays so when the same paper comes again and nobody answers.
    let text = file(home.path(), "milky");
    let ran = take_in(home.path(), "milky", &both);
    assert!(ran.out.contains("stays as it was taken in before"), "{}", ran.out);
    assert_eq!(file(home.path(), "milky"), text);
}

#[test]
fn a_price_in_other_money_is_not_taken_for_the_buyers() {
    let home = milky();
    let filled = ticked(&paper(home.path(), "milky"), "gearcase-seals", "faulty", "x", "1200 EUR", "");
    let ran = take_in(home.path(), "milky", &filled);
    assert!(ran.out.contains("1200 EUR") && ran.out.contains("without a price"), "{}", ran.out);
    let kept = settled(home.path(), "milky");
    assert_eq!(kept[0]["outcome"], "faulty");
    assert!(kept[0]["price"].is_null());
    // The buyer says that it is dollars all the same; after that it is not asked again and not lost.
    assert_eq!(take_in_typing(home.path(), "milky", &filled, "yes\n").status, Some(0));
    assert_eq!(settled(home.path(), "milky")[0]["price"], 1200.0);
    let text = file(home.path(), "milky");
    assert!(take_in(home.path(), "milky", &filled).out.contains("taken in before"));
    assert_eq!(file(home.path(), "milky"), text);
}

#[test]
fn a_faulty_point_counts_without_a_price_nobody_can_read() {
    let home = milky();
    let filled = ticked(&paper(home.path(), "milky"), "gearcase-seals", "faulty", "x", "300 to 400", "");
    let ran = take_in_typing(home.path(), "milky", &filled, "no\n");
    assert!(ran.out.contains("Nothing was changed"), "{}", ran.out);
    let ran = take_in(home.path(), "milky", &filled);
    assert!(ran.out.contains("300 to 400") && ran.out.contains("one point taken in"), "{}", ran.out);
    let kept = settled(home.path(), "milky");
    assert!(kept[0]["outcome"] == "faulty" && kept[0]["price"].is_null(), "{kept}");
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
    let asked = "Is that what the paper says?";
    assert_eq!(taking_in(home.path(), &filled).shows(asked).line("n").told("Nothing was changed").ends(), 0);
    assert_eq!(file(home.path(), "milky"), text);
    assert_eq!(taking_in(home.path(), &filled).shows(asked).waits().press(CTRL_C).ends(), 130);
    assert_eq!(file(home.path(), "milky"), text);
    // Leaving while a point is asked about leaves everything as it was, too.
    let both = ticked(&filled, "gearcase-seals", "faulty", "x", "", "");
    assert_eq!(taking_in(home.path(), &both).shows("What does the paper mean").waits().press(CTRL_C).ends(), 130);
    assert_eq!(file(home.path(), "milky"), text);
    assert_eq!(taking_in(home.path(), &filled).shows(asked).line("y").told("one point taken in").ends(), 0);
    assert_eq!(settled(home.path(), "milky")[0]["words"], "held air");
}

#[test]
fn an_interview_that_is_open_elsewhere_is_not_written() {
    let home = milky();
    let text = file(home.path(), "milky");
    let filled = ticked(&paper(home.path(), "milky"), "gearcase-seals", "fine", "x", "", "");
    let held = skeg::store::Store::at(home.path().to_owned()).hold("milky").unwrap();
    let ran = take_in(home.path(), "milky", &filled);
    assert!(ran.status == Some(1) && ran.err.contains("busy"), "{}", ran.err);
    assert_eq!(file(home.path(), "milky"), text);
    drop(held);
    assert_eq!(take_in(home.path(), "milky", &filled).status, Some(0));
}

/// A sheet as one line of single blanks.
fn flat(sheet: &str) -> String {
    sheet.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The name of a question as the sheet writes it.
fn on_sheet(question: &skeg::knowledge::Question) -> String {
    format!("**{}**", skeg::report::markdown::escape(&skeg::report::words::capital(&question.brief)))
}

#[test]
fn the_field_sheet_holds_every_open_question_once_and_fits_a_page_wide() {
    let fresh = skeg().args(["sheet"]).ok();
    assert!(fresh.lines().all(|line| line.chars().count() <= 78), "{fresh}");
    // Six pages of small type are three leaves.
    assert!(fresh.lines().count() < 660, "{} lines", fresh.lines().count());
    let text = flat(&fresh);
    let mut after = 0;
    for question in &knowledge().questions {
        let name = on_sheet(question);
        assert_eq!(text.matches(&name).count(), 1, "{name} on the sheet");
        let here = text.find(&name).unwrap();
        assert!(here > after, "{name} stands out of its order");
        after = here;
    }
    let home = milky();
    let less = skeg().home(home.path()).args(["sheet", "milky"]).ok();
    assert!(less.lines().count() < fresh.lines().count() / 4 && !less.contains("**Gear oil**"), "{less}");
    let path = home.path().join("sheet.md");
    skeg().home(home.path()).args(["sheet", "milky", "-o", path.to_str().unwrap()]).ok();
    assert_eq!(fs::read_to_string(path).unwrap(), less);
}

#[test]
fn a_sheet_holds_what_is_open_and_nothing_that_was_answered_or_shut() {
    let home = tempfile::tempdir().unwrap();
    for (place, picks) in (0..24).map(|place: u16| (place, [place * 7 + 3, place * 31 + 1, place + 11])) {
        // The first part of an interview answered at random.
        let mut record = support::random_record(&picks);
        for ix in knowledge().places().skip(5 * usize::from(place)) {
            record.answer_mut(ix).said = None;
        }
        let path = skeg::path::walk(knowledge(), &record, TODAY);
        let text = flat(&skeg::report::sheet(&path, None));
        for ix in knowledge().places() {
            let shown = text.matches(&on_sheet(knowledge().question(ix))).count();
            let root = knowledge().root_of(ix);
            let shut = path.ended.iter().any(|ended| ended.shut.contains(&root));
            match path.step(ix).map(|step| step.state) {
                Some(skeg::path::State::Open) => assert_eq!(shown, 1, "{ix:?} is open"),
                Some(_) => assert_eq!(shown, 0, "{ix:?} was dealt with"),
                None if shut => assert_eq!(shown, 0, "{ix:?} is shut"),
                None => assert!(shown <= 1, "{ix:?}"),
            }
        }
    }
    let mut all = support::random_record(&[3, 14, 15]);
    for ix in knowledge().places() {
        all.answer_mut(ix).said.get_or_insert(skeg::answers::Said::CantTell);
    }
    keep(home.path(), "done", all, TODAY);
    let done = skeg().home(home.path()).args(["sheet", "done"]).ok();
    let empty = record(&[]);
    let path = skeg::path::walk(knowledge(), &empty, TODAY);
    assert!(path.next_open().is_some() && !done.contains("**Transom height**"), "{done}");
}

#[test]
fn every_caution_of_a_step_stands_before_it_on_the_sheet() {
    let empty = record(&[]);
    let path = skeg::path::walk(knowledge(), &empty, TODAY);
    let text = flat(&skeg::report::sheet(&path, None));
    let mut looked_at = 0;
    for question in &knowledge().questions {
        let step = text.find(&on_sheet(question)).expect("every question is on a fresh sheet");
        for caution in path.view().cautions(&question.cautions) {
            let told = format!("**{}:** {}", caution.level.word(), skeg::report::markdown::escape(&caution.text));
            // The same words may stand under another level nearer to the top: they need not be said twice.
            let place = text.find(&flat(&told)).or_else(|| text.find(&flat(&caution.text)));
            assert!(place.is_some_and(|place| place < step), "{}: {told}", question.id);
            looked_at += 1;
        }
    }
    assert!(looked_at > 0, "{looked_at}");
}

#[test]
fn a_question_that_only_may_come_says_when() {
    let text = flat(&skeg().args(["sheet"]).ok());
    for said in [
        "**Gearcase seals** (only if gear oil is hazy, milky or water-first): ()recent",
        "**Gearcase pressure test** (only if the same): ()held",
        "**Which share a head** (only if number of cylinders is 2 or more):",
        "**Parts still made** (only if age by the claimed year is over 20 years):",
        "**Volts at rest** (only if how it starts is not rope): ........ V",
        "**Where hours come from** (only if hours is known):",
        "**Reason for the oil** (only if spark plugs has oily or oil-film):",
    ] {
        assert!(text.contains(said), "{said}\n{text}");
    }
    // What is decided already is left out, what can't come any more too.
    let afloat = record(&[("run-where", "water"), ("start", "rope")]);
    let path = skeg::path::walk(knowledge(), &afloat, TODAY);
    let text = flat(&skeg::report::sheet(&path, None));
    let only =
        "**Revs at full throttle** (only if lanyard stop switch is stops-every-time and steering is not seized)";
    assert!(text.contains(only) && !text.contains("**Volts at rest**"), "{text}");
    // Every question that is not on the path says when it is asked.
    for ix in knowledge().places().filter(|ix| path.step(*ix).is_none()) {
        let name = on_sheet(knowledge().question(ix));
        if let Some((_, behind)) = text.split_once(&name) {
            assert!(
                behind.starts_with(" (only if ") || behind.starts_with(" (core, only if "),
                "{name}{behind:.40}"
            );
        }
    }
    assert!(path.step(ix("gear-oil")).is_some() && text.contains("**Gear oil** (core): ()dark"));
}

/// Three motors in one home: the sound one, the milky one, the one with oily plugs.
fn three() -> tempfile::TempDir {
    let home = tempfile::tempdir().unwrap();
    for (name, example) in [("milky", "milky-gearcase"), ("oily", "oily-plugs"), ("sound", "sound-motor")] {
        interview(home.path(), name, example);
    }
    home
}

const THREE: [&str; 4] = ["compare", "milky", "oily", "sound"];

#[test]
fn motors_stand_side_by_side_and_the_better_one_comes_first() {
    let home = three();
    let json = skeg().home(home.path()).args(THREE).args(["--format", "json"]).json();
    assert_eq!(json["first"], "sound");
    let motors = json["motors"].as_array().unwrap();
    let order: Vec<&str> = motors.iter().filter_map(|one| one["name"].as_str()).collect();
    assert_eq!(order, ["sound", "milky", "oily"]);
    // What is compared is what each report says.
    for one in motors {
        let report = judged(home.path(), one["name"].as_str().unwrap());
        assert_eq!(one["call"], report["verdict"]["call"]);
        assert_eq!(one["ceiling"], report["money"]["ceiling"]);
        assert_eq!(one["cost_mean"], report["money"]["cost"]["mean"]);
        for measure in ["fit", "compression-state", "compression-share", "prop-slip", "age"] {
            assert_eq!(one["measures"][measure], report["measures"][measure]["value"], "{measure}");
        }
        let findings = report["findings"].as_array().unwrap();
        for (grade, told) in [("stop", &one["stops"]), ("serious", &one["serious"])] {
            let titles = findings.iter().filter(|finding| finding["grade"] == grade).map(|one| &one["title"]);
            assert!(titles.eq(told.as_array().unwrap().iter().map(|one| &one["title"])), "{told}");
        }
        let count = |grade: &str| findings.iter().filter(|finding| finding["grade"] == grade).count();
        assert_eq!((&one["minor"], &one["good"]), (&count("minor").into(), &count("good").into()));
        let open = report["path"].as_array().unwrap().iter().filter(|step| step["state"] == "open").count();
        assert_eq!(one["open"], open);
    }
    assert!(skeg().home(home.path()).args(["compare", "milky", "nobody"]).problem().contains("nobody"));
    assert!(skeg().home(home.path()).args(["compare", "milky", "milky"]).problem().contains("stands twice"));
}

#[test]
fn the_comparison_is_a_table_and_in_a_narrow_window_a_list() {
    let home = three();
    let wide = skeg().home(home.path()).args(THREE).ok();
    assert!(wide.lines().all(|line| line.chars().count() <= 80), "{wide}");
    let head: Vec<&str> = wide.lines().next().unwrap().split_whitespace().collect();
    assert_eq!(head, ["sound", "milky", "oily"]);
    assert!(wide.contains("Look at sound again first: it alone is worth buying at the right price."), "{wide}");
    assert!(flat(&wide).contains("fit fits fits fits"), "{wide}");
    let mut window = window(40, 200).env("SKEG_HOME", home.path().to_str().unwrap()).skeg(&THREE);
    assert_eq!(window.ends(), 0);
    let narrow = window.raw();
    assert!(narrow.lines().all(|line| line.trim_end().chars().count() <= 40), "{narrow}");
    let told =
        |name: &str| narrow.find(&format!("{name}\r\n  motor:")).unwrap_or_else(|| panic!("{name}: {narrow}"));
    assert!(told("sound") < told("milky") && told("milky") < told("oily"));
    for row in ["  fit: fits", "  compression: even", "  questions open:", "  ceiling: $", "  ceiling: none"] {
        assert!(narrow.contains(row), "{row}\n{narrow}");
    }
    // Nothing of the wide table is missing in the narrow list.
    let words = flat(&narrow);
    for title in ["a spark plug is wet with oil that stays", "the gear oil is milky after the run"] {
        assert!(words.contains(title), "{title}\n{words}");
    }
}

#[test]
fn the_comparison_in_markdown_holds_a_table_of_figures_and_the_words_below() {
    let home = three();
    let markdown = skeg().home(home.path()).args(THREE).args(["--format", "markdown"]).ok();
    assert!(markdown.starts_with("# Motors side by side\n\nLook at sound again first"), "{markdown}");
    assert!(markdown.lines().all(|line| line.chars().count() <= 78), "{markdown}");
    let table: Vec<Vec<&str>> = markdown
        .lines()
        .filter(|line| line.starts_with('|'))
        .map(|line| line.trim_matches('|').split('|').map(str::trim).collect())
        .collect();
    assert_eq!(table[0], ["", "sound", "milky", "oily"]);
    assert!(table.iter().all(|row| row.len() == 4), "{markdown}");
    assert!(table.contains(&vec!["Fit", "fits", "fits", "fits"]), "{markdown}");
    assert!(markdown.contains("## oily\n\n- Motor: 30 hp two-stroke, 2004"), "{markdown}");
    // A file is written like any paper.
    let path = home.path().join("side.md");
    skeg().home(home.path()).args(THREE).args(["--format", "markdown", "-o", path.to_str().unwrap()]).ok();
    assert_eq!(fs::read_to_string(path).unwrap(), markdown);
}

#[test]
fn more_motors_than_a_table_holds_are_listed() {
    let home = tempfile::tempdir().unwrap();
    let names: Vec<String> = (1..=7).map(|number| format!("a-motor-with-quite-a-long-name-{number}")).collect();
    for name in &names {
        interview(home.path(), name, "sound-motor");
    }
    let run = |format: &str| {
        let args = ["compare", "--format", format].map(str::to_owned);
        skeg().home(home.path()).args(args.into_iter().chain(names.iter().cloned())).ok()
    };
    let table = run("table");
    assert!(table.lines().all(|line| line.chars().count() <= 80), "{table}");
    let markdown = run("markdown");
    assert!(!markdown.contains('|') && markdown.matches("- Ceiling: $").count() == 7, "{markdown}");
    let flat = table.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(flat.contains("nothing sets it apart so far"), "{table}");
}
