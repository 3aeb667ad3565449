//! Markdown that people read as it stands: text is escaped only where it would act, lines are folded, tables lined up.
//!
//! [`escape()`] is what the templates put every value through. [`tidy()`] goes over the finished paper: it joins what a
//! template wrote on several lines, breaks at [`WIDTH`], pads tables, and sets one blank line between blocks.

mod escape;
mod table;
mod tidy;

pub use escape::{escape, starts_block};
pub use tidy::tidy;

/// Columns of a line that is read in a mail.
pub const WIDTH: usize = 78;
