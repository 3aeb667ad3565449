//! The end of an interview: the verdict in a sentence, the picture of the costs, where the report lies, what next.

use crate::edge;
use crate::judge::judge;
use crate::report::{self, Audience, Format, Meta};
use crate::store::{Saved, Store};
use crate::talk::{Talk, Words};

use super::Bench;

/// Tells how it came out and writes the report beside the interview.
pub fn tell(talk: &mut dyn Talk, bench: &Bench, store: &Store, saved: &Saved) {
    let judgement = judge(&bench.knowledge, &saved.record, saved.date);
    talk.tell(&Words::Heading("Where it stands".into()));
    talk.tell(&Words::Plain(report::verdict_sentence(&judgement)));
    if let Some(price) = report::price_sentence(&judgement) {
        talk.tell(&Words::Plain(price));
    }
    let picture = report::cost_picture(&judgement, talk.columns().min(78));
    if !picture.is_empty() {
        talk.tell(&Words::Heading("What it may still cost (typical, from memory; get a quote)".into()));
        talk.tell(&Words::Picture(picture));
    }
    let meta = Meta { name: &saved.name, date: saved.date, photos_base: None, photos: None };
    let folder = store.folder().join("reports");
    let path = folder.join(format!("{}.md", saved.name));
    let written = report::render(&judgement, &meta, Audience::Buyer, Format::Markdown).and_then(|text| {
        let told = |error: std::io::Error| format!("the report could not be written: {error}");
        edge::system::make_private_folder(&folder).map_err(told)?;
        edge::write_whole(&path, text.as_bytes()).map_err(told)
    });
    let name = &saved.name;
    match written {
        Ok(()) => talk.tell(&Words::Plain(format!("The report lies at {}", edge::path(&path)))),
        Err(problem) => talk.tell(&Words::Plain(format!("{problem}. Print it with: skeg report {name}"))),
    }
    talk.tell(&Words::Plain(format!(
        "For the mechanic: skeg report {name} --for mechanic. For the seller: skeg report {name} --for seller. What to check next: skeg next {name}."
    )));
}
