//! Holding an interview for writing, so that two programs never write one file.
//!
//! The lock is the system's, on a file beside the interview; it is gone when the program ends, however it ends.
//! Where the file system knows no locks, the same file says who holds it instead: machine, process, time.

use std::fs::{self, File, OpenOptions, TryLockError};
use std::io::Write;
use std::path::{Path, PathBuf};
use std::time::Duration;

use crate::edge;
use crate::edge::system::{host, is_alive};

/// A mark of another machine that has not been renewed for so long is nobody's.
const FRESH: Duration = Duration::from_secs(600);

/// One interview held for writing; others are kept out while this lives.
#[derive(Debug)]
pub struct Held {
    lock: Option<File>,
    mark: Option<PathBuf>,
    /// What the person has to be told once.
    pub warning: Option<String>,
}

impl Held {
    /// Takes the lock at a path.
    ///
    /// # Errors
    /// Somebody else holds it, or the file can't be made; in words.
    pub fn take(path: &Path) -> Result<Self, String> {
        let told = |error: std::io::Error| format!("can't write {}: {error}", edge::path(path));
        if fs::symlink_metadata(path).is_ok() {
            edge::check_regular(path).map_err(|why| format!("{}: {why}", edge::path(path)))?;
        }
        // A link laid in its place is followed at most to be locked: nothing is cut off, nothing written.
        let lock = OpenOptions::new().create(true).write(true).truncate(false).open(path).map_err(told)?;
        match lock.try_lock() {
            Ok(()) => Ok(Self { lock: Some(lock), mark: None, warning: None }),
            Err(TryLockError::WouldBlock) => Err(busy()),
            Err(TryLockError::Error(_)) => {
                drop(lock);
                Self::mark(path)
            }
        }
    }

    /// Says in the file itself who holds it.
    fn mark(path: &Path) -> Result<Self, String> {
        let path = path.with_extension("held");
        if is_held(&path) {
            return Err(busy());
        }
        edge::write_whole(&path, own_mark().as_bytes())
            .map_err(|error| format!("can't write {}: {error}", edge::path(&path)))?;
        let warning = "This folder knows no locks: I keep other skegs out by a mark that says who is at it. Don't open one interview on two machines at once.";
        Ok(Self { lock: None, mark: Some(path), warning: Some(warning.into()) })
    }

    /// Renews the mark where there is one, so that it stays fresh.
    pub fn renew(&self) {
        if let Some(path) = &self.mark
            && let Ok(mut file) = OpenOptions::new().write(true).open(path)
        {
            // Best effort: an interview that is written in is busy all the same.
            let _ = file.write_all(own_mark().as_bytes());
        }
    }

    /// Whether the system itself keeps others out.
    #[must_use]
    pub fn is_locked(&self) -> bool {
        self.lock.is_some()
    }
}

impl Drop for Held {
    fn drop(&mut self) {
        if let Some(path) = &self.mark {
            let _ = fs::remove_file(path);
        }
    }
}

fn busy() -> String {
    "another skeg is busy with it; close it there, then try again".into()
}

fn own_mark() -> String {
    format!("{} {}\n", std::process::id(), host())
}

/// Whether a mark speaks of a process that still runs: on this machine by its number, on another by the time.
fn is_held(path: &Path) -> bool {
    let Ok(text) = edge::read_text(path) else { return false };
    let (process, machine) = text.trim().split_once(' ').unwrap_or((text.trim(), ""));
    let Ok(process) = process.parse::<u32>() else { return false };
    let changed = fs::metadata(path).and_then(|about| about.modified());
    let age = changed.ok().and_then(|at| at.elapsed().ok()).unwrap_or_default();
    if machine == host() { process != std::process::id() && is_alive(process) } else { age < FRESH }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_lock_keeps_others_out_and_ends_with_its_holder() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join(".a.lock");
        let held = Held::take(&path).unwrap();
        assert!(held.is_locked());
        assert!(Held::take(&path).unwrap_err().contains("busy"));
        drop(held);
        assert!(Held::take(&path).is_ok());
    }

    #[test]
    fn a_mark_holds_for_a_living_process_and_not_for_a_dead_one() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join(".a.lock");
        let held = Held::mark(&path).unwrap();
        assert!(held.warning.is_some() && !held.is_locked());
        let file = path.with_extension("held");
        // Number 1 is always there.
        fs::write(&file, format!("1 {}\n", host())).unwrap();
        assert!(Held::mark(&path).is_err());
        fs::write(&file, format!("4194300 {}\n", host())).unwrap();
        assert!(Held::mark(&path).is_ok());
        fs::write(&file, "1 another-machine\n").unwrap();
        assert!(Held::mark(&path).is_err());
        drop(held);
        assert!(!file.exists());
    }
}
