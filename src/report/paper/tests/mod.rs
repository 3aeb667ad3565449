//! A mechanic's paper out and back in: every way people tick, every way mail wraps, and damage of every kind.

mod damage;
mod ways;

use std::sync::LazyLock;

use super::super::testing::{KNOWLEDGE, judged, paper, record, samples, settle};
use super::super::{Audience, Format, open_points};
use super::*;

/// A printed paper with the codes of its points.
pub struct Printed {
    pub text: String,
    pub codes: Vec<String>,
    pub state: String,
}

pub fn printed(which: &str) -> Printed {
    let all = samples();
    let (_, record) = all.iter().find(|(name, _)| *name == which).unwrap();
    let judgement = judged(record);
    Printed {
        text: paper(&judgement, "motor-1", Audience::Mechanic, Format::Markdown),
        codes: open_points(&judgement).into_iter().map(|(code, _)| code).collect(),
        state: state_code(&KNOWLEDGE, record),
    }
}

pub static MILKY: LazyLock<Printed> = LazyLock::new(|| printed("milky"));

pub fn known(printed: &str) -> Known<'_> {
    Known::new(&KNOWLEDGE, printed, Some(3))
}

pub fn read(text: &str) -> Filled {
    read_paper(text, &known(&MILKY.text)).unwrap_or_else(|problem| panic!("{problem}: {text}"))
}

/// The paper with the line of a point changed.
pub fn with_line(code: &str, change: impl Fn(&str) -> String) -> String {
    let is_it = |line: &&str| {
        line.trim_start_matches(|sign: char| sign.is_ascii_digit() || sign == ' ').starts_with(&format!("{code}:"))
    };
    assert!(MILKY.text.lines().any(|line| is_it(&line)), "no line of {code}: {}", MILKY.text);
    let lines: Vec<String> =
        MILKY.text.lines().map(|line| if is_it(&line) { change(line) } else { line.to_owned() }).collect();
    lines.join("\n") + "\n"
}

#[test]
fn an_untouched_paper_says_nothing() {
    for which in ["milky", "stopped", "empty", "uneven", "misfit"] {
        let out = printed(which);
        let filled = read_paper(&out.text, &known(&out.text)).unwrap();
        assert_eq!(filled.of, Some(("motor-1".to_owned(), out.state)));
        assert!(filled.points.iter().all(FilledPoint::is_blank), "{which}: {filled:?}");
        assert_eq!(
            filled.points.iter().map(|point| point.code.clone()).collect::<Vec<_>>().len(),
            out.codes.len(),
            "{which}"
        );
        assert!(
            filled.cells.is_empty() && filled.also.is_empty() && filled.last.is_empty() && filled.loose.is_empty(),
            "{which}: {filled:?}"
        );
    }
}

#[test]
fn every_heading_of_the_paper_ends_what_stands_above() {
    for which in ["milky", "stopped", "empty", "settled"] {
        let out = printed(which);
        for heading in out.text.lines().filter_map(|line| line.strip_prefix("## ")) {
            assert!(TITLES.contains(&heading), "{heading}");
        }
    }
}

#[test]
fn keyed_lines_are_short_enough_for_any_mail() {
    for which in ["milky", "stopped", "empty", "uneven", "misfit", "leaking"] {
        let out = printed(which);
        let keyed = out.text.lines().filter(|line| line.contains("[ ]") || line.contains("____"));
        for line in keyed {
            assert!(line.len() <= 72, "{line}");
        }
    }
    for place in (0..KNOWLEDGE.findings.len()).map(crate::knowledge::FindingIx) {
        let line = super::super::view::keyed_line(Some(15), KNOWLEDGE.story_id(KNOWLEDGE.story_of(place)));
        assert!(line.len() <= 72, "{line}");
    }
}

