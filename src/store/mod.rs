//! Saved interviews: one JSON file each, written whole after every answer, sealed, the version before kept beside it.
//!
//! Start at [`Store`]. A crash at any moment leaves the last saved state. The file's name is the interview's name; a
//! lock beside it keeps a second program from writing it. What a file holds is in [`saved`], how it was found
//! (whole, edited by hand, damaged) in [`found`]; a newer file is told and left untouched.

mod answers_file;
mod found;
mod lock;
mod names;
mod saved;
mod seal;

use std::fs;
use std::path::{Path, PathBuf};
use std::time::{Duration, SystemTime};

pub use answers_file::read_answers_file;
pub use found::{Condition, Found, differences};
pub use lock::Held;
pub use names::check_name;
pub use saved::{FORMAT, SHORT_MINUTES, Saved, Unread};
pub use seal::of as seal_of;

use crate::edge;
use crate::edge::system::make_private_folder;
use crate::knowledge::{Knowledge, near};

/// The folder of saved interviews.
#[derive(Clone, Debug)]
pub struct Store {
    folder: PathBuf,
}

/// One line of the list of interviews.
#[derive(Debug)]
pub struct Entry {
    pub name: String,
    pub changed: SystemTime,
    /// The interview as it was found, or why nothing of it can be had.
    pub found: Result<Found, String>,
}

impl Entry {
    /// The interview, if it is whole.
    #[must_use]
    pub fn whole(&self) -> Option<&Saved> {
        let found = self.found.as_ref().ok()?;
        found.saved.as_ref().filter(|_| found.condition == Condition::Whole)
    }
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

    /// The version before.
    fn before_of(&self, name: &str) -> PathBuf {
        self.folder.join(format!("{name}.json.bak"))
    }

    /// Whether an interview of that name is there, if only the version before.
    #[must_use]
    pub fn has(&self, name: &str) -> bool {
        // A link that leads nowhere takes the name too.
        fs::symlink_metadata(self.file_of(name)).is_ok() || self.before_of(name).exists()
    }

    /// The first of motor-1, motor-2, … that is not taken, whatever its capitals.
    #[must_use]
    pub fn free_name(&self) -> String {
        let taken = self.names();
        let free = |name: &String| !self.has(name) && names::twin(name, &taken).is_none();
        (1u32..=u32::MAX).map(|number| format!("motor-{number}")).find(free).unwrap_or_default()
    }

    /// Whether a new interview may have this name.
    ///
    /// # Errors
    /// It is no name, or taken, also by one that differs in capitals only.
    pub fn check_new(&self, name: &str) -> Result<(), String> {
        check_name(name)?;
        if let Some(twin) = names::twin(name, &self.names()) {
            return Err(format!(
                "there is an interview {twin:?}, and names that differ only in capitals are one file on many systems: take another"
            ));
        }
        if self.has(name) {
            return Err(format!(
                "there is an interview {name:?} already: carry on with skeg resume {name}, or take another name"
            ));
        }
        Ok(())
    }

    /// All interviews: what is not whole first, then the latest changed first.
    ///
    /// # Errors
    /// The folder is there but can't be read.
    pub fn list(&self, knowledge: &Knowledge) -> Result<Vec<Entry>, String> {
        let told = |error: std::io::Error| format!("can't read the folder {}: {error}", edge::path(&self.folder));
        if fs::metadata(&self.folder).is_err_and(|error| error.kind() == std::io::ErrorKind::NotFound) {
            return Ok(Vec::new());
        }
        fs::read_dir(&self.folder).map_err(told)?;
        let entry = |name: String| Entry {
            changed: self.changed(&name),
            found: check_name(&name).and_then(|()| self.find(&name, knowledge)),
            name,
        };
        let mut entries: Vec<Entry> = self.names().into_iter().map(entry).collect();
        entries.sort_by(|a, b| {
            let whole = |entry: &Entry| entry.whole().is_some();
            whole(a).cmp(&whole(b)).then(b.changed.cmp(&a.changed)).then_with(|| a.name.cmp(&b.name))
        });
        Ok(entries)
    }

    fn changed(&self, name: &str) -> SystemTime {
        let at = |path: PathBuf| fs::metadata(path).and_then(|about| about.modified()).ok();
        at(self.file_of(name)).or_else(|| at(self.before_of(name))).unwrap_or(SystemTime::UNIX_EPOCH)
    }

    /// Names of all files that end as an interview does, each once.
    fn names(&self) -> Vec<String> {
        let files = fs::read_dir(&self.folder).into_iter().flatten().flatten();
        let names = files.filter_map(|file| {
            let name = file.file_name().to_string_lossy().into_owned();
            let stem = name.strip_suffix(".json").or_else(|| name.strip_suffix(".json.bak"))?;
            (!stem.is_empty() && !stem.starts_with('.')).then(|| stem.to_owned())
        });
        let mut names: Vec<String> = names.collect();
        names.sort();
        names.dedup();
        names
    }

