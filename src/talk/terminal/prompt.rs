//! Lists for the arrow keys: the only file that knows dialoguer, which draws their rows.
//!
//! Keys are read here and not by it: its lists pass over what is typed, take a blank for the line they stand on, and
//! leave the rest of the words to whoever reads next. Here a number goes to its line, and any other letter closes the
//! list and begins the line to type in. Labels are cut by width and by bytes; a list has pages where the window is low.

use std::io::{Write, stderr};

use console::{Key, Term};
use dialoguer::theme::Theme;

use crate::edge::acts;
use crate::talk::Leave;
use crate::talk::shared::List;
use crate::talk::shared::lines::cut;
use crate::talk::system::{Listening, next_key};

/// Rows below which no list is drawn.
const LEAST_ROWS: usize = 5;

/// Rows and columns of the window.
pub fn size() -> (usize, usize) {
    let (rows, columns) = Term::stderr().size();
    (usize::from(rows), usize::from(columns))
}

/// What came of a list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Listed {
    Picked(Vec<usize>),
    /// Esc, or the window became too small.
    Nothing,
    /// Something was typed that is no line of it.
    Typed(String),
}

/// Lets one line be picked, or several where some may be `ticked` already.
pub fn list(listening: &Listening, list: &List<'_>) -> Result<Listed, Leave> {
    let (items, mut list) = (list.items, Picker::new(list.items.len(), list.numbers, list.ticked));
    let mut drawn = 0;
    let _ = Term::stderr().hide_cursor();
    let listed = loop {
        let (rows, columns) = size();
        clear(drawn);
        drawn = 0;
        if rows < LEAST_ROWS {
            break Ok(Listed::Nothing);
        }
        list.room = rows - 3;
        let lines = list.lines(items, columns);
        drawn = lines.len();
        let _ = stderr().write_all((lines.join("\n") + "\n").as_bytes());
        match next_key(listening, None) {
            Ok(key) => {
                if let Some(listed) = key.and_then(|key| list.press(&key)) {
                    break Ok(listed);
                }
            }
            Err(leave) => break Err(leave),
        }
    };
    clear(drawn);
    let _ = Term::stderr().show_cursor();
    listed
}

/// Takes the rows of the list away.
fn clear(rows: usize) {
    let _ = Term::stderr().clear_last_lines(rows);
}

/// A list being picked from.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Picker {
    at: usize,
    /// What is ticked; none where one line is picked by itself.
    ticks: Option<Vec<bool>>,
    count: usize,
    /// The lines that numbers go to.
    numbers: usize,
    /// Lines on a page.
    room: usize,
    /// The number being typed: where there are ticks, its line is ticked by what comes next.
    number: String,
    /// A number was typed, and a blank or a comma behind it.
    parted: bool,
}

impl Picker {
    fn new(count: usize, numbers: usize, ticked: Option<&[usize]>) -> Self {
        let ticks = ticked.map(|ticked| (0..count).map(|place| ticked.contains(&place)).collect());
        Self { at: 0, ticks, count, numbers, room: count, number: String::new(), parted: false }
    }

    fn press(&mut self, key: &Key) -> Option<Listed> {
        if let Key::Char(letter) = key
            && letter.is_ascii_digit()
        {
            return self.figure(*letter);
        }
        let numbers = self.number_ends() || std::mem::take(&mut self.parted);
        match key {
            Key::ArrowDown | Key::Tab => self.at = (self.at + 1) % self.count,
            Key::ArrowUp | Key::BackTab => self.at = (self.at + self.count - 1) % self.count,
            Key::ArrowRight => self.turn(1),
            Key::ArrowLeft => self.turn(self.pages() - 1),
            Key::Escape => return Some(Listed::Nothing),
            Key::Enter => return Some(Listed::Picked(self.picked())),
            // Between numbers they only part them.
            Key::Char(' ' | ',') if numbers => self.parted = true,
            Key::Char(' ') => {
                if let Some(tick) = self.ticks.as_mut().and_then(|ticks| ticks.get_mut(self.at)) {
                    *tick = !*tick;
                }
            }
            Key::Char(letter) if !acts(*letter) => return Some(Listed::Typed(letter.to_string())),
            _ => {}
        }
        None
    }

    /// Goes to the line of the number, the figures before included where there are so many lines.
    fn figure(&mut self, figure: char) -> Option<Listed> {
        self.number.push(figure);
        match self.number.parse() {
            Ok(line @ 1..) if line <= self.numbers => {
                self.at = line - 1;
                None
            }
            _ => Some(Listed::Typed(self.number.clone())),
        }
    }

