//! The choices of a question as a list for the arrow keys, with the other things one can do at its end.
//!
//! What is picked becomes the text one could have typed: a number, or numbers with commas between.

use crate::answers::{Said, Value, parse_answer};
use crate::knowledge::Kind;
use crate::talk::{Leave, Turn};

use super::command::{KEYS, What};
use super::say::say;
use super::show::{labelled, offered};
use super::{Desk, List};

/// What came of a list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Listed {
    /// Back to the line.
    Nothing,
    Typed(String),
    Does(What),
}

/// Opens the list that suits the question; ticks what is typed already.
pub fn open(desk: &mut dyn Desk, turn: &Turn<'_>, typed: &str) -> Result<Listed, Leave> {
    if !desk.seen() {
        say(desk, "There is no list here: a number or words will do.");
        return Ok(Listed::Nothing);
    }
    match &turn.question.kind {
        Kind::Many(_) => many(desk, turn, typed),
        Kind::Each(_) if turn.context.wanted.is_some_and(|wanted| wanted > 1) => each(desk, turn),
        _ => one(desk, turn),
    }
}

/// The choices, numbered as they stand in the question.
fn choices(turn: &Turn<'_>) -> Vec<String> {
    turn.question
        .choices()
        .iter()
        .enumerate()
        .map(|(place, choice)| format!("{}  {}", place + 1, choice.label))
        .collect()
}

/// The keys that make sense in a list.
fn others(turn: &Turn<'_>) -> Vec<(What, String)> {
    let keys = KEYS
        .iter()
        .filter(|key| offered(turn, true, key.what) && !matches!(key.what, What::List | What::Keys | What::Draw));
    keys.map(|key| (key.what, labelled(key, turn))).collect()
}

fn one(desk: &mut dyn Desk, turn: &Turn<'_>) -> Result<Listed, Leave> {
    pick(desk, turn, choices(turn))
}

/// One of the items, or one of the other things to do.
fn pick(desk: &mut dyn Desk, turn: &Turn<'_>, mut items: Vec<String>) -> Result<Listed, Leave> {
    let own = items.len();
    let others = others(turn);
    items.extend(others.iter().map(|(_, label)| label.clone()));
    let picked =
        desk.list(&List { items: &items, numbers: own, ticked: None })?.and_then(|places| places.first().copied());
    Ok(match picked {
        None => Listed::Nothing,
        Some(place) if place < own => Listed::Typed((place + 1).to_string()),
        Some(place) => others.get(place - own).map_or(Listed::Nothing, |(what, _)| Listed::Does(*what)),
    })
}

fn many(desk: &mut dyn Desk, turn: &Turn<'_>, typed: &str) -> Result<Listed, Leave> {
    let others = others(turn);
    let mut items = choices(turn);
    let own = items.len();
    items.extend(others.iter().map(|(_, label)| label.clone()));
    let mut ticked = ticked_before(turn, typed);
    loop {
        let Some(places) = desk.list(&List { items: &items, numbers: own, ticked: Some(&ticked) })? else {
            return Ok(Listed::Nothing);
        };
        let (chosen, other): (Vec<usize>, Vec<usize>) = places.into_iter().partition(|place| *place < own);
        match (chosen.as_slice(), other.as_slice()) {
            ([], []) => say(
                desk,
                "Nothing is ticked yet. The space bar ticks a line, Enter takes all that are ticked, Esc goes back.",
            ),
            ([], [place]) => {
                return Ok(others.get(place - own).map_or(Listed::Nothing, |(what, _)| Listed::Does(*what)));
            }
            (_, []) => {
                let numbers: Vec<String> = chosen.iter().map(|place| (place + 1).to_string()).collect();
                return Ok(Listed::Typed(numbers.join(", ")));
            }
            _ => say(
                desk,
                "Answers, or one of the other things: both at once I can't do. The answers are still ticked.",
            ),
        }
        ticked = chosen;
    }
}

/// The places of the choices in what is typed already, or was said before.
fn ticked_before(turn: &Turn<'_>, typed: &str) -> Vec<usize> {
    let text = if typed.trim().is_empty() { turn.before.as_deref().unwrap_or("") } else { typed };
    let Ok(typed) = parse_answer(turn.question, text, &turn.context) else { return Vec::new() };
    match typed.said {
        Said::Value(Value::Many(ids)) => {
            let choices = turn.question.choices().iter().enumerate();
            choices.filter(|(_, choice)| ids.contains(&choice.id)).map(|(place, _)| place).collect()
        }
        _ => Vec::new(),
    }
}

/// All alike, or cylinder by cylinder; Esc goes one cylinder back.
fn each(desk: &mut dyn Desk, turn: &Turn<'_>) -> Result<Listed, Leave> {
    let count = turn.context.wanted.unwrap_or(1);
    let ways = vec!["all cylinders alike".to_owned(), "one cylinder after the other".to_owned()];
    match pick(desk, turn, ways)? {
        Listed::Typed(way) if way == "1" => return one(desk, turn),
        Listed::Typed(_) => {}
        other => return Ok(other),
    }
    let items = choices(turn);
    let mut numbers: Vec<String> = Vec::new();
    while numbers.len() < count {
        say(desk, &format!("Cylinder {} of {count}", numbers.len() + 1));
        let list = List { items: &items, numbers: items.len(), ticked: None };
        match desk.list(&list)?.and_then(|places| places.first().copied()) {
            Some(place) => {
                super::say::hang(desk, super::Ink::Quiet, "  = ", items.get(place).map_or("", String::as_str));
                numbers.push((place + 1).to_string());
            }
            None if numbers.pop().is_none() => return Ok(Listed::Nothing),
            None => {}
        }
    }
    Ok(Listed::Typed(numbers.join(", ")))
}
