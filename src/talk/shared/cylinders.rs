//! Readings one cylinder at a time, each kept as it comes, the picture building up, a slip mended in place with `3=150`.

use crate::answers::{Context, Said, Typed, Value, parse_answer};
use crate::knowledge::Kind;
use crate::talk::{Act, Leave, Turn};
use crate::units::{Quantity, Unit};

use super::ask::readings_before;
use super::command::{What, command};
use super::echo::readings_seen;
use super::say::{quiet, say};
use super::{Desk, Going, Heard};

/// One reading where several are wanted: the first of them.
pub fn single(turn: &Turn<'_>, text: &str) -> Option<Quantity> {
    let wanted = turn.context.wanted.filter(|wanted| *wanted > 1)?;
    let several = text.split_whitespace().filter(|word| word.starts_with(|c: char| c.is_ascii_digit())).count();
    if wanted < 2 || several != 1 {
        return None;
    }
    read(turn, text, None).ok().flatten()
}

/// Begins to take the readings one by one; the first is kept at once, as every other.
pub fn begin(desk: &mut dyn Desk, turn: &Turn<'_>, first: Quantity) -> Act {
    keep_so_far(desk, turn, vec![Some(first)], false)
}

/// Goes on with the readings so far, until one more is to be kept, all are agreed on, or none is left.
pub fn go_on(
    desk: &mut dyn Desk,
    turn: &Turn<'_>,
    mut readings: Vec<Option<Quantity>>,
    told: bool,
) -> Result<Act, Leave> {
    let wanted = turn.context.wanted.unwrap_or(1);
    if !told {
        say(desk, "That is cylinder 1. Now the others, one at a time, or all of them in one line.");
        quiet(desk, "(each is kept as it comes · ? not read · 1=150 mends cylinder 1 · b one back · . stop)");
    }
    readings_seen(desk, &readings);
    loop {
        let full = readings.len() >= wanted;
        if full {
            quiet(desk, "Enter keeps these. (3=150 mends cylinder 3 · b one back)");
        } else {
            say(desk, &format!("Cylinder {} of {wanted}?", readings.len() + 1));
        }
        let text = match desk.read("")? {
            Heard::Text(text) => text.trim().to_owned(),
            Heard::Back => "b".into(),
            Heard::List(_) => continue,
        };
        let step =
            if full && text.is_empty() { keep(turn, &readings) } else { step(turn, &mut readings, &text, full) };
        match step {
            Step::Changed if readings.iter().all(Option::is_none) => return Ok(Act::Keep(None)),
            Step::Changed => return Ok(keep_so_far(desk, turn, readings, true)),
            Step::Told(why) => say(desk, &why),
            Step::Kept(said) => return Ok(Act::Say(said)),
            Step::Leave => return Err(Leave::Stop),
        }
    }
}

/// The readings so far as an answer: those to come count as not read.
fn keep_so_far(desk: &mut dyn Desk, turn: &Turn<'_>, readings: Vec<Option<Quantity>>, told: bool) -> Act {
    let mut padded = readings.clone();
    padded.resize(readings.len().max(turn.context.wanted.unwrap_or(1)), None);
    desk.manner().going = Some((turn.ix, Going::Row(readings, told)));
    Act::Keep(Some(Said::Value(Value::Readings(padded))))
}

enum Step {
    Changed,
    Told(String),
    /// All are read and agreed on, or typed in one line after all.
    Kept(Said),
    Leave,
}

/// All readings as an answer, if the parser takes them.
fn keep(turn: &Turn<'_>, readings: &[Option<Quantity>]) -> Step {
    match parse_answer(turn.question, &Value::Readings(readings.to_vec()).to_text(), &turn.context) {
        Ok(typed) => Step::Kept(typed.said),
        Err(refusal) => Step::Told(refusal.message),
    }
}

/// What one typed line does to the readings so far.
fn step(turn: &Turn<'_>, readings: &mut Vec<Option<Quantity>>, text: &str, full: bool) -> Step {
    if let Ok(Typed { said: said @ Said::Value(_), .. }) = parse_answer(turn.question, text, &turn.context) {
        return Step::Kept(said);
    }
    if let Some((number, rest)) = slip(text) {
        return match mend(turn, readings, number, rest) {
            Ok(()) => Step::Changed,
            Err(why) => Step::Told(why),
        };
    }
    match command(text, &[], false).map(|command| command.what) {
        Some(What::Back) => {
            readings.pop();
            Step::Changed
        }
        Some(What::Stop) => Step::Leave,
        // In a row of readings a question mark is one that was not taken, as it is in a list.
        Some(What::Why | What::CantTell) if !full => {
            readings.push(None);
            Step::Changed
        }
        Some(_) => Step::Told("First the cylinders; b goes back one by one.".into()),
        None if full => {
            Step::Told("All are read. Enter keeps them, 3=150 mends cylinder 3, b takes the last one back.".into())
        }
        None => match read(turn, text, last_unit(readings)) {
            Ok(reading) => {
                readings.push(reading);
                Step::Changed
            }
            Err(why) => Step::Told(why),
        },
    }
}

/// `3=150` at a question that was answered before: the whole text with that cylinder mended.
pub fn mended(turn: &Turn<'_>, text: &str) -> Option<Result<String, String>> {
    if !matches!(turn.question.kind, Kind::Readings(..)) {
        return None;
    }
    let (number, rest) = slip(text)?;
    let mut readings = readings_before(turn)?;
    Some(mend(turn, &mut readings, number, rest).map(|()| Value::Readings(readings).to_text()))
}

/// The cylinder and the text of `3=150`.
fn slip(text: &str) -> Option<(usize, &str)> {
    let (number, rest) = text.split_once('=')?;
    Some((number.trim().parse().ok()?, rest.trim()))
}

fn mend(turn: &Turn<'_>, readings: &mut [Option<Quantity>], number: usize, text: &str) -> Result<(), String> {
    let unit = last_unit(readings);
    let count = readings.len();
    let Some(reading) = number.checked_sub(1).and_then(|place| readings.get_mut(place)) else {
        return Err(format!("There is no reading {number} yet; I have {count}."));
    };
    *reading = if text == "?" { None } else { read(turn, text, unit)? };
    Ok(())
}

/// One reading; a bare number takes the unit of those before it.
fn read(turn: &Turn<'_>, text: &str, unit: Option<Unit>) -> Result<Option<Quantity>, String> {
    let bare = text.chars().all(|c| c.is_ascii_digit() || ".,".contains(c));
    let text = match unit.filter(|_| bare) {
        Some(unit) => format!("{text} {}", unit.symbol()),
        None => text.to_owned(),
    };
    let alone = Context { wanted: Some(1), ..turn.context.clone() };
    match parse_answer(turn.question, &text, &alone) {
        Ok(typed) => match typed.said {
            Said::Value(Value::Readings(readings)) => Ok(readings.first().copied().flatten()),
            _ => Ok(None),
        },
        Err(refusal) => Err(refusal.message),
    }
}

fn last_unit(readings: &[Option<Quantity>]) -> Option<Unit> {
    readings.iter().rev().flatten().map(|reading| reading.unit).next()
}
