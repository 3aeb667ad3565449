//! A sitting in which saving fails, and the pieces of answers that are kept as they come.
#![cfg(unix)]

use std::fs;
use std::io::{Read, Write};
use std::os::unix::fs::{MetadataExt, PermissionsExt};
use std::path::Path;
use std::process::{Child, ChildStdin, Command, Stdio};
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};

use crate::support::skeg;
use crate::{json, under_way};

/// A talk through pipes, line by line.
struct Sitting {
    child: Child,
    input: Option<ChildStdin>,
    said: Arc<Mutex<String>>,
}

impl Sitting {
    /// A shell line that ends in the program, which stands in `$SKEG`.
    fn of(home: &Path, line: &str) -> Self {
        let mut child = Command::new("sh")
            .args(["-c", line])
            .env("SKEG", env!("CARGO_BIN_EXE_skeg"))
            .env("SKEG_HOME", home)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let said = Arc::new(Mutex::new(String::new()));
        let outs: [Box<dyn Read + Send>; 2] =
            [Box::new(child.stdout.take().unwrap()), Box::new(child.stderr.take().unwrap())];
        for mut out in outs {
            let said = Arc::clone(&said);
            std::thread::spawn(move || {
                let mut bytes = [0; 4096];
                while let Ok(count @ 1..) = out.read(&mut bytes) {
                    said.lock().unwrap().push_str(&String::from_utf8_lossy(&bytes[..count]));
                }
            });
        }
        let input = child.stdin.take();
        Self { child, input, said }
    }

    fn said(&self) -> String {
        self.said.lock().unwrap().split_whitespace().collect::<Vec<_>>().join(" ")
    }

    fn says(&mut self, text: &str) -> &mut Self {
        let begun = Instant::now();
        while !self.said().contains(text) {
            assert!(begun.elapsed() < Duration::from_secs(60), "{text:?} did not come: {}", self.said());
            std::thread::sleep(Duration::from_millis(2));
        }
        self
    }

    fn line(&mut self, text: &str) -> &mut Self {
        let _ = self.input.as_mut().unwrap().write_all(format!("{text}\n").as_bytes());
        self
    }

    /// Past the cautions that stand alone before the question.
    fn until_question(&mut self) -> &mut Self {
        let begun = Instant::now();
        loop {
            let said = self.said();
            if said.ends_with("(Enter goes on) >") {
                self.line("");
                while self.said() == said {
                    std::thread::sleep(Duration::from_millis(2));
                }
            } else if said.ends_with('>') {
                return self;
            }
            assert!(begun.elapsed() < Duration::from_secs(60), "no question came: {said}");
            std::thread::sleep(Duration::from_millis(2));
        }
    }

    fn ends(&mut self) -> Option<i32> {
        drop(self.input.take());
        let status = self.child.wait().unwrap().code();
        std::thread::sleep(Duration::from_millis(100));
        status
    }
}

/// An interview that asks for the compression of a motor with three cylinders next.
fn at_compression(home: &Path) {
    skeg().home(home).args(["start", "kim", "--plain"]).typed("monohull\n").ok();
    skeg().home(home).args(["change", "kim", "cylinders", "--plain"]).typed("3\n").ok();
}

fn compression(home: &Path) -> String {
    let answers = json(&home.join("kim.json"))["answers"].clone();
    let found = answers.as_array().unwrap().iter().find(|answer| answer["id"] == "compression").cloned();
    found.and_then(|answer| answer["value"].as_str().map(str::to_owned)).unwrap_or_default()
}

#[test]
fn readings_are_kept_one_by_one_and_what_is_missing_is_named() {
    for how in [".", "kill", "end"] {
        let home = tempfile::tempdir().unwrap();
        at_compression(home.path());
        let mut sitting = Sitting::of(home.path(), "exec \"$SKEG\" change kim compression --plain");
        sitting.until_question().line("188").says("Cylinder 2 of 3?").line("190").says("Cylinder 3 of 3?");
        assert_eq!(compression(home.path()), "188 190 ? psi");
        match how {
            "kill" => sitting.child.kill().unwrap(),
            "." => {
                sitting.line(".").says("188 190 ? psi").says("skeg change kim compression");
            }
            _ => {}
        }
        let status = sitting.ends();
        assert_eq!(compression(home.path()), "188 190 ? psi", "{how}");
        if how != "kill" {
            assert_eq!(status, Some(0));
        }
    }
    // To the end: all of them, no question about what the pieces would have changed.
    let home = tempfile::tempdir().unwrap();
    at_compression(home.path());
    let typed = "\n188\n190\n150\n3=187\n\n";
    let ran = skeg().home(home.path()).args(["change", "kim", "compression", "--plain"]).typed(typed).run();
    assert_eq!((ran.status, compression(home.path()).as_str()), (Some(0), "188 190 187 psi"), "{}", ran.out);
    // Back to none: what was there before is there again.
    let typed = "\n150\nb\n";
    skeg().home(home.path()).args(["change", "kim", "compression", "--plain"]).typed(typed).run();
    assert_eq!(compression(home.path()), "188 190 187 psi");
}

