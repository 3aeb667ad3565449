//! One way out, and special files: nothing hangs, nothing is replaced, nothing fails unseen.
#![cfg(unix)]

use std::fs;
use std::os::unix::fs::{FileTypeExt, PermissionsExt, symlink};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use crate::support::skeg;
use crate::under_way;

const EXAMPLE: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/examples/sound-motor.json");

/// Runs a line of shell with the program as `$SKEG`; its status and what it said. It may not hang.
fn shell(home: &Path, line: &str) -> (Option<i32>, String) {
    let mut child = Command::new("sh")
        .args(["-c", line])
        .env("SKEG", env!("CARGO_BIN_EXE_skeg"))
        .env("SKEG_HOME", home)
        .env("EXAMPLE", EXAMPLE)
        .current_dir(home)
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let begun = Instant::now();
    while child.try_wait().unwrap().is_none() {
        if begun.elapsed() > Duration::from_secs(60) {
            let _ = child.kill();
            panic!("it hangs: {line}");
        }
        std::thread::sleep(Duration::from_millis(5));
    }
    let output = child.wait_with_output().unwrap();
    let said = String::from_utf8_lossy(&output.stderr).into_owned() + &String::from_utf8_lossy(&output.stdout);
    assert!(!said.contains("panicked"), "{line}: {said}");
    (output.status.code(), said)
}

const PRINTING: [&str; 15] = [
    "report kim",
    "report kim --for mechanic --format html",
    "report kim --format json",
    "list",
    "next kim",
    "sheet",
    "sheet kim",
    "compare kim other",
    "replay \"$EXAMPLE\"",
    "questions check",
    "questions draw",
    "questions schema",
    "completions bash",
    "man",
    "--help",
];

fn two_interviews(home: &Path) {
    under_way(home);
    fs::copy(home.join("kim.json"), home.join("other.json")).unwrap();
}

#[test]
fn a_full_disk_is_an_error_and_a_closed_pipe_is_not() {
    let home = tempfile::tempdir().unwrap();
    two_interviews(home.path());
    for command in PRINTING.into_iter().chain(["--version", "report --help"]) {
        let (status, said) = shell(home.path(), &format!("\"$SKEG\" {command} > /dev/full"));
        assert_eq!(status, Some(1), "{command} on a full disk: {said}");
        assert!(said.contains("standard output"), "{command}: {said}");
        let line = format!("{{ \"$SKEG\" {command}; echo status $? >&2; }} | true");
        let (_, said) = shell(home.path(), &line);
        assert!(said.contains("status 0"), "{command} into a closed pipe: {said}");
        // Nobody to complain to either: still no panic.
        let (status, _) = shell(home.path(), &format!("\"$SKEG\" {command} > /dev/full 2>/dev/full"));
        assert_eq!(status, Some(1), "{command}");
    }
    let (status, _) = shell(home.path(), "\"$SKEG\" --nonsense 2>/dev/full");
    assert_eq!(status, Some(2));
}

#[test]
fn a_dash_is_standard_output() {
    let home = tempfile::tempdir().unwrap();
    under_way(home.path());
    let printed = skeg().home(home.path()).args(["report", "kim"]).ok();
    assert_eq!(skeg().home(home.path()).args(["report", "kim", "-o", "-"]).ok(), printed);
    let (status, _) = shell(home.path(), "\"$SKEG\" report kim -o -");
    assert_eq!(status, Some(0));
    assert!(!home.path().join("-").exists());
}

#[test]
fn pipes_and_devices_are_written_in_place_or_refused() {
    let home = tempfile::tempdir().unwrap();
    under_way(home.path());
    let (status, said) = shell(home.path(), "mkfifo p; \"$SKEG\" report kim -o p");
    assert_eq!(status, Some(1), "nobody reads: {said}");
    assert!(said.contains("nobody reads"), "{said}");
    // The reader opens first, then gets everything.
    let line = "exec 3<>p; \"$SKEG\" report kim -o p; echo $?; head -c 20 <&3";
    let (_, said) = shell(home.path(), line);
    assert!(said.starts_with("0\n# "), "{said}");
    assert!(fs::metadata(home.path().join("p")).unwrap().file_type().is_fifo());
    assert_eq!(shell(home.path(), "\"$SKEG\" report kim -o /dev/null").0, Some(0));
    let (status, said) = shell(home.path(), "\"$SKEG\" report kim -o /dev/full");
    assert!(status == Some(1) && said.contains("/dev/full"), "{said}");
    assert!(fs::metadata("/dev/null").unwrap().file_type().is_char_device());
    for (path, told) in [("/dev/zero", "device"), (".", "folder"), ("no/such/file", "no folder")] {
        let (status, said) = shell(home.path(), &format!("\"$SKEG\" report kim -o {path}"));
        assert!(status == Some(1) && said.contains(told), "{path}: {said}");
    }
}

