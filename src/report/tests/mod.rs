//! Whole papers: every template for every record, the parts in order, what is said and what is left out.

mod secrets;
mod typed;

use std::collections::BTreeSet;

use pulldown_cmark::{Event, Options, Parser, Tag};

use super::testing::{AUDIENCES, KNOWLEDGE, judged, paper, record, samples};
use super::*;

const PHRASE: &str = "typical, from memory; get a quote";

/// The structure of a Markdown paper: its tags in order, and its text.
fn structure(markdown: &str) -> (Vec<String>, String) {
    let (mut tags, mut text) = (Vec::new(), String::new());
    let more = Options::ENABLE_TABLES
        | Options::ENABLE_STRIKETHROUGH
        | Options::ENABLE_TASKLISTS
        | Options::ENABLE_FOOTNOTES;
    for event in Parser::new_ext(markdown, more) {
        match event {
            Event::Start(Tag::Link { .. }) => tags.push("link".to_owned()),
            Event::Start(tag) => tags.push(format!("{tag:?}")),
            Event::End(tag) => tags.push(format!("/{tag:?}")),
            Event::Text(part) | Event::Code(part) => text.push_str(&part),
            Event::SoftBreak => text.push(' '),
            other => tags.push(format!("{other:?}")),
        }
    }
    (tags, text)
}

/// The tags of an HTML paper without where links go.
fn html_tags(html: &str) -> Vec<String> {
    let tag = |part: &str| {
        let inside = part.split('>').next().unwrap_or("");
        inside.split(" href=\"").next().unwrap_or("").to_owned()
    };
    html.split('<').skip(1).map(tag).collect()
}

#[test]
fn every_template_fits_every_record() {
    for (name, record) in samples() {
        let judgement = judged(&record);
        for audience in AUDIENCES {
            let markdown = paper(&judgement, name, audience, Format::Markdown);
            check_markdown(&markdown, &format!("{name}, {audience:?}"));
            check_html(&paper(&judgement, name, audience, Format::Html), &format!("{name}, {audience:?}"));
        }
    }
}

fn check_markdown(text: &str, told: &str) {
    assert!(text.starts_with("# ") && text.ends_with('\n') && !text.ends_with("\n\n"), "{told}");
    assert!(!text.contains("\n\n\n") && !text.contains(" \n") && !text.contains('\t'), "{told}");
    let mut headings = BTreeSet::new();
    for line in text.lines() {
        let folds = line.split(' ').count() > 2 && !line.starts_with('|');
        assert!(line.chars().count() <= 80 || !folds, "{told}: {line}");
        assert!(!line.starts_with('#') || headings.insert(line.to_owned()), "{told}: twice {line}");
    }
    let (tags, _) = structure(text);
    assert!(
        !tags.iter().any(|tag| tag.contains("Html") || tag.contains("Rule") || tag.contains("HardBreak")),
        "{told}"
    );
    no_word_to_avoid(text, told);
}

fn check_html(text: &str, told: &str) {
    assert!(text.starts_with("<!DOCTYPE html>") && text.contains("<html lang=\"en\">"), "{told}");
    let count = |what: &str| text.matches(what).count();
    assert_eq!((count("<h1>"), count("<script"), count("http")), (1, 0, 0), "{told}");
    for tag in
        ["section", "article", "ul", "li", "p", "table", "tr", "td", "th", "dl", "dt", "dd", "svg", "figure", "div"]
    {
        let opened = count(&format!("<{tag}>")) + count(&format!("<{tag} "));
        assert_eq!(opened, count(&format!("</{tag}>")), "{told}: {tag}");
    }
    for table in text.split("<table>").skip(1) {
        assert!(table.contains("scope=\"col\""), "{told}");
    }
    for svg in text.split("<svg").skip(1) {
        assert!(svg.contains("<title id=") && svg.contains("<desc id="), "{told}");
    }
}

fn no_word_to_avoid(text: &str, told: &str) {
    const AVOID: [&str; 9] =
        ["user", "input", "invalid", "error", "please", "simply", "severity", "score", "rating"];
    for word in text.split(|sign: char| !sign.is_alphanumeric()) {
        assert!(!AVOID.contains(&word.to_lowercase().as_str()), "{told}: {word}");
    }
}

fn buyer(which: &str) -> String {
    let all = samples();
    let (_, record) = all.iter().find(|(name, _)| *name == which).unwrap();
    paper(&judged(record), which, Audience::Buyer, Format::Markdown)
}

/// The paper on one line, so that words can be looked for however they were folded.
fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn the_parts_of_the_report_stand_in_order() {
    let text = buyer("milky");
    let places: Vec<usize> = [
        "# 40 hp four-stroke, 2017, seen on 3 May 2026",
        "**Not to be decided yet",
        "Your ceiling today",
        "## What was found",
        "### Serious",
        "### Minor",
        "### Good signs",
        "## What was measured",
        "## What was not checked, and why",
        "### Not ruled out",
        "## What may be wrong, and what it costs",
        "### The total",
        "## What to say to the seller",
        "## What to check next",
        "## What would change this",
        "## What to ask a mechanic",
        "## After buying",
        "## Cautions and limits",
        "## Sources",
    ]
    .iter()
    .map(|part| text.find(part).unwrap_or_else(|| panic!("{part} is missing")))
    .collect();
    assert!(places.is_sorted(), "{places:?}");
}