#[test]
fn the_lines_of_a_note_are_kept_as_they_come() {
    let home = tempfile::tempdir().unwrap();
    let mut sitting = Sitting::of(home.path(), "exec \"$SKEG\" start kim --plain");
    sitting.line("n").says("end with an empty line").line("one line").line("and another");
    let begun = Instant::now();
    let kept = || fs::read_to_string(home.path().join("kim.json")).unwrap_or_default();
    while !kept().contains("one line and another") {
        assert!(begun.elapsed() < Duration::from_secs(60), "{}", kept());
        std::thread::sleep(Duration::from_millis(5));
    }
    sitting.child.kill().unwrap();
    sitting.ends();
    assert!(kept().contains("one line and another"));
}

#[test]
fn an_answer_is_shown_as_taken_only_once_it_is_saved() {
    let home = tempfile::tempdir().unwrap();
    under_way(home.path());
    let line = "exec \"$SKEG\" change kim transom-height --plain";
    let mut sitting = Sitting::of(home.path(), line);
    sitting.says("20.25");
    fs::rename(home.path().join("kim.json"), home.path().join("away")).unwrap();
    fs::create_dir(home.path().join("kim.json")).unwrap();
    sitting.line("25 in").says("NOT SAVED");
    assert!(!sitting.said().contains("= 25 in"), "{}", sitting.said());
    fs::remove_dir(home.path().join("kim.json")).unwrap();
    sitting.says("try again").line("1").says("= 25 in");
    assert_eq!(sitting.ends(), Some(0));
    assert!(fs::read_to_string(home.path().join("kim.json")).unwrap().contains("25 in"));
}

#[test]
fn a_folder_that_is_gone_and_another_one_named() {
    let all = tempfile::tempdir().unwrap();
    let (home, other) = (all.path().join("home"), all.path().join("other"));
    let mut sitting = Sitting::of(&home, "exec \"$SKEG\" start kim --plain");
    sitting.line("monohull").says("How far is it");
    fs::remove_dir_all(&home).unwrap();
    sitting.line("20 in").says("NOT SAVED").line("2").says("In which folder?").line(other.to_str().unwrap());
    sitting.says("From here on it is kept in").line(".").says("--home");
    assert_eq!(sitting.ends(), Some(0));
    let kept = fs::read_to_string(other.join("kim.json")).unwrap();
    assert!(kept.contains("monohull") && kept.contains("20 in"));
}

#[test]
fn on_without_saving_is_told_at_the_end_and_tried_again() {
    let all = tempfile::tempdir().unwrap();
    let home = all.path().join("home");
    let mut sitting = Sitting::of(&home, "exec \"$SKEG\" start kim --plain");
    sitting.line("monohull").says("How far is it");
    fs::remove_dir_all(&home).unwrap();
    sitting.line("20 in").says("NOT SAVED").line("3").says("= 20 in").line(".").says("NOT kept");
    assert_eq!(sitting.ends(), Some(1));
    // Whoever just goes away is told too, with the same status.
    let mut sitting = Sitting::of(&home, "exec \"$SKEG\" start kim --plain");
    sitting.line("monohull").says("How far is it");
    fs::remove_dir_all(&home).unwrap();
    sitting.line("20 in").says("NOT SAVED");
    assert_eq!(sitting.ends(), Some(1));
    assert!(sitting.said().contains("NOT kept"), "{}", sitting.said());
}

