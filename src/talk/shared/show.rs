//! How a question looks: where we are, the card, the cautions, the question, its choices, the quiet line.

use crate::answers::parse::{accepted, parse_answer};
use crate::knowledge::Kind;
use crate::path::sitting::Boxed;
use crate::talk::{Card, Turn};

use super::command::{KEYS, Key, What, key_of, no_for};
use super::echo::in_words;
use super::lines::{cut, flow, width, wrap};
use super::pages::{Ended, matters, room_for, wait};
use super::say::{blank, caution, caution_lines, hang, minutes_words, numbered, put, quiet, rule, say};
use super::{Desk, Ink};

/// All that stands before the question.
pub fn opening(desk: &mut dyn Desk, turn: &Turn<'_>) -> Result<(), Ended> {
    let lines = height(desk, turn);
    room_for(desk, lines + 3)?;
    blank(desk);
    header(desk, turn);
    rule(desk);
    if let Some(card) = &turn.card {
        card_read(desk, card)?;
    }
    for alone in &turn.warned.alone {
        boxed(desk, alone)?;
        wait(desk, "(Enter goes on)")?;
    }
    if let Some(with) = &turn.warned.with {
        boxed(desk, with)?;
    }
    for line in &turn.warned.lines {
        hang(desk, Ink::Plain, "! ", line);
    }
    if turn.warned.with.is_some() || !turn.warned.lines.is_empty() {
        room_for(desk, lines)?;
        blank(desk);
    }
    if let Some(wait) = turn.wait {
        say(desk, &format!("This takes {} by itself. {}", minutes_words(wait.minutes), wait.text));
        let counting = if desk.seen() {
            "Type c and I count them down; any key ends it."
        } else {
            "Take your time, and answer after that."
        };
        quiet(desk, counting);
        blank(desk);
    }
    Ok(())
}

/// Lines the question takes with all that belongs to it.
pub fn height(desk: &dyn Desk, turn: &Turn<'_>) -> usize {
    let lines = |text: &str, hang: usize| wrap(text, desk.columns(), "", hang).len();
    let choices: usize = turn.question.choices().iter().map(|choice| lines(&choice.label, 5)).sum();
    let wait = turn.wait.map_or(0, |wait| lines(&wait.text, 0) + 3);
    let act = turn.texts.act.map_or(0, |act| lines(act, 0));
    lines(turn.texts.ask, 0) + act + choices + wait + 4
}

/// A box: the highest signal word over the texts it heads.
fn boxed(desk: &mut dyn Desk, it: &Boxed<'_>) -> Result<(), Ended> {
    for (place, text) in it.texts.iter().enumerate() {
        let lines = caution_lines(desk, it.level, text).len();
        room_for(desk, lines + 1)?;
        if place == 0 {
            caution(desk, it.level, text);
        } else {
            put(desk, Ink::Plain, text);
        }
    }
    Ok(())
}

/// Shows the card of a run to its end and waits until it was read.
fn card_read(desk: &mut dyn Desk, card: &Card<'_>) -> Result<(), Ended> {
    matters(desk);
    put(desk, Ink::Strong, card.title);
    let together = card.cautions.join(" ");
    let lines = caution_lines(desk, card.level, &together).len();
    // In one paragraph where a page holds it, else one by one, so that no part leaves the window unread.
    if desk.rows().is_none_or(|rows| lines + 5 < rows) {
        let all = if together.is_empty() { Vec::new() } else { vec![together.as_str()] };
        boxed(desk, &Boxed { level: card.level, texts: all })?;
    } else {
        boxed(desk, &Boxed { level: card.level, texts: card.cautions.clone() })?;
    }
    if !card.cautions.is_empty() {
        blank(desk);
    }
    for line in &card.watch {
        let lines = wrap(line, desk.columns(), "- ", 2).len();
        room_for(desk, lines)?;
        hang(desk, Ink::Plain, "- ", line);
    }
    wait(desk, "(Enter when read · b back · . stop)")
}

/// Where one stands, which look of how many, and the minutes left: `Leg, 15/41, 43 min`.
fn header(desk: &mut dyn Desk, turn: &Turn<'_>) {
    let header = turn.header;
    let left = header.minutes.map_or(String::new(), |minutes| format!(", {minutes:.0} min"));
    let number = format!(", {}/{}", header.number, header.of.max(header.number));
    // In a very narrow window the station matters more than the minutes.
    let narrow = desk.columns() < width(&number) + width(&left) + 8;
    let place = if narrow { number } else { number + &left };
    let title = cut(header.station, desk.columns().saturating_sub(width(&place)), usize::MAX);
    desk.put(&[(Ink::Strong, &title), (Ink::Quiet, &place)]);
}

/// The question with its choices.
pub fn question(desk: &mut dyn Desk, turn: &Turn<'_>) {
    put(desk, Ink::Strong, turn.texts.ask);
    if let Some(act) = turn.texts.act {
        say(desk, act);
    }
    let choices = turn.question.choices();
    numbered(desk, choices.iter().map(|choice| choice.label.as_str()));
}