#[test]
fn numbers_come_back_as_readings() {
    let text = MILKY
        .text
        .replace("c1 ____  c2 ____  c3 ____", "c1 178  c2 __181__  c3 175 psi")
        .replace("oil ____", "oil milky")
        .replace("revs ____", "revs 5600")
        .replace("throttle ____", "throttle open")
        .replace("total: ______", "total: 640")
        .replace("[ ] repair first", "[x] repair first");
    let filled = read(&text);
    let cell = |name: &str| filled.cells.iter().find(|cell| cell.name == name).map(|cell| cell.text.clone());
    assert_eq!(cell("c1").as_deref(), Some("178"));
    assert_eq!(cell("c2").as_deref(), Some("181"));
    assert_eq!(cell("c3").as_deref(), Some("175 psi"));
    assert_eq!(cell("oil").as_deref(), Some("milky"));
    assert_eq!(cell("throttle").as_deref(), Some("open"));
    assert!(filled.last.contains(&("overall".to_owned(), "repair first".to_owned())), "{:?}", filled.last);
    assert!(filled.last.iter().any(|(key, words)| key == "total" && words.contains("640")), "{:?}", filled.last);
    assert!(filled.points.iter().all(FilledPoint::is_blank));
}

#[test]
fn what_was_found_besides_comes_back_with_its_price() {
    let text = MILKY
        .text
        .replace("also-1: ____________________________  price ______", "also-1: start battery dead  price 130");
    let filled = read(&text);
    assert_eq!(filled.also.len(), 1, "{:?}", filled.also);
    assert_eq!(filled.also[0].words, "start battery dead");
    assert!(matches!(&filled.also[0].price, Reading::Said(price) if (price.sum - 130.0).abs() < 1e-9));
}

#[test]
fn a_paper_that_quotes_itself_is_read_once() {
    let filled_in =
        with_line("gearcase-seals", |line| line.replace("[ ] faulty", "[x] faulty").replace("______", "450"));
    let quoted: String = MILKY.text.lines().map(|line| format!("> {line}\n")).collect();
    let filled = read(&format!("{filled_in}\n{quoted}"));
    let point = filled.points.iter().find(|point| point.code == "gearcase-seals").unwrap();
    assert_eq!(point.outcome, Reading::Said(Outcome::Faulty));
    assert!(matches!(&point.price, Reading::Said(price) if (price.sum - 450.0).abs() < 1e-9), "{point:?}");
}

#[test]
fn a_line_without_a_key_is_told() {
    let text = format!("{}\n\n[x] faulty, the fuel pump\n", MILKY.text.lines().next().unwrap());
    let told = read_paper(&format!("{}{text}", MILKY.text), &known(&MILKY.text)).unwrap();
    assert_eq!(told.loose.len(), 1, "{:?}", told.loose);
    assert!(told.loose[0].contains("fuel pump"));
}

#[test]
fn other_texts_are_told_apart() {
    let none = known(&MILKY.text);
    assert_eq!(read_paper("Dear friend,\n\nthe motor is fine.\n", &none), Err(PaperError::NotAPaper));
    assert_eq!(read_paper("seals fine, anodes due, 140", &none), Err(PaperError::NotAPaper));
    assert_eq!(read_paper("", &none), Err(PaperError::NotAPaper));
    assert!(PaperError::NotAPaper.to_string().contains("skeg take-in NAME"));
    let other = MILKY.text.replace("motor-1 /", "motor-2 /");
    assert!(matches!(read_paper(&format!("{}\n{other}", MILKY.text), &none), Err(PaperError::TwoPapers(..))));
}

#[test]
fn name_and_state_come_back_whatever_the_name() {
    let all = samples();
    let judgement = judged(&all[1].1);
    for name in ["motor-1", "a / b", "# 3 *old*", "\u{5d0}\u{5d1} [x]", "one | two", "x".repeat(90).as_str()] {
        let text = paper(&judgement, name, Audience::Mechanic, Format::Markdown);
        let filled = read_paper(&text, &known(&text)).unwrap();
        assert_eq!(filled.of, Some((name.to_owned(), state_code(judgement.knowledge(), &all[1].1))));
    }
}

#[test]
fn the_state_code_follows_the_answers_only() {
    let code = |record: &Record| state_code(&KNOWLEDGE, record);
    let one = record(&[("gear-oil", "milky")]);
    let mut noted = one.clone();
    noted.answer_mut(KNOWLEDGE.find("gear-oil").unwrap()).note = Some("n".into());
    noted.settled = vec![settle("gearcase-seals", Outcome::Fine, None, "")];
    assert_eq!(code(&one), code(&noted));
    assert_ne!(code(&one), code(&record(&[("gear-oil", "hazy")])));
    assert_ne!(code(&one), code(&record(&[("gear-oil", "can't tell")])));
}
