//! A mechanic's paper out and back in: ten hands, mail, folded lines, and damage of every kind.

mod damage;

use super::super::testing::{judged, paper, record, samples};
use super::super::{Audience, Format, open_points};
use super::*;

/// What a hand fills in at a point, by its number.
#[derive(Clone, Copy, PartialEq)]
enum Tick {
    No,
    Fine,
    Faulty,
    CantSay,
}

fn tick_of(number: usize) -> Tick {
    [Tick::Faulty, Tick::Fine, Tick::CantSay, Tick::No][number % 4]
}

/// How a hand writes: mark, price, and what the mail program does to the lines.
struct Hand {
    name: &'static str,
    mark: &'static str,
    price: &'static str,
    after: fn(&str) -> String,
}

fn same(text: &str) -> String {
    text.to_owned()
}

fn quoted(text: &str) -> String {
    let lines: String = text.lines().map(|line| format!("> {line}\n")).collect();
    format!("Hello, done, see below.\n\nOn Monday you wrote:\n{lines}\n-- \nthe workshop\n")
}

fn twice_quoted(text: &str) -> String {
    text.lines().map(|line| format!(">> > {line}\r\n")).collect()
}

/// Paragraphs filled anew at a narrow width, list items joined, as a plain editor does it.
fn filled_anew(text: &str) -> String {
    text.split("\n\n").map(|block| fold_words(block, 30, "")).collect::<Vec<_>>().join("\n\n")
}

fn folded_by_mail(text: &str) -> String {
    text.lines().map(|line| fold_words(line, 24, "> ") + "\n").collect()
}

fn fold_words(text: &str, width: usize, quote: &str) -> String {
    let mut lines = vec![quote.to_owned()];
    for word in text.split_whitespace() {
        let last = lines.last_mut().unwrap();
        if last.len() + word.len() > width && last.len() > quote.len() {
            lines.push(format!("{quote}{word}"));
        } else {
            if last.len() > quote.len() {
                last.push(' ');
            }
            last.push_str(word);
        }
    }
    lines.join("\n")
}

fn another_editor(text: &str) -> String {
    text.replace("- [", "* \\[")
        .replace("] f", "\\] f")
        .replace("] c", "\\] c")
        .replace('\'', "\u{2019}")
        .replace('#', "##")
}

fn without_marks(text: &str) -> String {
    let signs = text.replace("- [ ] ", "\u{2610} ").replace("- [x] ", "\u{2611} ");
    signs.lines().map(|line| format!("\u{a0}{}\n", line.trim_start_matches('#').trim_start())).collect()
}

fn sent_back_above_itself(text: &str) -> String {
    let blank = text
        .replace("[x]", "[ ]")
        .replace(": a leak-down test", ":")
        .lines()
        .filter(|line| !line.starts_with("Price") && !line.starts_with("Note"))
        .map(|line| format!("> {line}\n"))
        .collect::<String>();
    format!("{text}\n{blank}")
}

const HANDS: [Hand; 11] = [
    Hand { name: "plain", mark: "[x]", price: "450", after: same },
    Hand { name: "capital", mark: "[X]", price: "450.00", after: same },
    Hand { name: "star", mark: "[*]", price: "$450", after: same },
    Hand { name: "v", mark: "[v]", price: "450,00", after: same },
    Hand { name: "wide", mark: "[ x ]", price: "EUR 450.-", after: same },
    Hand { name: "quoted", mark: "[x]", price: "450 EUR", after: quoted },
    Hand { name: "twice quoted", mark: "[\u{2713}]", price: "450 \u{20ac}", after: twice_quoted },
    Hand { name: "filled anew", mark: "[X]", price: "450,-", after: filled_anew },
    Hand { name: "folded by mail", mark: "[x]", price: "__450__", after: folded_by_mail },
    Hand { name: "another editor", mark: "[x]", price: "**450**", after: another_editor },
    Hand { name: "without marks", mark: "[x]", price: "450", after: without_marks },
];

/// Fills in a paper the way the points' numbers say.
fn filled_by(hand: &Hand, text: &str) -> String {
    let mut number = 0;
    let mut lines = Vec::new();
    for line in text.lines() {
        if let Some(rest) = line.strip_prefix("## ") {
            number = rest.split('.').next().and_then(|head| head.parse().ok()).unwrap_or(0);
        }
        let tick = if number == 0 { Tick::No } else { tick_of(number) };
        let ticks = |label: &str, own: Tick| line.starts_with(label) && tick == own;
        lines.push(if ticks("- [ ] fine", Tick::Fine) || ticks("- [ ] faulty", Tick::Faulty) {
            line.replacen("[ ]", hand.mark, 1)
        } else if ticks("- [ ] can't", Tick::CantSay) {
            format!("{} a leak-down test", line.replacen("[ ]", hand.mark, 1))
        } else if line == "Price:" && tick == Tick::Faulty {
            format!("Price: {}", hand.price)
        } else if line == "Note:" && tick == Tick::Faulty {
            "Note: seen with my own eyes, 2 of 3".to_owned()
        } else {
            line.to_owned()
        });
    }
    (hand.after)(&(lines.join("\n") + "\n"))
}

