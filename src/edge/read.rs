//! Reading a text file, within bounds: no pipe that never ends, no file that fills the memory.

use std::fs::File;
use std::io::Read;
use std::path::Path;

use super::system::{Sort, sort_of};

/// The largest file that is read.
pub const MOST_BYTES: u64 = 10_000_000;
/// The longest line that is read.
pub const MOST_LINE: usize = 1_000_000;

/// Stands before the first letter of a text as some editors write it.
const MARK: char = '\u{feff}';

/// Refuses what is no ordinary file, before it is opened: opening a pipe would wait for ever.
///
/// # Errors
/// What it is instead, or what the system says.
pub fn check_regular(path: &Path) -> Result<(), String> {
    let about = std::fs::metadata(path).map_err(|error| error.to_string())?;
    match sort_of(&about) {
        Sort::Regular => Ok(()),
        other => Err(format!("it is {}, and I read ordinary files only", other.words())),
    }
}

/// The text of a file, without the mark that some editors put before its first letter.
///
/// # Errors
/// It is not there, no ordinary file, not UTF-8, over 10 MB, or has a line over 1 MB; without the path.
pub fn read_text(path: &Path) -> Result<String, String> {
    let bytes = read_bytes(path)?;
    if bytes.split(|byte| *byte == b'\n').any(|line| line.len() > MOST_LINE) {
        return Err("it has a line over 1 MB, and I read lines up to 1 MB".into());
    }
    let mut text = String::from_utf8(bytes).map_err(|_| "it is not text (UTF-8)".to_owned())?;
    if text.starts_with(MARK) {
        text.drain(..MARK.len_utf8());
    }
    Ok(text)
}

/// The bytes of a file: a mail may be in any coding.
///
/// # Errors
/// It is not there, no ordinary file, or over 10 MB; without the path.
pub fn read_bytes(path: &Path) -> Result<Vec<u8>, String> {
    check_regular(path)?;
    let mut bytes = Vec::new();
    let file = File::open(path).map_err(|error| error.to_string())?;
    // One more than allowed: a file may grow while it is read.
    file.take(MOST_BYTES + 1).read_to_end(&mut bytes).map_err(|error| error.to_string())?;
    if bytes.len() as u64 > MOST_BYTES {
        return Err("it is over 10 MB, and I read files up to 10 MB".into());
    }
    Ok(bytes)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_begins_with_its_first_letter() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.json");
        std::fs::write(&path, "\u{feff}{}\r\n").unwrap();
        assert_eq!(read_text(&path).as_deref(), Ok("{}\r\n"));
    }

    #[test]
    fn what_is_too_large_is_refused_with_the_limit() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.json");
        std::fs::write(&path, "x\n".repeat(5_000_000)).unwrap();
        assert!(read_text(&path).is_ok());
        std::fs::write(&path, "x\n".repeat(5_000_001)).unwrap();
        assert!(read_text(&path).unwrap_err().contains("10 MB"));
        std::fs::write(&path, "x".repeat(MOST_LINE + 1)).unwrap();
        assert!(read_text(&path).unwrap_err().contains("1 MB"));
        assert!(read_text(folder.path()).unwrap_err().contains("a folder"));
    }
}
