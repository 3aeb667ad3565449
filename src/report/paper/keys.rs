//! The keyed lines of a paper: `1 gearcase-seals: …` and all that belongs to each, however lines were broken or joined.

use super::TITLES;

/// What stands behind one key up to the next, or, without a key, what stands before, between and after them.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    pub key: Option<String>,
    /// Lines with `\n` between.
    pub body: String,
}

/// Splits a paper at its keys. `is_prose` tells of a key and the words behind it whether the paper itself was printed
/// with them in a sentence: where lines were broken anew such a word may open a line. Headings and the numbered words before a point end what belongs to the key above.
#[must_use]
pub fn split(lines: &[String], keys: &[&str], is_prose: &dyn Fn(&str, &str) -> bool) -> Vec<Part> {
    let lines = &rejoined(lines, keys);
    let mut parts = vec![Part { key: None, body: String::new() }];
    let mut name_goes_on = 0;
    for line in lines {
        if line.starts_with("```") {
            continue;
        }
        // The interview's name is whatever the buyer called it; it may be folded, and its code ends it.
        if starts_name(line) {
            parts.push(Part { key: None, body: String::new() });
            name_goes_on = NAME_LINES;
        }
        if name_goes_on > 0 {
            name_goes_on -= 1;
            if line.is_empty()
                || super::name_and_state(line).is_some()
                || line.rsplit(' ').next().is_some_and(is_code)
            {
                name_goes_on = 0;
            }
            continue;
        }
        if ends_part(line) {
            parts.push(Part { key: None, body: String::new() });
        }
        take_line(line, keys, is_prose, &mut parts);
    }
    parts
}

/// Some programs break a line at a hyphen: where the halves make a key, they are one word again.
fn rejoined(lines: &[String], keys: &[&str]) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    for line in lines {
        let key = line.split(':').next().unwrap_or("");
        let half = all.last().filter(|last| last.ends_with('-')).and_then(|last| last.rsplit(' ').next());
        let whole = half.is_some_and(|half| keys.contains(&format!("{half}{key}").as_str()));
        match all.last_mut() {
            Some(last) if whole => last.push_str(line),
            _ => all.push(line.clone()),
        }
    }
    all
}

/// Lines over which a name may be folded.
const NAME_LINES: usize = 6;

fn is_code(word: &str) -> bool {
    super::name_and_state(&format!("x / {word}")).is_some()
}

fn starts_name(line: &str) -> bool {
    line.get(..6).is_some_and(|head| head.eq_ignore_ascii_case("paper:"))
}

/// Adds a line to the parts, a new part for each key in it.
fn take_line(line: &str, keys: &[&str], is_prose: &dyn Fn(&str, &str) -> bool, parts: &mut Vec<Part>) {
    let mut rest = line;
    while let Some((before, key, after)) = key_in(rest, keys, is_prose) {
        add(parts, without_number(before));
        parts.push(Part { key: Some(key.to_owned()), body: String::new() });
        rest = after;
    }
    add(parts, rest);
    if let Some(last) = parts.last_mut() {
        last.body.push('\n');
    }
}

fn add(parts: &mut [Part], text: &str) {
    if let Some(last) = parts.last_mut() {
        last.body.push_str(text);
    }
}

