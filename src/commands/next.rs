//! `skeg next`: what to check next, and what so many minutes beside the motor would best go to.

use std::fmt::Write as _;

use crate::judge::{Judgement, Next, judge};
use crate::path::plan::plan;
use crate::report::visit;
use crate::report::words::Purse;

use super::{Bench, Ending, open, out};

/// Prints what to check next.
pub fn run(bench: &Bench, name: &str, minutes: Option<f64>) -> Result<Ending, String> {
    let saved = open::whole(bench, name)?;
    let judgement = judge(&bench.knowledge, &saved.record, saved.date);
    let text = match minutes {
        None => everything(&judgement, bench.around.columns),
        Some(minutes) => planned(&judgement, minutes, bench.around.columns),
    };
    out::print(&text).map(|()| Ending::Done)
}

fn everything(judgement: &Judgement<'_>, columns: usize) -> String {
    let checks = &judgement.checks;
    let mut text = String::new();
    if checks.first.is_empty() && checks.ranked.is_empty() {
        return "Nothing is left that you could check yourself.\n".into();
    }
    if !checks.first.is_empty() {
        text.push_str("First, whatever the price: core and safety checks\n");
        checks.first.iter().for_each(|next| line(&mut text, judgement, next, columns));
    }
    if !checks.ranked.is_empty() {
        text.push_str("Then, most worth a minute first\n");
        checks.ranked.iter().for_each(|next| line(&mut text, judgement, next, columns));
        text.push_str("Worth is what knowing could save at most. Typical, from memory; get a quote.\n");
    }
    if let Err(why) = &judgement.money.terms {
        let _ = writeln!(text, "No worths: {why}");
    }
    text
}

/// The looks of the visit's own planner by station, and what it leaves out.
fn planned(judgement: &Judgement<'_>, minutes: f64, columns: usize) -> String {
    let plan = plan(&judgement.path, minutes);
    let mut text = String::new();
    if plan.looks.is_empty() {
        put(&mut text, "", &format!("Nothing that is open fits into {minutes} minutes."), columns);
        return text;
    }
    let head =
        format!("What {minutes} minutes would best go to, in walking order ({} min)", minutes_of(plan.minutes));
    put(&mut text, "", &head, columns);
    for stop in visit::stops(&judgement.path, &plan) {
        let _ = writeln!(text, "{}", stop.title);
        for look in stop.looks {
            let all = judgement.checks.first.iter().chain(&judgement.checks.ranked);
            let weighed = all.into_iter().find(|next| next.question == look.question).cloned();
            let alone = Next { question: look.question, worth: None, minutes: look.minutes, tells: Vec::new() };
            line(&mut text, judgement, &weighed.unwrap_or(alone), columns);
        }
    }
    for left in visit::left_out(&judgement.path, &plan) {
        put(&mut text, "", &left, columns);
    }
    let looks: Vec<_> = plan.looks.iter().map(|look| look.question).collect();
    let worth = judgement.checks.together(&looks);
    if worth > 0.5 {
        let worth = Purse::of(&judgement.path).about(worth);
        let told = format!(
            "Beside the core and safety checks, together worth up to {worth}. Typical, from memory; get a quote."
        );
        put(&mut text, "", &told, columns);
    }
    text
}

fn line(text: &mut String, judgement: &Judgement<'_>, next: &Next, columns: usize) {
    let knowledge = judgement.knowledge();
    let question = knowledge.question(next.question);
    let mut line = format!("  {} ({}): {} min", question.brief, question.id, minutes_of(next.minutes));
    if let Some(worth) = next.worth {
        let _ = write!(line, ", worth up to {}", Purse::of(&judgement.path).about(worth));
    }
    if !next.tells.is_empty() {
        let tells: Vec<&str> = next.tells.iter().map(|fault| knowledge.faults[fault.0].title.as_str()).collect();
        let _ = write!(line, "; tells whether {}", tells.join("; or "));
    }
    put(text, "    ", &line, columns);
}

fn put(text: &mut String, indent: &str, line: &str, columns: usize) {
    for part in textwrap::wrap(line, textwrap::Options::new(columns).subsequent_indent(indent)) {
        let _ = writeln!(text, "{part}");
    }
}

fn minutes_of(minutes: f64) -> String {
    if minutes < 1.0 { "under 1".into() } else { format!("{minutes:.0}") }
}
