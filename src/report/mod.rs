//! A judged interview as papers: for the buyer, for a mechanic, for the seller; Markdown, HTML or JSON.
//!
//! Start at [`render`]. A view (plain strings and numbers) is made from the judgement for one audience, and the
//! templates in `templates/` turn it into text; both formats come from the same view. What a mechanic filled in is
//! read back by [`paper::read_paper`]. Nothing here judges: what a paper says was decided in [`crate::judge`].

pub mod compare;
mod json;
pub mod markdown;
pub mod paper;
pub mod picture;
mod sheet;
mod templates;
#[cfg(test)]
mod testing;
#[cfg(test)]
mod tests;
mod view;
pub mod visit;
pub mod words;

use std::path::Path;

use jiff::civil::Date;

use crate::judge::Judgement;

pub use sheet::sheet;
pub use view::motor_line;
use view::{Price, Scene, VerdictSaid};

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
        Format::Markdown => templates::markdown(&Scene::new(judgement, meta, audience)),
        Format::Html => templates::html(&Scene::new(judgement, meta, audience)),
    }
}

/// The verdict in one sentence, as it stands at the head of the buyer's report.
#[must_use]
pub fn verdict_sentence(judgement: &Judgement<'_>) -> String {
    let meta = bare(judgement);
    let scene = Scene::new(judgement, &meta, Audience::Buyer);
    templates::sentence("words/verdict.txt", "verdict", &VerdictSaid::of(&scene)).unwrap_or_else(|problem| problem)
}

/// What is asked and what to offer, or why no price is named; `None` while nothing is known of either.
#[must_use]
pub fn price_sentence(judgement: &Judgement<'_>) -> Option<String> {
    let meta = bare(judgement);
    let price = Price::of(&Scene::new(judgement, &meta, Audience::Buyer));
    if price.asking.is_none() && price.offers.is_none() && price.clears.is_empty() {
        return None;
    }
    let said = templates::sentence("words/price.txt", "price", &price);
    let priced = price.offers.is_some() || price.hinge.is_some();
    let typical = priced.then(|| templates::sentence("words/typical.txt", "price", &price));
    let all: Result<Vec<String>, String> = std::iter::once(said).chain(typical).collect();
    Some(all.map_or_else(|problem| problem, |parts| parts.join(" ")))
}

/// How the total cost spreads, in lines of plain characters; none where no costs are known.
#[must_use]
pub fn cost_picture(judgement: &Judgement<'_>, width: usize) -> Vec<String> {
    judgement.money.cost.as_ref().map_or_else(Vec::new, |cost| picture::lines(&picture::rows(cost), width))
}

/// The open points of the mechanic's paper: code and title, in its order.
#[must_use]
pub fn open_points(judgement: &Judgement<'_>) -> Vec<(String, String)> {
    view::codes(&Scene::new(judgement, &bare(judgement), Audience::Mechanic))
}

fn bare<'a>(judgement: &Judgement<'_>) -> Meta<'a> {
    Meta { name: "", date: judgement.path.date, photos_base: None }
}
