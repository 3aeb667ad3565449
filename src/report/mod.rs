//! A judged interview as papers: for the buyer, for a mechanic, for the seller; Markdown, HTML or JSON.
//!
//! Start at [`render`]. A view (plain strings and numbers) is made from the judgement for one audience, and the
//! templates in `templates/` turn it into text; both formats come from the same view. What a mechanic filled in is
//! read back by [`paper::read_paper`]. Nothing here judges: what a paper says was decided in [`crate::judge`].

pub mod compare;
pub mod graph;
mod json;
pub mod markdown;
pub mod paper;
pub mod photo;
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

use std::path::Path as FilePath;

use jiff::civil::Date;

use crate::judge::Judgement;
use crate::knowledge::QuestionIx;
use crate::path::Path;
use crate::path::plan::Plan;

use view::{Price, Scene, VerdictSaid};
pub use view::{VerdictScreen, may_be_read, motor_line};
pub use words::sentence;

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
    pub photos_base: Option<&'a FilePath>,
    /// The photos themselves, for papers that hold them. None: they are linked.
    pub photos: Option<&'a photo::Photos>,
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

/// What is asked and what to offer, or why no price is named; `None` while nothing is known of either.
#[must_use]
pub fn price_sentence(judgement: &Judgement<'_>) -> Option<String> {
    let meta = bare(judgement);
    let price = Price::of(&Scene::new(judgement, &meta, Audience::Buyer));
    if price.asking.is_none() && price.offers.is_none() && price.waits.is_none() && price.hinge.is_none() {
        return None;
    }
    let said = templates::sentence("words/price.txt", "price", &price);
    Some(said.unwrap_or_else(|problem| problem))
}

/// The screen at the end of an interview: decision, money, the next three steps and what nobody looked at in at most
/// 75 words; the rest of the first page for whoever wants it.
#[must_use]
pub fn verdict_screen(judgement: &Judgement<'_>) -> VerdictScreen {
    let meta = bare(judgement);
    let scene = Scene::new(judgement, &meta, Audience::Buyer);
    let said = |name: &str, key: &'static str, view: &serde_json::Value| {
        templates::sentence(name, key, view).unwrap_or_else(|problem| problem)
    };
    let verdict = serde_json::to_value(VerdictSaid::of(&scene)).unwrap_or_default();
    let changes = view::changes(&scene);
    let change = |change: &view::ChangeSaid| {
        let view = serde_json::to_value(change).unwrap_or_default();
        format!("{}: {}", change.brief, said("words/turn.txt", "turn", &view))
    };
    let mut rest = vec![said("words/why.txt", "verdict", &verdict)];
    if !changes.is_empty() {
        rest.push("What would change it:".to_owned());
        rest.extend(changes.iter().map(change));
    }
    rest.push(said("words/typical.txt", "verdict", &verdict));
    VerdictScreen {
        decision: said("words/verdict.txt", "verdict", &verdict),
        money: price_sentence(judgement),
        next: view::steps(&scene).into_iter().map(|step| format!("{}: {}", step.act, step.what)).collect(),
        unseen: view::unseen(&scene).map(|briefs| format!("Nobody looked at: {briefs}.")),
        rest,
    }
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

/// The field sheet of an interview, or a fresh one without a name; `planned`: only what is looked at in this visit.
///
/// # Errors
/// A template that does not fit, told in one sentence; a test holds that there is none.
pub fn sheet(
    path: &Path<'_>,
    name: Option<&str>,
    planned: Option<&[QuestionIx]>,
    html: bool,
) -> Result<String, String> {
    templates::sheet(&sheet::Sheet::of(path, name, planned), html)
}

/// The page before the drive in Markdown: what home has settled, what to bring, what to send the seller.
#[must_use]
pub fn before_page(path: &Path<'_>, name: Option<&str>, plan: &Plan) -> String {
    let title = name.map_or_else(String::new, |name| format!(": {}", markdown::escape(&words::typed(name))));
    let mut page = format!("# Before the drive{title}\n");
    for (heading, points) in visit::before(path, plan) {
        page.push_str(&format!("\n## {heading}\n\n"));
        for point in points {
            page.push_str(&format!("- {}\n", markdown::escape(&point)));
        }
    }
    markdown::tidy(&page)
}

/// What the mechanic is asked at a point of the paper, by its key.
#[must_use]
pub fn point_question(judgement: &Judgement<'_>, code: &str) -> Option<String> {
    view::question_of(&Scene::new(judgement, &bare(judgement), Audience::Mechanic), code)
}

/// What people call a point of the mechanic's paper, by its key.
#[must_use]
pub fn point_title(judgement: &Judgement<'_>, code: &str) -> String {
    view::title_of(&Scene::new(judgement, &bare(judgement), Audience::Mechanic), code)
}

fn bare<'a>(judgement: &Judgement<'_>) -> Meta<'a> {
    Meta { name: "", date: judgement.path.date, photos_base: None, photos: None }
}
