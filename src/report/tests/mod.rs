//! Whole papers: every template for every record, the parts in order, what is said and what is left out.

mod budgets;
mod pages;
mod secrets;
mod trusted;
mod typed;

use std::collections::BTreeSet;

use pulldown_cmark::{Event, Options, Parser, Tag};

use super::testing::{AUDIENCES, KNOWLEDGE, SOUND, judged, paper, record, samples};
use super::*;
use crate::answers::Said;
use crate::path::is_seen;

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
    assert_eq!((count("<h1>"), count("http")), (1, 0), "{told}");
    assert_eq!(count("<script"), count("<form"), "{told}");
    for input in text.split("<input").skip(1) {
        let before = text[..text.len() - input.len()].rfind("<label").expect("a label before each field");
        assert!(
            !text[before..text.len() - input.len() - 6].contains("</label>")
                || text[before..].starts_with("<label"),
            "{told}"
        );
    }
    for tag in [
        "form", "fieldset", "legend", "label", "textarea", "details", "section", "article", "ul", "li", "p",
        "table", "tr", "td", "th", "dl", "dt", "dd", "svg", "figure", "div",
    ] {
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
        "| Leave it above",
        "Next:",
        "Nobody looked at this",
        "## What was found",
        "### The gear oil is milky",
        "## How the price comes about",
        "## What is in order",
        "## What was measured",
        "## What was not looked at",
        "## After buying",
        "## Limits",
    ]
    .iter()
    .map(|part| text.find(part).unwrap_or_else(|| panic!("{part} is missing: {text}")))
    .collect();
    assert!(places.is_sorted(), "{places:?}");
}

#[test]
fn that_figures_are_typical_stands_once() {
    for (name, record) in samples() {
        let text = flat(&paper(&judged(&record), name, Audience::Buyer, Format::Markdown));
        assert_eq!(text.matches(PHRASE).count(), 1, "{name}");
    }
}

#[test]
fn a_stop_leaves_no_price_and_says_who_clears_it() {
    let text = flat(&buyer("stopped"));
    assert!(text.contains("**Leave it as it stands: a spark plug is wet with oil that stays.**"), "{text}");
    assert!(text.contains("No price before a workshop has cleared the first stop."), "{text}");
    assert!(text.contains("Settled by: A licensed mechanic, with clean plugs"), "{text}");
    assert!(!text.contains("Leave it above"));
}

#[test]
fn what_is_not_known_is_said_with_its_reason() {
    let text = flat(&buyer("leaking"));
    assert!(text.contains("Ended early,"), "{text}");
    let text = flat(&buyer("milky"));
    assert!(text.contains("height above the sea") && text.contains("leak-down test"), "{text}");
}

#[test]
fn readings_are_drawn_in_the_buyers_unit() {
    let text = buyer("sound");
    assert!(text.contains("```text\n1 ####"), "{text}");
    assert!(text.contains("13.1 bar"));
    let all = samples();
    let uneven = judged(&all.iter().find(|(name, _)| *name == "uneven").unwrap().1);
    let apart = crate::measure::repeats_apart(&uneven.path.live, uneven.path.date);
    let text = flat(&buyer("uneven"));
    assert!(!apart.is_empty() && apart.iter().all(|line| text.contains(line)), "{apart:?} {text}");
}

#[test]
fn the_working_of_a_measure_stands_only_where_it_can_be_folded() {
    let all = samples();
    let judgement = judged(&all.iter().find(|(name, _)| *name == "sound").unwrap().1);
    let how = judgement.measures.iter().find(|measure| measure.figure.is_some()).map(|measure| measure.how.clone());
    let how = how.expect("a measure with its working");
    assert!(!flat(&paper(&judgement, "m", Audience::Buyer, Format::Markdown)).contains(&how));
    assert!(paper(&judgement, "m", Audience::Buyer, Format::Html).contains("<details>"));
}

#[test]
fn without_costs_the_reason_stands() {
    let text = flat(&buyer("other-money"));
    assert!(text.contains("Prices here are in kr"));
    assert!(!text.contains("nine times in ten"));
}

#[test]
fn what_a_mechanic_settled_is_told() {
    let text = flat(&buyer("settled"));
    assert!(text.contains("faulty, 533 EUR; in their words: \"torn lip\""), "{text}");
    let all = samples();
    let judgement = judged(&all.iter().find(|(name, _)| *name == "settled").unwrap().1);
    assert!(!open_points(&judgement).iter().any(|(code, _)| code == "gearcase-seals"));
    let paper = flat(&paper(&judgement, "m", Audience::Mechanic, Format::Markdown));
    assert!(paper.contains("## Settled before - The gearcase seals leak: faulty"), "{paper}");
}

