//! One line of typed text in one row of the window: it scrolls sideways, so that nothing depends on where a
//! terminal wraps, and wide letters take the room they take.
//!
//! The text and the cursor are plain data; only [`read`] knows keys. Down or Enter on an empty line ask for a
//! list, Esc on an empty line goes back, Ctrl-D on an empty line is the end of the conversation.

use std::io::{Write, stderr};

use console::{Key, Term};
use unicode_width::UnicodeWidthChar;

use crate::edge::acts;
use crate::talk::Leave;
use crate::talk::shared::Heard;
use crate::talk::shared::lines::{clean, wrap};
use crate::talk::system::{Listening, next_key};

const PROMPT: &str = "> ";

/// A line being typed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
struct Line {
    letters: Vec<char>,
    at: usize,
    /// It stood there already: the first letter typed takes its place, any other key mends it.
    untouched: bool,
}

/// What a key came to.
#[derive(Clone, Debug, PartialEq, Eq)]
enum Done {
    Not,
    Heard(Heard),
    Ended,
}

impl Line {
    fn new(kept: &str) -> Self {
        let letters: Vec<char> = clean(kept).chars().collect();
        Self { at: letters.len(), untouched: !letters.is_empty(), letters }
    }

    fn text(&self) -> String {
        self.letters.iter().collect()
    }

    fn press(&mut self, key: &Key) -> Done {
        let untouched = std::mem::take(&mut self.untouched);
        match key {
            Key::Enter => return Done::Heard(Heard::Text(self.text())),
            Key::ArrowDown => return Done::Heard(Heard::List(self.text())),
            Key::Tab if self.letters.is_empty() => return Done::Heard(Heard::List(String::new())),
            Key::Escape if self.letters.is_empty() => return Done::Heard(Heard::Back),
            Key::Char('\u{4}') if self.letters.is_empty() => return Done::Ended,
            Key::Tab => self.insert(' '),
            Key::Char('\u{15}') => *self = Self::default(),
            Key::Char(letter) if !acts(*letter) => {
                if untouched {
                    *self = Self::default();
                }
                self.insert(*letter);
            }
            Key::Backspace if self.at > 0 => {
                self.at -= 1;
                self.letters.remove(self.at);
            }
            Key::Del if self.at < self.letters.len() => {
                self.letters.remove(self.at);
            }
            Key::ArrowLeft => self.at = self.at.saturating_sub(1),
            Key::ArrowRight => self.at = (self.at + 1).min(self.letters.len()),
            Key::Home => self.at = 0,
            Key::End => self.at = self.letters.len(),
            _ => {}
        }
        Done::Not
    }

    fn insert(&mut self, letter: char) {
        self.letters.insert(self.at, letter);
        self.at += 1;
    }

    /// The part that fits so many columns, and the column of the cursor in it.
    fn view(&self, columns: usize) -> (String, usize) {
        let room = columns.max(2) - 1;
        let wide = |letter: &char| letter.width().unwrap_or(0);
        let mut first = self.at;
        let mut before = 0;
        while first > 0 && before + wide(&self.letters[first - 1]) <= room {
            first -= 1;
            before += wide(&self.letters[first]);
        }
        let mut taken = 0;
        let shown = self.letters[first..].iter().take_while(|letter| {
            taken += wide(letter);
            taken <= room
        });
        (shown.collect(), before)
    }
}

/// Reads a line, `kept` standing in it already or `begun` by what was typed into a list, and leaves it on the screen as it was
/// entered.
pub fn read(listening: &Listening, kept: &str, begun: Option<&str>, paints: bool) -> Result<Heard, Leave> {
    let term = Term::stderr();
    let mut line = Line::new(begun.unwrap_or(kept));
    line.untouched &= begun.is_none();
    loop {
        draw(&line, &term, paints);
        // What was typed stays to be seen, and what comes next begins a row.
        let key = next_key(listening, None).inspect_err(|_| drop(stderr().write_all(b"\n")))?;
        match key.map_or(Done::Not, |key| line.press(&key)) {
            Done::Not => {}
            Done::Ended => {
                let _ = stderr().write_all(b"\n");
                return Err(Leave::EndOfInput);
            }
            Done::Heard(heard) => {
                match &heard {
                    Heard::Text(text) if !text.trim().is_empty() => leave_standing(text, &term),
                    // What comes next stands in the place of the row.
                    _ => clear(),
                }
                return Ok(heard);
            }
        }
    }
}