#[test]
fn a_full_disk_keeps_the_sitting_and_the_file() {
    let home = tempfile::tempdir().unwrap();
    under_way(home.path());
    let before = fs::read(home.path().join("kim.json")).unwrap();
    // No file may grow over half a kilobyte: what a full disk says, without one.
    let line = "trap '' XFSZ; ulimit -f 1; exec \"$SKEG\" change kim transom-height --plain";
    let mut sitting = Sitting::of(home.path(), line);
    let words = "a note of many words ".repeat(60);
    sitting.line(&format!("n {words}")).says("NOT SAVED").line(".");
    assert_eq!(sitting.ends(), Some(1), "{}", sitting.said());
    assert_eq!(fs::read(home.path().join("kim.json")).unwrap(), before);
}

/// The program run by somebody with few rights: by whoever runs the tests, or, where that is root, by nobody. None
/// where root can't become anybody else.
fn without_rights(folder: &Path) -> Option<String> {
    if !fs::metadata("/proc/self").is_ok_and(|it| it.uid() == 0) {
        return Some("exec \"$SKEG\"".to_owned());
    }
    let program = folder.join("skeg");
    fs::copy(env!("CARGO_BIN_EXE_skeg"), &program).unwrap();
    fs::set_permissions(folder, fs::Permissions::from_mode(0o755)).unwrap();
    let become_nobody = "setpriv --reuid=65534 --regid=65534 --clear-groups";
    let tried = Command::new("sh").args(["-c", &format!("{become_nobody} true")]).status();
    tried.is_ok_and(|it| it.success()).then(|| format!("exec {become_nobody} '{}'", program.display()))
}

#[test]
fn rights_that_are_taken_away_lose_nothing() {
    let all = tempfile::tempdir().unwrap();
    let Some(skeg) = without_rights(all.path()) else {
        eprintln!("ROOT CAN'T BECOME ANYBODY ELSE HERE: rights taken away were not tried");
        return;
    };
    let home = all.path().join("home");
    fs::create_dir(&home).unwrap();
    under_way(&home);
    let to = |path: &Path, mode| fs::set_permissions(path, fs::Permissions::from_mode(mode)).unwrap();
    let file = home.join("kim.json");
    for path in fs::read_dir(&home).unwrap().map(|it| it.unwrap().path()).chain([home.clone()]) {
        let _ = std::os::unix::fs::chown(path, Some(65534), Some(65534));
    }
    // A folder nothing may be put into any more, and then again.
    let mut sitting = Sitting::of(&home, &format!("{skeg} change kim transom-height --plain"));
    sitting.says("20.25");
    to(&home, 0o500);
    sitting.line("26 in").says("NOT SAVED");
    assert!(!fs::read_to_string(&file).unwrap().contains("26 in"));
    to(&home, 0o700);
    sitting.says("try again").line("1").says("= 26 in");
    assert_eq!(sitting.ends(), Some(0));
    let kept = fs::read(&file).unwrap();
    assert!(String::from_utf8_lossy(&kept).contains("26 in"));
    // A file, and a folder, that may not be read: told, and left as they are.
    for (path, back) in [(&file, 0o600), (&home, 0o700)] {
        to(path, 0o000);
        let mut sitting = Sitting::of(&home, &format!("{skeg} resume kim --plain"));
        sitting.says("ermission denied");
        assert_eq!(sitting.ends(), Some(1), "{}", sitting.said());
        to(path, back);
        assert_eq!(fs::read(&file).unwrap(), kept);
    }
}

#[test]
fn what_is_said_into_a_full_disk_ends_with_an_error_and_all_answers_kept() {
    let home = tempfile::tempdir().unwrap();
    let line = "printf 'monohull\\n' | \"$SKEG\" start kim --plain > /dev/full; echo status $?";
    let mut sitting = Sitting::of(home.path(), line);
    sitting.says("status 1").says("can't be written any more");
}

#[test]
fn two_at_once_with_locks_and_without() {
    let home = tempfile::tempdir().unwrap();
    under_way(home.path());
    let no_locks = without_locks(home.path());
    for before in [Some(String::new()), no_locks] {
        let Some(before) = before else {
            eprintln!("NO C COMPILER HERE: folders without locks were not tried");
            continue;
        };
        let mut first = Sitting::of(home.path(), &format!("{before} exec \"$SKEG\" resume kim --plain"));
        first.says("Back with kim");
        if !before.is_empty() {
            first.says("knows no locks");
        }
        first.says("stop and keep");
        let mut second = Sitting::of(home.path(), &format!("{before} exec \"$SKEG\" resume kim --plain"));
        assert_eq!(second.ends(), Some(1), "{}", second.said());
        assert!(second.said().contains("another skeg is busy"), "{}", second.said());
        first.child.kill().unwrap();
        first.ends();
        // A dead one keeps nobody out.
        let mut third = Sitting::of(home.path(), &format!("{before} exec \"$SKEG\" resume kim --plain"));
        third.says("Back with kim").line(".");
        assert_eq!(third.ends(), Some(0), "{}", third.said());
    }
}

