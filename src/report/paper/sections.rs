//! The points of a paper by their headings: `## 3. Title [code]`.
//!
//! A heading may be folded over a few lines, and may have lost its `#` if all have. A heading without a code, or any
//! other heading, ends the point before it, so that boxes never go to a point they do not stand under.

/// A point's heading.
#[derive(Clone, Debug, PartialEq)]
pub struct Head {
    pub number: usize,
    pub code: String,
}

/// What stands under a heading; without a head under none or under one that can't be read.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Part {
    pub head: Option<Head>,
    /// Lines with `\n` between.
    pub body: String,
}

/// Lines a folded heading may take.
const FOLDED: usize = 6;

/// Splits a paper at its headings.
pub fn split(lines: &[String]) -> Vec<Part> {
    let places = || 0..lines.len();
    let marked = places().any(|place| lines[place].starts_with('#') && head_at(lines, place).is_some());
    let mut parts = vec![Part::default()];
    let mut place = 0;
    while place < lines.len() {
        let line = &lines[place];
        let head = head_at(lines, place).filter(|_| !marked || line.starts_with('#'));
        if let Some((head, taken)) = head {
            parts.push(Part { head: Some(head), body: String::new() });
            place += taken;
            continue;
        }
        if ends_point(line, marked) {
            parts.push(Part::default());
        } else if let Some(part) = parts.last_mut() {
            part.body.push_str(line);
            part.body.push('\n');
        }
        place += 1;
    }
    parts
}

fn ends_point(line: &str, marked: bool) -> bool {
    let other_heading = line.starts_with("##") && line.trim_start_matches('#').starts_with([' ', '*']);
    (marked && other_heading) || line.trim_matches(['#', '*', ' ', ':']).eq_ignore_ascii_case("who looked")
}

/// The heading that begins at a line, and how many lines it takes.
fn head_at(lines: &[String], place: usize) -> Option<(Head, usize)> {
    let number = number_of(&lines[place])?;
    let mut joined = String::new();
    for (taken, line) in lines[place..].iter().take(FOLDED).enumerate() {
        let goes_on = !line.is_empty() && (taken == 0 || (number_of(line).is_none() && !line.starts_with("- [")));
        if !goes_on {
            return None;
        }
        joined.push_str(line);
        joined.push(' ');
        if let Some(code) = code_at_end(&joined) {
            return Some((Head { number, code }, taken + 1));
        }
    }
    None
}

/// The number of a heading line.
fn number_of(line: &str) -> Option<usize> {
    let text = line.trim_start_matches(['#', '*', ' ']);
    let digits = text.find(|sign: char| !sign.is_ascii_digit())?;
    let after = text[digits..].strip_prefix(['.', ')'])?;
    (1..=4).contains(&digits).then_some(())?;
    after.starts_with([' ', '*']).then(|| text[..digits].parse().ok())?
}

/// The code in brackets at the end of a heading.
fn code_at_end(joined: &str) -> Option<String> {
    let text = joined.trim_end_matches(['#', '*', ' ']).strip_suffix(']')?;
    let (before, code) = text.rsplit_once('[')?;
    let code = code.trim();
    let fits = |sign: char| sign.is_ascii_lowercase() || sign.is_ascii_digit() || sign == '-';
    (before.ends_with([' ', '*']) && !code.is_empty() && code.chars().all(fits)).then(|| code.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn split_text(text: &str) -> Vec<Part> {
        split(&text.lines().map(str::to_owned).collect::<Vec<_>>())
    }

    fn heads(text: &str) -> Vec<Option<(usize, String)>> {
        split_text(text).into_iter().map(|part| part.head.map(|head| (head.number, head.code))).collect()
    }

    #[test]
    fn headings_are_found_folded_and_bare() {
        let one = Some((1, "gearcase-seals".to_owned()));
        assert_eq!(heads("## 1. The seals leak [gearcase-seals]\nx"), [None, one.clone()]);
        assert_eq!(heads("## 1. The seals\nleak\n[gearcase-seals]\nx"), [None, one.clone()]);
        assert_eq!(heads("1. The seals leak [gearcase-seals]\nx\nWho looked\ny"), [None, one.clone(), None]);
        assert_eq!(heads("**1. The seals leak [gearcase-seals]**\nx"), [None, one]);
    }

    #[test]
    fn a_numbered_note_is_no_heading() {
        let found = heads("## 1. The seals leak [gearcase-seals]\nNote:\n2. see [propeller]\n## Who looked");
        assert_eq!(found, [None, Some((1, "gearcase-seals".to_owned())), None]);
    }

    #[test]
    fn a_broken_heading_ends_the_point_before() {
        let parts = split_text("## 1. One [one]\na\n## 2. Two [tw\nb");
        assert_eq!(parts.len(), 3);
        assert_eq!(parts[2].head, None);
        assert_eq!(parts[1].body, "a\n");
    }
}