#[test]
fn what_only_the_seller_says_is_told_to_the_mechanic() {
    let mut record = samples().swap_remove(0).1;
    for (id, words) in [
        ("telltale", "seller says: runs strong: [x] fine"),
        ("smoke", "seen from afar; seller says: blue at the start"),
        ("idle", "seller says: he would take 2900"),
        ("noise", "heard nothing myself"),
    ] {
        let answer = record.answer_mut(KNOWLEDGE.find(id).expect("a question"));
        (answer.said, answer.note) = (Some(Said::CantTell), Some(words.into()));
    }
    for format in [Format::Markdown, Format::Html] {
        let text = paper(&judged(&record), "told", Audience::Mechanic, format);
        assert!(text.contains("runs strong x fine") && text.contains("blue at the start"), "{text}");
        assert!(!text.contains("2900") && !text.contains("heard nothing"), "{text}");
    }
}

#[test]
fn notes_and_photos_stand_in_the_report() {
    let text = buyer("noted");
    assert!(text.contains("- Gear oil: \"looked at it twice\""), "{text}");
    assert!(text.contains("[photos/a 1.jpg](photos/a%201.jpg)"));
    let all = samples();
    let judgement = judged(&all.iter().find(|(name, _)| *name == "noted").unwrap().1);
    for audience in [Audience::Mechanic, Audience::Seller] {
        assert!(!paper(&judgement, "m", audience, Format::Markdown).contains("looked at it twice"));
    }
}

#[test]
fn photos_stand_in_the_paper_itself_or_are_named() {
    let all = samples();
    let judgement = judged(&all.iter().find(|(name, _)| *name == "noted").unwrap().1);
    let ready = photo::Ready { address: "data:image/jpeg;base64,AAAA".into(), width: 30, height: 20 };
    let photos: photo::Photos = [
        ("photos/a 1.jpg".to_owned(), Ok(ready)),
        ("/else where/b.jpg".to_owned(), Err("it is damaged".to_owned())),
    ]
    .into();
    let meta = Meta { name: "m", date: judgement.path.date, photos_base: None, photos: Some(&photos) };
    let html = render(&judgement, &meta, Audience::Buyer, Format::Html).unwrap();
    assert!(html.contains("src=\"data:image/jpeg;base64,AAAA\"") && html.contains("alt=\"Photo: "), "{html}");
    assert!(html.contains("is not shown: it is damaged"));
}

#[test]
fn the_sentences_of_the_terminal_are_those_of_the_report() {
    for (name, record) in samples() {
        let judgement = judged(&record);
        let text = flat(&paper(&judgement, name, Audience::Buyer, Format::Markdown));
        let screen = verdict_screen(&judgement);
        assert!(text.contains(&format!("**{}**", screen.decision)), "{name}");
        for step in screen.next {
            assert!(text.contains(&step), "{name}: {step}");
        }
        let picture = cost_picture(&judgement, 60);
        assert!(picture.iter().all(|line| line.len() <= 60));
        assert_eq!(picture.is_empty(), judgement.money.cost.is_none());
        assert!(text.starts_with(&format!("# {}, seen on", motor_line(&judgement.path))));
    }
}

#[test]
fn each_story_has_one_point() {
    let stops = record(&[
        ("strokes", "four"),
        ("plugs", "metal"),
        ("turns-over", "free"),
        ("submerged", "signs"),
        ("gearcase-outside", "cracked"),
    ]);
    let judgement = judged(&stops);
    let codes: Vec<String> = open_points(&judgement).into_iter().map(|(code, _)| code).collect();
    assert_eq!(codes.iter().collect::<BTreeSet<_>>().len(), codes.len(), "{codes:?}");
    for stop in &judgement.verdict.stops {
        let story = KNOWLEDGE.story_id(KNOWLEDGE.story_of(*stop)).to_owned();
        assert!(codes.contains(&story), "{story}: {codes:?}");
    }
}

/// A paper of the sound motor with some answers changed, on one line.
fn sound_but(changes: &[(&str, &str)], audience: Audience) -> String {
    flat(&paper(&judged(&record(&[SOUND, changes].concat())), "m", audience, Format::Markdown))
}

