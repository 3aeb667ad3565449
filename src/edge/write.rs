//! Writing a file so that it is either the old one or the new one, whatever happens.

use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::time::Duration;

use tempfile::NamedTempFile;

use super::system::sync_folder;

/// How the name of a file under way ends; what a kill leaves is known by it.
const UNDER_WAY: &str = ".skeg-new";
/// Letters nobody can guess in such a name.
const LETTERS: usize = 16;
/// A file of another process that is older than this is nobody's any more.
const STALE: Duration = Duration::from_secs(3600);

/// Writes to a fresh file beside it (for its owner alone, a name nobody can guess, never through a link), syncs,
/// renames it over the old one, syncs the folder. The mode of a file that is there stays; a symbolic link keeps
/// pointing where it did.
///
/// # Errors
/// Whatever the file system says; the old file is whole then.
pub fn write_whole(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let (folder, target) = place_of(path);
    let mut fresh = under_way(&target)?.tempfile_in(&folder)?;
    fresh.write_all(bytes)?;
    if let Ok(before) = fs::metadata(&target) {
        // Best effort: a file system without modes has none to keep.
        let _ = fresh.as_file().set_permissions(before.permissions());
    }
    fresh.as_file().sync_all()?;
    sweep(&target, STALE);
    fresh.persist(&target).map_err(|error| error.error)?;
    sync_folder(&folder)
}

/// Keeps what stands at `path` under a second name too, at once and whole; both names stand at any moment after.
///
/// # Errors
/// Whatever the file system says.
pub fn keep_copy(path: &Path, copy: &Path) -> io::Result<()> {
    let (folder, target) = place_of(path);
    let copy = folder.join(copy.file_name().ok_or(io::ErrorKind::InvalidInput)?);
    match under_way(&copy)?.make_in(&folder, |fresh| fs::hard_link(&target, fresh)) {
        Ok(linked) => linked.persist(&copy).map(drop).map_err(|error| error.error),
        // Not every file system has second names.
        Err(_) => {
            let mut fresh = under_way(&copy)?.tempfile_in(&folder)?;
            fresh.write_all(&fs::read(&target)?)?;
            fresh.as_file().sync_all()?;
            fresh.persist(&copy).map(drop).map_err(|error| error.error)
        }
    }
}

/// Takes away what kills have left beside a file: files under way that are older than `age`.
pub fn sweep(path: &Path, age: Duration) {
    let (folder, target) = place_of(path);
    let begins = beginning(&target);
    for found in fs::read_dir(folder).into_iter().flatten().flatten() {
        let name = found.file_name().to_string_lossy().into_owned();
        let letters = name.strip_prefix(&begins).and_then(|rest| rest.strip_suffix(UNDER_WAY));
        let ours =
            letters.is_some_and(|rest| rest.len() == LETTERS && rest.bytes().all(|b| b.is_ascii_alphanumeric()));
        let is_stale = |about: fs::Metadata| {
            about.is_file() && about.modified().is_ok_and(|at| at.elapsed().is_ok_and(|passed| passed >= age))
        };
        if ours && fs::symlink_metadata(found.path()).is_ok_and(is_stale) {
            // Best effort: what stays is swept next time.
            let _ = fs::remove_file(found.path());
        }
    }
}

/// The folder and the file a path means in the end, links followed.
fn place_of(path: &Path) -> (PathBuf, PathBuf) {
    let target = fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
    let folder = match target.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder.to_owned(),
        _ => PathBuf::from("."),
    };
    (folder, target)
}

fn beginning(target: &Path) -> String {
    // A name at the limit of the file system leaves no room for more letters.
    let name: String = target.file_name().unwrap_or_default().to_string_lossy().chars().take(64).collect();
    format!(".{name}.")
}

/// A file under way for this target.
fn under_way(target: &Path) -> io::Result<Way> {
    target.file_name().ok_or(io::ErrorKind::InvalidInput)?;
    Ok(Way(beginning(target)))
}

