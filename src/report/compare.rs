//! Several motors side by side, and which to look at again first.
//!
//! [`candidate`] makes the rows, [`order`] the ranking by its one rule: the better call first, then the one whose
//! ceiling lies least under what is asked (in shares of the asking price), then the name.

use serde_json::{Value, json};

use crate::judge::{Call, Judgement};
use crate::knowledge::{Grade, MeasureId};
use crate::measure::Figure;
use crate::path::State;

use super::words::{self, Purse};
use super::{markdown, motor_line};

/// One motor, ready to stand beside others.
#[derive(Clone, Debug)]
pub struct Candidate {
    pub name: String,
    call: Call,
    /// Label and what stands there, in order.
    rows: Vec<(&'static str, String)>,
    ceiling: Option<f64>,
    asking: Option<f64>,
    json: Value,
}

/// What is compared of a judged interview.
#[must_use]
pub fn candidate(name: &str, judgement: &Judgement<'_>) -> Candidate {
    let money = &judgement.money;
    let purse = Purse::of(&judgement.path);
    let ceiling = money.offers.map(|offers| offers.ceiling);
    let sum = |sum: Option<f64>| sum.map_or_else(|| "none".to_owned(), |sum| purse.about(sum));
    let sure: f64 =
        money.lines.iter().filter(|line| line.sure).map(|line| line.size.mean()).sum::<f64>() + money.other;
    let cost = money.cost.as_ref().map(crate::judge::Distribution::mean);
    let open = judgement.path.steps.iter().filter(|step| step.state == State::Open).count();
    let titles = |grade: Grade| {
        let all = findings(judgement, grade);
        if all.is_empty() { "none".to_owned() } else { words::list(&all) }
    };
    let counted = |grade: Grade| findings(judgement, grade).len().to_string();
    let rows = vec![
        ("motor", motor_line(&judgement.path)),
        ("verdict", call_words(judgement.verdict.call).to_owned()),
        ("fit", figure(judgement, MeasureId::Fit)),
        ("stops", titles(Grade::Stop)),
        ("serious", titles(Grade::Serious)),
        ("smaller things", counted(Grade::Minor)),
        ("good signs", counted(Grade::Good)),
        ("compression", figure(judgement, MeasureId::CompressionState)),
        ("propeller slip", figure(judgement, MeasureId::PropSlip)),
        ("age", figure(judgement, MeasureId::Age)),
        ("sure costs", sum(cost.map(|_| sure))),
        ("costs on average", sum(cost)),
        ("ceiling", sum(ceiling)),
        ("asked", sum(money.asking)),
        ("core not seen", judgement.verdict.unseen.len().to_string()),
        ("questions open", open.to_string()),
    ];
    let ids = |grade: Grade| {
        let fired = judgement.findings.fired.iter().map(|fired| &judgement.knowledge().findings[fired.finding.0]);
        fired.filter(|finding| finding.grade == grade).map(|finding| finding.id.to_string()).collect::<Vec<_>>()
    };
    let json = json!({
        "name": name, "call": judgement.verdict.call.name(), "stops": ids(Grade::Stop), "serious": ids(Grade::Serious),
        "minor": ids(Grade::Minor).len(), "good": ids(Grade::Good).len(), "sure_costs": cost.map(|_| sure),
        "cost_mean": cost, "ceiling": ceiling, "asking": money.asking, "open": open,
        "core_unseen": judgement.verdict.unseen.len(),
    });
    Candidate { name: name.to_owned(), call: judgement.verdict.call, rows, ceiling, asking: money.asking, json }
}

fn findings(judgement: &Judgement<'_>, grade: Grade) -> Vec<String> {
    let fired = judgement.findings.fired.iter().filter(|fired| !fired.cleared);
    let all = fired.map(|fired| &judgement.knowledge().findings[fired.finding.0]);
    all.filter(|finding| finding.grade == grade).map(|finding| finding.title.clone()).collect()
}

fn figure(judgement: &Judgement<'_>, id: MeasureId) -> String {
    let outcome = judgement.measures.iter().find(|outcome| outcome.id == id);
    match outcome.and_then(|outcome| outcome.figure) {
        Some(Figure::Word(word)) => word.to_owned(),
        Some(Figure::Number(number)) if id == MeasureId::PropSlip => words::percent(number),
        Some(Figure::Number(number)) => format!("{number:.0} {}", id.about().unit),
        None => "not known".into(),
    }
}

fn call_words(call: Call) -> &'static str {
    match call {
        Call::Fair => "worth buying at the right price",
        Call::OnlyIf => "only if something serious is settled",
        Call::Undecided => "undecided, something core was not seen",
        Call::WalkAway => "leave it as it stands",
    }
}

