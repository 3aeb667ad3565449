//! Words of strangers as they may be shown: file names, ids, keys, paths, messages that quote them.
//!
//! A character that would act on a terminal, or that nobody sees, is written as its number: `<U+202E>`. So a name
//! can neither move the cursor, nor turn the line round, nor pass for another one.

use std::path::Path;

/// Whether a character acts instead of being shown, or is not seen at all.
#[must_use]
pub fn acts(c: char) -> bool {
    c.is_control()
        || matches!(c,
            '\u{ad}' | '\u{34f}' | '\u{61c}' | '\u{115f}' | '\u{1160}' | '\u{17b4}' | '\u{17b5}' | '\u{180b}'..='\u{180e}'
            | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{3164}' | '\u{feff}'
            | '\u{ffa0}' | '\u{fff9}'..='\u{fffb}' | '\u{e0000}'..='\u{e0fff}')
}

/// The text on one line, what acts or is unseen written as its number.
#[must_use]
pub fn shown(text: &str) -> String {
    cleaned(text, |_| false)
}

/// The same, with line ends kept: for messages whose lines are our own.
#[must_use]
pub fn shown_lines(text: &str) -> String {
    cleaned(text, |c| c == '\n')
}

/// A path as it may be shown.
#[must_use]
pub fn path(path: &Path) -> String {
    shown(&path.to_string_lossy())
}

fn cleaned(text: &str, kept: impl Fn(char) -> bool) -> String {
    let mut clean = String::with_capacity(text.len());
    for c in text.chars() {
        if acts(c) && !kept(c) {
            clean.push_str(&format!("<U+{:04X}>", u32::from(c)));
        } else {
            clean.push(c);
        }
    }
    clean
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn what_acts_or_hides_is_seen() {
        assert_eq!(shown("a\u{1b}[2Jb\nc"), "a<U+001B>[2Jb<U+000A>c");
        assert_eq!(shown("gear\u{200b}oil \u{202e}gpj"), "gear<U+200B>oil <U+202E>gpj");
        assert_eq!(shown_lines("a\nb\r"), "a\nb<U+000D>");
        assert_eq!(shown("plain, é, 水, “so”"), "plain, é, 水, “so”");
    }

    proptest! {
        #[test]
        fn nothing_that_is_shown_acts(text in any::<String>()) {
            prop_assert!(!shown(&text).chars().any(acts));
        }
    }
}