#[test]
fn every_block_with_worked_out_sums_says_what_they_are() {
    for (name, record) in samples() {
        let judgement = judged(&record);
        let text = paper(&judgement, name, Audience::Buyer, Format::Markdown);
        let sign = Scene::new(&judgement, &bare(&judgement), Audience::Buyer).purse.sign().to_owned();
        for block in text.split("\n## ") {
            let told = flat(block)
                .replace(&format!("Asked: 4137 {sign}"), "")
                .replace("41,000 kr", "")
                .replace("533 EUR; in their words", "");
            let behind = |(place, _): (usize, &str)| told[..place].ends_with(|sign: char| sign.is_ascii_digit());
            let has_sums = told.match_indices(&format!(" {sign}")).any(behind) || told.contains('$');
            let own_words = block.starts_with("What a mechanic") || block.contains("Settled by");
            assert!(!has_sums || own_words || block.contains(PHRASE), "{name}: {block}");
        }
    }
}

#[test]
fn a_stop_leaves_no_price_and_says_who_clears_it() {
    let text = flat(&buyer("stopped"));
    assert!(text.contains("**Leave it as it stands: a spark plug is wet with oil that stays.**"));
    assert!(text.contains("No price is named while a stop stands."));
    assert!(text.contains("What would clear it:") && text.contains("A licensed mechanic, with clean plugs"));
    assert!(!text.contains("Your ceiling today"));
}

#[test]
fn what_is_not_known_is_said_with_its_reason() {
    let text = flat(&buyer("leaking"));
    assert!(text.contains("nobody could tell, so it is taken as \"still nothing on the stick\""), "{text}");
    assert!(text.contains("The look ended early:") && text.contains("Left out because of that:"));
    let text = flat(&buyer("milky"));
    assert!(text.contains("Height above the sea: not done: \"no map at hand\""));
    assert!(text.contains("Leak-down test: nobody could tell"));
}

#[test]
fn readings_are_drawn_in_the_buyers_unit() {
    let text = buyer("sound");
    assert!(text.contains("```text\n1 ####"), "{text}");
    assert!(text.contains("13.1 bar"));
    let text = flat(&buyer("uneven"));
    assert!(text.contains("lie apart, so look at the test before the motor"));
}

#[test]
fn without_costs_the_reason_stands() {
    let text = flat(&buyer("other-money"));
    assert!(text.contains("Prices here are in kr"));
    assert!(!text.contains("### The total"));
}

#[test]
fn what_a_mechanic_settled_is_told() {
    let text = flat(&buyer("settled"));
    assert!(text.contains("a mechanic found it, so it is sure"));
    assert!(text.contains("faulty, 533 EUR; in their words: \"torn lip\""));
    let all = samples();
    let judgement = judged(&all.iter().find(|(name, _)| *name == "settled").unwrap().1);
    assert!(!open_points(&judgement).iter().any(|(code, _)| code == "gearcase-seals"));
    let paper = flat(&paper(&judgement, "m", Audience::Mechanic, Format::Markdown));
    assert!(paper.contains("## Settled before - The gearcase seals leak: faulty"), "{paper}");
}

#[test]
fn notes_and_photos_stand_in_the_report() {
    let text = buyer("noted");
    assert!(text.contains("- Gear oil: \"looked at it twice\""));
    assert!(text.contains("[photos/a 1.jpg](photos/a%201.jpg)"));
    let all = samples();
    let judgement = judged(&all.iter().find(|(name, _)| *name == "noted").unwrap().1);
    for audience in [Audience::Mechanic, Audience::Seller] {
        assert!(!paper(&judgement, "m", audience, Format::Markdown).contains("looked at it twice"));
    }
}

#[test]
fn the_sentences_of_the_terminal_are_those_of_the_report() {
    for (name, record) in samples() {
        let judgement = judged(&record);
        let text = flat(&paper(&judgement, name, Audience::Buyer, Format::Markdown));
        assert!(text.contains(&format!("**{}**", verdict_sentence(&judgement))), "{name}");
        assert!(price_sentence(&judgement).is_none_or(|said| text.contains(&said)), "{name}");
        let picture = cost_picture(&judgement, 60);
        assert!(picture.iter().all(|line| line.len() <= 60));
        assert_eq!(picture.is_empty(), judgement.money.cost.is_none());
        assert!(text.starts_with(&format!("# {}, seen on", motor_line(&judgement.path))));
    }
}

#[test]
fn each_stop_has_its_own_point_and_each_fault_only_one() {
    let stops = record(&[
        ("strokes", "four"),
        ("plugs", "metal"),
        ("turns-over", "free"),
        ("submerged", "signs"),
        ("gearcase-outside", "cracked"),
    ]);
    let judgement = judged(&stops);
    let codes: Vec<String> = open_points(&judgement).into_iter().map(|(code, _)| code).collect();
    for stop in &judgement.verdict.stops {
        assert!(codes.contains(&KNOWLEDGE.findings[stop.0].id.to_string()), "{codes:?}");
    }
    assert_eq!(codes.iter().collect::<BTreeSet<_>>().len(), codes.len(), "{codes:?}");
    assert!(!codes.iter().any(|code| code == "rings-bore-piston" || code == "gearcase-crack"), "{codes:?}");
}
