//! Boxes, ticks and labels in what stands behind a key, wherever lines were broken or joined.

use crate::answers::Outcome;

/// What stands in a box.
#[derive(Clone, Debug, PartialEq)]
pub enum Mark {
    /// A label without a box: the box was taken away, or somebody wrote the word.
    Bare,
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
    /// Written in strong type.
    pub strong: bool,
}

#[derive(Clone, Debug, PartialEq)]
pub enum What {
    /// Before the first label.
    Start,
    Label(Outcome, Mark),
    Price,
}

/// Signs that tick a box, inside it or instead of it.
const TICKS: &[char] = &[
    'x',
    'X',
    '*',
    'v',
    'V',
    '+',
    '\u{2713}',
    '\u{2714}',
    '\u{2705}',
    '\u{2717}',
    '\u{2718}',
    '\u{d7}',
    '\u{221a}',
    '\u{25cf}',
    '\u{2022}',
    '\u{25a0}',
    '\u{1f5f8}',
    '\u{2715}',
    '\u{2716}',
];
/// Signs that are an empty box.
const EMPTY: &[char] = &['\u{2610}', '\u{25a1}', '\u{25fb}', '\u{25cb}', '\u{2b1c}'];
/// Signs that are a ticked box.
const FULL: &[char] = &['\u{2611}', '\u{2612}', '\u{1f5f9}', '\u{1f5f7}', '\u{1f5f5}', '\u{1f5f3}'];
/// Words that tick a box.
const TICK_WORDS: &[&str] = &["yes", "y", "ok", "tick", "ticked", "xx", "ja"];
/// A box holds no more than this.
const IN_A_BOX: usize = 8;

/// Finds the pieces of a body.
#[must_use]
pub fn pieces(body: &str) -> Vec<Piece> {
    let mut pieces = vec![Piece { what: What::Start, text: String::new(), strong: false }];
    let mut rest = body;
    let mut at_word = true;
    while let Some(sign) = rest.chars().next() {
        let bare_fits = pieces.last().is_none_or(|last| stands_free(&last.text));
        let found = at_word.then(|| label_at(rest, bare_fits).or_else(|| price_at(rest))).flatten();
        if let Some((what, strong, length)) = found {
            pieces.push(Piece { what, text: String::new(), strong });
            rest = &rest[length..];
            at_word = !rest.starts_with(char::is_alphanumeric);
            continue;
        }
        if let Some(last) = pieces.last_mut() {
            last.text.push(sign);
        }
        rest = &rest[sign.len_utf8()..];
        at_word = !sign.is_alphanumeric() && sign != '\'' && sign != '\u{2019}';
    }
    pieces
}

/// Whether a word written here begins something: at the start, or at the start of a line.
fn stands_free(before: &str) -> bool {
    let line = before.rsplit('\n').next().unwrap_or("");
    line.chars().all(|sign| {
        sign.is_whitespace()
            || matches!(
                sign,
                '-' | '*' | '+' | '_' | ':' | '/' | ',' | '\u{2022}' | '>' | '|' | '.' | '=' | '\u{2192}'
            )
    })
}

/// A label, with the box or the tick before it, and its length.
fn label_at(text: &str, bare_fits: bool) -> Option<(What, bool, usize)> {
    let (strong_before, text_in) = stars(text);
    let (mark, after) = match box_at(text_in).or_else(|| tick_at(text_in)) {
        Some((mark, after)) => (mark, after),
        None if bare_fits => (Mark::Bare, text_in),
        None => return None,
    };
    let (strong_between, label) = stars(after.trim_start());
    let (outcome, length) = outcome_at(label)?;
    let behind = &label[length..];
    let strong = strong_before || strong_between;
    let behind = if strong {
        behind
            .strip_prefix("**")
            .or_else(|| behind.strip_prefix("__"))
            .or_else(|| behind.strip_prefix('*'))
            .unwrap_or(behind)
    } else {
        behind
    };
    Some((What::Label(outcome, mark), strong, text.len() - behind.len()))
}

/// Marks of strong type before a word.
fn stars(text: &str) -> (bool, &str) {
    for mark in ["**", "__"] {
        if let Some(inner) = text.strip_prefix(mark)
            && !inner.starts_with(['*', '_', ' '])
        {
            return (true, inner);
        }
    }
    match text.strip_prefix('*') {
        Some(inner) if inner.starts_with(char::is_alphabetic) => (true, inner),
        _ => (false, text),
    }
}

