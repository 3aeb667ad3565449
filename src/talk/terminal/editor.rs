//! A text in the person's own editor, through a file of its own that is gone afterwards.

use std::env;
use std::fs::{self, OpenOptions};
use std::io::Write;
use std::os::unix::fs::OpenOptionsExt;
use std::path::{Path, PathBuf};
use std::process::{self, Command};

/// The editor's command: VISUAL, else EDITOR, where it is not empty.
pub fn named() -> Option<String> {
    let set = |name: &str| env::var(name).ok().filter(|command| !command.trim().is_empty());
    set("VISUAL").or_else(|| set("EDITOR"))
}

/// The text as it was edited; `Err` says in words what went wrong.
pub fn edit(command: &str, text: &str) -> Result<String, String> {
    let path = fresh_file(text).map_err(|error| format!("No file could be made for the editor: {error}."))?;
    let edited = run(command, &path);
    let _ = fs::remove_file(&path);
    edited
}

fn run(command: &str, path: &Path) -> Result<String, String> {
    // The command may have words behind it, as people set it: the shell takes it apart.
    let status = Command::new("sh").arg("-c").arg(format!("{command} \"$1\"")).arg("sh").arg(path).status();
    match status {
        Ok(status) if status.success() => {
            fs::read_to_string(path).map_err(|error| format!("What the editor left can't be read: {error}."))
        }
        Ok(_) => Err("The editor said that it did not work out.".into()),
        Err(error) => Err(format!("The editor did not start: {error}.")),
    }
}

/// A file nobody else can read, with the text in it.
fn fresh_file(text: &str) -> std::io::Result<PathBuf> {
    let mut tried = 0;
    loop {
        let path = env::temp_dir().join(format!("skeg-note-{}-{tried}.txt", process::id()));
        match OpenOptions::new().write(true).create_new(true).mode(0o600).open(&path) {
            Ok(mut file) => return file.write_all(text.as_bytes()).map(|()| path),
            Err(error) if error.kind() == std::io::ErrorKind::AlreadyExists && tried < 100 => tried += 1,
            Err(error) => return Err(error),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_the_editor_leaves_is_the_text() {
        assert_eq!(edit("printf ' and more' >>", "a note"), Ok("a note and more".into()));
    }

    #[test]
    fn an_editor_that_fails_is_told() {
        assert_eq!(edit("false", "a note"), Err("The editor said that it did not work out.".into()));
        assert!(edit("no-such-editor-anywhere 2>/dev/null", "").is_err());
    }
}
