//! A judged interview as papers: for the buyer, for a mechanic, for the seller; Markdown, HTML or JSON.
//!
//! Start at [`render`]. A view (plain strings and numbers) is made from the judgement for one audience, and the
//! templates in `templates/` turn it into text; both formats come from the same view. What a mechanic filled in is
//! read back by [`paper::read_paper`]. Nothing here judges: what a paper says was decided in [`crate::judge`].

mod json;
pub mod markdown;

use std::path::Path;

use jiff::civil::Date;

use crate::judge::Judgement;

/// Whom a paper is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Audience {
    /// Everything.
    Buyer,
    /// Facts and open points; no offers, no chances, no value.
    Mechanic,
    /// Only the points to talk about.
    Seller,
}

/// How a paper is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Format {
    Markdown,
    Html,
    Json,
}

/// What a paper says of the interview itself.
#[derive(Clone, Copy, Debug)]
pub struct Meta<'a> {
    /// The interview's name, such as `motor-1`.
    pub name: &'a str,
    pub date: Date,
    /// The folder the paper will stand in: photos are linked from there. None: linked as they were typed.
    pub photos_base: Option<&'a Path>,
}

/// Writes the paper of one audience in one format.
///
/// # Errors
/// A template that does not fit its view, told in one sentence; a test holds that there is none.
pub fn render(
    judgement: &Judgement<'_>,
    meta: &Meta<'_>,
    audience: Audience,
    format: Format,
) -> Result<String, String> {
    match format {
        Format::Json => json::render(judgement, meta, audience),
        Format::Markdown | Format::Html => Err("this format has no templates yet".to_owned()),
    }
}
