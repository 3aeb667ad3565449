//! What stands behind the key of a point, and what it amounts to.

use crate::answers::{Outcome, parse::parse_money};

use super::super::words::typed;
use super::marks::{Mark, Piece, What, box_at, is_tick, pieces};
use super::plain::shown_again;
use super::{FilledPoint, Price, Reading};

/// A number without a currency below this is a count of something, not a price.
const LEAST_BARE_PRICE: f64 = 20.0;

/// Reads one point.
#[must_use]
pub fn read(code: &str, body: &str) -> FilledPoint {
    let mut pieces = pieces(body);
    let mut words = words_of(&pieces);
    let mut price = price_of(&pieces);
    let outcome = outcome_of(&pieces, &price, &words);
    if price == Reading::Blank
        && outcome == Reading::Said(Outcome::Faulty)
        && let Some((found, rest)) = price_behind_faulty(&pieces)
    {
        price = Reading::Said(found);
        if let Some(piece) = pieces.iter_mut().find(|piece| is_chosen(piece)) {
            piece.text = rest;
        }
        words = words_of(&pieces);
    }
    FilledPoint { code: code.to_owned(), outcome, price, words }
}

/// The labels with their marks, in the order they stand.
fn labels(pieces: &[Piece]) -> Vec<(Outcome, &Mark, &Piece)> {
    let found = pieces.iter().filter_map(|piece| match &piece.what {
        What::Label(outcome, mark) => Some((*outcome, mark, piece)),
        _ => None,
    });
    found.collect()
}

fn is_chosen(piece: &Piece) -> bool {
    matches!(&piece.what, What::Label(Outcome::Faulty, mark) if *mark != Mark::Empty)
}

fn outcome_of(pieces: &[Piece], price: &Reading<Price>, words: &str) -> Reading<Outcome> {
    let all = labels(pieces);
    if let Some(problem) = problem_of(pieces, &all) {
        return Reading::Unclear(problem);
    }
    let mut chosen: Vec<Outcome> = Vec::new();
    for outcome in ticked(&all) {
        if !chosen.contains(&outcome) {
            chosen.push(outcome);
        }
    }
    match chosen.as_slice() {
        [] if *price == Reading::Blank && words.is_empty() => Reading::Blank,
        [] => Reading::Unclear("something is written here, but no box is ticked".to_owned()),
        [one] => match (one, price) {
            (Outcome::Fine, Reading::Said(price)) if price.sum > 0.0 => {
                Reading::Unclear(format!("fine is ticked, and yet a price of {} is named", price.written))
            }
            _ => Reading::Said(*one),
        },
        several => {
            let names: Vec<&str> = several.iter().map(|outcome| name(*outcome)).collect();
            Reading::Unclear(format!("more than one box is ticked: {}", names.join(", ")))
        }
    }
}

/// What is ticked: boxes with a tick in them or behind their label; else the one written in strong type; else the
/// one that was left when the others were taken away; else the words written under the boxes.
fn ticked(all: &[(Outcome, &Mark, &Piece)]) -> Vec<Outcome> {
    let is = |(outcome, mark, piece): &(Outcome, &Mark, &Piece)| {
        let behind = **mark != Mark::Ticked && is_tick(&first_line(&piece.text));
        (**mark == Mark::Ticked || behind).then_some(*outcome)
    };
    let boxes: Vec<Outcome> = all.iter().filter_map(is).collect();
    if !boxes.is_empty() {
        return boxes;
    }
    let strong: Vec<Outcome> =
        all.iter().filter(|(.., piece)| piece.strong).map(|(outcome, ..)| *outcome).collect();
    if !strong.is_empty() && strong.len() < all.len() {
        return strong;
    }
    if let [(only, ..)] = all {
        return vec![*only];
    }
    let printed = |mark: &Mark| *mark != Mark::Bare;
    let bare: Vec<Outcome> =
        all.iter().filter(|(_, mark, _)| !printed(mark)).map(|(outcome, ..)| *outcome).collect();
    let untouched = all.iter().filter(|(_, mark, _)| printed(mark)).count() == 3;
    // Three labels that lost their boxes on the way say nothing.
    if untouched || (bare.len() == 1 && all.len() > 1) { bare } else { Vec::new() }
}

