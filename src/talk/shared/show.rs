//! How a question looks: where we are, the card, the cautions, the question, its choices, the quiet line.

use crate::answers::parse::{accepted, parse_answer};
use crate::knowledge::{Card, Kind};
use crate::talk::Turn;

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
    stage_line(desk, turn);
    rule(desk);
    if let Some(card) = turn.card {
        card_read(desk, card)?;
    }
    for (level, text) in &turn.cautions {
        let lines = caution_lines(desk, *level, text).len();
        room_for(desk, lines + 1)?;
        caution(desk, *level, text);
    }
    if !turn.cautions.is_empty() {
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
fn height(desk: &dyn Desk, turn: &Turn<'_>) -> usize {
    let lines = |text: &str, hang: usize| wrap(text, desk.columns(), "", hang).len();
    let choices: usize = turn.question.choices().iter().map(|choice| lines(&choice.label, 5)).sum();
    let wait = turn.wait.map_or(0, |wait| lines(&wait.text, 0) + 3);
    lines(&turn.question.ask, 0) + choices + wait + 4
}

/// Shows the card to its end and waits until it was read.
fn card_read(desk: &mut dyn Desk, card: &Card) -> Result<(), Ended> {
    matters(desk);
    put(desk, Ink::Strong, &card.title);
    blank(desk);
    for (place, line) in card.lines.iter().enumerate() {
        let mark = format!("{:>2}. ", place + 1);
        let lines = wrap(line, desk.columns(), &mark, mark.len()).len();
        room_for(desk, lines)?;
        hang(desk, Ink::Plain, &mark, line);
    }
    wait(desk, "Read it to the end, then press Enter. (b back · . stop and keep)")
}

/// `Gearcase ......... 7 of about 70`; where it is read aloud, `Gearcase: 7 of about 70`.
fn stage_line(desk: &mut dyn Desk, turn: &Turn<'_>) {
    let number = turn.done + 1;
    let place = format!("{number} of about {}", turn.about.max(number));
    if !desk.seen() {
        return put(desk, Ink::Strong, &format!("{}: {place}", turn.stage));
    }
    let room = desk.columns().saturating_sub(width(&place) + 2);
    let title = cut(turn.stage, room.saturating_sub(2), usize::MAX);
    let dots = ".".repeat(room.saturating_sub(width(&title)));
    desk.put(&[(Ink::Strong, &title), (Ink::Quiet, &format!(" {dots} {place}"))]);
}

/// The question with its choices.
pub fn question(desk: &mut dyn Desk, turn: &Turn<'_>) {
    put(desk, Ink::Strong, &turn.question.ask);
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
    if !matches!(turn.question.kind, Kind::One(_)) {
        quiet(desk, &accepted(turn.question, &turn.context));
    }
}

/// The quiet line: all keys the first time, then those that are wanted most; in a low window, where they would push
/// the question out of it, no more than one line.
pub fn keys(desk: &mut dyn Desk, turn: &Turn<'_>) {
    let low = desk.rows().is_some_and(|rows| rows < 18);
    let all = !low && !std::mem::replace(&mut desk.manner().keys_told, true);
    let mut items = Vec::new();
    if all && matches!(turn.question.kind, Kind::One(_)) {
        items.push("a number or words".to_owned());
    }
    if all && desk.seen() && turn.before.is_none() {
        let what = if turn.question.choices().is_empty() { "Enter for a list" } else { "Enter for the list" };
        items.push(what.to_owned());
    }
    let wanted = |what: What| match what {
        What::List | What::Keys if all => false,
        What::Why | What::Wait | What::Keys => true,
        What::Back | What::CantTell | What::Stop => !low,
        _ => all,
    };
    let keys = KEYS.iter().filter(|key| offered(turn, desk.seen(), key.what) && wanted(key.what));
    items.extend(keys.map(|key| labelled(key, turn)));
    for line in flow(&in_brackets(items), desk.columns()) {
        desk.put(&[(Ink::Quiet, &line)]);
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
    let label = match key.what {
        What::Short if turn.short => "all questions",
        _ => key.label,
    };
    if no_for(key.letter, turn.question.choices()).is_some() {
        label.to_owned()
    } else {
        format!("{} {label}", key.letter)
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