/// What stands beside the question already, and what it takes.
pub fn beside(desk: &mut dyn Desk, turn: &Turn<'_>) {
    if let Some(before) = &turn.before {
        let typed = parse_answer(turn.question, before, &turn.context);
        let words = typed.map_or_else(|_| before.clone(), |typed| in_words(turn.question, &typed.said));
        quiet(desk, &format!("You said: {words}. Enter keeps it."));
    }
    if let Some(note) = turn.note {
        quiet(desk, &format!("Your note: {note}"));
    }
    match turn.photos.len() {
        0 => {}
        1 => quiet(desk, "One photo is kept here."),
        more => quiet(desk, &format!("{more} photos are kept here.")),
    }
    if let Some(takes) = takes(desk, turn) {
        quiet(desk, &takes);
    }
}

/// What the question takes: a whole sentence the first time for each kind, then as few words as will do.
fn takes(desk: &mut dyn Desk, turn: &Turn<'_>) -> Option<String> {
    let kind = std::mem::discriminant(&turn.question.kind);
    let first = desk.manner().kinds_told.insert(kind);
    let wanted = || turn.context.wanted.map_or_else(|| "The".to_owned(), |count| count.to_string());
    let alone = turn.context.wanted == Some(1);
    match &turn.question.kind {
        Kind::One(_) => None,
        Kind::Each(_) if alone => None,
        Kind::Readings(amount, _) if alone => Some(format!("In {}.", amount.unit.symbol())),
        _ if first => Some(accepted(turn.question, &turn.context)),
        Kind::Many(_) => Some("Several: commas between.".into()),
        Kind::Each(_) => Some("One word a cylinder, or one for all.".into()),
        Kind::Amount(amount) => Some(format!("{}.", between(&amount.bounds.0, &amount.bounds.1))),
        Kind::Readings(amount, _) => {
            Some(format!("{} readings, blanks between, in {}.", wanted(), amount.unit.symbol()))
        }
        Kind::Count { least, most, .. } => Some(format!("{least} to {most}.")),
        Kind::Prices { .. } => Some("Blanks between.".into()),
        Kind::Year { .. } | Kind::Money { .. } | Kind::Text(_) => None,
    }
}

/// Two bounds, their unit once where both have the same.
fn between(least: &str, most: &str) -> String {
    match (least.split_once(' '), most.split_once(' ')) {
        (Some((bare, unit)), Some((_, other))) if unit == other => format!("{bare} to {most}"),
        _ => format!("{least} to {most}"),
    }
}

/// Turns after which everybody knows how to see the keys.
const SETTLING_IN: usize = 12;

/// The quiet line: all keys the first time, then the few that are wanted most, never more than eight words; what Enter
/// does stands in each.
pub fn keys(desk: &mut dyn Desk, turn: &Turn<'_>) {
    let low = desk.rows().is_some_and(|rows| rows < 18);
    let all = !low && !std::mem::replace(&mut desk.manner().keys_told, true);
    desk.manner().turns += 1;
    let settling_in = desk.manner().turns <= SETTLING_IN;
    let mut items = Vec::new();
    if all && matches!(turn.question.kind, Kind::One(_)) {
        items.push("a number or words".to_owned());
    }
    let cant_tell_known = desk.manner().cant_tell_used;
    let wanted = |what: What| match what {
        What::List | What::Keys if all => false,
        What::Why | What::Draw | What::Wait => true,
        What::CantTell => all || !cant_tell_known,
        _ => all,
    };
    let keys = KEYS.iter().filter(|key| offered(turn, desk.seen(), key.what) && wanted(key.what));
    items.extend(keys.map(|key| labelled(key, turn)));
    items.push(enter_does(desk, turn).to_owned());
    if !all && settling_in {
        items.push(labelled(key_of(What::Keys), turn));
    }
    for line in flow(&in_brackets(items), desk.columns()) {
        desk.put(&[(Ink::Quiet, &line)]);
    }
}

/// What an empty line does here.
fn enter_does(desk: &dyn Desk, turn: &Turn<'_>) -> &'static str {
    match (turn.before.is_some(), desk.seen()) {
        (true, _) => "Enter keeps",
        (false, true) => "Enter list",
        (false, false) => "Enter hint",
    }
}

fn in_brackets(mut items: Vec<String>) -> Vec<String> {
    if let Some(first) = items.first_mut() {
        first.insert(0, '(');
    }
    if let Some(last) = items.last_mut() {
        last.push(')');
    }
    items
}

/// Whether a key does anything at this question.
pub fn offered(turn: &Turn<'_>, seen: bool, what: What) -> bool {
    match what {
        What::Wait => turn.wait.is_some(),
        What::Draw => turn.picture.is_some(),
        What::List => seen,
        _ => true,
    }
}

/// `n note`, or `note` where the letter is an answer.
pub fn labelled(key: &Key, turn: &Turn<'_>) -> String {
    if no_for(key.letter, turn.question.choices()).is_some() {
        key.label.to_owned()
    } else {
        format!("{} {}", key.letter, key.label)
    }
}

/// Every key with what it does, one a line.
pub fn all_keys(desk: &mut dyn Desk, turn: &Turn<'_>) {
    let seen = desk.seen();
    say(
        desk,
        if seen {
            "Answer with a number, with words, or from the list that Enter opens. Besides:"
        } else {
            "Answer with a number or with words. Besides:"
        },
    );
    for key in KEYS.iter().filter(|key| offered(turn, seen, key.what)) {
        let letter = if no_for(key.letter, turn.question.choices()).is_some() { "note" } else { key.letter };
        hang(desk, Ink::Plain, &format!("  {letter}  "), key.tells);
    }
    quiet(desk, &format!("An = before it gives such a word as an answer: ={}.", key_of(What::Back).letter));
}
