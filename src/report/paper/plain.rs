//! Lines without what mail programs and editors put around them.

/// The lines of a text: quote marks of any depth, blanks at the ends, backslashes of Markdown and odd blanks gone.
pub fn plain_lines(text: &str) -> Vec<String> {
    let text = text.replace("\r\n", "\n").replace('\r', "\n");
    without_struck(&text).split('\n').map(plain_line).collect()
}

fn plain_line(line: &str) -> String {
    let shown: String = line.chars().filter_map(shown).collect();
    let mut rest = shown.trim();
    // Mail programs quote by `>` or by a bar.
    while let Some(inner) = rest.strip_prefix(['>', '|']) {
        rest = inner.trim_start();
    }
    without_backslashes(rest).split_whitespace().collect::<Vec<_>>().join(" ")
}

/// What was struck through was deleted. The marks stand close to what they strike, in one paragraph.
fn without_struck(text: &str) -> String {
    let mut kept = String::new();
    let mut rest = text;
    while let Some((before, behind)) = rest.split_once("~~") {
        kept.push_str(before);
        match behind.split_once("~~") {
            Some((inner, after)) if strikes(inner) => {
                kept.push(' ');
                rest = after;
            }
            _ => {
                kept.push_str("~~");
                rest = behind;
            }
        }
    }
    kept + rest
}

fn strikes(inner: &str) -> bool {
    let apart = |sign: Option<char>| sign.is_none_or(char::is_whitespace);
    !apart(inner.chars().next()) && !apart(inner.chars().next_back()) && !inner.contains("\n\n")
}

/// The sign as it is read: blanks of all kinds as blanks, what mail programs put in unseen left out.
fn shown(sign: char) -> Option<char> {
    match sign {
        '\u{feff}'
        | '\u{200b}'
        | '\u{200e}'
        | '\u{200f}'
        | '\u{202a}'..='\u{202e}'
        | '\u{2060}'
        | '\u{2066}'..='\u{2069}'
        | '\u{ad}' => None,
        sign if sign.is_whitespace() || sign.is_control() => Some(' '),
        sign => Some(sign),
    }
}

/// Stands for a bracket that is text and never the start of a box or a code; see [`shown_again`].
const TEXT_BRACKET: char = '\u{e000}';

/// A backslash before punctuation only keeps Markdown from acting.
///
/// An editor that escapes brackets does so in pairs. An opening one alone was escaped when the paper was written:
/// there it is something the buyer typed, and must not be taken for a box.
fn without_backslashes(line: &str) -> String {
    let mut plain = String::with_capacity(line.len());
    let mut rest = line;
    while let Some((before, after)) = rest.split_once('\\') {
        plain.push_str(before);
        match after.chars().next() {
            Some('[') => {
                let paired = after.find(']').is_some_and(|end| after[..end].ends_with('\\'));
                plain.push(if paired { '[' } else { TEXT_BRACKET });
                rest = &after[1..];
            }
            Some(next) if next.is_ascii_punctuation() => {
                plain.push(next);
                rest = &after[1..];
            }
            _ => {
                plain.push('\\');
                rest = after;
            }
        }
    }
    plain + rest
}

/// The text as it was written, brackets that were only text included.
pub fn shown_again(text: &str) -> String {
    text.replace(TEXT_BRACKET, "[")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_come_out_bare() {
        let text = "> > - \\[x\\] fine\r\n>>\r>  Price:\u{a0}450 \nC:\\x can\u{2019}t";
        assert_eq!(plain_lines(text), ["- [x] fine", "", "Price: 450", "C:\\x can\u{2019}t"]);
    }

    #[test]
    fn a_bracket_the_buyer_typed_is_only_text() {
        let line = &plain_lines("not done: \"\\[x] fine \\* \\\\\"")[0];
        assert!(!line.contains('['));
        assert_eq!(shown_again(line), "not done: \"[x] fine * \\\"");
    }
}
