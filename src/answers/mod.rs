//! Answers: what a value can be, the record of an interview, what of it is live, and reading typed text.
//!
//! Start at [`parse::parse_answer`], the one way from text to an answer, whoever typed it: a person, a line of a
//! script, an answers file, a saved interview. [`Record`] keeps everything that was said; [`Live`] is the part
//! that counts at a point of the path.

mod late;
mod live;
pub mod parse;
pub mod reading;
mod record;
mod special;
mod value;

pub use late::LateReader;
pub use live::{Live, Reads, Standing};
pub use parse::{Context, Proposal, Refusal, SELLER_SAYS, Typed, parse_answer, quantity_said};
pub use record::{Answer, Changed, Outcome, Record, Said, Settled};
pub use value::{Each, Value};