fn mechanic_paper(which: &str) -> (String, Vec<String>) {
    let all = samples();
    let (_, record) = all.iter().find(|(name, _)| *name == which).unwrap();
    let judgement = judged(record);
    let codes = open_points(&judgement).into_iter().map(|(code, _)| code).collect();
    (paper(&judgement, "motor-1", Audience::Mechanic, Format::Markdown), codes)
}

/// The line with the name and the points, without what was seen and measured.
fn points_only(which: &str) -> (String, Vec<String>) {
    let (text, codes) = mechanic_paper(which);
    let name = text.lines().find(|line| line.starts_with("Paper:")).unwrap();
    let points = &text[text.find("## 1.").unwrap()..];
    (format!("# For\n\n{name}\n\n{points}"), codes)
}

fn check_filled(filled: &Filled, codes: &[String], hand: &str) {
    assert_eq!(filled.points.iter().map(|point| point.code.clone()).collect::<Vec<_>>(), codes, "{hand}");
    for (place, point) in filled.points.iter().enumerate() {
        let told = format!("{hand}, {}", point.code);
        match tick_of(place + 1) {
            Tick::No => assert!(point.is_blank(), "{told}: {point:?}"),
            Tick::Fine => assert_eq!(point.outcome, Reading::Said(Outcome::Fine), "{told}"),
            Tick::CantSay => {
                assert_eq!(point.outcome, Reading::Said(Outcome::CantSay), "{told}");
                assert_eq!(point.words, "without: a leak-down test", "{told}");
            }
            Tick::Faulty => {
                assert_eq!(point.outcome, Reading::Said(Outcome::Faulty), "{told}");
                assert!(
                    matches!(&point.price, Reading::Said(price) if (price.sum - 450.0).abs() < 1e-9),
                    "{told}: {point:?}"
                );
                assert_eq!(point.words, "seen with my own eyes, 2 of 3", "{told}");
            }
        }
    }
}

#[test]
fn papers_filled_in_by_many_hands_are_read() {
    for which in ["milky", "stopped", "empty", "uneven"] {
        let (text, codes) = mechanic_paper(which);
        assert!(codes.len() > 2, "{which}");
        for hand in &HANDS {
            let filled =
                read_paper(&filled_by(hand, &text)).unwrap_or_else(|problem| panic!("{}: {problem}", hand.name));
            assert_eq!((filled.name.as_str(), filled.loose.len()), ("motor-1", 0), "{}", hand.name);
            check_filled(&filled, &codes, hand.name);
        }
    }
}

#[test]
fn a_paper_that_quotes_itself_is_read_once() {
    let (text, codes) = mechanic_paper("milky");
    let filled = read_paper(&sent_back_above_itself(&filled_by(&HANDS[0], &text))).unwrap();
    check_filled(&filled, &codes, "above itself");
}

#[test]
fn an_untouched_paper_says_nothing() {
    let (text, codes) = mechanic_paper("milky");
    let filled = read_paper(&text).unwrap();
    assert_eq!(filled.points.len(), codes.len());
    assert!(filled.points.iter().all(FilledPoint::is_blank), "{filled:?}");
}

#[test]
fn name_and_state_come_back_whatever_the_name() {
    let all = samples();
    let judgement = judged(&all[1].1);
    for name in ["motor-1", "a / b", "# 3 *old*", "\u{5d0}\u{5d1} [x]", "one | two", "x".repeat(90).as_str()] {
        let filled = read_paper(&paper(&judgement, name, Audience::Mechanic, Format::Markdown)).unwrap();
        assert_eq!(filled.name, name);
        assert_eq!(filled.state, state_code(judgement.knowledge(), &all[1].1));
    }
}

#[test]
fn the_state_code_follows_the_answers_only() {
    let code = |record: &Record| state_code(&super::super::testing::KNOWLEDGE, record);
    let one = record(&[("gear-oil", "milky")]);
    let mut noted = one.clone();
    noted.answer_mut(super::super::testing::KNOWLEDGE.find("gear-oil").unwrap()).note = Some("n".into());
    noted.settled = vec![super::super::testing::settle("gearcase-seals", Outcome::Fine, None, "")];
    assert_eq!(code(&one), code(&noted));
    assert_ne!(code(&one), code(&record(&[("gear-oil", "hazy")])));
    assert_ne!(code(&one), code(&record(&[("gear-oil", "can't tell")])));
    assert_ne!(code(&record(&[])), code(&record(&[("gear-oil", "not done: no pan")])));
}

