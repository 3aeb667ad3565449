//! Waiting before something that matters scrolls out of a small window: cautions, the card, what a stage is about.
//!
//! Only a front end that knows its rows waits. There only Enter, back, stop and a question mark count.

use crate::talk::Leave;

use super::command::{What, command, key_of};
use super::say::quiet;
use super::{Desk, Heard};

/// What ended an opening early.
pub enum Ended {
    Left(Leave),
    Back,
}

impl From<Leave> for Ended {
    fn from(leave: Leave) -> Self {
        Self::Left(leave)
    }
}

/// What has been put since the person last pressed Enter.
#[derive(Clone, Debug, Default)]
pub struct Unread {
    /// Something that matters is among it.
    pub matters: bool,
    /// Lines since the first that matters.
    pub lines: usize,
    /// Back or stop, heard between questions.
    pub early: Option<String>,
}

impl Unread {
    /// A line was put.
    pub fn line(&mut self) {
        self.lines += usize::from(self.matters);
    }

    /// All was read.
    pub fn read(&mut self) {
        (self.matters, self.lines) = (false, 0);
    }
}

/// From here on it matters that it is read.
pub fn matters(desk: &mut dyn Desk) {
    desk.manner().unread.matters = true;
}

/// Waits where so many lines more would push what matters out of the window.
pub fn room_for(desk: &mut dyn Desk, lines: usize) -> Result<(), Ended> {
    let rows = desk.rows().unwrap_or(usize::MAX);
    let unread = &desk.manner().unread;
    // One row for the line that is typed in, one for the words that say what to do.
    if unread.lines > 0 && unread.lines.saturating_add(lines) > rows.saturating_sub(2) {
        wait(desk, "(Enter goes on)")?;
        matters(desk);
    }
    Ok(())
}

/// The same between questions: whoever goes away there is gone before the next line is read.
pub fn make_room(desk: &mut dyn Desk, lines: usize) {
    if let Err(Ended::Left(_)) = room_for(desk, lines) {
        desk.manner().unread.early = Some(key_of(What::Stop).letter.to_owned());
    }
}

/// Waits for Enter; back and stop are heard too, and nothing else counts: no answer is taken before its question.
pub fn wait(desk: &mut dyn Desk, words: &str) -> Result<(), Ended> {
    if desk.manner().unread.early.is_some() {
        return Ok(());
    }
    loop {
        quiet(desk, words);
        let text = match desk.read("")? {
            Heard::Back => return Err(Ended::Back),
            Heard::List(typed) => typed,
            Heard::Text(text) => text,
        };
        went_away(&text)?;
        match text.trim() {
            "" => return Ok(()),
            "?" => quiet(desk, "The question comes next; a ? there says why and how."),
            _ => quiet(desk, "Only Enter counts here, so that nothing is taken for an answer unread."),
        }
    }
}

/// The same where nothing can be gone back to.
pub fn gone_early(desk: &mut dyn Desk) -> Result<(), Leave> {
    match left_early(desk) {
        Err(Ended::Left(leave)) => Err(leave),
        Ok(()) | Err(Ended::Back) => Ok(()),
    }
}

/// Whoever went away between the questions is gone before the next is shown.
pub fn left_early(desk: &mut dyn Desk) -> Result<(), Ended> {
    let gone = went_away(desk.manner().unread.early.as_deref().unwrap_or(""));
    if gone.is_err() {
        desk.manner().unread.early = None;
    }
    gone
}

fn went_away(text: &str) -> Result<(), Ended> {
    // A letter alone; words that happen to be a key's name are no leave.
    let letter = Some(text.trim()).filter(|text| text.chars().count() == 1).unwrap_or("");
    match command(letter, &[], false).map(|command| command.what) {
        Some(What::Back) => Err(Ended::Back),
        Some(What::Stop) => Err(Ended::Left(Leave::Stop)),
        _ => Ok(()),
    }
}
