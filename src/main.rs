//! Parses the command line, runs the command, tells the problem, returns the status.

use std::process::ExitCode;

use clap::Parser;
use skeg::Cli;
use skeg::{Ending, run, say_problem, tell_crashes, tell_usage};

fn main() -> ExitCode {
    tell_crashes();
    let cli = match Cli::try_parse() {
        Ok(cli) => cli,
        Err(usage) => return tell_usage(&usage),
    };
    match run(cli) {
        Ok(Ending::Done) => ExitCode::SUCCESS,
        Ok(Ending::Found) => ExitCode::FAILURE,
        Ok(Ending::Interrupted) => ExitCode::from(130),
        Ok(Ending::Signalled(signal)) => ExitCode::from(128 + signal),
        Ok(Ending::Unheard) => {
            say_problem("what I say can't be written any more; every answer up to here is kept");
            ExitCode::FAILURE
        }
        Err(problem) => {
            say_problem(&problem);
            ExitCode::FAILURE
        }
    }
}
