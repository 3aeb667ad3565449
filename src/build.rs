//! Run by cargo before the program is built: notices changed questions and templates, and notes the time, so that a
//! clock that stands before the day of the build is known to be wrong.

use std::time::{SystemTime, UNIX_EPOCH};

fn main() {
    for watched in ["questions", "templates", "src/build.rs"] {
        println!("cargo::rerun-if-changed={watched}");
    }
    // Whoever wants the same bytes twice names the time.
    println!("cargo::rerun-if-env-changed=SOURCE_DATE_EPOCH");
    let named = std::env::var("SOURCE_DATE_EPOCH").ok().and_then(|text| text.parse::<u64>().ok());
    let now = || SystemTime::now().duration_since(UNIX_EPOCH).map_or(0, |since| since.as_secs());
    println!("cargo::rustc-env=SKEG_BUILT_AT={}", named.unwrap_or_else(now));
}
