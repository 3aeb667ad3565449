//! A window with the program in it.

use std::io::{Read, Write};
use std::num::NonZeroU16;
use std::path::Path;
use std::process::Command;
use std::sync::{Arc, Mutex};
use std::thread;
use std::time::{Duration, Instant};

use skeg::{Place, QuestionIx};
use skeg::{Record, Said};
use skeg::{Saved, Store};

use crate::support::talk::Answering;

use portable_pty::{Child, CommandBuilder, MasterPty, PtySize, native_pty_system};

pub const DOWN: &str = "\u{1b}[B";
pub const ESC: &str = "\u{1b}";
pub const CTRL_C: &str = "\u{3}";

/// Long enough for a machine that does much else.
const PATIENCE: Duration = Duration::from_secs(30);

/// What came out so far.
struct Seen {
    raw: Vec<u8>,
    screen: vt100::Parser,
    ended: bool,
}

/// A window, its program, and a home for its interviews.
pub struct Window {
    master: Box<dyn MasterPty + Send>,
    writer: Box<dyn Write + Send>,
    child: Box<dyn Child + Send + Sync>,
    seen: Arc<Mutex<Seen>>,
    home: Arc<tempfile::TempDir>,
}

/// A window before its program starts.
pub struct Setup {
    size: (u16, u16),
    home: Arc<tempfile::TempDir>,
    env: Vec<(&'static str, String)>,
}

/// A window of so many columns and rows, with a home of its own.
pub fn window(columns: u16, rows: u16) -> Setup {
    let home = Arc::new(tempfile::tempdir().expect("a folder for interviews"));
    Setup { size: (columns, rows), home, env: Vec::new() }
}

fn nonzero(number: u16) -> NonZeroU16 {
    NonZeroU16::new(number).expect("a window that is there")
}

fn pty_size((columns, rows): (u16, u16)) -> PtySize {
    PtySize { rows, cols: columns, pixel_width: 0, pixel_height: 0 }
}

impl Setup {
    pub fn env(mut self, name: &'static str, value: &str) -> Self {
        self.env.push((name, value.to_owned()));
        self
    }

    /// An interview called kim is there already, of a motor with three cylinders and a serial plate.
    pub fn begun(self) -> Self {
        let record = crate::support::record(&[("cylinders", "3"), ("serial-plate", "intact")]);
        self.kept(record)
    }

    /// The interview called kim is of the sound motor among the examples, but for the answer to one question.
    pub fn sound_motor_but(self, id: &str) -> Self {
        let mut record = crate::support::sound_motor();
        record.answer_mut(crate::support::ix(id)).said = None;
        self.kept(record)
    }

    /// The same motor, all answered that is asked at home but for the tools.
    pub fn before_the_drive(self) -> Self {
        let knowledge = crate::support::knowledge();
        let mut record = crate::support::sound_motor();
        let beside = |ix: QuestionIx| knowledge.question(ix).place.is_some_and(|place| place != Place::Home);
        for ix in knowledge.places() {
            let said = &mut record.answer_mut(ix).said;
            if beside(ix) || Some(ix) == knowledge.visit.tools {
                *said = None;
            } else {
                said.get_or_insert(Said::CantTell);
            }
        }
        self.kept(record)
    }

    /// The same motor, all answered up to the last question before the talk with the seller.
    pub fn before_the_message(self) -> Self {
        let knowledge = crate::support::knowledge();
        let talk = knowledge.find("bill-of-sale").expect("the first question of the talk");
        let mut record = crate::support::sound_motor();
        for ix in knowledge.places() {
            let said = &mut record.answer_mut(ix).said;
            if ix >= talk || Some(ix) == knowledge.find("other-costs") {
                *said = None;
            } else {
                said.get_or_insert(Said::CantTell);
            }
        }
        self.kept(record)
    }

    fn kept(self, record: Record) -> Self {
        let store = Store::at(self.home.path().to_owned());
        let held = store.hold("kim").expect("nobody else holds it");
        let mut saved = Saved::new("kim", crate::support::TODAY, crate::support::knowledge());
        saved.record = record;
        store.save(&held, &saved, crate::support::knowledge()).expect("a kept interview");
        self
    }

    /// Starts the program.
    pub fn skeg(self, args: &[&str]) -> Window {
        let mut all = vec![env!("CARGO_BIN_EXE_skeg")];
        all.extend(args);
        self.run(&all)
    }

