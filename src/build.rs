//! Run by cargo before the program is built: packs the question data so that a start has little to read, notices
//! changed questions and templates, and notes the time, so that a clock that stands before the day of the build is
//! known to be wrong.

use std::error::Error;
use std::fmt::Write;
use std::hash::Hasher;
use std::path::{Path, PathBuf};
use std::time::{SystemTime, UNIX_EPOCH};
use std::{env, fs};

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
/// `knowledge::fingerprint` gives; a test compares the two).
fn pack(from: &Path, to: &Path) -> Result<(), Box<dyn Error>> {
    let mut files: Vec<PathBuf> =
        fs::read_dir(from)?.map(|entry| entry.map(|it| it.path())).collect::<Result<_, _>>()?;
    files.retain(|path| path.extension().is_some_and(|ending| ending == "json"));
    files.sort();
    let mut list = String::from("pub const FILES: &[Packed] = &[\n");
    let mut hasher = fnv::FnvHasher::default();
    for path in &files {
        let name = path.file_name().and_then(|name| name.to_str()).ok_or("a file name that is no text")?;
        let text = fs::read_to_string(path)?;
        for bytes in [name.as_bytes(), &[0], text.as_bytes(), &[0]] {
            hasher.write(bytes);
        }
        let content: serde_json::Value =
            serde_json::from_str(&text).map_err(|error| format!("{}: {error}", path.display()))?;
        let packed = to.join(format!("{name}.packed"));
        fs::write(&packed, rmp_serde::to_vec(&content)?)?;
        writeln!(
            list,
            "    Packed {{ name: {name:?}, bytes: include_bytes!({:?}) }},",
            packed.display().to_string()
        )?;
    }
    writeln!(list, "];\npub const FINGERPRINT: &str = \"{:016x}\";", hasher.finish())?;
    fs::write(to.join("packed.rs"), list)?;
    Ok(())
}
