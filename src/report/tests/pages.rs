//! How many sides of paper a browser prints, for the worst motor there is; said loudly where no browser is installed.

#[path = "../../../tests/support/browser.rs"]
mod browser;

use std::fs;

use super::super::testing::{KNOWLEDGE, TODAY, judged, paper, record};
use super::*;
use crate::path::walk;
use browser::{browser, pages};

/// Prints a paper on A4 and counts its sides; nothing where there is no browser.
fn printed(name: &str, html: &str) -> Option<usize> {
    let folder = tempfile::tempdir().unwrap();
    let (page, pdf) = (folder.path().join("paper.html"), folder.path().join("paper.pdf"));
    fs::write(&page, html.replace("@page {", "@page { size: A4;")).unwrap();
    let print = format!("--print-to-pdf={}", pdf.display());
    browser(
        &format!("pages of {name}"),
        &["--no-pdf-header-footer", &print, &format!("file://{}", page.display())],
    )?;
    Some(pages(&pdf))
}

fn holds(name: &str, html: &str, most: usize) {
    if let Some(sides) = printed(name, html) {
        assert!((1..=most).contains(&sides), "{name}: {sides} sides, {most} at most");
    }
}

#[test]
fn the_buyers_paper_of_the_worst_motor_has_four_sides() {
    let worst = super::budgets::worst();
    holds("the buyer's paper", &paper(&judged(&worst), "motor-1", Audience::Buyer, Format::Html), 4);
}

#[test]
fn the_mechanics_paper_of_the_worst_motor_has_two_sides() {
    let worst = super::budgets::worst();
    holds("the mechanic's paper", &paper(&judged(&worst), "motor-1", Audience::Mechanic, Format::Html), 2);
}

#[test]
fn the_sellers_paper_of_the_worst_motor_has_one_side() {
    let worst = super::budgets::worst();
    holds("the seller's paper", &paper(&judged(&worst), "motor-1", Audience::Seller, Format::Html), 1);
}

/// What is known of a motor before the drive.
const FROM_HOME: [(&str, &str); 8] = [
    ("claimed-power", "115 hp"),
    ("claimed-year", "2014"),
    ("strokes", "four"),
    ("cylinders", "4"),
    ("start", "electric"),
    ("cooling", "water"),
    ("currency", "USD"),
    ("asking-price", "7200"),
];

#[test]
fn the_field_sheet_has_four_sides_and_seven_without_a_motor() {
    for (name, typed, most) in [(None, &FROM_HOME[..0], 7), (Some("motor-1"), &FROM_HOME[..], 4)] {
        let record = record(typed);
        let path = walk(&KNOWLEDGE, &record, TODAY);
        let html = sheet(&path, name, None, true).unwrap();
        holds("the field sheet", &html, most);
    }
}
