//! Where papers go: the terminal, or a file that is never overwritten unasked.

use std::fs;
use std::io::{Write, stdout};
use std::path::Path;

use crate::cli::Output;
use crate::store::write_atomically;

use super::{Bench, Ending};

/// A mark in the folder of interviews of the files this program wrote: path and a fingerprint of the content.
const WRITTEN: &str = ".written";

/// Prints a text, or writes it to the file that was named.
///
/// # Errors
/// The folder is missing, a file nobody here wrote is in the way, or it can't be written.
pub fn put(bench: &Bench, output: &Output, text: &str) -> Result<Ending, String> {
    let Some(path) = &output.output else {
        // A reader that closes the pipe early has what it wanted.
        let _ = stdout().write_all(text.as_bytes());
        return Ok(Ending::Done);
    };
    if let Some(folder) = path.parent().filter(|folder| !folder.as_os_str().is_empty())
        && !folder.is_dir()
    {
        return Err(format!("there is no folder {}: make it first, or name another", folder.display()));
    }
    if path.is_dir() {
        return Err(format!("{} is a folder: name a file in it", path.display()));
    }
    if path.exists() && !output.force && !was_written_here(bench, path) && !may_replace(bench, path)? {
        return Err(format!("{} is left as it was", path.display()));
    }
    write_atomically(path, text.as_bytes()).map_err(|error| format!("can't write {}: {error}", path.display()))?;
    remember(bench, path, text);
    eprintln!("Written to {}", path.display());
    Ok(Ending::Done)
}

fn may_replace(bench: &Bench, path: &Path) -> Result<bool, String> {
    if !bench.around.can_ask() {
        return Err(format!(
            "{} is there already and skeg did not write it: --force writes over it",
            path.display()
        ));
    }
    let question = format!("{} is there already and skeg did not write it. Write over it?", path.display());
    bench.around.talk().confirm(&question).map_err(|_| format!("{} is left as it was", path.display()))
}

/// Whether the file still holds just what this program wrote there.
fn was_written_here(bench: &Bench, path: &Path) -> bool {
    let (Ok(full), Ok(text)) = (fs::canonicalize(path), fs::read(path)) else { return false };
    let line = mark(&full, &text);
    fs::read_to_string(bench.around.home.join(WRITTEN)).is_ok_and(|all| all.lines().any(|known| known == line))
}

/// Best effort: without the mark the next write asks first, which loses nothing.
fn remember(bench: &Bench, path: &Path, text: &str) {
    let Ok(full) = fs::canonicalize(path) else { return };
    let file = bench.around.home.join(WRITTEN);
    let known = fs::read_to_string(&file).unwrap_or_default();
    let suffix = format!(" {}", full.display());
    let kept = known.lines().filter(|line| !line.ends_with(&suffix));
    let all: Vec<String> = kept.map(str::to_owned).chain([mark(&full, text.as_bytes())]).collect();
    let _ = fs::create_dir_all(&bench.around.home);
    let _ = write_atomically(&file, (all.join("\n") + "\n").as_bytes());
}

fn mark(path: &Path, text: &[u8]) -> String {
    use std::hash::Hasher;
    let mut hasher = fnv::FnvHasher::default();
    hasher.write(text);
    format!("{:016x} {}", hasher.finish(), path.display())
}
