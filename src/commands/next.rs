//! `skeg next`: what to check next, and the best set of checks for a time.

use std::fmt::Write as _;

use crate::judge::{Judgement, Next, judge};

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

fn planned(judgement: &Judgement<'_>, minutes: f64, columns: usize) -> String {
    let plan = judgement.checks.plan(minutes);
    let mut text = String::new();
    if plan.checks.is_empty() {
        let _ = writeln!(text, "Nothing that is open fits into {minutes} minutes.");
        return text;
    }
    let _ = writeln!(text, "The best use of {minutes} minutes, in walking order ({} min)", rounded(plan.minutes));
    plan.checks.iter().for_each(|next| line(&mut text, judgement, next, columns));
    if plan.worth > 0.5 {
        let _ = writeln!(
            text,
            "Beside the core and safety checks, together worth up to {:.0}. Typical, from memory; get a quote.",
            plan.worth
        );
    }
    text
}

fn line(text: &mut String, judgement: &Judgement<'_>, next: &Next, columns: usize) {
    let knowledge = judgement.knowledge();
    let question = knowledge.question(next.question);
    let mut line = format!("  {} ({}): {} min", question.brief, question.id, rounded(next.minutes));
    if let Some(worth) = next.worth {
        let _ = write!(line, ", worth up to {worth:.0}");
    }
    if !next.tells.is_empty() {
        let tells: Vec<&str> = next.tells.iter().map(|fault| knowledge.faults[fault.0].title.as_str()).collect();
        let _ = write!(line, "; tells whether {}", tells.join("; or "));
    }
    for part in textwrap::wrap(&line, textwrap::Options::new(columns).subsequent_indent("    ")) {
        let _ = writeln!(text, "{part}");
    }
}

fn rounded(minutes: f64) -> String {
    if minutes < 1.0 { "under 1".into() } else { format!("{minutes:.0}") }
}
