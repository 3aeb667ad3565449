//! `skeg licences`: the terms of the program, and the notices of everything built into it.

use super::{Ending, out};

const OWN: &str = "skeg is free under either of two licences, as you like: MIT or Apache-2.0.";
const MIT: &str = include_str!("../licences/MIT.txt");
const APACHE: &str = include_str!("../licences/Apache-2.0.txt");
/// Written by a test from the packages' own files.
const NOTICES: &str = include_str!("../licences/notices.txt");

/// Prints them all.
pub fn run() -> Result<Ending, String> {
    out::print(&format!("{OWN}\n\n{MIT}\n{APACHE}\n{NOTICES}")).map(|()| Ending::Done)
}
