//! Parses the command line, runs the command, tells the problem, returns the status.

use std::process::ExitCode;

use clap::Parser;
use skeg::cli::Cli;
use skeg::commands::{Ending, run};

fn main() -> ExitCode {
    match run(Cli::parse()) {
        Ok(Ending::Done) => ExitCode::SUCCESS,
        Ok(Ending::Interrupted) => ExitCode::from(130),
        Ok(Ending::Signalled(signal)) => ExitCode::from(128 + signal),
        Err(problem) => {
            use std::io::Write;
            // The terminal may be gone; there is nobody left to tell then.
            let _ = writeln!(std::io::stderr(), "skeg: {problem}");
            ExitCode::FAILURE
        }
    }
}
