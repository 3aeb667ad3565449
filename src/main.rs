//! Parses the command line, runs the command, tells the problem, returns the status.

use std::process::ExitCode;

use clap::Parser;
use skeg::cli::Cli;
use skeg::commands::{Ending, run, say_problem, tell_usage};

fn main() -> ExitCode {
    let cli = match Cli::try_parse() {
        Ok(cli) => cli,
        Err(usage) => return tell_usage(&usage),
    };
    match run(cli) {
        Ok(Ending::Done) => ExitCode::SUCCESS,
        Ok(Ending::Interrupted) => ExitCode::from(130),
        Ok(Ending::Signalled(signal)) => ExitCode::from(128 + signal),
        Err(problem) => {
            say_problem(&problem);
            ExitCode::FAILURE
        }
    }
}