    /// Reads an interview as it is, whole or not.
    ///
    /// # Errors
    /// There is none of that name, it can't be read at all, or a newer program saved it; the message names the file,
    /// which stays as it is.
    pub fn find(&self, name: &str, knowledge: &Knowledge) -> Result<Found, String> {
        check_name(name)?;
        let path = self.file_of(name);
        let before = self.version_before(name, knowledge);
        let about = match fs::symlink_metadata(&path) {
            Err(error) if error.kind() == std::io::ErrorKind::NotFound => None,
            _ => Some(edge::read_text(&path)),
        };
        let told = |problem: String| format!("{}: {problem}; the file is left as it is", edge::path(&path));
        match about {
            None if before.is_some() => Ok(Found { condition: Condition::Gone, saved: None, before }),
            None => Err(self.no_such(name)),
            Some(Ok(text)) => {
                let (condition, saved) = found::look(&text, name, knowledge).map_err(told)?;
                Ok(Found { condition, saved, before })
            }
            // Letters that are no text are damage; anything else is the system's word.
            Some(Err(why)) if why.contains("UTF-8") => {
                let text = String::from_utf8_lossy(&fs::read(&path).unwrap_or_default()).into_owned();
                let (_, saved) = found::look(&text, name, knowledge).map_err(told)?;
                Ok(Found { condition: Condition::Damaged(why), saved, before })
            }
            Some(Err(why)) => Err(told(why)),
        }
    }

    fn no_such(&self, name: &str) -> String {
        let near = near(name, self.names().iter().map(String::as_str));
        format!("there is no interview {name:?} in {}{near}", edge::path(&self.folder))
    }

    fn version_before(&self, name: &str, knowledge: &Knowledge) -> Option<Saved> {
        let text = edge::read_text(&self.before_of(name)).ok()?;
        match found::look(&text, name, knowledge) {
            Ok((Condition::Whole, saved)) => saved,
            _ => None,
        }
    }

    /// Reads an interview that is whole.
    ///
    /// # Errors
    /// As [`Store::find`]; and when it is not as it was written, with what to do about it.
    pub fn load(&self, name: &str, knowledge: &Knowledge) -> Result<Saved, String> {
        let found = self.find(name, knowledge)?;
        let what = match (found.condition, found.saved) {
            (Condition::Whole, Some(saved)) => return Ok(saved),
            (Condition::Whole | Condition::Edited, _) => {
                "edited by hand, or damaged, since skeg wrote it".to_owned()
            }
            (Condition::Damaged(why), _) => why,
            (Condition::Gone, _) => "the file is gone, and the version before the last answer is there".to_owned(),
        };
        let path = edge::path(&self.file_of(name));
        Err(format!("{path}: {what}; skeg resume {name} shows what can be had of it, and takes it after a yes"))
    }

    /// Holds an interview for writing, and takes away what kills have left of it.
    ///
    /// # Errors
    /// Another program holds it, or the folder can't be written.
    pub fn hold(&self, name: &str) -> Result<Held, String> {
        check_name(name)?;
        make_private_folder(&self.folder)
            .map_err(|error| format!("can't make the folder {}: {error}", edge::path(&self.folder)))?;
        let file = self.file_of(name);
        // Two names of one file share its lock.
        let file = fs::canonicalize(&file).unwrap_or(file);
        let stem = file.file_stem().map(|stem| stem.to_string_lossy().into_owned()).unwrap_or_default();
        let lock = file.with_file_name(format!(".{stem}.lock"));
        let held = Held::take(&lock).map_err(|problem| format!("{name}: {problem}"))?;
        if held.is_locked() {
            for written in [self.file_of(name), self.before_of(name)] {
                edge::sweep(&written, Duration::ZERO);
            }
        }
        Ok(held)
    }

    /// Writes an interview that is held. What stands there becomes the version before; what is not as skeg wrote it
    /// is set aside instead, beside it, and never lost.
    ///
    /// # Errors
    /// It can't be written; the file before it is still whole.
    pub fn save(&self, held: &Held, saved: &Saved, knowledge: &Knowledge) -> Result<(), String> {
        held.renew();
        self.write(saved, knowledge).map_err(|(path, error)| format!("can't save {}: {error}", edge::path(&path)))
    }

    /// Writes an interview whose hand edits were agreed on: the version before stays the one to compare with.
    ///
    /// # Errors
    /// It can't be written.
    pub fn seal_edits(&self, held: &Held, saved: &Saved, knowledge: &Knowledge) -> Result<(), String> {
        held.renew();
        let path = self.file_of(&saved.name);
        edge::write_whole(&path, saved.to_text(knowledge).as_bytes())
            .map_err(|error| format!("can't save {}: {error}", edge::path(&path)))
    }

    fn write(&self, saved: &Saved, knowledge: &Knowledge) -> Result<(), (PathBuf, std::io::Error)> {
        let path = self.file_of(&saved.name);
        let text = saved.to_text(knowledge);
        let at = |path: &Path| {
            let path = path.to_owned();
            move |error| (path, error)
        };
        if fs::symlink_metadata(&path).is_ok() {
            edge::check_regular(&path).map_err(|why| (path.clone(), std::io::Error::other(why)))?;
            let old = fs::read(&path).map_err(at(&path))?;
            if old == text.as_bytes() {
                return Ok(());
            }
            let copy = if is_whole(&old, &saved.name, knowledge) {
                self.before_of(&saved.name)
            } else {
                self.aside_of(&saved.name)
            };
            edge::keep_copy(&path, &copy).map_err(at(&copy))?;
        }
        edge::write_whole(&path, text.as_bytes()).map_err(at(&path))
    }

    /// A free name for a file that is set aside.
    #[must_use]
    fn aside_of(&self, name: &str) -> PathBuf {
        let named = |number: u32| self.folder.join(format!("{name}.json.aside-{number}"));
        (1..=u32::MAX).map(named).find(|path| !path.exists()).unwrap_or_else(|| named(0))
    }
}

/// Whether a file is as this program wrote it, this version or an older one.
fn is_whole(bytes: &[u8], name: &str, knowledge: &Knowledge) -> bool {
    let text = std::str::from_utf8(bytes).ok().filter(|text| edge::check_json(text).is_ok());
    text.is_some_and(|text| matches!(found::look(text, name, knowledge), Ok((Condition::Whole, _))))
}
