//! Which questions are asked, which is next, and what conditions hold.
//!
//! Start at [`walk()`]. Conditions are evaluated by [`View`] in three-valued logic ([`Truth`]); [`is_seen`] says
//! whether a check counts as looked at; gates before the runs of the engine stand in their own file, and so do the
//! texts of a question for this motor. Nothing here asks anybody or judges anything.

mod conditions;
mod figures;
mod gates;
pub mod plan;
mod seen;
pub mod sitting;
mod supposed;
#[cfg(test)]
mod tests;
mod texts;
mod truth;
mod walk;

pub use conditions::View;
pub use seen::{core_unseen, is_seen};
pub use texts::Texts;
pub use truth::Truth;
pub use walk::{Ended, Path, State, Step, walk, wanted_entries};