fn first_line(text: &str) -> String {
    text.lines().next().unwrap_or("").trim().to_owned()
}

/// Why the boxes can't be trusted.
fn problem_of(pieces: &[Piece], all: &[(Outcome, &Mark, &Piece)]) -> Option<String> {
    let odd = all.iter().find_map(|(outcome, mark, _)| match mark {
        Mark::Odd(mark) => Some(format!("\"{}\" stands in the box \"{}\"", typed(mark), name(*outcome))),
        _ => None,
    });
    if odd.is_some() {
        return odd;
    }
    let stray = pieces.iter().any(|piece| piece.what != What::Price && has_stray_box(&piece.text));
    if stray {
        return Some("a box stands here that belongs to none of the three words".to_owned());
    }
    let half = all.len() == 2 && all.iter().all(|(_, mark, _)| **mark == Mark::Empty);
    half.then(|| "one of the three boxes is gone, and neither of the others is ticked".to_owned())
}

/// A box with anything in it, or half a box; words in brackets are none.
fn has_stray_box(text: &str) -> bool {
    let boxes = ['[', ']', '\u{2610}', '\u{2611}', '\u{2612}', '\u{1f5f9}'];
    let mut rest = text;
    while let Some(place) = rest.find(boxes) {
        rest = &rest[place..];
        if box_at(rest).is_some() {
            return true;
        }
        match rest.strip_prefix('[').and_then(|inner| inner.split_once(']')) {
            Some((_, after)) => rest = after,
            None => return true,
        }
    }
    false
}

#[must_use]
pub fn name(outcome: Outcome) -> &'static str {
    match outcome {
        Outcome::Fine => "fine",
        Outcome::Faulty => "faulty",
        Outcome::CantSay => "can't say",
    }
}

/// The price, if it is one sum and nothing else; words behind it are words.
fn price_of(pieces: &[Piece]) -> Reading<Price> {
    let written = pieces.iter().filter(|piece| piece.what == What::Price).map(|piece| price_line(&piece.text));
    let mut written: Vec<String> = written.filter(|text| !is_blank(text)).collect();
    written.dedup();
    match written.as_slice() {
        [] => Reading::Blank,
        [one] => one_price(one),
        _ => Reading::Unclear(format!("two prices stand here: {}", written.join(" and "))),
    }
}

/// The line the price stands on, or the next where it was broken off.
fn price_line(text: &str) -> String {
    let mut lines = text.split('\n');
    let first = lines.next().unwrap_or("");
    let line = if first.trim().is_empty() { lines.next().unwrap_or("") } else { first };
    shown_again(&typed(line)).trim_matches(['_', '*', '`', ' ', ':']).to_owned()
}

fn is_blank(text: &str) -> bool {
    let blank = |sign: char| matches!(sign, '-' | '.' | '_' | '\u{2013}' | '\u{2014}' | '\u{2026}' | ' ' | '\n');
    text.chars().all(blank)
}

/// Reads one sum, with words behind it that hold no other.
#[must_use]
pub fn one_price(written: &str) -> Reading<Price> {
    let bare = written.trim_matches(['_', '*', '`', ' ']).trim_end_matches(['.', ',', ';']).trim_end();
    if let Ok(sum) = parse_money(bare) {
        return Reading::Said(Price { sum, written: bare.to_owned() });
    }
    match leading_sum(bare) {
        Some((price, rest)) if !rest.contains(|sign: char| sign.is_ascii_digit()) && set_apart(bare, &price) => {
            Reading::Said(price)
        }
        _ => Reading::Unclear(format!("I can't read \"{bare}\" as one price")),
    }
}

