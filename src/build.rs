//! Run by cargo before the program is built: packs the question data so that a start has little to read, notices
//! changed questions and templates, and notes the time, so that a clock that stands before the day of the build is
//! known to be wrong.

use std::collections::HashMap;
use std::error::Error;
use std::fmt::Write;
use std::hash::Hasher;
use std::path::{Path, PathBuf};
use std::time::{SystemTime, UNIX_EPOCH};
use std::{env, fs};

use serde_json::Value;

fn main() -> Result<(), Box<dyn Error>> {
    for watched in ["questions", "templates", "src/build.rs"] {
        println!("cargo::rerun-if-changed={watched}");
    }
    pack(Path::new("questions"), &PathBuf::from(env::var("OUT_DIR")?))?;
    // Whoever wants the same bytes twice names the time.
    println!("cargo::rerun-if-env-changed=SOURCE_DATE_EPOCH");
    let named = env::var("SOURCE_DATE_EPOCH").ok().and_then(|text| text.parse::<u64>().ok());
    let now = || SystemTime::now().duration_since(UNIX_EPOCH).map_or(0, |since| since.as_secs());
    println!("cargo::rustc-env=SKEG_BUILT_AT={}", named.unwrap_or_else(now));
    Ok(())
}

/// Each file of question data as `MessagePack`, a list of them as Rust, and the fingerprint of their texts (the one
/// `knowledge::fingerprint` gives; a test compares the two). The texts of the stages stand in a file of their own.
fn pack(from: &Path, to: &Path) -> Result<(), Box<dyn Error>> {
    let mut files: Vec<PathBuf> =
        fs::read_dir(from)?.map(|entry| entry.map(|it| it.path())).collect::<Result<_, _>>()?;
    files.retain(|path| path.extension().is_some_and(|ending| ending == "json"));
    files.sort();
    let mut list = String::from("pub const FILES: &[Packed] = &[\n");
    let mut hasher = fnv::FnvHasher::default();
    let mut texts = Texts::default();
    for path in &files {
        let name = path.file_name().and_then(|name| name.to_str()).ok_or("a file name that is no text")?;
        let text = fs::read_to_string(path)?;
        for bytes in [name.as_bytes(), &[0], text.as_bytes(), &[0]] {
            hasher.write(bytes);
        }
        let mut content: Value =
            serde_json::from_str(&text).map_err(|error| format!("{}: {error}", path.display()))?;
        if name.starts_with(|first: char| first.is_ascii_digit()) {
            texts.take(&mut content, "");
        }
        let packed = to.join(format!("{name}.packed"));
        fs::write(&packed, rmp_serde::to_vec(&content)?)?;
        let place = packed.display().to_string();
        writeln!(list, "    Packed {{ name: {name:?}, bytes: include_bytes!({place:?}) }},")?;
    }
    let place = to.join("texts.txt");
    fs::write(&place, &texts.all)?;
    writeln!(list, "];\npub const TEXTS: &str = include_str!({:?});", place.display().to_string())?;
    writeln!(list, "pub const FINGERPRINT: &str = \"{:016x}\";", hasher.finish())?;
    fs::write(to.join("packed.rs"), list)?;
    Ok(())
}

/// Fields of the stages that hold texts, of a single word too.
const TEXTS: [&str; 14] = [
    "answer",
    "any-of",
    "block",
    "brief",
    "dimension",
    "has",
    "is",
    "label",
    "measure",
    "only",
    "tick",
    "tools",
    "unit",
    "words",
];

/// The texts of the stages, one behind the other; each stands once.
#[derive(Default)]
struct Texts {
    all: String,
    places: HashMap<String, u64>,
}

impl Texts {
    /// Puts the place of a text where it stood (see `knowledge::text`): of what has a blank, which no id or word of the
    /// format has, and of fields that are always texts.
    fn take(&mut self, value: &mut Value, under: &str) {
        match value {
            Value::String(text) if text.contains(' ') || TEXTS.contains(&under) => {
                if let Some(place) = self.place_of(text) {
                    *value = Value::from(place);
                }
            }
            Value::Array(all) => all.iter_mut().for_each(|one| self.take(one, under)),
            // What may be one of two shapes is read twice, the second time as if it were JSON.
            Value::Object(fields) => {
                fields
                    .iter_mut()
                    .filter(|(name, _)| *name != "untold")
                    .for_each(|(name, one)| self.take(one, name));
            }
            _ => {}
        }
    }

    /// Where it begins and, in the lowest 16 bits, how long it is; none for a text longer than that.
    fn place_of(&mut self, text: &str) -> Option<u64> {
        let length = u64::from(u16::try_from(text.len()).ok()?);
        if let Some(place) = self.places.get(text) {
            return Some(*place);
        }
        let place = (self.all.len() as u64) << 16 | length;
        self.all.push_str(text);
        self.places.insert(text.to_owned(), place);
        Some(place)
    }
}