/// The first key of a line, what stands before and behind it.
fn key_in<'l, 'k>(
    line: &'l str,
    keys: &[&'k str],
    is_prose: &dyn Fn(&str, &str) -> bool,
) -> Option<(&'l str, &'k str, &'l str)> {
    let letter = |sign: char| sign.is_ascii_alphanumeric() || sign == '-' || sign == '_';
    let mut from = 0;
    while let Some(found) = line[from..].find(':') {
        let colon = from + found;
        let head = line[..colon].trim_end_matches(['*', '`', ' ']);
        let start = head
            .rfind(|sign: char| !letter(sign))
            .map_or(0, |place| place + head[place..].chars().next().map_or(1, char::len_utf8));
        let word = &head[start..];
        let word = word.trim_matches('_');
        from = colon + 1;
        let Some(key) = keys.iter().find(|key| same(key, word)) else { continue };
        let before = &line[..start];
        let after = line[colon + 1..].trim_start_matches(['*', '`']);
        if looks_printed(after) || (opens_line(before) && !is_prose(key, after)) {
            return Some((before, key, after));
        }
    }
    None
}

/// A telephone may have set a capital at the start of a line.
fn same(key: &str, word: &str) -> bool {
    let capital = word.len() == key.len() && word.get(1..) == key.get(1..) && word.eq_ignore_ascii_case(key);
    word == key || capital
}

/// Only bullets, quote marks and the number of the point stand before it.
fn opens_line(before: &str) -> bool {
    before.chars().all(|sign| sign.is_ascii_digit() || sign.is_whitespace() || "-*+>|.)(#`_\u{2022}".contains(sign))
}

/// Behind the key stands what the paper printed there: a box, a blank to fill in or what the buyer had read.
fn looks_printed(after: &str) -> bool {
    let after = after.trim_start();
    super::marks::box_at(after).is_some()
        || after.starts_with("__")
        || after.contains(" __")
        || after.starts_with("(had ")
}

/// The number of a point in front of its key belongs to neither side.
fn without_number(before: &str) -> &str {
    let text = before.trim_end_matches([' ', '*', '`', '-', '.', ')', '\u{2022}']);
    let bare = text.trim_end_matches(|sign: char| sign.is_ascii_digit());
    if bare.len() < text.len() && (bare.is_empty() || bare.ends_with([' ', '\n', '*'])) { bare } else { before }
}

/// A heading, the words before a point, the end of a mail.
fn ends_part(line: &str) -> bool {
    let text = line.trim_start_matches(['#', '*', ' ']);
    let digits = text.bytes().take_while(u8::is_ascii_digit).count();
    let numbered = (1..=2).contains(&digits)
        && text[digits..].starts_with('.')
        && text[digits + 1..].trim_start_matches('*').starts_with(' ');
    let bare = text.trim_end_matches(['*', ':', ' ', '#']);
    line.starts_with('#') || numbered || line == "--" || TITLES.iter().any(|title| bare.eq_ignore_ascii_case(title))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn keyed(text: &str) -> Vec<(String, String)> {
        let lines: Vec<String> = text.lines().map(str::to_owned).collect();
        let parts = split(&lines, &["gearcase-seals", "gears", "trim"], &|key, after| {
            key == "trim" && after.contains("slow")
        });
        parts.into_iter().filter_map(|part| Some((part.key?, part.body.trim().to_owned()))).collect()
    }

    #[test]
    fn keys_are_found_in_any_dress() {
        let body = "[ ] fine";
        for line in [
            "1 gearcase-seals: [ ] fine",
            "- **1 gearcase-seals:** [ ] fine",
            "gearcase-seals: [ ] fine",
            "Gearcase-seals: [ ] fine",
            "some words before 1 gearcase-seals: [ ] fine",
        ] {
            assert_eq!(keyed(line), [("gearcase-seals".to_owned(), body.to_owned())], "{line}");
        }
        assert!(keyed("the trim: it is slow? see other-trim: [ ]").is_empty());
        assert!(keyed("trim: is it slow?").is_empty());
    }

    #[test]
    fn what_belongs_to_a_key_ends_at_the_next_point() {
        let text =
            "1 gears: [x] fine\nno chips\n**2.** Gear oil: milky.\n2 gearcase-seals: [ ] fine\n## Numbers\nx";
        let wanted = [("gears", "[x] fine\nno chips"), ("gearcase-seals", "[ ] fine")];
        assert_eq!(keyed(text), wanted.map(|(key, body)| (key.to_owned(), body.to_owned())));
    }

    #[test]
    fn a_key_broken_at_its_hyphen_is_one_again() {
        assert_eq!(
            keyed("words 1 gearcase-\nseals: [x] fine"),
            [("gearcase-seals".to_owned(), "[x] fine".to_owned())]
        );
    }

    #[test]
    fn joined_lines_are_parted_again() {
        let text = "1 gears: [x] fine [ ] faulty price ____ 2 gearcase-seals: [ ] fine";
        let wanted = [("gears", "[x] fine [ ] faulty price ____"), ("gearcase-seals", "[ ] fine")];
        assert_eq!(keyed(text), wanted.map(|(key, body)| (key.to_owned(), body.to_owned())));
    }
}
