//! One file a command; the loop of the interview; the only place that wires the rooms together.
//!
//! Start at [`run`]. [`surroundings`] is the only file that reads the environment and the clock.

mod change;
mod compare;
mod crash;
mod finish;
mod interview;
mod keeping;
mod licences;
mod list;
mod menu;
mod next;
mod open;
mod out;
mod output;
mod photos;
mod questions;
mod read;
mod replay;
mod report;
mod said;
mod sheet;
mod stage;
mod start;
mod surroundings;
mod take_in;
mod turn;
mod visit;

use std::sync::Arc;

use crate::cli::{Cli, Command};
use crate::edge;
use crate::knowledge::{self, File, Knowledge};
use crate::measure;
use crate::store::{SHORT_MINUTES, Store};

pub use crash::tell_crashes;
pub use out::{say_problem, tell_usage};
pub use surroundings::Surroundings;

/// How a command ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ending {
    Done,
    /// What was looked for was found, and told: a problem of the question files.
    Found,
    /// Interrupted; all that was said is saved.
    Interrupted,
    /// Ended from outside by this signal; all that was said is saved.
    Signalled(u8),
    /// What was said could not be written any more; all that was answered is saved.
    Unheard,
}

/// What every command works with.
pub struct Bench {
    pub knowledge: Arc<Knowledge>,
    pub store: Store,
    pub around: Surroundings,
}

/// Runs a command.
///
/// # Errors
/// A problem in plain words, ready to print.
pub fn run(cli: Cli) -> Result<Ending, String> {
    let around = Surroundings::read(&cli.everywhere)?;
    crash::answers_lie_in(&around.home);
    if let Some(Command::Questions(what)) = cli.command {
        return questions::run(&what, around);
    }
    match cli.command {
        Some(Command::Completions { shell }) => return surroundings::completions(shell),
        Some(Command::Man) => return surroundings::man(),
        Some(Command::Licences) => return licences::run(),
        _ => {}
    }
    let knowledge = Arc::new(load(&around)?);
    let store = Store::at(around.home.clone());
    let bench = Bench { knowledge, store, around };
    let ended = on_bench(&bench, cli.command);
    // The process ends here: the data need not be taken apart piece by piece.
    std::mem::forget(bench);
    ended
}

/// The commands that need the questions and the saved interviews.
fn on_bench(bench: &Bench, command: Option<Command>) -> Result<Ending, String> {
    match command {
        None => menu::run(bench),
        Some(Command::Start { name, minutes, short, boat_from }) => {
            start::start(bench, name, minutes.or(short.then_some(SHORT_MINUTES)), boat_from.as_deref())
        }
        Some(Command::Resume { name }) => start::resume(bench, name),
        Some(Command::List) => list::run(bench),
        Some(Command::Change { name, id }) => change::run(bench, &name, &id),
        Some(Command::Report { name, paper }) => report::run(bench, &name, &paper),
        Some(Command::TakeIn { name, file, yes }) => take_in::run(bench, &name, file.as_deref(), yes),
        Some(Command::Sheet { name, minutes, before, format, output }) => {
            let what = if before { sheet::What::Before } else { sheet::What::Rows(format) };
            sheet::run(bench, name.as_deref(), what, minutes, &output)
        }
        Some(Command::Compare { names, format, output }) => compare::run(bench, &names, format, &output),
        Some(Command::Next { name, minutes }) => next::run(bench, &name, minutes),
        Some(Command::Replay { file, paper }) => replay::run(bench, &file, &paper),
        Some(Command::Questions(_) | Command::Completions { .. } | Command::Licences | Command::Man) => {
            Ok(Ending::Done)
        }
    }
}

/// The questions of `--questions`, else those built in.
fn load(around: &Surroundings) -> Result<Knowledge, String> {
    match &around.questions {
        Some(_) => measure::load(&question_files(around)?).map_err(|problems| told(&problems)),
        None => Ok(measure::load_shipped()),
    }
}

fn question_files(around: &Surroundings) -> Result<Vec<File>, String> {
    match &around.questions {
        Some(folder) => {
            knowledge::folder_files(folder).map_err(|problem| edge::shown(&problem.to_string()).clone())
        }
        None => Ok(knowledge::embedded_files()),
    }
}

/// Problems of the question data, a line each.
fn told(problems: &[knowledge::Problem]) -> String {
    let lines: Vec<String> =
        problems.iter().map(|problem| format!("  {}", edge::shown(&problem.to_string()))).collect();
    let word = if problems.len() == 1 { "problem" } else { "problems" };
    format!("the question files have {} {word}:\n{}", problems.len(), lines.join("\n"))
}
