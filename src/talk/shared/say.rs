//! Saying things: paragraphs, cautions, headings, pictures. All that is shown goes through here and is cleaned.

use crate::knowledge::Level;
use crate::talk::Words;

use super::lines::{clean, width, wrap};
use super::pages::{make_room, matters};
use super::{Desk, Ink};

/// Something said between questions.
pub fn tell(desk: &mut dyn Desk, words: &Words<'_>) {
    match words {
        Words::Reply(text) | Words::Ended(text) => {
            blank(desk);
            say(desk, text);
        }
        Words::Margin(text) => hang(desk, Ink::Quiet, "  > ", text),
        Words::Plain(text) => {
            let lines = wrap(text, desk.columns(), "", 0).len();
            make_room(desk, lines);
            say(desk, text);
        }
        Words::Points(points) => {
            for point in points {
                let lines = wrap(point, desk.columns(), "- ", 2).len();
                make_room(desk, lines);
                hang(desk, Ink::Plain, "- ", point);
            }
        }
        Words::Picture(lines) => {
            make_room(desk, lines.len());
            picture(desk, lines);
        }
        Words::Heading(text) => {
            // With its first line, not alone at the foot of a page.
            make_room(desk, 3);
            matters(desk);
            blank(desk);
            put(desk, Ink::Strong, text);
        }
        Words::StageOpens { title, about } => {
            blank(desk);
            put(desk, Ink::Strong, title);
            rule(desk);
            say(desk, about);
        }
    }
}

/// A paragraph.
pub fn say(desk: &mut dyn Desk, text: &str) {
    put(desk, Ink::Plain, text);
}

/// A paragraph that can be passed over.
pub fn quiet(desk: &mut dyn Desk, text: &str) {
    put(desk, Ink::Quiet, text);
}

/// A wrapped paragraph.
pub fn put(desk: &mut dyn Desk, ink: Ink, text: &str) {
    hang(desk, ink, "", text);
}

/// A wrapped paragraph with a mark before it; the other lines hang under the first word.
pub fn hang(desk: &mut dyn Desk, ink: Ink, mark: &str, text: &str) {
    for line in wrap(text, desk.columns(), mark, width(mark)) {
        desk.put(&[(ink, &line)]);
    }
}

pub fn blank(desk: &mut dyn Desk) {
    desk.put(&[]);
}

/// A line across, where it is seen and not read aloud.
pub fn rule(desk: &mut dyn Desk) {
    if desk.seen() {
        let line = "-".repeat(desk.columns());
        desk.put(&[(Ink::Quiet, &line)]);
    }
}

/// A caution with its signal word, a blank line before it.
pub fn caution(desk: &mut dyn Desk, level: Level, text: &str) {
    matters(desk);
    blank(desk);
    for (place, line) in caution_lines(desk, level, text).iter().enumerate() {
        match line.strip_prefix(level.word()).filter(|_| place == 0) {
            Some(rest) => desk.put(&[(Ink::Signal, level.word()), (Ink::Plain, rest)]),
            None => desk.put(&[(Ink::Plain, line)]),
        }
    }
}

/// A caution wrapped under its first word; in a narrow window that would leave no room beside the signal word.
pub fn caution_lines(desk: &dyn Desk, level: Level, text: &str) -> Vec<String> {
    let word = level.word();
    let hangs = if desk.columns() < 50 { 2 } else { word.len() + 2 };
    wrap(text, desk.columns(), &format!("{word}  "), hangs)
}

/// Lines as they stand.
pub fn picture(desk: &mut dyn Desk, lines: &[String]) {
    for line in lines {
        let line = clean(line);
        desk.put(&[(Ink::Plain, line.trim_end())]);
    }
}

/// Numbered things, `1` onwards, the numbers in a column.
pub fn numbered<'t>(desk: &mut dyn Desk, items: impl ExactSizeIterator<Item = &'t str>) {
    let figures = items.len().to_string().len();
    for (place, item) in items.enumerate() {
        hang(desk, Ink::Plain, &format!("  {:>figures$}  ", place + 1), item);
    }
}

/// Minutes as people say them.
pub fn minutes_words(minutes: f64) -> String {
    if minutes < 0.75 {
        return "half a minute".into();
    }
    match crate::units::figure(minutes, 0).as_str() {
        "1" => "a minute".into(),
        whole => format!("about {whole} minutes"),
    }
}