/// Whether a comma or a bracket parts the sum from the words behind it.
fn set_apart(text: &str, price: &Price) -> bool {
    text[price.written.len()..].trim_start().starts_with([',', ';', '('])
}

/// The longest beginning that is a sum, and the rest.
fn leading_sum(text: &str) -> Option<(Price, &str)> {
    let ends = text
        .char_indices()
        .filter(|(_, sign)| matches!(sign, ' ' | ',' | ';' | '\n' | '('))
        .map(|(place, _)| place);
    let ends: Vec<usize> = ends.chain([text.len()]).collect();
    ends.into_iter().rev().find_map(|end| {
        let head = text[..end].trim_end_matches([',', ';', ' ', '.']);
        let sum = parse_money(head).ok()?;
        Some((Price { sum, written: head.to_owned() }, text[end..].trim_start_matches([' ', '\n'])))
    })
}

/// "faulty 450", "faulty, 450 both seals": the sum that stands first behind the word.
fn price_behind_faulty(pieces: &[Piece]) -> Option<(Price, String)> {
    let piece = pieces.iter().find(|piece| is_chosen(piece))?;
    let text = piece.text.trim_start_matches([' ', ',', ':', '-', '.', '\u{2013}', '=']);
    let (price, rest) = leading_sum(text)?;
    let marked =
        price.written.contains(|sign: char| sign.is_alphabetic() || "$\u{20ac}\u{a3}\u{a5}".contains(sign));
    let alone = clean(rest).is_empty();
    (marked || price.sum >= LEAST_BARE_PRICE || alone).then(|| (price, rest.to_owned()))
}

/// Everything the mechanic wrote besides ticks and price.
fn words_of(pieces: &[Piece]) -> String {
    let mut all: Vec<String> = Vec::new();
    for piece in pieces {
        let text = match &piece.what {
            What::Price => after_price(&piece.text),
            What::Label(Outcome::CantSay, mark) if *mark == Mark::Ticked && !clean(&piece.text).is_empty() => {
                let said = clean(&piece.text);
                if said.starts_with("without") { said } else { format!("without: {said}") }
            }
            _ => clean(&piece.text),
        };
        if !text.is_empty() && !is_tick(&text) && !all.contains(&text) {
            all.push(text);
        }
    }
    all.join("; ")
}

/// What stands behind the sum, or under it.
fn after_price(text: &str) -> String {
    let line = price_line(text);
    let lines: Vec<&str> = text.split('\n').collect();
    let first = usize::from(lines.first().is_some_and(|line| line.trim().is_empty()));
    let under = clean(&lines.get(first + 1..).unwrap_or(&[]).join("\n"));
    let behind = match (one_price(&line), leading_sum(&line)) {
        (Reading::Said(_), Some((_, rest))) => clean(rest.trim_matches(['(', ')'])),
        _ => String::new(),
    };
    [behind, under].into_iter().filter(|text| !text.is_empty()).collect::<Vec<_>>().join("; ")
}

/// Without bullets and fill-in lines that belong to nothing.
fn clean(text: &str) -> String {
    let bullet = |word: &&str| {
        matches!(*word, "-" | "*" | "+" | "**" | "/" | "|" | "\u{2022}" | "." | "=")
            || word.chars().all(|sign| sign == '_')
    };
    let mut words: Vec<&str> = Vec::new();
    for line in text.lines() {
        // At the ends of a line such a word is a bullet, in between it may be a sign that was meant.
        let all: Vec<&str> = line.split_whitespace().collect();
        let start = all.iter().take_while(|word| bullet(word)).count();
        let end = all.len() - all[start..].iter().rev().take_while(|word| bullet(word)).count();
        words.extend(&all[start..end]);
    }
    let text = shown_again(&typed(&words.join(" ")));
    text.trim_start_matches([',', ';', ':', ' ', '.', '-', '\u{2013}', '\u{2014}'])
        .trim_end_matches(['*', ' '])
        .to_owned()
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