    /// Starts any command.
    pub fn run(self, args: &[&str]) -> Window {
        let pair = native_pty_system().openpty(pty_size(self.size)).expect("a terminal");
        let mut command = CommandBuilder::new(args[0]);
        command.args(&args[1..]);
        command.cwd(env!("CARGO_MANIFEST_DIR"));
        command.env("SKEG_HOME", self.home.path());
        command.env("TERM", "xterm-256color");
        for name in ["NO_COLOR", "VISUAL", "EDITOR"] {
            command.env_remove(name);
        }
        for (name, value) in &self.env {
            command.env(name, value);
        }
        let child = pair.slave.spawn_command(command).expect("the program starts");
        let screen = vt100::Parser::new(nonzero(self.size.1), nonzero(self.size.0), 0);
        let seen = Arc::new(Mutex::new(Seen { raw: Vec::new(), screen, ended: false }));
        let mut reader = pair.master.try_clone_reader().expect("a reader");
        let sees = Arc::clone(&seen);
        thread::spawn(move || {
            let mut bytes = [0; 4096];
            while let Ok(count @ 1..) = reader.read(&mut bytes) {
                let mut seen = sees.lock().expect("the screen");
                seen.raw.extend(&bytes[..count]);
                seen.screen.process(&bytes[..count]);
            }
            sees.lock().expect("the screen").ended = true;
        });
        let writer = pair.master.take_writer().expect("a writer");
        Window { master: pair.master, writer, child, seen, home: self.home }
    }
}

impl Window {
    fn look<T>(&self, at: impl FnOnce(&Seen) -> T) -> T {
        at(&self.seen.lock().expect("the screen"))
    }

    /// What stands on the screen.
    pub fn screen(&self) -> String {
        self.look(|seen| seen.screen.screen().contents())
    }

    /// The rows of the screen, without closing blanks.
    pub fn rows(&self) -> Vec<String> {
        self.look(|seen| {
            let screen = seen.screen.screen();
            let columns = screen.size().1.get();
            screen.rows(0, columns).map(|row| row.trim_end().to_owned()).collect()
        })
    }

    /// Everything that came out, with its control characters.
    pub fn raw(&self) -> String {
        self.look(|seen| String::from_utf8_lossy(&seen.raw).into_owned())
    }

    pub fn cursor_is_shown(&self) -> bool {
        self.look(|seen| !seen.screen.screen().hide_cursor())
    }

    /// The terminal shows typed keys and hands over whole lines, as a shell wants it.
    pub fn is_as_before(&self) -> bool {
        let modes = self.master.get_termios().map(|modes| format!("{:?}", modes.local_flags)).unwrap_or_default();
        ["ECHO", "ICANON", "ISIG", "IEXTEN"].iter().all(|mode| modes.split(" | ").any(|it| it.contains(mode)))
    }

    fn until(&mut self, what: &str, is: impl Fn(&Seen) -> bool) {
        let begun = Instant::now();
        while !self.look(&is) {
            assert!(begun.elapsed() < PATIENCE, "{what} did not come:\n{}\n{:?}", self.screen(), self.raw());
            thread::sleep(Duration::from_millis(2));
        }
    }

    /// Waits until this stands on the screen.
    pub fn shows(&mut self, text: &str) -> &mut Self {
        self.until(text, |seen| seen.screen.screen().contents().contains(text));
        self
    }

    /// Waits until this stands on the screen so many times.
    pub fn shows_times(&mut self, text: &str, times: usize) -> &mut Self {
        self.until(text, |seen| seen.screen.screen().contents().matches(text).count() == times);
        self
    }

    /// Waits until this has been told, wherever it is now.
    pub fn told(&mut self, text: &str) -> &mut Self {
        self.until(text, |seen| String::from_utf8_lossy(&seen.raw).contains(text));
        self
    }

    /// Waits until a line can be typed.
    pub fn waits(&mut self) -> &mut Self {
        self.until("a line to type in", |seen| at_prompt(&seen.raw));
        self
    }

    /// Presses keys, waiting for nothing.
    pub fn press(&mut self, keys: &str) -> &mut Self {
        self.writer.write_all(keys.as_bytes()).and_then(|()| self.writer.flush()).expect("keys");
        self
    }

    /// Types a line once there is one to type in, and waits until the next can be typed or the program is done.
    pub fn line(&mut self, text: &str) -> &mut Self {
        let from = self.waits().look(|seen| seen.raw.len());
        self.press(text).press("\r");
        self.until("what follows a line", |seen| {
            seen.ended || (seen.raw[from..].contains(&b'\n') && at_prompt(&seen.raw))
        });
        self
    }

