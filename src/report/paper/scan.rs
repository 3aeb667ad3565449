//! Boxes and labels in what stands under a heading, wherever lines were broken or joined.

use crate::answers::Outcome;

/// What stands in a box.
#[derive(Clone, Debug, PartialEq)]
pub enum Mark {
    Empty,
    Ticked,
    /// Something else, as it stands.
    Odd(String),
}

/// A thing that was found, and the text behind it up to the next.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    pub what: What,
    pub text: String,
}

#[derive(Clone, Debug, PartialEq)]
pub enum What {
    /// Before the first box or label: the question.
    Question,
    /// With the number of the point it was printed for.
    Box(Outcome, Mark, Option<usize>),
    Price,
    Note,
}

/// Signs that tick a box.
const TICKS: [char; 11] =
    ['x', 'X', '*', 'v', 'V', '\u{2713}', '\u{2714}', '\u{2717}', '\u{2718}', '\u{d7}', '\u{221a}'];
/// A box holds no more than this.
const IN_A_BOX: usize = 6;

/// Finds the pieces of a body.
pub fn pieces(body: &str) -> Vec<Piece> {
    let mut pieces = vec![Piece { what: What::Question, text: String::new() }];
    let mut rest = body;
    let mut line_start = true;
    while let Some(sign) = rest.chars().next() {
        let found = box_at(rest).or_else(|| label_at(rest, line_start, &pieces));
        let last = pieces.last_mut();
        match (found, last) {
            (Some((what, length)), _) => {
                pieces.push(Piece { what, text: String::new() });
                rest = &rest[length..];
                line_start = false;
            }
            (None, Some(last)) => {
                last.text.push(sign);
                rest = &rest[sign.len_utf8()..];
                // Bullets and strong marks may stand before a label.
                line_start =
                    sign == '\n' || (line_start && matches!(sign, ' ' | '-' | '*' | '+' | '_' | '\u{2022}'));
            }
            (None, None) => break,
        }
    }
    pieces
}

/// A box with its label, and its length.
fn box_at(text: &str) -> Option<(What, usize)> {
    let (mark, after) = mark_at(text)?;
    let label = after.trim_start();
    let (outcome, label_length) = outcome_at(label)?;
    let behind = &label[label_length..];
    let (number, number_length) = number_at(behind).unzip();
    let length = text.len() - behind.len() + number_length.unwrap_or(0);
    Some((What::Box(outcome, mark, number), length))
}

fn mark_at(text: &str) -> Option<(Mark, &str)> {
    let mut signs = text.chars();
    match signs.next()? {
        '\u{2610}' | '\u{25a1}' => Some((Mark::Empty, signs.as_str())),
        '\u{2611}' | '\u{2612}' => Some((Mark::Ticked, signs.as_str())),
        '[' => {
            let (inner, after) = signs.as_str().split_once(']')?;
            if inner.chars().count() > IN_A_BOX || inner.contains('[') {
                return None;
            }
            let inner = inner.trim();
            let mark = if inner.is_empty() {
                Mark::Empty
            } else if inner.chars().all(|sign| TICKS.contains(&sign)) {
                Mark::Ticked
            } else {
                Mark::Odd(inner.to_owned())
            };
            Some((mark, after))
        }
        _ => None,
    }
}

/// The label of a box and its length, the `without:` behind "can't say" included.
fn outcome_at(text: &str) -> Option<(Outcome, usize)> {
    for (words, outcome) in [
        (&["fine"][..], Outcome::Fine),
        (&["faulty"], Outcome::Faulty),
        (&["can't", "say"], Outcome::CantSay),
        (&["can\u{2019}t", "say"], Outcome::CantSay),
        (&["can\u{2018}t", "say"], Outcome::CantSay),
        (&["can\u{b4}t", "say"], Outcome::CantSay),
        (&["cant", "say"], Outcome::CantSay),
        (&["cannot", "say"], Outcome::CantSay),
    ] {
        let Some(mut after) = words_at(text, words) else { continue };
        if outcome == Outcome::CantSay {
            after = words_at(after.trim_start(), &["without"]).unwrap_or(after);
            after = after.trim_start().strip_prefix(':').unwrap_or(after);
        }
        return Some((outcome, text.len() - after.len()));
    }
    None
}

