//! How much the papers say: words of the rendered text, for every sample, every example and the worst motor there is.

use std::collections::BTreeSet;

use super::super::testing::{KNOWLEDGE, judged, paper, samples};
use super::super::words::count;
use super::*;
use crate::answers::{Said, Value};
use crate::judge::Judgement;
use crate::knowledge::{Grade, Kind};
use crate::path::walk;

/// The words a reader sees: no marks of Markdown, no fences.
fn seen_words(markdown: &str) -> usize {
    markdown.lines().filter(|line| !line.starts_with("```") && !line.starts_with("| -")).map(count).sum()
}

fn before<'t>(text: &'t str, heading: &str) -> &'t str {
    text.find(&format!("\n## {heading}")).map_or(text, |place| &text[..place])
}

/// The motor that answers every question with what is worst for it, as far as the path goes; stops do not end it.
pub fn worst() -> crate::answers::Record {
    let mut record = super::super::testing::record(&[
        ("claimed-power", "115 hp"),
        ("claimed-year", "2004"),
        ("strokes", "four"),
        ("cylinders", "4"),
        ("currency", "EUR"),
        ("asking-price", "8137"),
        ("parts-scale", "1.1"),
        ("comparables", "8311 8019 8457"),
    ]);
    for ix in KNOWLEDGE.places() {
        let question = KNOWLEDGE.question(ix);
        if record.answer(ix).said.is_some() || question.private {
            continue;
        }
        let candidates: Vec<Value> = match &question.kind {
            Kind::One(choices) => choices
                .iter()
                .filter(|choice| choice.closes.is_empty())
                .map(|choice| Value::One(choice.id.clone()))
                .collect(),
            Kind::Many(choices) => {
                let all: Vec<_> = choices
                    .iter()
                    .filter(|choice| !choice.alone && choice.closes.is_empty())
                    .map(|choice| choice.id.clone())
                    .collect();
                if all.is_empty() { Vec::new() } else { vec![Value::Many(all)] }
            }
            Kind::Each(choices) => choices
                .iter()
                .filter(|choice| choice.closes.is_empty())
                .map(|choice| Value::Each(crate::answers::Each::All(choice.id.clone())))
                .collect(),
            _ => Vec::new(),
        };
        let weight = |value: &Value| {
            let mut tried = record.clone();
            tried.say(ix, Said::Value(value.clone()));
            let found = crate::judge::look(&walk(&KNOWLEDGE, &tried, super::super::testing::TODAY));
            let points = found.places().map(|ix| match KNOWLEDGE.findings[ix.0].grade {
                Grade::Stop => 100,
                Grade::Serious => 10,
                Grade::Minor => 1,
                Grade::Good => 0,
            });
            points.sum::<i32>()
        };
        if let Some(value) = candidates.into_iter().max_by_key(weight) {
            record.say(ix, Said::Value(value));
        }
    }
    record
}

fn all() -> Vec<(String, crate::answers::Record)> {
    let mut all: Vec<(String, crate::answers::Record)> =
        samples().into_iter().map(|(name, record)| (name.to_owned(), record)).collect();
    all.push(("the worst".to_owned(), worst()));
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_some_and(|ending| ending == "json") {
            let text = std::fs::read_to_string(&path).unwrap();
            let read = crate::store::read_answers_file(&text, &KNOWLEDGE, super::super::testing::TODAY);
            all.push((path.display().to_string(), read.expect("the example is readable").0));
        }
    }
    all
}

#[test]
fn the_worst_motor_is_bad() {
    let record = worst();
    let judgement = judged(&record);
    assert!(judgement.verdict.stops.len() >= 8, "{}", judgement.verdict.stops.len());
}

#[test]
fn no_paper_is_too_long() {
    for (name, record) in all() {
        let judgement = judged(&record);
        let buyer = paper(&judgement, "motor-1", Audience::Buyer, Format::Markdown);
        let first_page = before(&buyer, "");
        let first = seen_words(first_page);
        assert!(first <= 250, "{name}: the first page has {first} words\n{first_page}");
        let annex = [
            "How the price comes about",
            "What is in order",
            "Smallest things",
            "What was measured",
            "What was not looked at",
            "After buying",
        ];
        let pages = annex.iter().map(|heading| seen_words(before(&buyer, heading))).min().unwrap_or(0);
        assert!(pages <= 900, "{name}: {pages} words before the annex\n{buyer}");
        let all = seen_words(&buyer);
        assert!(all <= 2000, "{name}: {all} words in all");
        let mechanic = paper(&judgement, "motor-1", Audience::Mechanic, Format::Markdown);
        let page = seen_words(before(before(before(&mechanic, "Over the page"), "Settled before"), "In order"));
        assert!(page <= 400, "{name}: {page} words on the mechanic's first page\n{mechanic}");
        let seller = seen_words(&paper(&judgement, "motor-1", Audience::Seller, Format::Markdown));
        assert!(seller <= 450, "{name}: the seller's paper has {seller} words");
    }
}

