//! What the pieces under one heading amount to.

use crate::answers::{Outcome, parse::parse_money};

use super::super::words::typed;
use super::plain::shown_again;
use super::scan::{Mark, Piece, What, pieces};
use super::sections::Head;
use super::{FilledPoint, Price, Reading};

/// Reads one point.
pub fn read(head: &Head, body: &str) -> FilledPoint {
    let pieces = pieces(body);
    let price = price_of(&pieces);
    let words = words_of(&pieces);
    let outcome = outcome_of(head, &pieces, &price, &words);
    let words = match outcome {
        Reading::Said(Outcome::CantSay) => without_first(&pieces, &words),
        _ => words,
    };
    FilledPoint { code: head.code.clone(), outcome, price, words }
}

/// A box as it was found.
struct Found<'p> {
    outcome: Outcome,
    mark: &'p Mark,
    number: Option<usize>,
    behind: &'p str,
}

fn boxes_of(pieces: &[Piece]) -> Vec<Found<'_>> {
    let boxes = pieces.iter().filter_map(|piece| match &piece.what {
        What::Box(outcome, mark, number) => {
            Some(Found { outcome: *outcome, mark, number: *number, behind: &piece.text })
        }
        _ => None,
    });
    boxes.collect()
}

fn outcome_of(head: &Head, pieces: &[Piece], price: &Reading<Price>, words: &str) -> Reading<Outcome> {
    let boxes = boxes_of(pieces);
    let ticked: Vec<&Found<'_>> = boxes.iter().filter(|found| *found.mark == Mark::Ticked).collect();
    if let Some(problem) = boxes_problem(head, &boxes) {
        return Reading::Unclear(problem);
    }
    match ticked.as_slice() {
        [] if *price == Reading::Blank && words.is_empty() => Reading::Blank,
        [] => Reading::Unclear("something is written here, but no box is ticked".to_owned()),
        [one] => match (one.outcome, price) {
            (Outcome::Fine, Reading::Said(price)) if price.sum > 0.0 => {
                Reading::Unclear(format!("fine is ticked, and yet a price of {} is named", price.written))
            }
            (outcome, _) => Reading::Said(outcome),
        },
        several => {
            let names: Vec<&str> = several.iter().map(|found| name(found.outcome)).collect();
            Reading::Unclear(format!("more than one box is ticked: {}", names.join(", ")))
        }
    }
}

/// Why the boxes can't be trusted; an untouched set has no problem whatever happened around it.
fn boxes_problem(head: &Head, boxes: &[Found<'_>]) -> Option<String> {
    let odd = boxes.iter().find_map(|found| match found.mark {
        Mark::Odd(mark) => Some(format!("\"{}\" stands in the box \"{}\"", typed(mark), name(found.outcome))),
        _ => None,
    });
    let any_tick = boxes.iter().any(|found| *found.mark == Mark::Ticked);
    let twice = boxes
        .iter()
        .enumerate()
        .any(|(place, found)| boxes[..place].iter().any(|other| other.outcome == found.outcome));
    let foreign = boxes.iter().any(|found| found.number.is_some_and(|number| number != head.number));
    let damaged = boxes.iter().any(|found| looks_damaged(found.behind));
    if odd.is_some() {
        odd
    } else if !any_tick {
        None
    } else if twice || foreign {
        Some("boxes of another point stand under this heading".to_owned())
    } else if damaged {
        Some("a box here is damaged, so it can't be said which is ticked".to_owned())
    } else {
        None
    }
}

/// What is left of a box that lost a bracket: a bracket, or a label with its number.
fn looks_damaged(behind: &str) -> bool {
    let lower = behind.to_lowercase();
    let label = |word: &str| {
        lower.match_indices(word).any(|(place, _)| lower[place + word.len()..].trim_start().starts_with('('))
    };
    behind.contains(['[', ']', '\u{2610}', '\u{2611}', '\u{2612}']) || label("fine") || label("faulty")
}

fn name(outcome: Outcome) -> &'static str {
    match outcome {
        Outcome::Fine => "fine",
        Outcome::Faulty => "faulty",
        Outcome::CantSay => "can't say",
    }
}

/// The price, if it is one sum and nothing else.
fn price_of(pieces: &[Piece]) -> Reading<Price> {
    let blank = |sign: char| matches!(sign, '-' | '.' | '_' | '\u{2013}' | '\u{2014}' | '\u{2026}' | ' ' | '\n');
    let written = pieces.iter().filter(|piece| piece.what == What::Price).map(|piece| piece.text.as_str());
    let written: Vec<&str> = written.filter(|text| !text.chars().all(blank)).collect();
    match written.as_slice() {
        [] => Reading::Blank,
        [one] => one_price(one),
        _ => Reading::Unclear(format!(
            "two prices stand here: {}",
            written.iter().map(|text| typed(text)).collect::<Vec<_>>().join(" and ")
        )),
    }
}

