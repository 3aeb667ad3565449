//! The one way out: standard output, and asides on standard error. Nothing here can panic.

use std::io::{self, Write, stderr, stdout};
use std::process::ExitCode;

use crate::edge::shown_lines;

/// Prints a text. A reader that closes the pipe early has what it wanted.
///
/// # Errors
/// It can't be written, such as on a full disk.
pub fn print(text: &str) -> Result<(), String> {
    let mut out = stdout().lock();
    told(out.write_all(text.as_bytes()).and_then(|()| out.flush()))
}

/// The same for what is not text of ours alone.
///
/// # Errors
/// As for [`print`].
pub fn told(written: io::Result<()>) -> Result<(), String> {
    match written {
        Err(error) if error.kind() != io::ErrorKind::BrokenPipe => {
            Err(format!("can't write to standard output: {error}"))
        }
        _ => Ok(()),
    }
}

/// Says something beside what is printed. Where nobody listens any more there is nobody left to tell.
pub fn aside(text: &str) {
    let _ = writeln!(stderr(), "{}", shown_lines(text));
}

/// The problem a command ended with.
pub fn say_problem(problem: &str) {
    aside(&format!("skeg: {problem}"));
}

/// Help, version, or what is wrong with the command line; with the exit status.
#[must_use]
pub fn tell_usage(usage: &clap::Error) -> ExitCode {
    let printed = usage.print().and_then(|()| stdout().flush());
    match told(printed) {
        Err(problem) if !usage.use_stderr() => {
            say_problem(&problem);
            ExitCode::FAILURE
        }
        _ => ExitCode::from(u8::try_from(usage.exit_code()).unwrap_or(2)),
    }
}
