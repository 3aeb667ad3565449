//! Which questions are asked, which is next, and what conditions hold.
//!
//! Start at [`walk()`]. Conditions are evaluated by [`View`] in three-valued logic ([`Truth`]); [`is_seen`] says
//! whether a check counts as looked at. Nothing here asks anybody or judges anything.

mod conditions;
pub mod plan;
mod seen;
mod truth;
mod walk;

pub use conditions::View;
pub use seen::{core_unseen, is_seen};
pub use truth::Truth;
pub use walk::{Ended, Path, State, Step, walk, wanted_entries};
