//! What `questions/` says: loaded, checked, typed; and the names of the measures.
//!
//! Start at [`embedded_files`] or [`folder_files`] with [`parse_files`]. Text becomes raw shapes in [`read`], raw shapes become the
//! [`Knowledge`] in [`check`], where every name is resolved and every rule of the data is looked at; [`evidence`]
//! holds the rules on evidence. All problems are told at once. Nothing here knows of answers.

mod check;
pub mod condition;
mod endings;
mod evidence;
mod fold;
mod ids;
mod marks;
mod measures;
mod model;
mod packed;
mod raw;
mod read;
mod resolve;
mod review;
pub mod roles;
mod schema;
pub mod synonyms;
mod text;
mod words;
mod wrong;

use std::hash::Hasher;
use std::path::{Path, PathBuf};
use std::{fmt, fs, io};

use include_dir::{Dir, include_dir};

pub use condition::{AnswerTest, Condition, MeasureTest, Named};
pub use fold::Story;
#[cfg(test)]
pub use ids::TermId;
pub use ids::{ChoiceId, FaultIx, FindingIx, HazardIx, ItemIx, QuestionId, QuestionIx, SourceId, StageId};
pub use measures::{KnownMeasure, MeasureFacts, MeasureId};
#[cfg(test)]
pub use model::Instead;
pub use model::{
    Amount, Basis, CardLine, Choice, Clearer, Finding, Gate, Grade, Hazard, Kind, Knowledge, Known, Level, Need,
    Of, Picture, Place, PowerClass, Question, RunCard, Settings, Side, Stage, Strength, Telling, Term, TextForm,
    Variant, Wait,
};
pub use read::Problem;
pub use review::{misread, review};
pub use schema::schema;
pub use synonyms::{Range, Synonyms};
pub use text::Text;
pub use wrong::Wrong;

/// The files as they were when the program was built.
static EMBEDDED: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/questions");

/// More questions than anybody could keep, and few enough that looking at them takes a moment.
pub const MOST_QUESTIONS: usize = 20_000;

/// One question file: its name and its text.
#[derive(Clone, Debug)]
pub struct File {
    pub name: String,
    pub text: String,
}

/// The files built into the program, by name.
#[must_use]
pub fn embedded_files() -> Vec<File> {
    let mut files: Vec<File> = EMBEDDED
        .files()
        .filter_map(|file| {
            let name = file.path().to_str()?.to_owned();
            let text = file.contents_utf8()?.to_owned();
            is_json(file.path()).then_some(File { name, text })
        })
        .collect();
    files.sort_by(|a, b| a.name.cmp(&b.name));
    files
}

fn is_json(path: &Path) -> bool {
    path.extension().is_some_and(|ending| ending == "json")
}

/// A folder or a file of question data that can't be read.
#[derive(Debug)]
pub struct CantRead {
    pub path: PathBuf,
    pub error: io::Error,
}

impl fmt::Display for CantRead {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "can't read the questions in {}: {}", self.path.display(), self.error)
    }
}

/// Reads the `.json` files of a folder.
///
/// # Errors
/// The folder or a file that can't be read.
pub fn folder_files(folder: &Path) -> Result<Vec<File>, CantRead> {
    let told = |path: &Path| {
        let path = path.to_owned();
        move |error| CantRead { path, error }
    };
    let mut files = Vec::new();
    for entry in fs::read_dir(folder).map_err(told(folder))? {
        let path = entry.map_err(told(folder))?.path();
        if is_json(&path) {
            let text = fs::read_to_string(&path).map_err(told(&path))?;
            // Some editors put a mark before the first letter.
            let text = text.trim_start_matches('\u{feff}').to_owned();
            let name = path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
            files.push(File { name, text });
        }
    }
    files.sort_by(|a, b| a.name.cmp(&b.name));
    Ok(files)
}

/// Reads and checks files of question data; `measures` are those that conditions may name.
///
/// # Errors
/// Every problem found, in the order of files and lines.
pub fn parse_files(files: &[File], measures: &[MeasureFacts]) -> Result<Knowledge, Vec<Problem>> {
    let mut problems = Vec::new();
    let parts = check::read_all(files, &mut problems);
    if parts.question_count() > MOST_QUESTIONS {
        return Err(vec![Problem::of_file("questions", Wrong::TooManyQuestions)]);
    }
    let knowledge = check::resolve_all(parts, measures, fingerprint(files), &mut problems);
    match knowledge {
        Some(knowledge) if problems.is_empty() => {
            let found = evidence::problems(&knowledge);
            if found.is_empty() { Ok(knowledge) } else { Err(found) }
        }
        _ => {
            problems.sort_by(|a, b| (&a.file, a.line).cmp(&(&b.file, b.line)));
            Err(problems)
        }
    }
}

/// The question data built into the program, as it was packed: looked at when it was built, and not again.
///
/// # Panics
/// Never; a test holds that the shipped files have no problem and unpack to what their text says.
#[must_use]
pub fn shipped(measures: &[MeasureFacts]) -> Knowledge {
    let parts = check::unpack_all(packed::FILES);
    let mut problems = Vec::new();
    let knowledge = check::resolve_all(parts, measures, packed::FINGERPRINT.to_owned(), &mut problems);
    knowledge.expect("the shipped data has all its parts")
}

/// A short name for exactly this text of the data.
fn fingerprint(files: &[File]) -> String {
    let mut hasher = fnv::FnvHasher::default();
    for file in files {
        hasher.write(file.name.as_bytes());
        hasher.write(&[0]);
        hasher.write(file.text.as_bytes());
        hasher.write(&[0]);
    }
    format!("{:016x}", hasher.finish())
}

/// `, did you mean "…"?` when a known name is near, else nothing.
#[must_use]
pub fn near<'a>(odd: &str, known: impl Iterator<Item = &'a str>) -> String {
    near_name(odd, known).map_or_else(String::new, |name| format!(", did you mean {name:?}?"))
}

/// The nearest known name, where one is near.
fn near_name<'a>(odd: &str, known: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    known
        .map(|name| (strsim::jaro_winkler(odd, name), name))
        .filter(|(likeness, _)| *likeness > 0.84)
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, name)| name)
}