    /// Lets somebody answer all that is asked, to the end.
    pub fn answered(&mut self, by: &mut Answering) -> &mut Self {
        let mut from = 0;
        while self.waits_or_ends() {
            let said = self.look(|seen| letters(&seen.raw[from..]));
            from = self.look(|seen| seen.raw.len());
            self.line(&by.line(&said));
        }
        self
    }

    fn waits_or_ends(&mut self) -> bool {
        self.until("a line or the end", |seen| seen.ended || at_prompt(&seen.raw));
        !self.look(|seen| seen.ended)
    }

    /// Reads on until the question stands there and waits for its answer.
    pub fn until_question(&mut self) -> &mut Self {
        while self.waits().look(|seen| is_page(&seen.screen)) {
            self.line("");
        }
        self
    }

    /// Makes the window another size.
    pub fn resize(&mut self, columns: u16, rows: u16) -> &mut Self {
        self.master.resize(pty_size((columns, rows))).expect("another size");
        self.seen.lock().expect("the screen").screen.set_size(nonzero(rows), nonzero(columns));
        self
    }

    /// Sends a signal, such as `TERM`.
    pub fn signal(&mut self, name: &str) -> &mut Self {
        let process = self.child.process_id().expect("a process").to_string();
        let sent = Command::new("kill").args([&format!("-{name}"), &process]).status().expect("kill");
        assert!(sent.success());
        self
    }

    /// Waits until the program is done; its exit status.
    pub fn ends(&mut self) -> u32 {
        self.until("the end", |seen| seen.ended);
        self.child.wait().expect("a status").exit_code()
    }

    pub fn home(&self) -> &Path {
        self.home.path()
    }

    /// What is kept of an interview.
    pub fn saved(&self, name: &str) -> serde_json::Value {
        saved(self.home.path(), name)
    }

    /// The kept answer of a question, as text; `-` for can't tell.
    pub fn answer(&self, id: &str) -> Option<String> {
        let saved = self.saved("kim");
        let all = saved["answers"].as_array().cloned().unwrap_or_default();
        let answer = all.iter().find(|answer| answer["id"] == id)?;
        if let Some(value) = answer["value"].as_str() {
            return Some(value.to_owned());
        }
        answer.get("cant-tell").map(|_| "-".to_owned()).or_else(|| Some(answer.to_string()))
    }

    /// A note or photo beside a question.
    pub fn beside(&self, id: &str) -> String {
        let saved = self.saved("kim");
        let all = saved["answers"].as_array().cloned().unwrap_or_default();
        all.iter().find(|answer| answer["id"] == id).map(ToString::to_string).unwrap_or_default()
    }
}

impl Drop for Window {
    fn drop(&mut self) {
        let _ = self.child.kill();
    }
}

/// The saved interview as JSON.
pub fn saved(home: &Path, name: &str) -> serde_json::Value {
    let text = std::fs::read_to_string(home.join(format!("{name}.json"))).expect("a saved interview");
    serde_json::from_str(&text).expect("JSON")
}

/// Whether the program waits for Enter in the middle of something to read.
fn is_page(screen: &vt100::Parser) -> bool {
    let screen = screen.screen();
    let rows: Vec<String> = screen.rows(0, screen.size().1.get()).collect();
    // In a narrow window the words take several rows.
    let at = usize::from(screen.cursor_position().0).min(rows.len());
    let above = rows[at.saturating_sub(3)..at].join(" ").split_whitespace().collect::<Vec<_>>().join(" ");
    ["(Enter goes on)", "Enter goes on.", "Enter goes on;", "(Enter when read", "then Enter."]
        .iter()
        .any(|words| above.contains(words))
}

/// What came out, without what only moves or paints.
fn letters(raw: &[u8]) -> String {
    let text = String::from_utf8_lossy(raw);
    let mut parts = text.split("\u{1b}[");
    let first = parts.next().unwrap_or_default().to_owned();
    parts.fold(first, |mut all, part| {
        let end = part.find(|c: char| c.is_ascii_alphabetic()).map_or(part.len(), |at| at + 1);
        all.push_str(&part[end..]);
        all
    })
}

/// Whether the last thing drawn is a line to type in, with the cursor put into it.
fn at_prompt(raw: &[u8]) -> bool {
    let text = String::from_utf8_lossy(raw);
    let Some((_, row)) = text.rsplit_once("\r\u{1b}[K> ") else { return false };
    let Some((typed, cursor)) = row.split_once("\r\u{1b}[") else { return false };
    !typed.contains('\n') && cursor.strip_suffix('C').is_some_and(|column| column.parse::<u16>().is_ok())
}
