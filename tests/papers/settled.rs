//! What a mechanic ticks, in every shape a mail gives it, and what it does to chances, money and verdict.

use std::fs;
use std::path::Path;

use crate::beside::flat;
use crate::support::{TODAY, knowledge, skeg};
use crate::{file, interview, judged, keep, milky, paper, settled, take_in, take_in_typing, ticked};
use serde_json::Value;

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

/// A greeting above, and everything but the line that was filled in taken out.
fn shortened(text: &str) -> String {
    let name = text.lines().find(|line| line.contains("Paper:")).expect("the paper's name");
    let at = text.find("1 gearcase-seals:").expect("the point");
    let mut lines = text[at..].lines();
    let (line, note) = (lines.next().unwrap_or(""), lines.next().unwrap_or(""));
    format!("Hello, here it is.\n\n{name}\n\n{line}\n{note}\n")
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
fn a_fault_called_fine_is_settled_and_the_money_follows() {
    for (name, mark, style) in STYLES {
        let home = milky();
        let before = judged(home.path(), "milky");
        let filled =
            ticked(&paper(home.path(), "milky"), "gearcase-seals", "fine", mark, "", "held 10 psi for an hour");
        let ran = take_in(home.path(), "milky", &style(&filled));
        assert_eq!(ran.status, Some(0), "{name}: {}", ran.err);
        assert!(ran.out.contains("fine, \"held 10 psi for an hour\""), "{name}: {}", ran.out);
        assert!(ran.out.contains("Verdict:") && ran.out.contains("Ceiling:"), "{name}: {}", ran.out);
        assert!(!flat(&ran.out).contains("changed since this paper was printed"), "{name}: {}", ran.out);
        let after = judged(home.path(), "milky");
        let chance = |judged: &Value| judged["chances"]["gearcase-seals"].as_f64().unwrap();
        // The mechanic's look stands in place of the buyer's signs: prior 12 %, odds over 50, held at 1 %.
        assert!(chance(&after) < chance(&before) && (chance(&after) - 0.01).abs() < 1e-9, "{name}");
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

/// The ceiling of an interview as its JSON has it.
fn ceiling(home: &Path, name: &str) -> f64 {
    judged(home, name)["money"]["ceiling"]
        .as_f64()
        .unwrap_or_else(|| panic!("no ceiling: {}", judged(home, name)["money"]))
}

#[test]
fn what_a_mechanic_settles_moves_the_ceiling_by_what_it_costs() {
    // The same motor with clear oil, with milky oil, and with the mechanic's word on the milk.
    let home = milky();
    let text = fs::read_to_string("examples/milky-gearcase.json").unwrap();
    let mut answers: Value = serde_json::from_str(&text).unwrap();
    for (id, said) in [("gear-oil", "clear"), ("gear-oil-after", "unchanged")] {
        answers["answers"][id] = said.into();
    }
    let (record, date) = skeg::read_answers_file(&answers.to_string(), knowledge(), TODAY).unwrap();
    keep(home.path(), "clean", record, date);
    let clean = ceiling(home.path(), "clean");
    let whole = paper(home.path(), "milky");
    let milk = ceiling(home.path(), "milky");
    assert!(milk < 0.95 * clean, "milk: {milk}, clean: {clean}");
    take_in(home.path(), "milky", &ticked(&whole, "gearcase-seals", "fine", "x", "", ""));
    assert_eq!(judged(home.path(), "milky")["verdict"]["call"], "fair");
    let fine = ceiling(home.path(), "milky");
    assert!((fine - clean).abs() <= 0.03 * clean, "fine: {fine}, clean: {clean}");
    take_in(home.path(), "milky", &ticked(&whole, "gearcase-seals", "faulty", "x", "450", ""));
    let faulty = ceiling(home.path(), "milky");
    assert!((fine - faulty - 450.0).abs() <= 75.0, "fine: {fine}, faulty at 450: {faulty}");
}

#[test]
fn what_was_found_besides_is_paid_like_everything_else() {
    let home = milky();
    let whole = paper(home.path(), "milky");
    let mean = || judged(home.path(), "milky")["money"]["cost"]["mean"].as_f64().unwrap();
    let before = mean();
    let blank = "also-1: ____________________________  price ______";
    let besides = |words: &str, price: &str| whole.replace(blank, &format!("also-1: {words}  price {price}"));
    assert_eq!(take_in(home.path(), "milky", &besides("lower mount torn", "300")).status, Some(0));
    assert!((mean() - before - 300.0).abs() < 1e-6, "{before} {}", mean());
    let steps = judged(home.path(), "milky")["money"]["waterfall"].clone();
    let other =
        steps.as_array().unwrap().iter().find(|step| step["what"] == "other-costs").map(|step| &step["sum"]);
    assert_eq!(other, Some(&(-300.0).into()), "{steps}");
    let report = skeg().home(home.path()).args(["report", "milky"]).ok();
    assert!(report.contains("Found besides: faulty, $300; in their words: \"lower mount torn\""), "{report}");
    // The same again changes nothing, a better price takes its place, another thing on another paper comes on top.
    let told = take_in(home.path(), "milky", &besides("lower mount torn", "300")).out;
    assert!(told.contains("Nothing was changed"), "{told}");
    take_in(home.path(), "milky", &besides("lower mount torn", "350"));
    assert!((mean() - before - 350.0).abs() < 1e-6);
    take_in(home.path(), "milky", &besides("trim switch dead", "120"));
    assert!((mean() - before - 470.0).abs() < 1e-6);
    // Without a price it is asked for; where nobody knows one the paper says that the sums lack it.
    let ran = take_in_typing(home.path(), "milky", &besides("a cracked cowl", "______"), "\ny\n");
    assert!(ran.out.contains("what does it cost to put right"), "{}", ran.out);
    let report = skeg().home(home.path()).args(["report", "milky"]).ok();
    assert!(flat(&report).contains("no price yet and so not in the sums"), "{report}");
}

#[test]
fn a_fault_without_a_usual_cost_is_asked_for_its_price() {
    let home = tempfile::tempdir().unwrap();
    interview(home.path(), "bare", "sound-motor");
    let ran = skeg().home(home.path()).args(["change", "bare", "telltale", "--plain"]).typed("-\n").run();
    assert_eq!(ran.status, Some(0), "{}{}", ran.out, ran.err);
    let whole = paper(home.path(), "bare");
    assert!(whole.contains("telltale: [ ] fine"), "{whole}");
    let mean = || judged(home.path(), "bare")["money"]["cost"]["mean"].as_f64().unwrap();
    let before = mean();
    let filled = ticked(&whole, "telltale", "faulty", "x", "", "blocked");
    let ran = take_in_typing(home.path(), "bare", &filled, "230\ny\n");
    assert!(ran.out.contains("what does it cost to put right") && ran.out.contains("Taken in."), "{}", ran.out);
    assert!((mean() - before - 230.0).abs() < 1e-6, "{before} {}", mean());
    assert_eq!(judged(home.path(), "bare")["verdict"]["call"], "only-if");
}

#[test]
fn fine_beside_a_bad_reading_on_the_same_paper_is_asked_about() {
    let home = milky();
    let whole = paper(home.path(), "milky");
    let fine = ticked(&whole, "gearcase-seals", "fine", "x", "", "");
    let both = fine.replace("result ____", "result dropped");
    let ran = take_in(home.path(), "milky", &both);
    assert!(ran.out.contains("fine is ticked, and yet"), "{}", ran.out);
    assert!(settled(home.path(), "milky").is_null(), "the point stays open where nobody says");
    assert!(file(home.path(), "milky").contains("dropped"), "the reading is kept");
    let home = milky();
    for (typed, outcome) in [("2\ny\n", "faulty"), ("1\ny\n", "fine")] {
        let ran = take_in_typing(home.path(), "milky", &both, typed);
        assert!(ran.out.contains("Which of the two holds") && ran.out.contains("Taken in."), "{}", ran.out);
        assert_eq!(settled(home.path(), "milky")[0]["outcome"], outcome);
    }
    // Agreed on once, the same paper is not asked about again.
    assert!(take_in(home.path(), "milky", &both).out.contains("Nothing was changed"));
    let good = tempfile::tempdir().unwrap();
    interview(good.path(), "milky", "milky-gearcase");
    let held = fine.replace("result ____", "result held");
    assert!(!take_in(good.path(), "milky", &held).out.contains("and yet"));
    // Air that the seals lose says nothing of another point that is fine.
    let other = tempfile::tempdir().unwrap();
    interview(other.path(), "milky", "milky-gearcase");
    let elsewhere = ticked(&whole, "anodes", "fine", "x", "", "").replace("result ____", "result dropped");
    let told = take_in(other.path(), "milky", &elsewhere).out;
    assert!(!told.contains("and yet") && told.contains("Taken in."), "{told}");
}

#[test]
fn an_answer_that_changes_after_the_paper_counts_again_and_is_said_to() {
    let home = milky();
    let chance = || judged(home.path(), "milky")["chances"]["gearcase-seals"].as_f64().unwrap();
    let call = || judged(home.path(), "milky")["verdict"]["call"].clone();
    let filled = ticked(&paper(home.path(), "milky"), "gearcase-seals", "fine", "x", "", "held air");
    take_in(home.path(), "milky", &filled);
    let change = |said: &str| {
        let args = ["change", "milky", "gear-oil", "--plain"];
        let ran = skeg().home(home.path()).args(args).typed(&format!("{said}\n")).run();
        assert_eq!(ran.status, Some(0), "{}{}", ran.out, ran.err);
        flat(&ran.out)
    };
    assert_eq!((call(), chance()), ("fair".into(), 0.01));
    let told = change("hazy");
    assert!(told.contains("A mechanic called this fine before") && told.contains("counts again"), "{told}");
    assert_eq!(call(), "only-if");
    assert!(chance() > 0.15, "{}", chance());
    let report = skeg().home(home.path()).args(["report", "milky"]).ok();
    assert!(flat(&report).contains("answered anew since, and counting again: gear oil"), "{report}");
    assert!(paper(home.path(), "milky").contains("gearcase-seals: [ ] fine"), "it is asked again");
    // The same paper again says nothing new; the answer put back gives the mechanic the last word again.
    assert!(take_in(home.path(), "milky", &filled).out.contains("Nothing was changed"));
    change("milky");
    assert_eq!((call(), chance()), ("fair".into(), 0.01));
    // A newer look has the last word.
    change("hazy");
    take_in(home.path(), "milky", &filled.replace("held air", "looked again, held air"));
    assert_eq!((call(), chance()), ("fair".into(), 0.01));
}

#[test]
fn a_price_a_thousand_times_off_is_asked_about() {
    let home = milky();
    let asked = |typed: &str| {
        let args = ["change", "milky", "asking-price", "--plain"];
        let ran = skeg().home(home.path()).args(args).typed(typed).run();
        assert_eq!(ran.status, Some(0), "{}{}", ran.out, ran.err);
        let kept: Value = serde_json::from_str(&file(home.path(), "milky")).unwrap();
        let answers = kept["answers"].as_array().unwrap();
        let price = answers.iter().find(|one| one["id"] == "asking-price").unwrap()["value"].clone();
        (flat(&ran.out), price)
    };
    for odd in ["39000", "4,10", "4.1", "450,120"] {
        let (told, kept) = asked(&format!("{odd}\nn\n3900\n"));
        assert!(told.contains("typed right?") || told.contains("in full?"), "{odd}: {told}");
        assert_eq!(kept, "3900", "{odd}");
    }
    let (told, kept) = asked("4100\n");
    assert!(!told.contains("typed right?") && kept == "4100", "{told}");
}

#[test]
fn a_stop_called_fine_is_cleared_and_offers_are_made_again() {
    let home = tempfile::tempdir().unwrap();
    interview(home.path(), "oily", "oily-plugs");
    let before = judged(home.path(), "oily");
    let text = paper(home.path(), "oily");
    let stop = before["findings"].as_array().unwrap().iter().find(|one| one["grade"] == "stop");
    let Some(stop) = stop else { return };
    assert_eq!(before["verdict"]["call"], "walk-away");
    assert!(before["money"]["ceiling"].is_null());
    let place = knowledge().findings.iter().position(|one| one.id == *stop["id"].as_str().unwrap()).unwrap();
    let code = knowledge().story_id(knowledge().story_of(skeg::FindingIx(place)));
    let filled = ticked(&text, code, "fine", "x", "", "leak-down 8 % all round");
    let ran = take_in(home.path(), "oily", &filled);
    assert_eq!(ran.status, Some(0), "{}", ran.err);
    let after = judged(home.path(), "oily");
    assert_ne!(after["verdict"]["call"], "walk-away", "{}", after["verdict"]);
    assert!(after["money"]["ceiling"].as_f64().is_some());
}

#[test]
fn taking_a_paper_in_twice_changes_nothing() {
    let home = milky();
    let whole = paper(home.path(), "milky");
    let one = ticked(&whole, "gearcase-seals", "faulty", "x", "400", "both seals");
    let filled = ticked(&one, "anodes", "faulty", "X", "120", "");
    assert!(take_in(home.path(), "milky", &filled).out.contains("Taken in."));
    let text = file(home.path(), "milky");
    for again in [filled.clone(), wrapped_again(&filled), one.clone()] {
        let ran = take_in(home.path(), "milky", &again);
        assert_eq!(ran.status, Some(0), "{}", ran.err);
        assert!(ran.out.contains("taken in before") && ran.out.contains("Nothing was changed"), "{}", ran.out);
        assert_eq!(file(home.path(), "milky"), text);
    }
    // The mechanic's last word on a point counts, and the others stay.
    let better = ticked(&whole, "gearcase-seals", "fine", "x", "", "looked again");
    assert!(take_in(home.path(), "milky", &better).out.contains("Taken in."));
    let kept = settled(home.path(), "milky");
    let points: Vec<(&str, &str)> = kept
        .as_array()
        .unwrap()
        .iter()
        .map(|point| (point["point"].as_str().unwrap(), point["outcome"].as_str().unwrap()))
        .collect();
    assert_eq!(points, [("anodes", "faulty"), ("gearcase-seals", "fine")]);
}

#[test]
fn a_paper_that_does_not_belong_here_changes_nothing() {
    let home = milky();
    interview(home.path(), "other", "oily-plugs");
    let text = file(home.path(), "milky");
    for (paper, told) in [
        ("a letter about something else", "not a mechanic's paper"),
        ("", "not a mechanic's paper"),
        ("Hello,\nseals fine, anodes due, 140\nregards", "skeg take-in milky asks for each point"),
        (&*paper(home.path(), "other"), "belongs to \"other\", not to \"milky\""),
    ] {
        let ran = take_in(home.path(), "milky", paper);
        assert_eq!(ran.status, Some(1), "{}", ran.out);
        assert!(ran.err.contains(told) && ran.err.contains("nothing was changed"), "{}", ran.err);
        assert_eq!(file(home.path(), "milky"), text);
    }
    fs::write(home.path().join("picture"), [0xff, 0xd8, 0xff, 0xe0]).unwrap();
    for (name, told) in [("picture", "a picture, not text"), ("nowhere.txt", "can't read it")] {
        let path = home.path().join(name);
        let told_by = skeg().home(home.path()).args(["take-in", "milky", path.to_str().unwrap()]).problem();
        assert!(told_by.contains(told) && told_by.contains("nothing was changed"), "{told_by}");
        assert_eq!(file(home.path(), "milky"), text);
    }
    let unknown = skeg().home(home.path()).args(["take-in", "mliky", "back.txt"]).problem();
    assert!(unknown.contains("mliky"), "{unknown}");
    assert!(!home.path().join(".mliky.lock").exists());
}

#[test]
fn a_paper_of_older_answers_is_taken_in_and_said_to_be_so() {
    let home = milky();
    let filled = ticked(&paper(home.path(), "milky"), "gearcase-seals", "fine", "x", "", "");
    let args = ["change", "milky", "gear-seals", "--plain"];
    assert_eq!(skeg().home(home.path()).args(args).typed("recent\n").run().status, Some(0));
    let ran = take_in(home.path(), "milky", &filled);
    assert_eq!(ran.status, Some(0), "{}", ran.err);
    assert!(ran.out.contains("since this paper was printed"), "{}", ran.out);
    assert_eq!(settled(home.path(), "milky")[0]["point"], "gearcase-seals");
}

#[test]
fn what_is_not_sure_is_asked_and_stays_open_when_nobody_answers() {
    let home = milky();
    let text = file(home.path(), "milky");
    let whole = paper(home.path(), "milky");
    let fine = ticked(&whole, "gearcase-seals", "fine", "x", "", "looks dry");
    let both = fine.replacen("[ ] faulty", "[x] faulty", 1);
    let unticked = ticked(&whole, "gearcase-seals", "fine", " ", "", "looks dry");
    for unsure in [&both, &unticked] {
        let ran = take_in(home.path(), "milky", unsure);
        assert_eq!(ran.status, Some(0), "{}", ran.err);
        assert!(ran.out.contains("stays open") && ran.out.contains("Nothing was changed"), "{}", ran.out);
        assert_eq!(file(home.path(), "milky"), text);
    }
    let ran = take_in_typing(home.path(), "milky", &both, "2\ny\n");
    assert!(ran.out.contains("Taken in."), "{}", ran.out);
    assert_eq!(settled(home.path(), "milky")[0]["outcome"], "faulty");
    // Settled by an answer, it stays so when the same paper comes again and nobody answers.
    let text = file(home.path(), "milky");
    let ran = take_in(home.path(), "milky", &both);
    assert!(ran.out.contains("Nothing was changed"), "{}", ran.out);
    assert_eq!(file(home.path(), "milky"), text);
}

#[test]
fn nothing_is_kept_where_nobody_confirms() {
    let home = milky();
    let text = file(home.path(), "milky");
    let filled = ticked(&paper(home.path(), "milky"), "gearcase-seals", "fine", "x", "", "");
    for typed in ["", "n\n"] {
        let ran = take_in_typing(home.path(), "milky", &filled, typed);
        assert_eq!(ran.status, Some(0), "{}", ran.err);
        assert!(ran.out.contains("othing was changed"), "{}", ran.out);
        assert_eq!(file(home.path(), "milky"), text);
    }
    assert!(take_in_typing(home.path(), "milky", &filled, "y\n").out.contains("Taken in."));
}

#[test]
fn a_price_in_other_money_or_far_from_the_usual_is_asked_about() {
    let home = milky();
    let whole = paper(home.path(), "milky");
    let other = ticked(&whole, "gearcase-seals", "faulty", "x", "600 EUR", "");
    let ran = take_in(home.path(), "milky", &other);
    assert!(ran.out.contains("600 EUR") && ran.out.contains("without a price"), "{}", ran.out);
    assert!(settled(home.path(), "milky")[0]["price"].is_null());
    // The buyer says that it is dollars all the same; after that it is not asked again and not lost.
    assert_eq!(take_in_typing(home.path(), "milky", &other, "yes\ny\n").status, Some(0));
    assert_eq!(settled(home.path(), "milky")[0]["price"], 600.0);
    let text = file(home.path(), "milky");
    assert!(take_in(home.path(), "milky", &other).out.contains("taken in before"));
    assert_eq!(file(home.path(), "milky"), text);
    let far = ticked(&whole, "gearcase-seals", "faulty", "x", "45000", "");
    let ran = take_in_typing(home.path(), "milky", &far, "no\nn\n");
    assert!(ran.out.contains("usually costs"), "{}", ran.out);
}

#[test]
fn a_price_nobody_can_read_is_asked_for() {
    let home = milky();
    let filled = ticked(&paper(home.path(), "milky"), "gearcase-seals", "faulty", "x", "300 to 400", "");
    let ran = take_in_typing(home.path(), "milky", &filled, "350\ny\n");
    assert!(ran.out.contains("300 to 400") && ran.out.contains("Taken in."), "{}", ran.out);
    assert_eq!(settled(home.path(), "milky")[0]["price"], 350.0);
}