    /// Whether a number was typed; where there are ticks, its line is ticked.
    fn number_ends(&mut self) -> bool {
        let numbered = !std::mem::take(&mut self.number).is_empty();
        if numbered && let Some(tick) = self.ticks.as_mut().and_then(|ticks| ticks.get_mut(self.at)) {
            *tick = true;
        }
        numbered
    }

    fn picked(&self) -> Vec<usize> {
        match &self.ticks {
            None => vec![self.at],
            Some(ticks) => ticks.iter().enumerate().filter(|(_, tick)| **tick).map(|(place, _)| place).collect(),
        }
    }

    fn pages(&self) -> usize {
        self.count.div_ceil(self.room).max(1)
    }

    /// Goes so many pages on, to its first line.
    fn turn(&mut self, by: usize) {
        if self.pages() > 1 {
            self.at = (self.at / self.room + by) % self.pages() * self.room;
        }
    }

    /// The rows as they are drawn.
    fn lines(&self, items: &[String], columns: usize) -> Vec<String> {
        let words = match &self.ticks {
            None => ["(arrows or a number, Enter takes, Esc goes back)", "(Enter takes, Esc back)"],
            Some(_) => ["(a number or space ticks, Enter takes, Esc back)", "(space ticks, Enter)"],
        };
        let page = self.at / self.room;
        let mut lines = vec![heading(words, columns)];
        if self.pages() > 1 {
            lines[0] += &format!(" [Page {}/{}]", page + 1, self.pages());
        }
        let shown = items.iter().enumerate().skip(page * self.room).take(self.room);
        lines.extend(shown.map(|(place, item)| self.row(place, item, columns)));
        lines
    }

    fn row(&self, place: usize, item: &str, columns: usize) -> String {
        let (mut row, active) = (String::new(), place == self.at);
        let label = |marks: usize| label(item, columns, marks);
        // Writing to a text can't fail.
        let _ = match &self.ticks {
            None => Rows.format_select_prompt_item(&mut row, &label(3), active),
            Some(ticks) => Rows.format_multi_select_prompt_item(&mut row, &label(7), ticks[place], active),
        };
        row
    }
}

/// The first that leaves room for the page numbers, in one row.
fn heading(words: [&str; 2], columns: usize) -> String {
    let room = columns.saturating_sub(16);
    let fits = words.iter().find(|words| words.len() <= room);
    cut(fits.unwrap_or(&words[1]), room.max(4), columns)
}

/// An item cut to the room behind the marks.
fn label(item: &str, columns: usize, marks: usize) -> String {
    cut(item, columns.saturating_sub(marks), columns)
}

/// Rows as dialoguer draws them, without colours.
struct Rows;

impl Theme for Rows {}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::talk::shared::lines::width;

    fn pressed(ticked: Option<&[usize]>, typed: &str) -> (Picker, Option<Listed>) {
        let mut list = Picker::new(14, 12, ticked);
        let key = |letter| if letter == '\r' { Key::Enter } else { Key::Char(letter) };
        let listed = typed.chars().find_map(|letter| list.press(&key(letter)));
        (list, listed)
    }

    #[test]
    fn labels_fit_by_width_and_by_bytes() {
        let items = ["“curly” – and – dashed – all – over – the – line".to_owned(), "水".repeat(30)];
        for item in items {
            let label = label(&item, 40, 3);
            assert!(width(&label) <= 37 && label.len() <= 40, "{label}");
        }
    }

    #[test]
    fn a_number_goes_to_its_line() {
        for (typed, line) in [("4\r", 3), ("12\r", 11), ("1 \r", 0)] {
            assert_eq!(pressed(None, typed).1, Some(Listed::Picked(vec![line])), "{typed:?}");
        }
        for typed in ["0", "13", "99"] {
            assert_eq!(pressed(None, typed).1, Some(Listed::Typed(typed.into())), "no line of that number");
        }
    }

    #[test]
    fn any_other_letter_begins_the_line_to_type_in() {
        for letter in "b?dsxqjé=-.".chars() {
            assert_eq!(pressed(None, &letter.to_string()).1, Some(Listed::Typed(letter.into())));
            assert_eq!(pressed(Some(&[1]), &letter.to_string()).1, Some(Listed::Typed(letter.into())));
        }
        assert_eq!(pressed(None, " ").1, None, "a blank takes nothing");
    }

    #[test]
    fn numbers_tick_where_several_may_be() {
        for (typed, lines) in [("4\r", vec![3]), ("1, 3\r", vec![0, 2]), ("12 2\r", vec![1, 11]), ("  \r", vec![])]
        {
            assert_eq!(pressed(Some(&[]), typed).1, Some(Listed::Picked(lines)), "{typed:?}");
        }
        assert_eq!(pressed(Some(&[5]), "2\r").1, Some(Listed::Picked(vec![1, 5])));
    }
}
