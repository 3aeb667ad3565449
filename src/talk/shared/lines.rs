//! Lines of text: cleaned, wrapped, cut, measured as a terminal shows them.

use textwrap::{Options, WordSplitter};
use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

use crate::edge::acts;

/// Prose is not wrapped wider than this, however wide the window.
pub const WIDEST: usize = 80;

/// The text with every character that would act as a blank.
pub fn clean(text: &str) -> String {
    text.chars().map(|c| if acts(c) { ' ' } else { c }).collect()
}

/// Columns a text takes.
pub fn width(text: &str) -> usize {
    text.width()
}

/// The text wrapped, `first` before the first line and as many blanks as `hang` before the others. Line ends in
/// the text stay line ends.
pub fn wrap(text: &str, columns: usize, first: &str, hang: usize) -> Vec<String> {
    let columns = columns.min(WIDEST).max(hang + 8);
    let rest = " ".repeat(hang);
    let mut lines = Vec::new();
    for part in text.split('\n') {
        let part = clean(part);
        let before = if lines.is_empty() { first } else { rest.as_str() };
        // Names and paths have hyphens too, and are copied from the screen.
        let whole = Options::new(columns).word_splitter(WordSplitter::NoHyphenation);
        let options = whole.initial_indent(before).subsequent_indent(&rest);
        lines.extend(textwrap::wrap(&part, options).into_iter().map(|line| line.trim_end().to_owned()));
    }
    lines
}

/// Items in a row with ` · ` between, broken only between them where one fits a line.
pub fn flow(items: &[String], columns: usize) -> Vec<String> {
    let columns = columns.min(WIDEST);
    let mut lines: Vec<String> = Vec::new();
    for item in items {
        match lines.last_mut() {
            Some(line) if width(line) + 3 + width(item) <= columns => {
                line.push_str(" · ");
                line.push_str(item);
            }
            _ => lines.extend(wrap(item, columns, "", 2)),
        }
    }
    lines
}

/// The text cut to so many columns and so many bytes, with `..` where something was left out.
pub fn cut(text: &str, columns: usize, bytes: usize) -> String {
    let text = clean(text);
    if width(&text) <= columns && text.len() <= bytes {
        return text;
    }
    let (mut short, mut taken) = (String::new(), 0);
    for c in text.chars() {
        taken += c.width().unwrap_or(0);
        if taken + 2 > columns || short.len() + c.len_utf8() + 2 > bytes {
            break;
        }
        short.push(c);
    }
    short.truncate(short.trim_end().len());
    short + ".."
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn cautions_hang_under_their_first_word() {
        let lines = wrap("The oil may be hot if the motor has run.", 30, "CAUTION  ", 9);
        assert_eq!(lines, ["CAUTION  The oil may be hot if", "         the motor has run."]);
    }

    #[test]
    fn a_name_with_a_hyphen_stays_in_one_piece() {
        assert_eq!(
            wrap("Carry on with: skeg resume motor-12", 34, "", 0),
            ["Carry on with: skeg resume", "motor-12"]
        );
    }

    #[test]
    fn a_row_of_keys_breaks_between_keys() {
        let items = ["? why and how", "w words", "n note", "- can't tell"].map(str::to_owned);
        assert_eq!(flow(&items, 26), ["? why and how · w words", "n note · - can't tell"]);
    }

    #[test]
    fn an_escape_sequence_is_only_letters_afterwards() {
        assert_eq!(clean("a\u{1b}[31mb\u{202e}c\u{9b}d"), "a [31mb c d");
    }

    #[test]
    fn a_label_is_cut_by_width_and_by_bytes() {
        assert_eq!(cut("milky, like coffee", 10, 80), "milky, l..");
        assert_eq!(cut("水水水水水", 7, 80), "水水..");
        assert_eq!(cut("“a” – “b” – “c”", 40, 12), "“a”..");
        assert_eq!(cut("short", 10, 80), "short");
    }

    proptest! {
        #[test]
        fn no_line_is_wider_than_the_window(text in "[a-z é水–’]{0,200}", columns in 20usize..90, hang in 0usize..12) {
            for line in wrap(&text, columns, &" ".repeat(hang), hang) {
                prop_assert!(width(&line) <= columns);
            }
        }

        #[test]
        fn nothing_cut_is_too_long(text in "\\PC{0,60}", columns in 4usize..60, bytes in 4usize..80) {
            let short = cut(&text, columns, bytes);
            prop_assert!(width(&short) <= columns && short.len() <= bytes);
        }
    }
}