/// Special files and names at every place a path or name is taken.
#[test]
fn sixty_special_files_and_names() {
    let home = tempfile::tempdir().unwrap();
    under_way(home.path());
    let at = |name: &str| home.path().join(name).to_string_lossy().into_owned();
    Command::new("mkfifo").arg(at("fifo")).status().unwrap();
    let _socket = std::os::unix::net::UnixListener::bind(at("socket")).unwrap();
    fs::create_dir(at("folder")).unwrap();
    symlink("loop", at("loop")).unwrap();
    symlink("nowhere", at("dangling")).unwrap();
    symlink("fifo", at("to-fifo")).unwrap();
    fs::write(at("rights"), "{}").unwrap();
    fs::write(at("not-text"), [0xff, 0xfe, 0]).unwrap();
    fs::write(at("empty"), "").unwrap();
    fs::write(at("a\u{1b}[31m\u{202e}b"), "{").unwrap();
    fs::File::create(at("huge")).unwrap().set_len(50_000_000_000).unwrap();
    fs::write(at("line"), "x".repeat(1_000_001)).unwrap();
    fs::write(at("deep"), "[".repeat(100_000)).unwrap();
    fs::write(at("wide"), format!("[{}0]", "0,".repeat(1_000_000).replace("0,0,", "0,\n0,"))).unwrap();
    let paths: Vec<String> = [
        "fifo",
        "socket",
        "folder",
        "loop",
        "dangling",
        "to-fifo",
        "not-text",
        "empty",
        "a\u{1b}[31m\u{202e}b",
        "huge",
        "line",
        "deep",
        "wide",
        "",
    ]
    .iter()
    .map(|name| at(name))
    .chain(
        ["/dev/zero", "/dev/null", "/dev/full", "/dev/tty", "/proc/self/mem", "/nowhere/at/all"].map(str::to_owned),
    )
    .collect();
    let mut tried = 0;
    for path in &paths {
        for before in [vec!["replay"], vec!["take-in", "kim"]] {
            let told = quickly(home.path(), &before.iter().copied().chain([path.as_str()]).collect::<Vec<_>>());
            assert!(!told.chars().any(|c| c != '\n' && skeg::acts(c)), "{told:?}");
            tried += 1;
        }
        // A special file where an interview is looked for.
        let save = home.path().join("odd.json");
        let _ = fs::remove_file(&save);
        symlink(path, &save).unwrap();
        quickly(home.path(), &["report", "odd"]);
        quickly(home.path(), &["resume", "odd", "--plain"]);
        tried += 2;
    }
    fs::remove_file(home.path().join("odd.json")).unwrap();
    assert!(tried >= 60, "{tried}");
    println!("{tried} runs on special files and names");
}

/// Runs a command that has to end with a problem, soon and in little memory.
fn quickly(home: &Path, args: &[&str]) -> String {
    let quoted: Vec<String> = args.iter().map(|arg| format!("'{arg}'")).collect();
    let line = format!("ulimit -v 400000; \"$SKEG\" {}", quoted.join(" "));
    let (status, said) = shell(home, &line);
    assert_eq!(status, Some(1), "{args:?}: {said}");
    said
}

#[test]
fn what_is_private_is_for_its_owner_alone_and_modes_stay() {
    let home = tempfile::tempdir().unwrap();
    let kept = home.path().join("kept/here");
    skeg().home(&kept).args(["start", "kim", "--plain"]).typed("monohull\n").ok();
    skeg().home(&kept).args(["report", "kim", "-o", kept.join("r.md").to_str().unwrap()]).ok();
    let mode = |path: PathBuf| fs::metadata(path).unwrap().permissions().mode() & 0o777;
    assert_eq!(mode(kept.clone()), 0o700);
    for file in ["kim.json", "r.md", ".written"] {
        assert_eq!(mode(kept.join(file)), 0o600, "{file}");
    }
    fs::set_permissions(kept.join("kim.json"), fs::Permissions::from_mode(0o640)).unwrap();
    skeg().home(&kept).args(["resume", "kim", "--plain"]).typed("20 in\n").ok();
    assert_eq!(mode(kept.join("kim.json")), 0o640);
}