#[test]
fn a_story_has_at_most_120_words() {
    for (name, record) in all() {
        let buyer = paper(&judged(&record), "motor-1", Audience::Buyer, Format::Markdown);
        for story in buyer.split("\n### ").skip(1).filter(|story| story.contains("- Settled by:")) {
            let story = story.split("\n## ").next().unwrap_or("");
            let words = seen_words(story);
            assert!(words <= 125, "{name}: {words}\n{story}");
        }
    }
}

#[test]
fn the_verdict_fits_a_screen() {
    for (name, record) in all() {
        let screen = verdict_screen(&judged(&record));
        let parts = [Some(&screen.decision), screen.money.as_ref(), screen.unseen.as_ref()];
        let words: usize = parts.into_iter().flatten().chain(&screen.next).map(|text| count(text)).sum();
        assert!(words <= 75, "{name}: {words} {screen:?}");
        assert!(screen.next.iter().all(|step| count(step) <= 16), "{name}: {screen:?}");
    }
}

/// Sentences of a story that stand anywhere else in the paper.
fn twice(judgement: &Judgement<'_>, audience: Audience) -> Vec<String> {
    let text = flat(&paper(judgement, "motor-1", audience, Format::Markdown));
    let mut found = Vec::new();
    let mut told: BTreeSet<&str> = BTreeSet::new();
    for fired in &judgement.findings.fired {
        let finding = &KNOWLEDGE.findings[fired.finding.0];
        for words in [Some(finding.means.as_str()), finding.mechanic.as_deref(), finding.bargain.as_deref()]
            .into_iter()
            .flatten()
        {
            let sentence = super::super::words::sentences(words)[0];
            if told.insert(sentence) && count(sentence) > 4 && text.matches(sentence).count() > 1 {
                found.push(sentence.to_owned());
            }
        }
    }
    found
}

#[test]
fn nothing_is_told_twice_in_one_paper() {
    for (name, record) in all() {
        let judgement = judged(&record);
        for audience in AUDIENCES {
            let found = twice(&judgement, audience);
            assert!(found.is_empty(), "{name}, {audience:?}: {found:?}");
            // A line of evidence stands once.
            let text = paper(&judgement, "motor-1", audience, Format::Markdown);
            let mut lines: Vec<&str> = text.lines().filter(|line| line.starts_with("- Seen:")).collect();
            lines.sort_unstable();
            let all = lines.len();
            lines.dedup();
            assert_eq!(lines.len(), all, "{name}, {audience:?}");
        }
    }
}

/// What is not told in full is grouped: each repair once, with all it would settle.
#[test]
fn smaller_stories_stand_under_the_repair_that_pays_them() {
    let text = flat(&paper(&judged(&worst()), "motor-1", Audience::Buyer, Format::Markdown));
    let part = text.split("### More that is grave - ").nth(1).and_then(|part| part.split(" ##").next());
    let part = part.expect("more grave stories than are told in full");
    let groups: Vec<(&str, &str)> = part.split(" - ").filter_map(|line| line.split_once(": ")).collect();
    let repairs: BTreeSet<&str> = groups.iter().map(|(by, _)| *by).collect();
    assert_eq!(repairs.len(), groups.len(), "a repair stands twice: {part}");
    assert!(repairs.len() > 3, "all under one repair: {part}");
    assert!(groups.iter().any(|(_, titles)| titles.contains("; ")), "no repair settles two: {part}");
}

/// How many more there are is said only where there are more.
#[test]
fn no_paper_counts_what_is_not_there() {
    for (name, record) in all() {
        let judgement = judged(&record);
        for audience in super::super::testing::AUDIENCES {
            let text = flat(&paper(&judgement, "motor-1", audience, Format::Markdown));
            assert!(!text.contains(" 0 more"), "{name}, {audience:?}: {text}");
        }
    }
}

#[test]
fn every_stop_and_serious_story_stands_in_the_buyers_paper() {
    for (name, record) in all() {
        let judgement = judged(&record);
        let text = flat(&paper(&judgement, "motor-1", Audience::Buyer, Format::Markdown)).to_lowercase();
        let meta = bare(&judgement);
        let scene = Scene::new(&judgement, &meta, Audience::Buyer);
        for tale in super::super::view::stories(&scene).iter().filter(|tale| tale.grade() != Grade::Minor) {
            assert!(text.contains(&tale.lead.title.to_lowercase()), "{name}: {}", tale.lead.title);
        }
    }
}
