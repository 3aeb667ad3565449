//! Where papers go: the terminal, or a file that is never overwritten unasked.

use std::fs;
use std::io::{ErrorKind, Write};
use std::path::Path;

use crate::cli::Output;
use crate::edge;
use crate::edge::system::{Sort, make_private_folder, open_in_place, sort_of};

use super::{Bench, Ending, Surroundings, out};

/// A mark in the folder of interviews of the files this program wrote: path and a fingerprint of the content.
const WRITTEN: &str = ".written";

/// Prints a text, or writes it to the file that was named; `-` is standard output.
///
/// # Errors
/// The folder is missing, a file nobody here wrote is in the way, or it can't be written.
pub fn put(bench: &Bench, output: &Output, text: &str) -> Result<Ending, String> {
    let Some(path) = output.output.as_deref().filter(|path| path.as_os_str() != "-") else {
        return out::print(text).map(|()| Ending::Done);
    };
    let shown = edge::path(path);
    if let Some(folder) = path.parent().filter(|folder| !folder.as_os_str().is_empty())
        && !folder.is_dir()
    {
        return Err(format!("there is no folder {}: make it first, or name another", edge::path(folder)));
    }
    match fs::metadata(path).as_ref().map(sort_of) {
        Ok(Sort::Folder) => return Err(format!("{shown} is a folder: name a file in it")),
        Ok(Sort::Regular) | Err(_) => {}
        Ok(sort @ (Sort::Pipe | Sort::Letters)) => return into(path, sort, text),
        Ok(other) => return Err(format!("{shown} is {}: name a file", other.words())),
    }
    if path.exists() && !output.force && !was_written_here(bench, path) && !may_replace(bench, path)? {
        return Err(format!("{shown} is left as it was"));
    }
    edge::write_whole(path, text.as_bytes()).map_err(|error| format!("can't write {shown}: {error}"))?;
    remember(bench, path, text);
    out::aside(&format!("Written to {shown}"));
    Ok(Ending::Done)
}

/// Writes into a pipe or device, which stays what it is.
fn into(path: &Path, sort: Sort, text: &str) -> Result<Ending, String> {
    let written = open_in_place(path, sort).and_then(|mut file| file.write_all(text.as_bytes()));
    match written {
        Err(error) if error.kind() != ErrorKind::BrokenPipe => {
            Err(format!("can't write to {}: {error}", edge::path(path)))
        }
        _ => Ok(Ending::Done),
    }
}

fn may_replace(bench: &Bench, path: &Path) -> Result<bool, String> {
    let shown = edge::path(path);
    if !Surroundings::can_ask() {
        return Err(format!("{shown} is there already and skeg did not write it: --force writes over it"));
    }
    let question = format!("{shown} is there already and skeg did not write it. Write over it?");
    bench.around.talk().confirm(&question).map_err(|_| format!("{shown} is left as it was"))
}

/// Whether the file still holds just what this program wrote there.
fn was_written_here(bench: &Bench, path: &Path) -> bool {
    let (Ok(full), Ok(text)) = (fs::canonicalize(path), edge::read_text(path)) else { return false };
    let line = mark(&full, text.as_bytes());
    edge::read_text(&bench.around.home.join(WRITTEN)).is_ok_and(|all| all.lines().any(|known| known == line))
}

/// Best effort: without the mark the next write asks first, which loses nothing.
fn remember(bench: &Bench, path: &Path, text: &str) {
    let Ok(full) = fs::canonicalize(path) else { return };
    let file = bench.around.home.join(WRITTEN);
    let known = edge::read_text(&file).unwrap_or_default();
    let suffix = format!(" {}", full.display());
    let kept = known.lines().filter(|line| !line.ends_with(&suffix));
    let all: Vec<String> = kept.map(str::to_owned).chain([mark(&full, text.as_bytes())]).collect();
    let _ = make_private_folder(&bench.around.home);
    let _ = edge::write_whole(&file, (all.join("\n") + "\n").as_bytes());
}

fn mark(path: &Path, text: &[u8]) -> String {
    use std::hash::Hasher;
    let mut hasher = fnv::FnvHasher::default();
    hasher.write(text);
    format!("{:016x} {}", hasher.finish(), path.display())
}