/// Makes files under way with one beginning.
struct Way(String);

impl Way {
    fn tempfile_in(&self, folder: &Path) -> io::Result<NamedTempFile> {
        tempfile::Builder::new().prefix(&self.0).suffix(UNDER_WAY).rand_bytes(LETTERS).tempfile_in(folder)
    }

    fn make_in(&self, folder: &Path, make: impl FnMut(&Path) -> io::Result<()>) -> io::Result<NamedTempFile<()>> {
        tempfile::Builder::new().prefix(&self.0).suffix(UNDER_WAY).rand_bytes(LETTERS).make_in(folder, make)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names(folder: &Path) -> Vec<String> {
        let all = fs::read_dir(folder).unwrap().map(|found| found.unwrap().file_name().into_string().unwrap());
        let mut all: Vec<String> = all.collect();
        all.sort();
        all
    }

    #[test]
    fn a_file_is_replaced_whole_and_nothing_is_left_beside_it() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.json");
        write_whole(&path, b"one").unwrap();
        write_whole(&path, b"two").unwrap();
        assert_eq!(fs::read(&path).unwrap(), b"two");
        assert_eq!(names(folder.path()), ["a.json"]);
        assert!(write_whole(&folder.path().join("no/a.json"), b"x").is_err());
    }

    #[test]
    fn a_copy_stays_when_the_file_is_replaced() {
        let folder = tempfile::tempdir().unwrap();
        let (path, copy) = (folder.path().join("a.json"), folder.path().join("a.json.bak"));
        write_whole(&path, b"one").unwrap();
        keep_copy(&path, &copy).unwrap();
        write_whole(&path, b"two").unwrap();
        assert_eq!((fs::read(&path).unwrap(), fs::read(&copy).unwrap()), (b"two".to_vec(), b"one".to_vec()));
        keep_copy(&path, &copy).unwrap();
        assert_eq!(fs::read(&copy).unwrap(), b"two");
        assert_eq!(names(folder.path()), ["a.json", "a.json.bak"]);
    }

    #[cfg(unix)]
    #[test]
    fn only_its_owner_reads_a_new_file_and_a_mode_that_was_set_stays() {
        use std::os::unix::fs::PermissionsExt;
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.json");
        let mode = || fs::metadata(&path).unwrap().permissions().mode() & 0o777;
        write_whole(&path, b"one").unwrap();
        assert_eq!(mode(), 0o600);
        fs::set_permissions(&path, fs::Permissions::from_mode(0o640)).unwrap();
        write_whole(&path, b"two").unwrap();
        assert_eq!(mode(), 0o640);
    }

    #[cfg(unix)]
    #[test]
    fn a_link_keeps_pointing_and_one_laid_in_the_way_is_not_followed() {
        let folder = tempfile::tempdir().unwrap();
        let (real, link) = (folder.path().join("real.json"), folder.path().join("link.json"));
        fs::write(&real, "old").unwrap();
        std::os::unix::fs::symlink(&real, &link).unwrap();
        write_whole(&link, b"new").unwrap();
        assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
        assert_eq!(fs::read(&real).unwrap(), b"new");
    }

    #[test]
    fn what_a_kill_left_is_swept_and_nothing_else() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.json");
        let left = format!(".a.json.{}{UNDER_WAY}", "x".repeat(LETTERS));
        for name in [left.as_str(), ".a.json.lock", "a.json", ".b.json.xxxxxxxxxxxxxxxx.skeg-new"] {
            fs::write(folder.path().join(name), "x").unwrap();
        }
        sweep(&path, STALE);
        assert_eq!(names(folder.path()).len(), 4);
        sweep(&path, Duration::ZERO);
        assert_eq!(names(folder.path()), [".a.json.lock", ".b.json.xxxxxxxxxxxxxxxx.skeg-new", "a.json"]);
    }
}
