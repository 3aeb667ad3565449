//! `skeg report`: the papers of a saved interview.

use crate::cli::{self, Paper};
use crate::judge::{Judgement, judge};
use crate::report::{self, Audience, Format, Meta};

use super::{Bench, Ending, open, output, photos};

/// Renders the paper of an interview.
pub fn run(bench: &Bench, name: &str, paper: &Paper) -> Result<Ending, String> {
    let saved = open::whole(bench, name)?;
    let judgement = judge(&bench.knowledge, &saved.record, saved.date);
    output::put(bench, &paper.output, &render(&judgement, name, paper)?)
}

/// Renders one paper of a judgement.
pub fn render(judgement: &Judgement<'_>, name: &str, paper: &Paper) -> Result<String, String> {
    let audience = match paper.audience {
        cli::Audience::Buyer => Audience::Buyer,
        cli::Audience::Mechanic => Audience::Mechanic,
        cli::Audience::Seller => Audience::Seller,
    };
    let format = match paper.format {
        cli::Format::Markdown => Format::Markdown,
        cli::Format::Html => Format::Html,
        cli::Format::Json => Format::Json,
    };
    let folder = paper.output.output.as_deref().and_then(std::path::Path::parent);
    let photos = (format == Format::Html).then(|| photos::of(judgement.path.record));
    let meta = Meta { name, date: judgement.path.date, photos_base: folder, photos: photos.as_ref() };
    report::render(judgement, &meta, audience, format)
}