/// The candidates, the one to look at again first in front.
#[must_use]
pub fn order(mut all: Vec<Candidate>) -> Vec<Candidate> {
    // No ceiling or no asking price can't be measured, and stands behind what can.
    let short = |one: &Candidate| match (one.ceiling, one.asking) {
        (Some(ceiling), Some(asking)) if asking > 0.0 => (asking - ceiling) / asking,
        _ => f64::MAX,
    };
    all.sort_by(|a, b| a.call.cmp(&b.call).then(short(a).total_cmp(&short(b))).then(a.name.cmp(&b.name)));
    all
}

/// Which to look at again first and why, in a sentence.
#[must_use]
pub fn advice(ordered: &[Candidate]) -> String {
    let Some(first) = ordered.first() else { return String::new() };
    if first.call == Call::WalkAway {
        return "Leave all of them as they stand: each has a stop that has to be cleared first.".into();
    }
    let price = match (first.ceiling, first.asking) {
        (Some(ceiling), Some(asking)) if ceiling >= asking => ", and what is asked is within the ceiling",
        (Some(_), Some(_)) => ", and its ceiling comes nearest to what is asked among those",
        _ => "",
    };
    format!("Look at {} again first: {}{price}.", first.name, call_words(first.call))
}

/// A table with the motors side by side, or one below the other where there is no room.
#[must_use]
pub fn table(ordered: &[Candidate], columns: usize) -> String {
    let label = ordered.iter().flat_map(|one| &one.rows).map(|(label, _)| label.len()).max().unwrap_or(0);
    let room = columns.saturating_sub(label) / ordered.len().max(1);
    let mut text = String::new();
    if columns < 60 || room < 16 {
        for one in ordered {
            text.push_str(&format!("{}\n", one.name));
            for (label, cell) in &one.rows {
                let options = textwrap::Options::new(columns.max(20)).subsequent_indent("    ");
                for line in textwrap::wrap(&format!("  {label}: {cell}"), options) {
                    text.push_str(&format!("{line}\n"));
                }
            }
            text.push('\n');
        }
    } else {
        let names = ("", ordered.iter().map(|one| one.name.clone()).collect::<Vec<_>>());
        let rows = (0..ordered[0].rows.len())
            .map(|place| (ordered[0].rows[place].0, ordered.iter().map(|one| one.rows[place].1.clone()).collect()));
        for (head, cells) in std::iter::once(names).chain(rows) {
            side_by_side(&mut text, head, &cells, label, room);
        }
        text.push('\n');
    }
    let options = textwrap::Options::new(columns.max(20));
    for line in textwrap::wrap(&advice(ordered), options) {
        text.push_str(&format!("{line}\n"));
    }
    text
}

/// One row, its cells wrapped under each other.
fn side_by_side(text: &mut String, head: &str, cells: &[String], label: usize, room: usize) {
    let wrapped: Vec<Vec<String>> = cells
        .iter()
        .map(|cell| textwrap::wrap(cell, room - 2).into_iter().map(std::borrow::Cow::into_owned).collect())
        .collect();
    let height = wrapped.iter().map(Vec::len).max().unwrap_or(0).max(1);
    for line in 0..height {
        let mut row = format!("{:label$}", if line == 0 { head } else { "" });
        for cell in &wrapped {
            let part = cell.get(line).map_or("", String::as_str);
            let blanks = " ".repeat((room - 2).saturating_sub(unicode_width::UnicodeWidthStr::width(part)));
            row.push_str(&format!("  {part}{blanks}"));
        }
        text.push_str(&format!("{}\n", row.trim_end()));
    }
}

/// The same as Markdown.
#[must_use]
pub fn to_markdown(ordered: &[Candidate]) -> String {
    let mut text = String::from("# Motors side by side\n\n");
    text.push_str(&format!("{}\n", markdown::escape(&advice(ordered))));
    for one in ordered {
        text.push_str(&format!("\n## {}\n\n", markdown::escape(&one.name)));
        for (label, cell) in &one.rows {
            text.push_str(&format!("- {}: {}\n", words::capital(label), markdown::escape(cell)));
        }
    }
    text.push_str("\nAll sums are typical, from memory; get a quote.\n");
    markdown::tidy(&text)
}

/// The same as JSON.
#[must_use]
pub fn to_json(ordered: &[Candidate]) -> String {
    let all: Vec<&Value> = ordered.iter().map(|one| &one.json).collect();
    let json = json!({ "first": ordered.first().map(|one| &one.name), "because": advice(ordered), "motors": all });
    serde_json::to_string_pretty(&json).unwrap_or_default() + "\n"
}