/// A box with what stands in it, and the text behind it.
#[must_use]
pub fn box_at(text: &str) -> Option<(Mark, &str)> {
    let mut signs = text.chars();
    let first = signs.next()?;
    let after = signs.as_str();
    if EMPTY.contains(&first) {
        return Some((Mark::Empty, without_variation(after)));
    }
    if FULL.contains(&first) {
        return Some((Mark::Ticked, without_variation(after)));
    }
    let close = match first {
        '[' => ']',
        '(' => ')',
        '{' => '}',
        _ => return None,
    };
    let (inner, after) = after.split_once(close)?;
    if inner.chars().count() > IN_A_BOX || inner.contains(first) {
        return None;
    }
    let inner = inner.trim().trim_matches('_').trim_matches('\u{fe0f}').trim();
    let mark = if inner.is_empty() {
        Mark::Empty
    } else if is_tick(inner) {
        Mark::Ticked
    } else if first == '[' {
        Mark::Odd(inner.to_owned())
    } else {
        return None;
    };
    Some((mark, after))
}

/// Whether this is nothing but ticks.
#[must_use]
pub fn is_tick(text: &str) -> bool {
    let text = text.trim();
    let signs = || text.chars().filter(|sign| *sign != '\u{fe0f}' && !sign.is_whitespace());
    (signs().next().is_some() && signs().all(|sign| TICKS.contains(&sign) || FULL.contains(&sign)))
        || TICK_WORDS.contains(&text.to_lowercase().as_str())
}

/// A tick without a box before a label: `x fine`, `✔ fine`.
fn tick_at(text: &str) -> Option<(Mark, &str)> {
    let first = text.chars().next()?;
    let after = without_variation(&text[first.len_utf8()..]);
    let letter = first.is_alphabetic();
    let fits = TICKS.contains(&first) && first != '*' && first != '+' && first != '\u{2022}';
    let apart = if letter { after.starts_with([' ', '\n']) } else { true };
    (fits && apart).then_some((Mark::Ticked, after))
}

/// What asks for a coloured picture of a sign says nothing.
fn without_variation(text: &str) -> &str {
    text.strip_prefix('\u{fe0f}').unwrap_or(text)
}

/// The label and its length.
fn outcome_at(text: &str) -> Option<(Outcome, usize)> {
    for (words, outcome) in [
        (&["fine"][..], Outcome::Fine),
        (&["faulty"], Outcome::Faulty),
        (&["can't", "say"], Outcome::CantSay),
        (&["can\u{2019}t", "say"], Outcome::CantSay),
        (&["can\u{2018}t", "say"], Outcome::CantSay),
        (&["can\u{b4}t", "say"], Outcome::CantSay),
        (&["can`t", "say"], Outcome::CantSay),
        (&["cant", "say"], Outcome::CantSay),
        (&["can", "not", "say"], Outcome::CantSay),
        (&["cannot", "say"], Outcome::CantSay),
    ] {
        if let Some(after) = words_at(text, words) {
            return Some((outcome, text.len() - after.len()));
        }
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
    (!rest.starts_with(char::is_alphanumeric) && !rest.starts_with('-')).then_some(rest)
}

/// The word `price`, with or without a colon, as a label.
fn price_at(text: &str) -> Option<(What, bool, usize)> {
    let (strong, inner) = stars(text);
    let after = words_at(inner, &["price"])?;
    let after = after.trim_start_matches(['*', ' ']).strip_prefix([':', '=']).unwrap_or(after);
    Some((What::Price, strong, text.len() - after.len()))
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
            ("[ ] fine", Mark::Empty),
            ("[] fine", Mark::Empty),
            ("[x] fine", Mark::Ticked),
            ("[X ] FINE", Mark::Ticked),
            ("(x) fine", Mark::Ticked),
            ("[\u{2713}] fine", Mark::Ticked),
            ("x fine", Mark::Ticked),
            ("\u{2714}\u{fe0f} fine", Mark::Ticked),
            ("\u{2705} fine", Mark::Ticked),
            ("\u{2611} fine", Mark::Ticked),
            ("\u{2612} fine", Mark::Ticked),
            ("\u{1f5f9} fine", Mark::Ticked),
            ("\u{2610} fine", Mark::Empty),
            ("[*]\nfine", Mark::Ticked),
            ("[?] fine", Mark::Odd("?".into())),
            ("fine", Mark::Bare),
        ] {
            assert_eq!(whats(text), [What::Label(Outcome::Fine, mark)], "{text}");
        }
    }

    #[test]
    fn words_of_a_sentence_are_no_labels() {
        for text in
            ["it is fine", "[see the photo] fine", "finer things", "not fine", "(2) fine", "a fine-looking one"]
        {
            assert!(whats(text).is_empty(), "{text}: {:?}", whats(text));
        }
    }

    #[test]
    fn strong_type_is_seen() {
        let all = pieces("[ ] fine  **[ ] faulty**  [ ] can't say  price 20");
        let strong: Vec<bool> = all.iter().map(|piece| piece.strong).collect();
        assert_eq!(strong, [false, false, true, false, false]);
        assert_eq!(all[4].text.trim(), "20");
    }
}
