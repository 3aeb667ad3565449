//! The field sheet and the comparison.

use std::fs;

use crate::pty::window;
use crate::support::{self, TODAY, knowledge, record, skeg};
use crate::{interview, judged, milky};

/// A sheet as one line of single blanks.
pub fn flat(sheet: &str) -> String {
    sheet.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The name of a question as the sheet writes it.
fn on_sheet(question: &skeg::Question) -> String {
    format!("**{}**", skeg::escape(&question.brief))
}

fn sheet(path: &skeg::Path<'_>, name: Option<&str>) -> String {
    flat(&skeg::sheet(path, name, None, false).expect("the template fits"))
}

#[test]
fn the_field_sheet_holds_what_is_open_or_names_it() {
    let fresh = skeg().args(["sheet"]).ok();
    assert!(fresh.lines().all(|line| line.chars().count() <= 78), "{fresh}");
    let text = flat(&fresh);
    for question in &knowledge().questions {
        let name = on_sheet(question);
        assert!(text.matches(&name).count() <= 1, "{name} on the sheet");
        let left = text.split("## Left out").nth(1).unwrap_or("");
        let there = text.contains(&name) || left.contains(&*question.brief);
        // What parts cost is asked only once another currency was named.
        let later = question.follows.is_some() || question.id.as_str() == "parts-scale";
        assert!(there || later, "{name} is not on the sheet");
        assert!(
            text.contains(&name) || !(question.core || question.safety) || question.follows.is_some(),
            "{name}"
        );
    }
    let home = milky();
    let less = skeg().home(home.path()).args(["sheet", "milky"]).ok();
    assert!(less.lines().count() < fresh.lines().count() / 2 && !less.contains("**gear oil**"), "{less}");
    let path = home.path().join("sheet.md");
    skeg().home(home.path()).args(["sheet", "milky", "-o", path.to_str().unwrap()]).ok();
    assert_eq!(fs::read_to_string(path).unwrap(), less);
    let html = skeg().home(home.path()).args(["sheet", "milky", "--format", "html"]).ok();
    assert!(html.starts_with("<!DOCTYPE html>"));
}

#[test]
fn a_sheet_asks_nothing_that_was_answered_or_shut() {
    for (place, picks) in (0..12).map(|place: u16| (place, [place * 7 + 3, place * 31 + 1, place + 11])) {
        // The first part of an interview answered at random.
        let mut record = support::random_record(&picks);
        for ix in knowledge().places().skip(10 * usize::from(place)) {
            record.answer_mut(ix).said = None;
        }
        let path = skeg::walk(knowledge(), &record, TODAY);
        let text = sheet(&path, Some("m"));
        for ix in knowledge().places() {
            let shown = text.matches(&on_sheet(knowledge().question(ix))).count();
            let root = knowledge().root_of(ix);
            let shut = path.ended.iter().any(|ended| ended.shut.contains(&root));
            match path.step(ix).map(|step| step.state) {
                Some(skeg::State::Open) => assert!(shown <= 1, "{ix:?} is open"),
                Some(_) => assert_eq!(shown, 0, "{ix:?} was dealt with"),
                None if shut => assert_eq!(shown, 0, "{ix:?} is shut"),
                None => assert!(shown <= 1, "{ix:?}"),
            }
        }
    }
}

#[test]
fn the_hazards_of_a_side_stand_once_and_in_the_rows() {
    let empty = record(&[]);
    let path = skeg::walk(knowledge(), &empty, TODAY);
    let text = sheet(&path, None);
    for side in text.split("## ").skip(1) {
        for hazard in &knowledge().hazards {
            let line = flat(&skeg::escape(&hazard.line));
            assert!(side.matches(&line).count() <= 1, "{}", hazard.id);
        }
    }
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
    for row in [
        "  fit: fits",
        "  compression: even",
        "  questions open:",
        "  leave it above: $",
        "  start at: no price yet",
    ] {
        assert!(narrow.contains(row), "{row}\n{narrow}");
    }
    // One trouble is told once, however many findings it has.
    assert_eq!(flat(&narrow).matches("the gear oil is milky").count(), 1, "{narrow}");
    // Nothing of the wide table is missing in the narrow list.
    let words = flat(&narrow);
    for title in ["a plug of the two-stroke is wet with oil that stays", "the gear oil is milky"] {
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
    assert!(!markdown.contains('|') && markdown.matches("- Leave it above: $").count() == 7, "{markdown}");
    let flat = table.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(flat.contains("nothing sets it apart so far"), "{table}");
}
