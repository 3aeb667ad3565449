//! Windows: its console, where every key comes as an event, and its one handler for Ctrl-C and being ended.
//!
//! A list or a line that waits inside the system can't be woken there, so it waits on a thread of its own and is left
//! behind when the person leaves: the program ends then, and all that was said is kept.

use std::collections::BTreeSet;
use std::io::{self, Read, Write, stderr, stdin};
use std::path::Path;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::mpsc::{RecvTimeoutError, channel};
use std::sync::{Mutex, OnceLock, PoisonError};
use std::thread;
use std::time::{Duration, Instant};

use console::Key;
use crossterm::ansi_support::supports_ansi;
use crossterm::event::{self, Event, KeyCode, KeyEvent, KeyEventKind, KeyModifiers};
use crossterm::terminal::{disable_raw_mode, enable_raw_mode};
use crossterm::tty::IsTty;

use crate::talk::Leave;

/// The editor where none is named.
pub const EDITOR: Option<&str> = Some("notepad");

/// How long a wait lasts before it looks whether the person left.
const MOMENT: Duration = Duration::from_millis(50);
/// The status of a program that Ctrl-C ended, where nobody listens.
const ENDED: i32 = 130;

static LEFT: AtomicBool = AtomicBool::new(false);
static LISTENERS: AtomicUsize = AtomicUsize::new(0);
static HANDLED: OnceLock<bool> = OnceLock::new();

/// Ctrl-C and being ended are heard while one of these is held.
#[derive(Debug)]
pub struct Listening(());

impl Listening {
    /// Begins to listen; `None` where the system does not let us.
    pub fn begin() -> Option<Self> {
        let handled = *HANDLED.get_or_init(|| ctrlc::set_handler(come).is_ok());
        handled.then(|| Self(()).clone())
    }

    /// How the person leaves. The system does not say which way it was. It stays so.
    #[allow(clippy::unused_self, reason = "only who listens may ask, as elsewhere")]
    pub fn leave(&self) -> Option<Leave> {
        LEFT.load(Ordering::SeqCst).then_some(Leave::Interrupt)
    }

    /// Ctrl-C was meant for another program, such as an editor.
    #[allow(clippy::unused_self, reason = "only who listens may ask, as elsewhere")]
    pub fn forget_interrupt(&self) {
        LEFT.store(false, Ordering::SeqCst);
    }
}

fn come() {
    if LISTENERS.load(Ordering::SeqCst) == 0 {
        std::process::exit(ENDED);
    }
    LEFT.store(true, Ordering::SeqCst);
}

impl Clone for Listening {
    fn clone(&self) -> Self {
        LISTENERS.fetch_add(1, Ordering::SeqCst);
        Self(())
    }
}

impl Drop for Listening {
    fn drop(&mut self) {
        LISTENERS.fetch_sub(1, Ordering::SeqCst);
    }
}

static HELD: AtomicBool = AtomicBool::new(false);

/// Holds the console's mode, where Ctrl-C is a key as any other; gives it back when dropped.
#[derive(Debug)]
pub struct Guard(());

impl Guard {
    /// Sets the mode of the conversation.
    pub fn hold() -> io::Result<Self> {
        enable_raw_mode()?;
        HELD.store(true, Ordering::SeqCst);
        Ok(Self(()))
    }

    /// Does something with the console as other programs want it.
    #[allow(clippy::unused_self, reason = "there is nothing to step out of where nothing is held")]
    pub fn outside<T>(&self, act: impl FnOnce() -> T) -> T {
        give_back_mode();
        let done = act();
        let _ = enable_raw_mode();
        forget_typed();
        done
    }
}

impl Drop for Guard {
    fn drop(&mut self) {
        give_back();
    }
}

/// Gives the console back, if it is held.
pub fn give_back() {
    if HELD.swap(false, Ordering::SeqCst) {
        give_back_mode();
    }
}

fn give_back_mode() {
    let _ = disable_raw_mode();
    let _ = stderr().write_all(b"\x1b[?25h");
}

/// Whether this is a console, and one that knows how to move its cursor when told in letters.
pub fn takes_keys() -> bool {
    let dumb = std::env::var_os("TERM").is_some_and(|term| term == "dumb");
    !dumb && stdin().is_tty() && stderr().is_tty() && supports_ansi()
}

