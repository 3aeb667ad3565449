//! A text in the person's own editor, through a file of its own that is gone afterwards.

use std::env;
use std::io::{self, Write};
use std::path::Path;
use std::process::Command;

use tempfile::TempPath;

use crate::edge::read_text;
use crate::talk::system::{EDITOR, words_of};

/// The editor's command, word by word: VISUAL, else EDITOR, else what the system always has.
pub fn named() -> Option<Vec<String>> {
    let set = |name: &str| env::var(name).ok().map(|command| words_of(&command)).filter(|words| !words.is_empty());
    set("VISUAL").or_else(|| set("EDITOR")).or_else(|| EDITOR.map(|program| vec![program.to_owned()]))
}

/// The text as it was edited, lines ending as ours do; `Err` says in words what went wrong.
pub fn edit(command: &[String], text: &str) -> Result<String, String> {
    let path = fresh_file(text).map_err(|error| format!("No file could be made for the editor: {error}."))?;
    let (program, words) = command.split_first().ok_or("There is no editor here.")?;
    match Command::new(program).args(words).arg(&path).status() {
        Ok(status) if status.success() => left_in(&path),
        Ok(_) => Err("The editor said that it did not work out.".into()),
        Err(error) => Err(format!("The editor did not start: {error}.")),
    }
}

fn left_in(path: &Path) -> Result<String, String> {
    let text = read_text(path).map_err(|why| format!("What the editor left can't be read: {why}."))?;
    Ok(text.replace("\r\n", "\n"))
}

/// A file nobody else can read, with the text in it; closed, so that any editor may put another in its place.
fn fresh_file(text: &str) -> io::Result<TempPath> {
    let mut file = tempfile::Builder::new().prefix("skeg-note-").suffix(".txt").tempfile()?;
    file.write_all(text.as_bytes())?;
    Ok(file.into_temp_path())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn words(all: &[&str]) -> Vec<String> {
        all.iter().map(|word| (*word).to_owned()).collect()
    }

    #[cfg(unix)]
    #[test]
    fn what_the_editor_leaves_is_the_text() {
        let appends = words_of(r#"sh -c 'printf " and\r\nmore" >> "$1"' sh"#);
        assert_eq!(edit(&appends, "a note"), Ok("a note and\nmore".into()));
        let replaces = words_of(r#"sh -c 'cp "$1" "$1.new" && mv "$1.new" "$1"' sh"#);
        assert_eq!(edit(&replaces, "a note"), Ok("a note".into()));
    }

    #[cfg(unix)]
    #[test]
    fn an_editor_that_fails_is_told() {
        assert_eq!(edit(&words(&["false"]), "a note"), Err("The editor said that it did not work out.".into()));
        assert_eq!(words_of("an 'open quote"), words(&[]), "no command");
    }

    #[test]
    fn an_editor_that_is_not_there_is_told() {
        let told = edit(&words(&["no-such-editor-anywhere"]), "").unwrap_err();
        assert!(told.starts_with("The editor did not start"), "{told}");
    }
}