/// A setting under which no file can be locked, as on some network folders; none without a C compiler.
fn without_locks(folder: &Path) -> Option<String> {
    let (source, library) = (folder.join("nolock.c"), folder.join("nolock.so"));
    fs::write(&source, "#include <errno.h>\nint flock(int f, int how) { errno = ENOLCK; return -1; }\n").unwrap();
    let made = Command::new("cc").args(["-shared", "-fPIC", "-o"]).args([&library, &source]).status();
    made.is_ok_and(|status| status.success()).then(|| format!("LD_PRELOAD='{}'", library.display()))
}

/// A clock that stands before the program was built is asked about, and what the person says counts.
#[test]
fn a_clock_that_cannot_be_right_is_asked_about() {
    let home = tempfile::tempdir().unwrap();
    let (source, library) = (home.path().join("old.c"), home.path().join("old.so"));
    let code = "#include <time.h>\nint clock_gettime(clockid_t c, struct timespec *t) { t->tv_sec = c == CLOCK_REALTIME ? 946684800 : 1; t->tv_nsec = 0; return 0; }\n";
    fs::write(&source, code).unwrap();
    let made = Command::new("cc").args(["-shared", "-fPIC", "-o"]).args([&library, &source]).status();
    if !made.is_ok_and(|status| status.success()) {
        eprintln!("NO C COMPILER HERE: a wrong clock was not tried");
        return;
    }
    let line = format!("LD_PRELOAD='{}' exec \"$SKEG\" start kim --plain", library.display());
    let mut sitting = Sitting::of(home.path(), &line);
    sitting.says("The clock here says 2000-01-01").line("no").says("Which day").line("soon").says("can't read");
    sitting.line("2026-05-01").says("Welcome").line(".");
    assert_eq!(sitting.ends(), Some(0));
    assert_eq!(json(&home.path().join("kim.json"))["date"], "2026-05-01");
}

/// Run again by the next test, inside a terminal of its own.
#[test]
fn child_that_breaks() {
    if std::env::var_os("SKEG_TEST_BREAKS").is_none() {
        return;
    }
    skeg::tell_crashes();
    let _terminal = skeg::Terminal::open(false).unwrap();
    panic!("on purpose");
}

#[test]
fn a_break_gives_the_terminal_back_and_says_a_plain_sentence() {
    use portable_pty::{CommandBuilder, PtySize, native_pty_system};
    let pair =
        native_pty_system().openpty(PtySize { rows: 24, cols: 80, pixel_width: 0, pixel_height: 0 }).unwrap();
    let mut command = CommandBuilder::new(std::env::current_exe().unwrap());
    command.args(["--exact", "sitting::child_that_breaks", "--nocapture"]);
    command.env("SKEG_TEST_BREAKS", "1");
    command.env("TERM", "xterm");
    let before = format!("{:?}", pair.master.get_termios().map(|modes| modes.local_flags));
    let mut child = pair.slave.spawn_command(command).unwrap();
    let mut reader = pair.master.try_clone_reader().unwrap();
    let reads = std::thread::spawn(move || {
        let mut said = Vec::new();
        let mut bytes = [0; 4096];
        while let Ok(count @ 1..) = reader.read(&mut bytes) {
            said.extend(&bytes[..count]);
            if String::from_utf8_lossy(&said).contains("test result") {
                break;
            }
        }
        String::from_utf8_lossy(&said).into_owned()
    });
    child.wait().unwrap();
    let said = reads.join().unwrap();
    assert!(said.contains("I broke, which is my fault") && said.contains("\u{1b}[?25h"), "{said}");
    assert!(!said.contains("stack backtrace"), "{said}");
    assert_eq!(format!("{:?}", pair.master.get_termios().map(|modes| modes.local_flags)), before);
}
