//! Yes or no, and one of several things: by number, by words, by arrow keys.

use crate::talk::Leave;

use super::command::{What, command};
use super::lines::clean;
use super::pages::gone_early;
use super::say::{blank, numbered, put, quiet, say};
use super::{Desk, Heard, Ink, List};

/// What came of a choice.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Picked {
    Item(usize),
    Nothing,
}

/// Yes or no.
pub fn confirm(desk: &mut dyn Desk, question: &str) -> Result<bool, Leave> {
    let items = ["yes", "no"].map(str::to_owned);
    let hint = if desk.seen() {
        "(y or n, or Enter for the list · . stop and keep)"
    } else {
        "(y or n · . stop and keep)"
    };
    gone_early(desk)?;
    desk.fresh();
    blank(desk);
    loop {
        if let Picked::Item(place) = choose(desk, question, &items, hint, false)? {
            return Ok(place == 0);
        }
    }
}

/// One of several things.
pub fn pick(desk: &mut dyn Desk, question: &str, items: &[String]) -> Result<usize, Leave> {
    let hint = if desk.seen() {
        "(a number or words, or Enter for the list · . stop)"
    } else {
        "(a number or words · . stop)"
    };
    gone_early(desk)?;
    desk.fresh();
    blank(desk);
    loop {
        if let Picked::Item(place) = choose(desk, question, items, hint, false)? {
            return Ok(place);
        }
    }
}

/// A line of free words; empty for none.
pub fn line(desk: &mut dyn Desk, question: &str) -> Result<String, Leave> {
    gone_early(desk)?;
    desk.fresh();
    blank(desk);
    put(desk, Ink::Strong, question);
    match desk.read("")? {
        Heard::Text(text) if text.trim() == "." => Err(Leave::Stop),
        Heard::Text(text) => Ok(clean(&text).trim().to_owned()),
        Heard::List(_) | Heard::Back => Ok(String::new()),
    }
}

/// Shows the items numbered and hears which one; with `free` an empty line picks none of them.
pub fn choose(
    desk: &mut dyn Desk,
    question: &str,
    items: &[String],
    hint: &str,
    free: bool,
) -> Result<Picked, Leave> {
    if items.is_empty() {
        return Err(Leave::Stop);
    }
    put(desk, Ink::Strong, question);
    numbered(desk, items.iter().map(String::as_str));
    quiet(desk, hint);
    loop {
        let typed = match desk.read("")? {
            Heard::Back if free => return Ok(Picked::Nothing),
            Heard::Back => String::new(),
            Heard::Text(text) if text.trim().is_empty() && free => return Ok(Picked::Nothing),
            Heard::Text(text) if !text.trim().is_empty() || !desk.seen() => text,
            Heard::Text(_) | Heard::List(_) => match from_list(desk, items)? {
                Some(place) => return Ok(Picked::Item(place)),
                None => continue,
            },
        };
        if let Some(place) = meant(items, &typed) {
            return Ok(Picked::Item(place));
        }
        match command(&typed, &[], false).map(|command| command.what) {
            Some(What::Stop) => return Err(Leave::Stop),
            Some(What::Back) if free => return Ok(Picked::Nothing),
            _ if typed.trim().is_empty() => quiet(desk, hint),
            _ => say(desk, &format!("I can't place {:?} here. {hint}", clean(typed.trim()))),
        }
    }
}

fn from_list(desk: &mut dyn Desk, items: &[String]) -> Result<Option<usize>, Leave> {
    let picked = desk.list(&List { items, numbers: items.len(), ticked: None })?;
    let place = picked.and_then(|places| places.first().copied()).filter(|place| *place < items.len());
    if let Some(place) = place {
        super::say::hang(desk, Ink::Quiet, "  = ", &items[place]);
    }
    Ok(place)
}

/// The item of that number, of that name, that begins so, or the only one that holds it.
fn meant(items: &[String], typed: &str) -> Option<usize> {
    let typed = typed.trim().to_lowercase();
    if let Ok(number) = typed.parse::<usize>() {
        return number.checked_sub(1).filter(|place| *place < items.len());
    }
    if typed.is_empty() || !typed.chars().any(char::is_alphanumeric) {
        return None;
    }
    let only = |test: &dyn Fn(&str) -> bool| {
        let mut places = (0..items.len()).filter(|place| test(&items[*place].to_lowercase()));
        places.next().filter(|_| places.next().is_none())
    };
    let begun = only(&|item| item == typed).or_else(|| only(&|item| item.starts_with(&typed)));
    // A letter or two may stand anywhere by chance: an s is not a yes.
    begun.or_else(|| only(&|item| typed.len() > 2 && item.contains(&typed)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_item_is_meant_by_number_or_words() {
        let items = ["motor-1, begun 3 May", "motor-12, begun 4 May", "a new one"].map(str::to_owned);
        assert_eq!(meant(&items, "2"), Some(1));
        assert_eq!(meant(&items, " A new"), Some(2));
        assert_eq!(meant(&items, "4 may"), Some(1));
        assert_eq!(meant(&items, "motor"), None);
        assert_eq!(meant(&items, "4"), None);
        assert_eq!(meant(&items, "0"), None);
        assert_eq!(meant(&items, "."), None);
        assert_eq!(meant(&["yes", "no"].map(str::to_owned), "s"), None);
        assert_eq!(meant(&["yes", "no"].map(str::to_owned), "N"), Some(1));
    }
}