/// The next key; `None` when the time is over.
pub fn next_key(listening: &Listening, time: Option<Duration>) -> Result<Option<Key>, Leave> {
    let begun = Instant::now();
    loop {
        if let Some(leave) = listening.leave() {
            return Err(leave);
        }
        let left = time.map_or(MOMENT, |time| time.saturating_sub(begun.elapsed()));
        match event::poll(left.min(MOMENT)) {
            Ok(true) => match pressed()? {
                Some(Key::CtrlC) => LEFT.store(true, Ordering::SeqCst),
                Some(key) => return Ok(Some(key)),
                None => {}
            },
            Ok(false) if left.is_zero() => return Ok(None),
            Ok(false) => {}
            Err(_) => return Err(Leave::HangUp),
        }
    }
}

/// What was typed ahead is not meant for what comes now.
pub fn forget_typed() {
    while event::poll(Duration::ZERO).unwrap_or(false) && pressed().is_ok() {}
}

/// The key of an event that waits, if it is one.
fn pressed() -> Result<Option<Key>, Leave> {
    static DOWN: Mutex<Down> = Mutex::new(Down(BTreeSet::new()));
    match event::read() {
        Ok(Event::Key(event)) => Ok(DOWN.lock().unwrap_or_else(PoisonError::into_inner).key(&event)),
        Ok(_) => Ok(None),
        Err(_) => Err(Leave::HangUp),
    }
}

/// The letters that are held down, in small letters.
///
/// Letters that are not on the keyboard come with the release of the Alt key alone, also when they are pasted: a
/// letter that is let go and was never pressed is one of them.
#[derive(Debug)]
struct Down(BTreeSet<String>);

impl Down {
    fn key(&mut self, event: &KeyEvent) -> Option<Key> {
        let KeyCode::Char(letter) = event.code else {
            return (event.kind != KeyEventKind::Release).then(|| named(event.code));
        };
        let small = letter.to_lowercase().to_string();
        if event.kind == KeyEventKind::Release {
            let was_down = self.0.remove(&small);
            return (!was_down && !letter.is_ascii()).then_some(Key::Char(letter));
        }
        self.0.insert(small);
        Some(lettered(letter, event.modifiers))
    }
}

fn named(code: KeyCode) -> Key {
    match code {
        KeyCode::Enter => Key::Enter,
        KeyCode::Esc => Key::Escape,
        KeyCode::Backspace => Key::Backspace,
        KeyCode::Delete => Key::Del,
        KeyCode::Left => Key::ArrowLeft,
        KeyCode::Right => Key::ArrowRight,
        KeyCode::Up => Key::ArrowUp,
        KeyCode::Down => Key::ArrowDown,
        KeyCode::Home => Key::Home,
        KeyCode::End => Key::End,
        KeyCode::Tab => Key::Tab,
        KeyCode::BackTab => Key::BackTab,
        _ => Key::Unknown,
    }
}

/// A letter, with Ctrl the sign it stands for. Ctrl and Alt together are how AltGr comes; Alt alone means nothing here.
fn lettered(letter: char, with: KeyModifiers) -> Key {
    match (with.contains(KeyModifiers::CONTROL), with.contains(KeyModifiers::ALT)) {
        (true, false) => match letter.to_ascii_lowercase() {
            'c' | '\u{3}' => Key::CtrlC,
            'h' => Key::Backspace,
            'i' => Key::Tab,
            'j' | 'm' => Key::Enter,
            // The end of what is typed is Ctrl-Z here.
            'z' => Key::Char('\u{4}'),
            letter @ 'a'..='z' => Key::Char(char::from(letter as u8 & 0x1f)),
            _ => Key::Unknown,
        },
        (false, true) => Key::Unknown,
        _ => Key::Char(letter),
    }
}

/// Reads standard input; leaving ends a waiting read.
pub fn read_lines(listening: Option<&Listening>, buffer: &mut [u8]) -> Result<io::Result<usize>, Leave> {
    let Some(listening) = listening else { return Ok(stdin().read(buffer)) };
    let mut bytes = vec![0; buffer.len()];
    let read = aside(listening, move || stdin().read(&mut bytes).map(|count| (bytes, count)))?;
    Ok(read.map(|(bytes, count)| {
        buffer[..count].copy_from_slice(&bytes[..count]);
        count
    }))
}

