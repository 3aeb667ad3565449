//! Text as Markdown that shows that very text, with as few backslashes as will do.
//!
//! Besides what `CommonMark` takes for structure this covers tables, struck-out text and bare addresses, which many
//! readers of Markdown add. The tests parse the outcome again and want the text back.

use std::collections::BTreeSet;

/// The text on one line, with a backslash before each sign that would act where it stands.
#[must_use]
pub fn escape(text: &str) -> String {
    let signs: Vec<char> = folded(text).chars().collect();
    let mut acting = BTreeSet::new();
    acting.extend(start_of_block(&signs));
    let mut place = 0;
    while place < signs.len() {
        let end = end_of_run(&signs, place);
        if acts(&signs, place, end) {
            acting.extend(place..end);
        }
        place = end;
    }
    let mut escaped = String::with_capacity(signs.len() + acting.len());
    for (place, sign) in signs.iter().enumerate() {
        if acting.contains(&place) {
            escaped.push('\\');
        }
        escaped.push(*sign);
    }
    escaped
}

/// Control characters and blanks as single blanks, none at the ends.
fn folded(text: &str) -> String {
    let plain: String = text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
    plain.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Emphasis and the like is made by runs of one sign; every other sign stands alone.
fn end_of_run(signs: &[char], start: usize) -> usize {
    if !matches!(signs[start], '*' | '_' | '~') {
        return start + 1;
    }
    signs[start..].iter().position(|sign| *sign != signs[start]).map_or(signs.len(), |length| start + length)
}

/// Whether the run from `start` to `end` would be taken for structure inside a line. What stands outside the text
/// is not known, so a run at its ends counts as acting.
fn acts(signs: &[char], start: usize, end: usize) -> bool {
    let before = start.checked_sub(1).map(|place| signs[place]);
    let after = signs.get(end).copied();
    let word = |sign: Option<char>| sign.is_some_and(char::is_alphanumeric);
    let blank = |sign: Option<char>| sign == Some(' ');
    match signs[start] {
        '`' | '[' | '|' | '*' => true,
        '_' => !(word(before) && word(after)),
        // One that can only open is harmless, since none can close.
        '~' => end - start >= 3 || !(blank(before) || before.is_none() && word(after)),
        // Before a blank too: the line may be broken there, and a backslash at its end would break it for good.
        '\\' => after.is_none_or(|sign| sign == ' ' || sign.is_ascii_punctuation()),
        '<' => after.is_none_or(|sign| sign.is_ascii_alphabetic() || matches!(sign, '/' | '!' | '?')),
        '&' => may_be_entity(&signs[end..]),
        ':' => word(before) && signs[end..].starts_with(&['/', '/']),
        '.' => ends_in_www(&signs[..start]),
        '@' => before.is_some_and(|sign| sign.is_alphanumeric() || "._+-".contains(sign)) && word(after),
        _ => false,
    }
}

/// `&amp;` and `&#38;`, or what might become such a thing together with what follows the text.
fn may_be_entity(rest: &[char]) -> bool {
    let end = rest.iter().position(|sign| !sign.is_ascii_alphanumeric() && *sign != '#').unwrap_or(rest.len());
    rest.get(end).is_none_or(|sign| *sign == ';')
}

fn ends_in_www(signs: &[char]) -> bool {
    let Some(start) = signs.len().checked_sub(3) else { return false };
    let www = signs[start..].iter().all(|sign| sign.eq_ignore_ascii_case(&'w'));
    www && start.checked_sub(1).is_none_or(|before| !signs[before].is_alphanumeric())
}

/// The sign that makes the first word the start of a list, heading, quote or rule.
fn start_of_block(signs: &[char]) -> Option<usize> {
    let end = signs.iter().position(|sign| *sign == ' ').unwrap_or(signs.len());
    let word: String = signs[..end].iter().collect();
    starts_block(&word).then(|| if word.starts_with(|c: char| c.is_ascii_digit()) { end - 1 } else { 0 })
}

/// Whether a word at the start of a line would be taken for the start of a list, heading, quote, rule or table.
#[must_use]
pub fn starts_block(word: &str) -> bool {
    let all = |signs: &str| !word.is_empty() && word.chars().all(|sign| signs.contains(sign));
    let number = word.strip_suffix(['.', ')']).unwrap_or("");
    let numbers_a_list = (1..=9).contains(&number.len()) && number.bytes().all(|sign| sign.is_ascii_digit());
    ["-", "=", "-:|"].iter().any(|signs| all(signs))
        || word == "+"
        || word.starts_with(['#', '>', '|'])
        || word.starts_with("~~~")
        || word.starts_with("```")
        || numbers_a_list
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use pulldown_cmark::{Event, Options, Parser, Tag, TagEnd};

    use super::*;

    /// The text of the only paragraph and its strong parts; `None` when there is any other structure.
    fn read_back(markdown: &str) -> Option<(String, usize)> {
        let (mut text, mut strong) = (String::new(), 0);
        let more = Options::ENABLE_TABLES | Options::ENABLE_STRIKETHROUGH | Options::ENABLE_FOOTNOTES;
        for event in Parser::new_ext(markdown, more) {
            match event {
                Event::Text(part) => text.push_str(&part),
                Event::SoftBreak => text.push(' '),
                Event::Start(Tag::Strong) => strong += 1,
                Event::Start(Tag::Paragraph) | Event::End(TagEnd::Paragraph | TagEnd::Strong) => {}
                _ => return None,
            }
        }
        Some((text, strong))
    }

    /// Alone and among other words the text is shown as it is, and what stands around it stays what it was.
    fn shows_itself(text: &str) {
        let (escaped, plain) = (escape(text), folded(text));
        assert_eq!(read_back(&escaped), Some((plain.clone(), 0)), "{escaped}");
        let among = format!("**It is said:** {escaped}, \"{escaped}\" **and so on.**");
        assert_eq!(read_back(&among), Some((format!("It is said: {plain}, \"{plain}\" and so on."), 2)), "{among}");
    }

    #[test]
    fn plain_words_stay_as_they_are() {
        for text in [
            "milky, no light comes through",
            "a 40 hp motor (2017), 12.6 V & 3 x 4 = 12",
            "about ~40 h, < 5 %, part_no_7, R&D, 20 > 10",
            "don't; \"quoted\": fine! a/b #3 -5 C + 2 - 1",
            "C:\\motors\\one",
            "]",
        ] {
            assert_eq!(escape(text), text);
            shows_itself(text);
        }
    }

    #[test]
    fn what_would_act_is_stopped() {
        for (text, escaped) in [
            ("- not a list", "\\- not a list"),
            ("12. not a list", "12\\. not a list"),
            ("# no heading", "\\# no heading"),
            ("<b>no tag</b>", "\\<b>no tag\\</b>"),
            ("a|b", "a\\|b"),
            ("`code`", "\\`code\\`"),
            ("[x](y)", "\\[x](y)"),
            ("*so*, 3 * 4, _ _", "\\*so\\*, 3 \\* 4, \\_ \\_"),
            ("&amp; &lt", "\\&amp; \\&lt"),
            ("see https://example.org now", "see https\\://example.org now"),
            ("~~gone~~ or ~40", "~~gone\\~\\~ or ~40"),
            ("a\nb\t\u{7}c", "a b c"),
            ("---", "\\---"),
            ("end\\", "end\\\\"),
        ] {
            assert_eq!(escape(text), escaped);
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(3000))]

        #[test]
        fn any_text_shows_itself(text in "[ -~\u{a0}\u{5d0}\u{202e}\n\t]{0,40}") {
            if !folded(&text).is_empty() {
                shows_itself(&text);
            }
        }

        #[test]
        fn signs_close_together_show_themselves(text in "[-`*_~<>&#|:;\\[\\]()!+=.0-9ax\\\\/ ]{1,16}") {
            if !folded(&text).is_empty() {
                shows_itself(&text);
            }
        }

        #[test]
        fn any_letters_show_themselves(text in "\\PC{1,60}") {
            if !folded(&text).is_empty() {
                shows_itself(&text);
            }
        }
    }
}