#[test]
fn other_texts_are_told_apart() {
    let (text, _) = mechanic_paper("milky");
    assert_eq!(read_paper("Dear friend,\n\nthe motor is fine.\n"), Err(PaperError::NotAPaper));
    assert_eq!(read_paper(""), Err(PaperError::NotAPaper));
    let nameless: String =
        text.lines().filter(|line| !line.starts_with("Paper:")).map(|line| format!("{line}\n")).collect();
    assert_eq!(read_paper(&nameless), Err(PaperError::NoName));
    let (head, _) = text.split_once("## 1.").unwrap();
    assert_eq!(read_paper(head), Err(PaperError::NoPoints));
    let other = text.replace("motor-1 /", "motor-2 /");
    assert!(matches!(read_paper(&format!("{text}\n{other}")), Err(PaperError::TwoPapers(..))));
    for problem in [PaperError::NotAPaper, PaperError::NoName, PaperError::NoPoints] {
        assert!(!problem.to_string().contains("invalid"));
    }
}

/// One point as it is printed, filled in by the given lines.
fn point(lines: &str) -> FilledPoint {
    let text = format!(
        "# For\n\nPaper: m / 0123456\n\n## 3. A thing [thing]\n\nWhat of it?\n\n{lines}\n\n## Who looked\n"
    );
    read_paper(&text).unwrap().points.remove(0)
}

#[test]
fn what_is_not_clear_is_told() {
    let boxes = "- [ ] fine (3)\n- [x] faulty (3)\n- [ ] can't say without:\n\n";
    for (why, lines) in [
        ("two boxes", "- [x] fine (3)\n- [x] faulty (3)\n- [ ] can't say without:".to_owned()),
        ("an odd mark", "- [?] fine (3)\n- [ ] faulty (3)".to_owned()),
        ("a broken box", "- [x] fine (3)\n- [x faulty (3)".to_owned()),
        ("a broken box", "- [x] fine (3)\n- x] faulty (3)".to_owned()),
        ("a bare mark", "- [ ] fine (3)\n- x faulty (3)".to_owned()),
        ("another point's box", "- [x] fine (4)\n- [ ] faulty (4)".to_owned()),
        ("two sets", format!("{boxes}{boxes}")),
        ("only words", "- [ ] fine (3)\n- [ ] faulty (3)\n\nNote: it is worn".to_owned()),
        ("only a price", "- [ ] fine (3)\n- [ ] faulty (3)\n\nPrice: 20".to_owned()),
        ("a reason without its tick", "- [ ] fine (3)\n- [ ] can't say without: a test".to_owned()),
        ("fine, and yet a price", "- [x] fine (3)\n- [ ] faulty (3)\n\nPrice: 450".to_owned()),
    ] {
        let read = point(&lines);
        assert!(matches!(read.outcome, Reading::Unclear(_)), "{why}: {read:?}");
        assert_eq!(read.settled(), None, "{why}");
    }
    for price in ["about 450", "400-500", "400 to 500", "450\nor 500", "450\n600", "n/a", "450\n\nIt is torn.", "?"]
    {
        let read = point(&format!("{boxes}Price: {price}\n"));
        assert!(matches!(read.price, Reading::Unclear(_)), "{price}: {read:?}");
        assert_eq!(read.outcome, Reading::Said(Outcome::Faulty));
        assert_eq!(read.settled(), None);
    }
    for price in ["", "-", "____", "\u{2014}", "..."] {
        assert_eq!(point(&format!("{boxes}Price: {price}\n\nNote:")).price, Reading::Blank, "{price}");
    }
    for (price, sum) in
        [("1,250", 1250.0), ("1.250", 1250.0), ("1 250,50", 1250.5), ("450\nEUR", 450.0), ("0", 0.0)]
    {
        let read = point(&format!("{boxes}Price: {price}\n\nNote:")).price;
        assert!(matches!(&read, Reading::Said(price) if (price.sum - sum).abs() < 1e-9), "{price}: {read:?}");
    }
}

#[test]
fn boxes_without_a_heading_are_told() {
    let text = "Paper: m / 0123456\n\n## 1. One [one]\n\n- [ ] fine (1)\n\n## 2. Two [tw\n\n- [x] faulty (2)\n";
    let filled = read_paper(text).unwrap();
    assert!(filled.points[0].is_blank());
    assert_eq!(filled.loose, ["the box \"faulty\" of point 2 is ticked, but its heading is missing"]);
}

#[test]
fn words_of_the_mechanic_are_kept() {
    let read = point(
        "- [ ] fine (3)\n- [x] faulty (3), the lip is torn\n- [ ] can't say without:\n\nPrice:\n\nNote: seen\nfrom *below*",
    );
    assert_eq!(read.words, "the lip is torn; seen from *below*");
    let read = point("- [ ] fine (3)\n- [x] can't say without: a test\n\nNote: next week");
    assert_eq!(read.words, "without: a test; next week");
}
