//! A browser without a window, where one is installed: what people print from and fill in with.

use std::io::Write as _;
use std::path::Path;
use std::process::{Command, Stdio};

/// Names under which such a browser is installed.
const NAMES: [&str; 3] = ["chromium", "chromium-browser", "google-chrome"];

/// Starts it with these arguments and gives what it writes; `None`, said loudly, where there is none.
pub fn browser(test: &str, args: &[&str]) -> Option<String> {
    let home = tempfile::tempdir().expect("a folder for its profile");
    let profile = format!("--user-data-dir={}", home.path().display());
    for name in NAMES {
        let started = Command::new(name)
            .args(["--headless", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", &profile])
            .args(args)
            .stderr(Stdio::null())
            .output();
        if let Ok(ran) = started {
            assert!(ran.status.success(), "{name} {args:?} ended with {}", ran.status);
            return Some(String::from_utf8_lossy(&ran.stdout).into_owned());
        }
    }
    // Past what the test harness keeps to itself.
    let _ = writeln!(std::io::stderr(), "\nSKIPPED: {test}: no browser ({}) is installed here\n", NAMES.join(", "));
    None
}

/// Pages of a PDF, by the page objects in it (ISO 32000-1, 7.7.3.3).
#[allow(dead_code)] // one of the two binaries that use this only fills in
pub fn pages(pdf: &Path) -> usize {
    let bytes = std::fs::read(pdf).expect("the browser wrote it");
    let text = String::from_utf8_lossy(&bytes);
    text.match_indices("/Type /Page").filter(|(place, found)| !text[place + found.len()..].starts_with('s')).count()
}