fn one_price(text: &str) -> Reading<Price> {
    let written = shown_again(&typed(text));
    let bare = written.trim_matches(['_', '*', '`', ' ']).trim_end_matches(['.', ',', ';']).trim_end();
    // Figures on two lines may be two sums, whatever they look like side by side.
    let figures = text.lines().filter(|line| line.contains(|sign: char| sign.is_ascii_digit())).count();
    match parse_money(bare) {
        Ok(sum) if figures == 1 => Reading::Said(Price { sum, written: bare.to_owned() }),
        _ => Reading::Unclear(format!("I can't read \"{written}\" as one price")),
    }
}

/// Everything the mechanic wrote besides ticks and price.
fn words_of(pieces: &[Piece]) -> String {
    let own = pieces.iter().filter(|piece| matches!(piece.what, What::Box(..) | What::Note));
    joined(own.map(|piece| piece.text.as_str()))
}

/// The same where "can't say" is ticked: what stands behind it completes its sentence.
fn without_first(pieces: &[Piece], words: &str) -> String {
    let missing = pieces
        .iter()
        .find(|piece| matches!(piece.what, What::Box(Outcome::CantSay, ..)))
        .map(|piece| clean(&piece.text));
    match missing.filter(|missing| !missing.is_empty()) {
        Some(missing) => {
            let others = pieces.iter().filter(|piece| match piece.what {
                What::Box(outcome, ..) => outcome != Outcome::CantSay,
                ref what => *what == What::Note,
            });
            let others = joined(others.map(|piece| piece.text.as_str()));
            if others.is_empty() { format!("without: {missing}") } else { format!("without: {missing}; {others}") }
        }
        None => words.to_owned(),
    }
}

fn joined<'t>(texts: impl Iterator<Item = &'t str>) -> String {
    texts.map(clean).filter(|text| !text.is_empty()).collect::<Vec<_>>().join("; ")
}

/// Without bullets and fill-in lines that belong to nothing.
fn clean(text: &str) -> String {
    let bullet =
        |word: &&str| matches!(*word, "-" | "*" | "+" | "\u{2022}") || word.chars().all(|sign| sign == '_');
    let mut words: Vec<&str> = Vec::new();
    for line in text.lines() {
        // At the ends of a line such a word is a bullet, in between it may be a sign that was meant.
        let all: Vec<&str> = line.split_whitespace().collect();
        let start = all.iter().take_while(|word| bullet(word)).count();
        let end = all.len() - all[start..].iter().rev().take_while(|word| bullet(word)).count();
        words.extend(&all[start..end]);
    }
    shown_again(&typed(&words.join(" "))).trim_start_matches([',', ';', ':', ' ']).to_owned()
}

/// Ticks that stand under no point.
pub fn loose_ticks(body: &str) -> Vec<String> {
    let pieces = pieces(body);
    let boxes = boxes_of(&pieces);
    let marked = boxes.iter().filter(|found| *found.mark != Mark::Empty);
    let said = |found: &Found<'_>| {
        let number = found.number.map(|number| format!(" of point {number}")).unwrap_or_default();
        format!("the box \"{}\"{number} is ticked, but its heading is missing", name(found.outcome))
    };
    marked.map(said).collect()
}

/// Puts together two readings of one point: a paper that quotes itself holds each twice.
pub fn merge(one: &mut FilledPoint, other: FilledPoint) {
    one.outcome = either(std::mem::replace(&mut one.outcome, Reading::Blank), other.outcome, "outcomes");
    one.price = either(std::mem::replace(&mut one.price, Reading::Blank), other.price, "prices");
    if one.words.is_empty() {
        one.words = other.words;
    } else if !one.words.contains(&other.words) {
        one.words = format!("{}; {}", one.words, other.words);
    }
}

fn either<T: PartialEq>(one: Reading<T>, other: Reading<T>, of: &str) -> Reading<T> {
    match (one, other) {
        (Reading::Blank, reading) | (reading, Reading::Blank) => reading,
        (unclear @ Reading::Unclear(_), _) | (_, unclear @ Reading::Unclear(_)) => unclear,
        (one, other) if one == other => one,
        _ => Reading::Unclear(format!("this point stands twice in the paper, with two {of}")),
    }
}