fn columns(term: &Term) -> usize {
    usize::from(term.size().1).max(8)
}

fn draw(line: &Line, term: &Term, paints: bool) {
    let (mut shown, column) = line.view(columns(term) - PROMPT.len());
    if paints && line.untouched {
        shown = format!("\u{1b}[2m{shown}\u{1b}[0m");
    }
    let row = format!("\r\x1b[K{PROMPT}{shown}\r\x1b[{}C", PROMPT.len() + column);
    let mut err = stderr();
    let _ = err.write_all(row.as_bytes()).and_then(|()| err.flush());
}

fn clear() {
    let _ = stderr().write_all(b"\r\x1b[K");
}

/// The whole text in the place of the row.
fn leave_standing(text: &str, term: &Term) {
    let rows = wrap(text.trim_end(), columns(term) - 1, PROMPT, PROMPT.len()).join("\n");
    let _ = stderr().write_all(format!("\r\x1b[K{rows}\n").as_bytes());
}

#[cfg(test)]
mod tests {
    use super::*;

    fn typed(keys: &[Key]) -> Line {
        let mut line = Line::default();
        for key in keys {
            assert_eq!(line.press(key), Done::Not, "{key:?}");
        }
        line
    }

    fn letters(text: &str) -> Vec<Key> {
        text.chars().map(Key::Char).collect()
    }

    #[test]
    fn a_line_is_mended_anywhere() {
        let mut keys = letters("17 psi");
        keys.extend([
            Key::Home,
            Key::ArrowRight,
            Key::ArrowRight,
            Key::Char('8'),
            Key::End,
            Key::Backspace,
            Key::Char('i'),
        ]);
        assert_eq!(typed(&keys).text(), "178 psi");
        keys.extend([Key::Home, Key::Del, Key::Del]);
        assert_eq!(typed(&keys).text(), "8 psi");
        keys.push(Key::Char('\u{15}'));
        assert_eq!(typed(&keys), Line::default());
    }

    #[test]
    fn what_stands_there_already_gives_way_or_is_mended() {
        let press = |keys: &[Key]| {
            let mut line = Line::new("4000");
            for key in keys {
                line.press(key);
            }
            line.text()
        };
        assert_eq!(press(&[Key::Char('?')]), "?");
        assert_eq!(press(&[Key::Char('4'), Key::Char('0')]), "40");
        assert_eq!(press(&[Key::Backspace, Key::Backspace]), "40");
        assert_eq!(press(&[Key::ArrowRight, Key::Char(' '), Key::Char('W')]), "4000 W");
        assert_eq!(press(&[]), "4000");
    }

    #[test]
    fn what_would_act_on_the_terminal_is_not_taken() {
        assert_eq!(
            typed(&[Key::Char('a'), Key::Char('\u{7}'), Key::Char('\u{202e}'), Key::Char('é')]).text(),
            "aé"
        );
        assert_eq!(Line::new("a\u{1b}[2J").text(), "a [2J");
    }

    #[test]
    fn an_empty_line_opens_the_list_or_goes_back() {
        assert_eq!(Line::default().press(&Key::ArrowDown), Done::Heard(Heard::List(String::new())));
        assert_eq!(Line::default().press(&Key::Escape), Done::Heard(Heard::Back));
        assert_eq!(Line::default().press(&Key::Char('\u{4}')), Done::Ended);
        assert_eq!(Line::new("178").press(&Key::Escape), Done::Not, "nothing typed is lost");
        assert_eq!(Line::new("178").press(&Key::ArrowDown), Done::Heard(Heard::List("178".into())));
    }

    #[test]
    fn a_long_line_scrolls_and_the_cursor_stays_inside() {
        let mut line = Line::new("abcdefghij");
        assert_eq!(line.view(6), ("fghij".into(), 5));
        line.at = 0;
        assert_eq!(line.view(6), ("abcde".into(), 0));
        line.at = 7;
        assert_eq!(line.view(6), ("cdefg".into(), 5));
    }

    #[test]
    fn wide_letters_take_two_columns() {
        let line = Line::new("水水水水");
        assert_eq!(line.view(6), ("水水".into(), 4));
        assert_eq!(Line::new("é水").view(10), ("é水".into(), 3));
    }
}
