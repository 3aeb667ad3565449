//! Writing a file so that it is either the old one or the new one, whatever happens.

use std::fs::{self, File};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// Writes to a file beside it, syncs, renames over it, syncs the folder. A symlink keeps pointing where it did.
///
/// # Errors
/// Whatever the file system says; the old file is whole then.
pub fn write_atomically(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let target = fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
    let folder = match target.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder.to_owned(),
        _ => PathBuf::from("."),
    };
    let name = target.file_name().ok_or(io::ErrorKind::InvalidInput)?.to_string_lossy().into_owned();
    let beside = folder.join(format!(".{name}.{}.new", std::process::id()));
    let written = write_and_sync(&beside, bytes).and_then(|()| fs::rename(&beside, &target));
    if written.is_err() {
        // Best effort: the error that is told is the one that mattered.
        let _ = fs::remove_file(&beside);
    }
    written?;
    sync_folder(&folder)
}

fn write_and_sync(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let mut file = File::create(path)?;
    file.write_all(bytes)?;
    file.sync_all()
}

#[cfg(unix)]
fn sync_folder(folder: &Path) -> io::Result<()> {
    File::open(folder)?.sync_all()
}

/// Elsewhere a folder can't be opened as a file; the rename itself is as durable as that system makes it.
#[cfg(not(unix))]
fn sync_folder(_folder: &Path) -> io::Result<()> {
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_is_replaced_whole_and_nothing_is_left_beside_it() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.json");
        write_atomically(&path, b"one").unwrap();
        write_atomically(&path, b"two").unwrap();
        assert_eq!(fs::read(&path).unwrap(), b"two");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
    }

    #[test]
    fn a_missing_folder_is_an_error() {
        let folder = tempfile::tempdir().unwrap();
        assert!(write_atomically(&folder.path().join("no/a.json"), b"x").is_err());
    }
}
