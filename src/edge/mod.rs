//! The edge of the program: files read within bounds, files written whole, text of strangers made harmless.
//!
//! Everything that comes from a file goes through [`read_text`], everything that is kept through [`write_whole`],
//! every foreign word that is shown through [`shown`]. What only Unix can do stands in [`system`] and nowhere else.

mod json;
mod read;
pub mod system;
mod text;
mod write;

pub use json::check_json;
pub use read::{MOST_LINE, check_regular, read_bytes, read_text};
pub use text::{acts, path, shown, shown_lines};
pub use write::{keep_copy, sweep, write_whole};
