//! Branching against an outside engine, in short: `outside/branching.py` says how, and runs longer by hand.
//!
//! Where Python, Node.js or their packages can't be had nothing is compared, and that is said loudly.

use std::io::Write as _;
use std::path::Path;
use std::process::Command;

/// What the script ends with where a tool or a package can't be had.
const NOT_COMPARED: i32 = 77;

// @getodk/xforms-engine, forms compiled by pyxform.
#[test]
fn an_outside_engine_asks_the_same_questions() {
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/outside/branching.py");
    let short = ["--sequences", "30", "--folders", "3", "--steps", "6", "--seed", "5"];
    // No compiled files beside the script.
    let started =
        Command::new("python3").arg("-B").arg(&script).arg(env!("CARGO_BIN_EXE_skeg")).args(short).output();
    let ran = match started {
        Ok(ran) => ran,
        Err(error) => return not_compared(&format!("python3 does not start: {error}")),
    };
    let (told, problem) = (String::from_utf8_lossy(&ran.stdout), String::from_utf8_lossy(&ran.stderr));
    if ran.status.code() == Some(NOT_COMPARED) {
        return not_compared(&problem);
    }
    assert!(ran.status.success(), "{told}\n{problem}");
    assert!(told.starts_with("30 sequences, 180 steps, 4 folders;"), "{told}");
    assert!(told.trim_end().ends_with("0 differences"), "{told}");
}

/// Past what the test harness keeps to itself.
fn not_compared(why: &str) {
    let _ = writeln!(std::io::stderr(), "\nSKIPPED: branching against an outside engine: {}\n", why.trim());
}