/// What stands behind these words, if the text begins with them in any case and with any blanks between.
fn words_at<'t>(text: &'t str, words: &[&str]) -> Option<&'t str> {
    let mut rest = text;
    for word in words {
        rest = rest.trim_start();
        let head = rest.get(..word.len()).filter(|head| head.eq_ignore_ascii_case(word))?;
        rest = &rest[head.len()..];
    }
    (!rest.starts_with(char::is_alphanumeric)).then_some(rest)
}

/// ` (3)`: the number of the point a box was printed for, and its length.
fn number_at(text: &str) -> Option<(usize, usize)> {
    let inner = text.trim_start().strip_prefix('(')?;
    let (number, after) = inner.split_once(')')?;
    Some((number.trim().parse().ok()?, text.len() - after.len()))
}

/// `Price:` and `Note:` at the start of a line; or, where lines were joined, the first of each behind a box. Inside the
/// question, where the buyer's own words may stand, only as a paragraph of its own.
fn label_at(text: &str, line_start: bool, so_far: &[Piece]) -> Option<(What, usize)> {
    let (what, word) = [(What::Price, "price"), (What::Note, "note")]
        .into_iter()
        .find(|(_, word)| text.get(..word.len()).is_some_and(|head| head.eq_ignore_ascii_case(word)))?;
    let after = text[word.len()..].trim_start_matches([' ', '*', '_']).strip_prefix(':')?;
    let after = after.trim_start_matches(['*', '_']);
    let new_word = so_far.last().is_none_or(|last| !last.text.ends_with(char::is_alphanumeric));
    let behind_a_box = so_far.iter().any(|piece| matches!(piece.what, What::Box(..)));
    let first = !so_far.iter().any(|piece| piece.what == what);
    let own_line = line_start && (so_far.len() > 1 || so_far.iter().all(|piece| opens_paragraph(&piece.text)));
    (own_line || (new_word && behind_a_box && first)).then_some((what, text.len() - after.len()))
}

/// Whether what follows this text begins a paragraph, bullets left aside.
fn opens_paragraph(before: &str) -> bool {
    let before = before.trim_end_matches([' ', '-', '*', '+', '_', '\u{2022}']);
    before.trim().is_empty() || before.ends_with("\n\n")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn whats(body: &str) -> Vec<What> {
        pieces(body).into_iter().skip(1).map(|piece| piece.what).collect()
    }

    #[test]
    fn boxes_are_read_in_any_dress() {
        for (text, mark) in [
            ("- [ ] fine (2)", Mark::Empty),
            ("* [] fine (2)", Mark::Empty),
            ("[x] fine (2)", Mark::Ticked),
            ("- [X ] FINE (2)", Mark::Ticked),
            ("- [*] fine(2)", Mark::Ticked),
            ("- [v]\nfine\n(2)", Mark::Ticked),
            ("\u{2611} fine (2)", Mark::Ticked),
            ("\u{2610} fine ( 2 )", Mark::Empty),
            ("- [?] fine (2)", Mark::Odd("?".into())),
        ] {
            assert_eq!(whats(text), [What::Box(Outcome::Fine, mark, Some(2))], "{text}");
        }
    }

    #[test]
    fn words_in_brackets_are_no_boxes() {
        for text in ["[see the photo] fine", "[x] finer things", "(x) fine", "[x fine", "fine (2)"] {
            assert!(whats(text).is_empty(), "{text}");
        }
    }

    #[test]
    fn a_label_inside_the_question_is_only_text() {
        assert!(whats("Seen: \"he said\nPrice: 5\" and so on").is_empty());
        assert_eq!(whats("Seen: it\n\nPrice: 5"), [What::Price]);
        assert_eq!(whats("ask\n\n- Price: 5\nNote: x"), [What::Price, What::Note]);
    }

    #[test]
    fn joined_lines_are_parted_again() {
        let all = pieces(
            "ask - [ ] fine (1) - [x] faulty (1) torn - [ ] can't say without: Price: 450 Note: see note: two",
        );
        let texts: Vec<&str> = all.iter().map(|piece| piece.text.trim()).collect();
        assert_eq!(texts, ["ask -", "-", "torn -", "", "450", "see note: two"]);
        assert_eq!(all[5].what, What::Note);
    }
}