/// Does something on a thread of its own, and waits for it or for the person to leave.
fn aside<T: Send + 'static>(listening: &Listening, act: impl FnOnce() -> T + Send + 'static) -> Result<T, Leave> {
    let (brings, brought) = channel();
    thread::spawn(move || {
        // Nobody waits for it any more: the person left.
        let _ = brings.send(act());
    });
    loop {
        if let Some(leave) = listening.leave() {
            return Err(leave);
        }
        match brought.recv_timeout(MOMENT) {
            Ok(done) => return Ok(done),
            Err(RecvTimeoutError::Timeout) => {}
            Err(RecvTimeoutError::Disconnected) => return Err(Leave::HangUp),
        }
    }
}

/// The words of a command: a whole path with its blanks, or words between blanks, double quotes holding some together.
pub fn words_of(command: &str) -> Vec<String> {
    let command = command.trim();
    if Path::new(command).is_file() {
        return vec![command.to_owned()];
    }
    let mut quoted = false;
    let apart = command.split(|c: char| {
        quoted ^= c == '"';
        c.is_whitespace() && !quoted
    });
    apart.map(|word| word.replace('"', "")).filter(|word| !word.is_empty()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn event(code: char, with: KeyModifiers, kind: KeyEventKind) -> KeyEvent {
        KeyEvent::new_with_kind(KeyCode::Char(code), with, kind)
    }

    #[test]
    fn a_key_counts_when_it_goes_down() {
        let mut down = Down(BTreeSet::new());
        assert_eq!(down.key(&event('A', KeyModifiers::SHIFT, KeyEventKind::Press)), Some(Key::Char('A')));
        assert_eq!(down.key(&event('a', KeyModifiers::NONE, KeyEventKind::Release)), None);
        assert_eq!(down.key(&event('Ä', KeyModifiers::SHIFT, KeyEventKind::Press)), Some(Key::Char('Ä')));
        assert_eq!(down.key(&event('ä', KeyModifiers::NONE, KeyEventKind::Release)), None, "let go after Shift");
        let enter = |kind| KeyEvent::new_with_kind(KeyCode::Enter, KeyModifiers::NONE, kind);
        assert_eq!(down.key(&enter(KeyEventKind::Press)), Some(Key::Enter));
        assert_eq!(down.key(&enter(KeyEventKind::Release)), None);
    }

    #[test]
    fn a_letter_that_is_on_no_key_comes_when_alt_is_let_go() {
        let mut down = Down(BTreeSet::new());
        assert_eq!(down.key(&event('é', KeyModifiers::NONE, KeyEventKind::Release)), Some(Key::Char('é')));
        assert_eq!(down.key(&event('x', KeyModifiers::NONE, KeyEventKind::Release)), None);
    }

    #[test]
    fn ctrl_and_alt_make_signs_letters_or_nothing() {
        assert_eq!(lettered('c', KeyModifiers::CONTROL), Key::CtrlC);
        assert_eq!(lettered('u', KeyModifiers::CONTROL), Key::Char('\u{15}'));
        assert_eq!(lettered('d', KeyModifiers::CONTROL), lettered('z', KeyModifiers::CONTROL));
        assert_eq!(lettered('@', KeyModifiers::CONTROL | KeyModifiers::ALT), Key::Char('@'), "AltGr");
        assert_eq!(lettered('x', KeyModifiers::ALT), Key::Unknown);
    }

    #[test]
    fn a_command_is_taken_apart_and_backslashes_stay() {
        let words = words_of(r#""C:\some folder\edit.exe" -wait  -n"#);
        assert_eq!(words, [r"C:\some folder\edit.exe", "-wait", "-n"]);
        assert_eq!(words_of("notepad"), ["notepad"]);
        let own = std::env::current_exe().unwrap().to_string_lossy().into_owned();
        assert_eq!(words_of(&own), [own.clone()]);
        assert!(words_of("  ").is_empty());
    }
}
