//! `skeg`: a guided interview for a first-time buyer of a used petrol outboard.
//!
//! Answers go in one at a time; everything else (the next question, the measures, the findings, the chances, the
//! money, the report) is a pure function of the question data, the answers and the interview's date. The rooms, from
//! the ground up: `edge`, `units`, `knowledge`, `answers`, `measure`, `path`, `judge`, `report`, `store`, `talk`,
//! `commands`, `cli`. A room imports only rooms below it.
//!
//! What stands here is the whole face: what the program's `main` and the tests of the whole use. The rooms are
//! private, so that the compiler tells what nobody uses any more.

mod answers;
mod cli;
mod commands;
mod edge;
mod judge;
mod knowledge;
mod measure;
mod path;
mod report;
mod store;
mod talk;
mod units;

pub use answers::reading::{Meant, Reader, Reading};
pub use answers::{
    Answer, Context, Each, LateReader, Outcome, Record, Said, Settled, Standing, Value, parse_answer,
};
pub use cli::Cli;
pub use commands::{Ending, run, say_problem, tell_crashes, tell_usage};
pub use edge::{acts, check_json};
pub use judge::{Call, Judgement, Net, Pert, Point, Summing, Value as Worth, judge, look, rounded};
pub use knowledge::roles::{ITEM_ROLES, ROLES, Wanted};
pub use knowledge::{
    Basis, Choice, ChoiceId, FaultIx, File, FindingIx, Grade, Kind, Knowledge, Level, Place, Problem, Question,
    QuestionIx, StageId, TextForm, Wrong, embedded_files, review,
};
pub use measure::air::air_ratio;
pub use measure::{Figure, MEASURES, load, load_shipped};
pub use path::plan::{LeftOut, next_planned, plan, spent};
pub use path::{Path, State, Truth, walk, wanted_entries};
pub use report::markdown::escape;
pub use report::paper::{Known, read_paper, text_of};
pub use report::{Audience, Format, Meta, open_points, render, sheet};
pub use store::{Condition, FORMAT, SHORT_MINUTES, Saved, Store, differences, read_answers_file, seal_of};
pub use talk::terminal::Terminal;
pub use units::{Dimension, Metres, Quantity, Unit, parse_quantity};
