//! The visit while it goes: how long there is, what the plan is, what is asked next, what is said when it changes.
//!
//! The plan is worked out anew from the answers each time ([`crate::path::plan`]); kept are only the minutes somebody
//! named for it.

use std::collections::BTreeSet;

use crate::answers::quantity_said;
use crate::knowledge::{Place, QuestionIx, Text};
use crate::path::plan::{Plan, beside_the_motor, next_planned, plan, spent, visit_minutes};
use crate::path::{Path, State};
use crate::report::visit as words;
use crate::store::Saved;
use crate::talk::Header;
use crate::units::{Dimension, Unit};

/// Minutes the whole visit may take: as named for it, else as answered, else the usual.
#[must_use]
pub fn budget(path: &Path<'_>, saved: &Saved) -> f64 {
    saved.minutes.unwrap_or_else(|| visit_minutes(path))
}

/// The plan for what is left of the visit.
#[must_use]
pub fn plan_now(path: &Path<'_>, saved: &Saved) -> Plan {
    plan(path, (budget(path, saved) - spent(path)).max(0.0))
}

/// Where to go next: a look that must be offered again before a run, else the next of the plan.
///
/// A look that a run waits for is offered once more in a sitting; whoever still can't say leaves the run out.
#[must_use]
pub fn next(path: &Path<'_>, plan: &Plan, offered: &mut BTreeSet<QuestionIx>) -> Option<QuestionIx> {
    let next = next_planned(path, plan);
    let before_all = |check: QuestionIx| next.is_none_or(|next| next > check);
    let dealt_with = |check: QuestionIx| {
        path.step(check).is_some_and(|step| matches!(step.state, State::CantTell | State::NotDone | State::Value))
    };
    for held in &path.held {
        if before_all(held.check) && dealt_with(held.check) && offered.insert(held.check) {
            return Some(held.check);
        }
    }
    next
}

/// Where one stands before a question.
#[must_use]
pub fn header<'k>(path: &Path<'k>, plan: &Plan, ix: QuestionIx, budget: f64) -> Header<'k> {
    let question = path.knowledge.question(ix);
    let station = question.place.map_or("", |place| words::station_title(path, place));
    let station = if station.is_empty() { path.knowledge.stage_of(ix).title.as_str() } else { station };
    let beside = beside_the_motor(path, ix);
    let alike = |other: QuestionIx| beside_the_motor(path, other) == beside;
    let done = path.steps.iter().filter(|step| alike(step.question) && step.state != State::Open).count();
    let ahead = if beside {
        plan.looks.len()
    } else {
        path.steps.iter().filter(|step| alike(step.question) && step.state == State::Open).count()
    };
    let minutes = beside.then(|| (budget - spent(path)).max(0.0).min(plan.minutes.max(1.0)));
    let again = path.step(ix).is_some_and(|step| step.state != State::Open);
    Header { station, number: done + usize::from(!again), of: done + ahead, minutes }
}

/// What a question needs in the hands: the visit's tools by their labels, everyday things by their words.
#[must_use]
pub fn tools<'k>(path: &Path<'k>, ix: QuestionIx) -> Vec<&'k str> {
    let knowledge = path.knowledge;
    let known = knowledge.visit.tools.map(|ix| knowledge.question(ix).choices()).unwrap_or_default();
    let plain = |tool: &'k Text| {
        known.iter().find(|choice| choice.id == tool.as_str()).map_or(tool.as_str(), |choice| &choice.label)
    };
    path.view().tools(knowledge.question(ix)).iter().map(plain).collect()
}

/// What came into a plan by an answer, in a line; follow-ups come anyway.
#[must_use]
pub fn grown(path: &Path<'_>, before: &Plan, after: &Plan) -> Option<String> {
    let new = after.looks.iter().map(|look| look.question).filter(|ix| !before.holds(*ix));
    let new = new.filter(|ix| path.knowledge.question(*ix).follows.is_none() && !was_left_out(before, *ix));
    let briefs: Vec<&str> = new.map(|ix| path.view().texts(path.knowledge.question(ix)).brief).collect();
    (!briefs.is_empty()).then(|| format!("That brings more to look at: {}.", words::few(&briefs)))
}

/// Left out for time before, so that it is no news when it fits after all.
fn was_left_out(plan: &Plan, ix: QuestionIx) -> bool {
    plan.left_out.iter().any(|(other, _)| *other == ix)
}

/// Whether the question is looked at within the seller's sight.
#[must_use]
pub fn in_sight(path: &Path<'_>, ix: QuestionIx) -> bool {
    path.knowledge.question(ix).place.is_some_and(|place| place != Place::Home)
}

/// Whether the seller may stand beside: the question is looked at in their sight, or the visit has begun.
#[must_use]
pub fn seller_near(path: &Path<'_>, ix: QuestionIx) -> bool {
    in_sight(path, ix) || path.steps.iter().any(|step| step.state != State::Open && in_sight(path, step.question))
}

/// Reads how many minutes are left, also from the end of a sentence that names its unit: "he leaves in ten minutes".
#[must_use]
pub fn minutes_said(typed: &str) -> Option<f64> {
    let read = |text: &str| {
        let quantity = quantity_said(text, Dimension::Time, Unit::Minute).ok()?;
        Some(quantity.to(Unit::Minute).number).filter(|minutes| (1.0..=1440.0).contains(minutes))
    };
    let words = typed.trim().trim_end_matches(['.', '!']);
    let named = ["min", "hour"].iter().any(|unit| words.to_lowercase().contains(unit));
    let ends = words.match_indices(' ').map(|(place, _)| &words[place + 1..]);
    read(words).or_else(|| ends.filter(|_| named).find_map(read))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn minutes_are_read_from_a_sentence() {
        for (typed, minutes) in [
            ("25", Some(25.0)),
            ("half an hour", Some(30.0)),
            ("he leaves in ten minutes", Some(10.0)),
            ("We only have an hour and a half.", Some(90.0)),
            ("soon", None),
            ("I come at 3", None),
        ] {
            assert_eq!(minutes_said(typed), minutes, "{typed}");
        }
    }
}
