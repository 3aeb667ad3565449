//! What stands beside answers: notes, photos, the reason something was not done, the answers so far.

use std::path::{Path, PathBuf};

use crate::answers::{Said, parse::plain_text};
use crate::edge::system::{Sort, sort_of};
use crate::edge::{self, acts};
use crate::knowledge::QuestionIx;
use crate::talk::{Act, Leave, Turn};

use super::command::{What, command};
use super::pick::{Picked, choose};
use super::say::{quiet, say};
use super::{Desk, Going, Heard};

/// A note: the words given with the key, or lines until an empty one, each kept as it comes, or from the editor.
pub fn note(desk: &mut dyn Desk, turn: &Turn<'_>, given: &str) -> Result<Option<Act>, Leave> {
    if !given.is_empty() {
        return Ok(Some(noted(desk, given)));
    }
    let editor = desk.editor();
    let mut hint = vec!["Write, and end with an empty line.".to_owned()];
    hint.extend(editor.as_ref().map(|editor| format!("e alone opens {editor}.")));
    hint.extend(turn.note.map(|_| "What you write takes the old note's place; - alone takes it away.".to_owned()));
    say(desk, &hint.join(" "));
    note_line(desk, turn, Vec::new())
}

/// One more line of a note; `None` when it is at its end.
pub fn note_line(desk: &mut dyn Desk, turn: &Turn<'_>, mut lines: Vec<String>) -> Result<Option<Act>, Leave> {
    loop {
        let kept = if lines.is_empty() && desk.seen() { turn.note.unwrap_or("") } else { "" };
        let line = match desk.read(kept)? {
            Heard::Text(line) => line,
            Heard::List(_) | Heard::Back => String::new(),
        };
        match line.trim() {
            "" => {
                quiet(desk, if lines.is_empty() { "The note stays as it was." } else { "Noted." });
                return Ok(None);
            }
            "-" if lines.is_empty() => return Ok(Some(noted(desk, ""))),
            "e" if lines.is_empty() && desk.editor().is_some() => match desk.edit(turn.note.unwrap_or("")) {
                Ok(text) => return Ok(Some(noted(desk, &text))),
                Err(why) => say(desk, &format!("{why} Write it here instead.")),
            },
            "." if !lines.is_empty() => return Err(Leave::Stop),
            _ => {
                lines.push(line);
                let text = plain_text(&lines.join(" "));
                desk.manner().going = Some((turn.ix, Going::Note(lines)));
                return Ok(Some(Act::Note(text)));
            }
        }
    }
}

/// A note is one paragraph, whatever it was typed into: it is shown and printed as one.
fn noted(desk: &mut dyn Desk, text: &str) -> Act {
    let text = plain_text(text);
    let told = if text.is_empty() { "The note is taken away." } else { "Noted." };
    desk.manner().once_kept = Some(told.into());
    Act::Note(text)
}

/// A photo by its path, which must be there.
pub fn photo(desk: &mut dyn Desk, given: &str) -> Result<Option<Act>, Leave> {
    let mut kept = String::new();
    let mut given = given.to_owned();
    loop {
        if given.is_empty() {
            say(desk, "Where is the photo? Its path, such as ~/photos/oil.jpg. Enter alone goes back.");
            let Heard::Text(text) = desk.read(&kept)? else { return Ok(None) };
            given = text;
        }
        if given.trim().is_empty() {
            return Ok(None);
        }
        let path = full_path(&given, desk.home().as_deref());
        match check_photo(&path) {
            Ok(()) => {
                let path = path.to_string_lossy().into_owned();
                desk.manner().once_kept = Some(format!("  = photo {path}"));
                return Ok(Some(Act::Photo(path)));
            }
            Err(why) => say(desk, &why),
        }
        kept = std::mem::take(&mut given);
    }
}

/// The path as it was meant: quotes of a dropped file taken off, `~` expanded, from the root.
fn full_path(given: &str, home: Option<&Path>) -> PathBuf {
    let bare: String = given.chars().filter(|c| !acts(*c)).collect();
    let bare = bare.trim();
    let quoted = |mark: char| bare.strip_prefix(mark).and_then(|rest| rest.strip_suffix(mark));
    // Where a backslash parts folders it can't hide a blank.
    let plain = || if cfg!(windows) { bare.to_owned() } else { bare.replace("\\ ", " ") };
    let bare = quoted('\'').or_else(|| quoted('"')).map_or_else(plain, str::to_owned);
    let below_home = bare.strip_prefix('~').and_then(|rest| rest.strip_prefix(std::path::is_separator));
    let path = match (below_home, home) {
        (Some(rest), Some(home)) => home.join(rest),
        _ => PathBuf::from(bare),
    };
    std::path::absolute(&path).unwrap_or(path)
}

fn check_photo(path: &Path) -> Result<(), String> {
    let shown = edge::path(path);
    match std::fs::metadata(path).as_ref().map(sort_of) {
        Ok(Sort::Regular) => Ok(()),
        Ok(Sort::Folder) => Err(format!("{shown} is a folder. Name the photo in it.")),
        Ok(other) => Err(format!("{shown} is {}. Name a photo.", other.words())),
        Err(_) => Err(format!(
            "There is no file {shown}. Look at the name once more, or press Enter alone to go on without."
        )),
    }
}

/// Not done, with the reason given or asked for.
pub fn not_done(desk: &mut dyn Desk, given: &str) -> Result<Option<Said>, Leave> {
    if !given.is_empty() {
        return Ok(Some(Said::NotDone(plain_text(given))));
    }
    loop {
        say(desk, "Why not? A word or two for the paper, or Enter for none.");
        let Heard::Text(reason) = desk.read("")? else { return Ok(None) };
        match command(&reason, &[], true).map(|command| command.what) {
            Some(What::Back) => return Ok(None),
            Some(What::Stop) => return Err(Leave::Stop),
            Some(What::Why | What::Keys) => {
                quiet(desk, "It tells a mechanic what is left to look at. b goes back.");
            }
            _ => return Ok(Some(Said::NotDone(plain_text(&reason)))),
        }
    }
}

/// The answers so far, and which one to change.
pub fn answers(desk: &mut dyn Desk, turn: &Turn<'_>) -> Result<Option<QuestionIx>, Leave> {
    if turn.so_far.is_empty() {
        say(desk, "Nothing has been answered yet.");
        return Ok(None);
    }
    let items: Vec<String> =
        turn.so_far.iter().map(|earlier| format!("{}: {}", earlier.brief, earlier.text)).collect();
    let picked =
        choose(desk, "Your answers so far", &items, "A number to change that one, or Enter to go on.", true)?;
    Ok(match picked {
        Picked::Item(place) => Some(turn.so_far[place].ix),
        Picked::Nothing => None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn paths_are_taken_as_they_are_pasted() {
        let (folder, photo) =
            if cfg!(windows) { (r"C:\kim", r"C:\kim\my photo.jpg") } else { ("/kim", "/kim/my photo.jpg") };
        let home = Some(Path::new(folder));
        let mut all = vec!["~/my photo.jpg".to_owned(), format!(" '{photo}' "), format!("\"{photo}\"")];
        all.push(if cfg!(windows) { r"~\my photo.jpg".into() } else { photo.replace(' ', "\\ ") });
        for given in all {
            assert_eq!(full_path(&given, home), Path::new(photo), "{given}");
        }
        assert!(full_path("oil.jpg", home).is_absolute());
    }
}
