//! Saved interviews: one JSON file each, written atomically after every answer.
//!
//! Start at [`Store`]. A file is written beside the old one, synced, and renamed over it, so that a crash at any
//! moment leaves the last saved state. A lock file keeps a second program from writing the same interview. What a
//! file holds is in [`saved`]; a damaged or newer file is told and left untouched.

mod atomic;
mod saved;

use std::fs::{self, File, TryLockError};
use std::path::{Path, PathBuf};

pub use atomic::write_atomically;
pub use saved::{Saved, Unread, read_answers_file};

use crate::knowledge::Knowledge;

/// The folder of saved interviews.
#[derive(Clone, Debug)]
pub struct Store {
    folder: PathBuf,
}

/// One interview held for writing; others are kept out while this lives.
#[derive(Debug)]
pub struct Held {
    _lock: File,
}

/// One line of the list of interviews.
#[derive(Debug)]
pub struct Entry {
    pub name: String,
    pub changed: std::time::SystemTime,
    /// The interview, or why it can't be read.
    pub saved: Result<Saved, String>,
}

impl Store {
    /// The store in a folder, which need not be there yet.
    #[must_use]
    pub fn at(folder: PathBuf) -> Self {
        Self { folder }
    }

    /// Where the interviews lie.
    #[must_use]
    pub fn folder(&self) -> &Path {
        &self.folder
    }

    /// The file of an interview.
    #[must_use]
    pub fn file_of(&self, name: &str) -> PathBuf {
        self.folder.join(format!("{name}.json"))
    }

    /// Whether an interview of that name is there.
    #[must_use]
    pub fn has(&self, name: &str) -> bool {
        self.file_of(name).exists()
    }

    /// The first of motor-1, motor-2, … that is not taken.
    #[must_use]
    pub fn free_name(&self) -> String {
        (1u32..=u32::MAX).map(|number| format!("motor-{number}")).find(|name| !self.has(name)).unwrap_or_default()
    }

    /// Names of all interviews, latest changed first.
    ///
    /// # Errors
    /// The folder is there but can't be read.
    pub fn list(&self, knowledge: &Knowledge) -> Result<Vec<Entry>, String> {
        if !self.folder.exists() {
            return Ok(Vec::new());
        }
        let told = |error: std::io::Error| format!("can't read the folder {}: {error}", self.folder.display());
        let mut entries = Vec::new();
        for file in fs::read_dir(&self.folder).map_err(told)? {
            let file = file.map_err(told)?;
            let path = file.path();
            let name = path.file_stem().map(|stem| stem.to_string_lossy().into_owned()).unwrap_or_default();
            let is_interview = path.extension().is_some_and(|ending| ending == "json") && check_name(&name).is_ok();
            if is_interview && path.is_file() {
                let changed = file.metadata().and_then(|about| about.modified()).unwrap_or(std::time::UNIX_EPOCH);
                entries.push(Entry { saved: self.load(&name, knowledge), name, changed });
            }
        }
        entries.sort_by(|a, b| b.changed.cmp(&a.changed).then_with(|| a.name.cmp(&b.name)));
        Ok(entries)
    }

    /// Reads an interview.
    ///
    /// # Errors
    /// It is not there, damaged, or of a newer format; the message names the file, which stays as it is.
    pub fn load(&self, name: &str, knowledge: &Knowledge) -> Result<Saved, String> {
        check_name(name)?;
        let path = self.file_of(name);
        if !path.exists() {
            let known = self.names();
            let near = crate::knowledge::near(name, known.iter().map(String::as_str));
            return Err(format!("there is no interview {name:?} in {}{near}", self.folder.display()));
        }
        let text = fs::read_to_string(&path).map_err(|error| format!("can't read {}: {error}", path.display()))?;
        Saved::parse(&text, knowledge)
            .map_err(|problem| format!("{}: {problem}; the file is left as it is", path.display()))
    }

    fn names(&self) -> Vec<String> {
        let files = fs::read_dir(&self.folder).into_iter().flatten().flatten().map(|file| file.path());
        let interviews = files.filter(|path| path.extension().is_some_and(|ending| ending == "json"));
        interviews.filter_map(|path| Some(path.file_stem()?.to_string_lossy().into_owned())).collect()
    }

    /// Holds an interview for writing.
    ///
    /// # Errors
    /// Another program holds it, or the folder can't be written.
    pub fn hold(&self, name: &str) -> Result<Held, String> {
        check_name(name)?;
        fs::create_dir_all(&self.folder)
            .map_err(|error| format!("can't make the folder {}: {error}", self.folder.display()))?;
        let path = self.folder.join(format!(".{name}.lock"));
        let lock = File::create(&path).map_err(|error| format!("can't write {}: {error}", path.display()))?;
        match lock.try_lock() {
            Ok(()) => Ok(Held { _lock: lock }),
            Err(TryLockError::WouldBlock) => {
                Err(format!("another skeg is busy with {name:?}; close it there, then try again"))
            }
            Err(TryLockError::Error(error)) => Err(format!("can't lock {}: {error}", path.display())),
        }
    }

    /// Writes an interview that is held.
    ///
    /// # Errors
    /// It can't be written; the file before it is still whole.
    pub fn save(&self, _held: &Held, saved: &Saved, knowledge: &Knowledge) -> Result<(), String> {
        let path = self.file_of(&saved.name);
        write_atomically(&path, saved.to_text(knowledge).as_bytes())
            .map_err(|error| format!("can't save {}: {error}", path.display()))
    }
}

/// Names that are safe as file names everywhere.
///
/// # Errors
/// A sentence that says what a name may hold.
pub fn check_name(name: &str) -> Result<(), String> {
    let fits = !name.is_empty()
        && name.len() <= 64
        && !name.starts_with('-')
        && name.chars().all(|c| c.is_ascii_alphanumeric() || c == '-' || c == '_');
    if fits { Ok(()) } else { Err(format!("{name:?} can't be a name: letters, digits, - and _, at most 64")) }
}