#[test]
fn the_sellers_paper_speaks_to_the_seller_and_asks_nothing_twice() {
    let milky = |seals: &str| sound_but(&[("gear-oil", "milky"), ("gear-seals", seals)], Audience::Seller);
    let asked = "when the gearcase seals were last changed";
    assert!(milky("not done: forgot").contains(asked));
    assert!(!milky("never").contains(asked), "{}", milky("never"));
    let unknown =
        sound_but(&[("belt", "unknown"), ("parts-made", "unknown"), ("claimed-year", "1995")], Audience::Seller);
    assert!(!unknown.contains("doesn't know") && !unknown.contains("May I have the serial number"), "{unknown}");
    let refused = sound_but(&[("seller-refuses", "plugs"), ("refusal-offers", "nothing")], Audience::Seller);
    assert!(refused.contains("What was refused") && !refused.contains("hat seller refuses"), "{refused}");
    let tapping = sound_but(&[("noise", "tapping")], Audience::Seller);
    assert!(tapping.contains("taps") && !tapping.contains("gearcase"), "{tapping}");
}

#[test]
fn the_next_check_is_one_that_can_be_taken() {
    let open =
        [("plugs", "not done: refused"), ("seller-refuses", "plugs"), ("refusal-offers", "workshop-does-it")];
    let text = sound_but(&open, Audience::Buyer);
    assert!(text.contains("- Check: ") && !text.contains("Check: spark plugs"), "{text}");
    // What nobody could tell is still the next thing to look at.
    let unknown = sound_but(&[("ownership", "can't tell")], Audience::Buyer);
    assert!(unknown.contains("- Check: papers and ID"), "{unknown}");
    let without = [("compression", "not done: no gauge"), ("visit-tools", "meter, plug-spanner, water")];
    let text = sound_but(&without, Audience::Buyer);
    assert!(!text.contains("Check: compression"), "{text}");
}

#[test]
fn what_was_looked_at_changes_it_only_if_it_was_seen_wrong() {
    for (name, record) in samples() {
        let judgement = judged(&record);
        let text = flat(&paper(&judgement, name, Audience::Buyer, Format::Markdown));
        let Some(part) = text.split("What would change it,").nth(1) else { continue };
        let part = part.split("## ").next().unwrap_or(part);
        let seen = judgement.changes.most.iter().filter(|change| is_seen(&judgement.path, change.question)).count();
        assert!(part.matches("after all").count() <= seen, "{name}: {part}");
        let first_seen = part.find("after all").unwrap_or(part.len());
        let last_open = part.rfind(": if \"").unwrap_or(0);
        assert!(seen == 0 || last_open < first_seen, "{name}: {part}");
    }
    let text = sound_but(&[("gear-metal", "none"), ("steering-feel", "not done: forgot")], Audience::Buyer);
    assert!(text.contains("\" after all, "), "{text}");
}

#[test]
fn the_law_on_stop_links_is_told_without_a_boats_length() {
    let asks = "United States law wants one on boats under 26 feet.";
    let told = |power: &str| sound_but(&[("lanyard", "not-fitted"), ("claimed-power", power)], Audience::Buyer);
    assert!(told("40 hp").contains(asks), "{}", told("40 hp"));
    assert!(!told("2 hp").contains(asks));
}

/// Rows of a sheet.
fn rows(html: &str) -> usize {
    html.matches("<tr><th scope=\"row\">").count()
}

#[test]
fn a_sheet_keeps_to_its_sides() {
    for (name, record) in samples() {
        let judgement = judged(&record);
        let named = sheet(&judgement.path, Some(name), None, false).unwrap();
        let words: usize = named.lines().map(words::count).sum();
        assert!(words <= 1250, "{name}: {words}");
        check_markdown(&named, name);
        let html = sheet(&judgement.path, Some(name), None, true).unwrap();
        assert!(rows(&html) <= 90, "{name}: {}", rows(&html));
        check_html(&html, name);
    }
    let empty = record(&[]);
    let fresh = sheet(&judged(&empty).path, None, None, false).unwrap();
    let words: usize = fresh.lines().map(words::count).sum();
    assert!((1000..=1600).contains(&words), "{words}");
    let html = sheet(&judged(&empty).path, None, None, true).unwrap();
    assert!((90..=135).contains(&rows(&html)), "{}", rows(&html));
}
