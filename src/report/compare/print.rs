//! The motors as a table in the terminal, as Markdown, as JSON; the same rows in the first two.

use serde_json::{Map, Value, json};
use unicode_width::UnicodeWidthStr;

use crate::knowledge::Grade;
use crate::measure::{Figure, MEASURES, Shown, age, compression, fit, id_of, propeller};
use crate::report::{markdown, words};
use crate::units::figure;

use super::{Candidate, Named, advice, titles};

/// Under this many columns the motors stand one below the other.
const SIDE_BY_SIDE: usize = 60;
/// Columns a motor needs beside others, the gap before it included.
const NARROWEST: usize = 16;
/// What stands under all sums.
const TYPICAL: &str = "All sums are typical, from memory; get a quote.";

/// A label and what stands there for each motor.
struct Row {
    label: &'static str,
    cells: Vec<String>,
}

/// What stands in a row for one motor.
type Cell = fn(&Candidate) -> String;

/// The rows; one that is known of no motor tells nothing and is left out.
fn rows(all: &[Candidate], of: &[(&'static str, Cell)]) -> Vec<Row> {
    let rows = of.iter().map(|(label, cell)| Row { label, cells: all.iter().map(cell).collect() });
    rows.filter(|row: &Row| row.cells.iter().any(|cell| *cell != unknown())).collect()
}

/// What may take several lines.
const LONG: [(&str, Cell); 5] = [
    ("motor", |one| one.motor.clone()),
    ("verdict", |one| words::call(one.call).to_owned()),
    ("stops", |one| listed(&one.told(Grade::Stop))),
    ("serious", |one| listed(&one.told(Grade::Serious))),
    ("core not seen", |one| listed(&titles(&one.unseen))),
];

/// What is a word or a figure.
const SHORT: [(&str, Cell); 16] = [
    ("fit", |one| measured::<fit::FitOfShaft>(one)),
    ("smaller things", |one| one.told(Grade::Minor).len().to_string()),
    ("good signs", |one| one.good.to_string()),
    ("compression", |one| measured::<compression::Evenness>(one)),
    ("lowest/highest", |one| measured::<compression::Share>(one)),
    ("propeller slip", |one| measured::<propeller::PropSlip>(one)),
    ("age", |one| measured::<age::Age>(one)),
    ("hours", |one| one.hours.map_or_else(unknown, |hours| format!("{} h", figure(hours, 0)))),
    ("hours expected", |one| measured::<age::HoursExpected>(one)),
    ("sure costs", |one| sum(one, one.sure)),
    ("costs, mean", |one| sum(one, one.cost)),
    ("asked", |one| one.asking.map_or_else(unknown, |asking| one.purse.exact(asking))),
    ("start at", |one| offer(one, one.opening)),
    ("aim for", |one| offer(one, one.aim)),
    ("leave it above", ceiling),
    ("may be worth", |one| one.net.map_or_else(unknown, |(low, high)| one.purse.span(low, high))),
];

const OPEN: [(&str, Cell); 1] = [("questions open", |one| one.open.to_string())];

fn listed(all: &[String]) -> String {
    if all.is_empty() { "none".to_owned() } else { all.join("; ") }
}

/// The ceiling; both where one fault decides.
fn ceiling(one: &Candidate) -> String {
    match one.hinge {
        Some((fine, not)) => format!("{} or {}", one.purse.exact(fine), one.purse.exact(not)),
        None => offer(one, one.ceiling),
    }
}

fn unknown() -> String {
    "not known".to_owned()
}

fn sum(one: &Candidate, sum: Option<f64>) -> String {
    sum.map_or_else(unknown, |sum| one.purse.about(sum))
}

fn offer(one: &Candidate, sum: Option<f64>) -> String {
    sum.map_or_else(|| "no price yet".to_owned(), |sum| one.purse.exact(sum))
}

fn measured<D: Shown>(one: &Candidate) -> String {
    let figure_of = |id| one.measures.iter().find(|(other, _)| *other == id)?.1;
    match figure_of(id_of::<D>()) {
        Some(Figure::Word(word)) => word.to_owned(),
        Some(Figure::Number(share)) if D::UNIT.is_empty() => words::percent(share),
        Some(Figure::Number(number)) => format!("{} {}", figure(number, 0), D::UNIT),
        None => unknown(),
    }
}

/// A table with the motors side by side, or one below the other where there is no room.
#[must_use]
pub fn table(ordered: &[Candidate], columns: usize) -> String {
    let mut all = rows(ordered, &LONG);
    all.extend(rows(ordered, &SHORT));
    all.extend(rows(ordered, &OPEN));
    let label = all.iter().map(|row| row.label.len()).max().unwrap_or(0);
    let room = columns.saturating_sub(label) / ordered.len().max(1);
    let mut text = String::new();
    if columns < SIDE_BY_SIDE || room < NARROWEST {
        stacked(&mut text, ordered, &all, columns);
    } else {
        let names = Row { label: "", cells: ordered.iter().map(|one| one.name.clone()).collect() };
        for row in std::iter::once(&names).chain(&all) {
            side_by_side(&mut text, row, label, room - 2);
        }
        text.push('\n');
    }
    for sentence in [advice(ordered).as_str(), TYPICAL] {
        for line in textwrap::wrap(sentence, columns) {
            text.push_str(&format!("{line}\n"));
        }
    }
    text
}

fn stacked(text: &mut String, ordered: &[Candidate], rows: &[Row], columns: usize) {
    for (place, one) in ordered.iter().enumerate() {
        for line in textwrap::wrap(&one.name, columns) {
            text.push_str(&format!("{line}\n"));
        }
        let options = textwrap::Options::new(columns).initial_indent("  ").subsequent_indent("    ");
        for row in rows {
            for line in textwrap::wrap(&format!("{}: {}", row.label, row.cells[place]), &options) {
                text.push_str(&format!("{line}\n"));
            }
        }
        text.push('\n');
    }
}

/// One row, its cells wrapped under each other.
fn side_by_side(text: &mut String, row: &Row, label: usize, room: usize) {
    let wrapped: Vec<Vec<_>> = row.cells.iter().map(|cell| textwrap::wrap(cell, room)).collect();
    let height = wrapped.iter().map(Vec::len).max().unwrap_or(0).max(1);
    for place in 0..height {
        let mut line = format!("{:label$}", if place == 0 { row.label } else { "" });
        for cell in &wrapped {
            let part = cell.get(place).map_or("", |part| part.as_ref());
            line.push_str(&format!("  {part}{}", " ".repeat(room.saturating_sub(part.width()))));
        }
        text.push_str(&format!("{}\n", line.trim_end()));
    }
}

/// The same as Markdown: figures side by side, what takes several lines under each motor's name.
#[must_use]
pub fn to_markdown(ordered: &[Candidate]) -> String {
    let mut short = rows(ordered, &SHORT);
    short.extend(rows(ordered, &OPEN));
    let figures = figures(ordered, &short);
    let long = rows(ordered, &LONG);
    let mut text = format!("# Motors side by side\n\n{}\n\n", markdown::escape(&advice(ordered)));
    text.push_str(figures.as_deref().unwrap_or_default());
    for (place, one) in ordered.iter().enumerate() {
        text.push_str(&format!("\n## {}\n\n", markdown::escape(&one.name)));
        let below = if figures.is_some() { [].iter() } else { short.iter() };
        for row in long.iter().chain(below) {
            let cell = markdown::escape(&row.cells[place]);
            text.push_str(&format!("- {}: {cell}\n", words::capital(row.label)));
        }
    }
    text.push_str(&format!("\n{TYPICAL}\n"));
    markdown::tidy(&text)
}

/// A table of the figures, when its lines stay within a mail's width.
fn figures(ordered: &[Candidate], rows: &[Row]) -> Option<String> {
    let names: Vec<String> = ordered.iter().map(|one| markdown::escape(&one.name)).collect();
    let mut text = format!("| | {} |\n|---|{}\n", names.join(" | "), "---:|".repeat(names.len()));
    for row in rows {
        let cells: Vec<String> = row.cells.iter().map(|cell| markdown::escape(cell)).collect();
        text.push_str(&format!("| {} | {} |\n", words::capital(row.label), cells.join(" | ")));
    }
    let fits = markdown::tidy(&text).lines().all(|line| line.width() <= markdown::WIDTH);
    fits.then_some(text)
}

/// The same as JSON: money in each buyer's own currency, shares as fractions.
#[must_use]
pub fn to_json(ordered: &[Candidate]) -> String {
    let motors: Vec<Value> = ordered.iter().map(one_as_json).collect();
    let json =
        json!({ "first": ordered.first().map(|one| &one.name), "because": advice(ordered), "motors": motors });
    serde_json::to_string_pretty(&json).unwrap_or_default() + "\n"
}

fn one_as_json(one: &Candidate) -> Value {
    let named = |all: &[Named]| -> Vec<Value> {
        all.iter().map(|one| json!({ "id": one.id, "title": one.title })).collect()
    };
    let measures: Map<String, Value> = one
        .measures
        .iter()
        .map(|(id, figure)| {
            let value = match figure {
                Some(Figure::Word(word)) => json!(word),
                Some(Figure::Number(number)) => json!(number),
                None => Value::Null,
            };
            (MEASURES[id.0].name.to_owned(), value)
        })
        .collect();
    json!({
        "name": one.name, "motor": one.motor, "call": one.call.name(), "stops": named(&one.stops),
        "serious": named(&one.serious), "minor": one.minor, "good": one.good, "measures": measures,
        "hours": one.hours, "currency": one.purse.sign(), "sure_costs": one.sure, "cost_mean": one.cost,
        "ceiling": one.ceiling, "asking": one.asking, "room": one.room, "core_unseen": named(&one.unseen),
        "fit_open": one.fit_open, "open": one.open,
    })
}
