//! The plan of a visit in words: one screen by station, the whole list, what is left out and who can do it; and the
//! page before the drive: what to bring, what to send the seller.
//!
//! Start at [`screen`]. Lines only; nothing here knows how they are shown.

use std::collections::BTreeSet;

use super::words::Purse;
use crate::judge;
use crate::knowledge::{CardLine, FindingIx, Grade, Place, QuestionIx, Stage};
use crate::path::Path;
use crate::path::plan::{LeftOut, Look, Plan, beside_the_motor};

/// One station of a plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Stop<'k> {
    pub title: &'k str,
    pub looks: Vec<Look>,
    pub minutes: f64,
    /// What is looked at there first.
    pub first: &'k str,
}

/// The stations of a plan in the order they are first come to.
#[must_use]
pub fn stops<'k>(path: &Path<'k>, plan: &Plan) -> Vec<Stop<'k>> {
    let mut stops: Vec<(Place, Stop<'k>)> = Vec::new();
    for look in &plan.looks {
        let at = stops.iter().position(|(place, _)| *place == look.place).unwrap_or_else(|| {
            let first = path.view().texts(path.knowledge.question(look.question)).brief;
            let title = station_title(path, look.place);
            stops.push((look.place, Stop { title, looks: Vec::new(), minutes: 0.0, first }));
            stops.len() - 1
        });
        stops[at].1.minutes += look.minutes;
        stops[at].1.looks.push(*look);
    }
    stops.into_iter().map(|(_, stop)| stop).collect()
}

/// What a place is called.
#[must_use]
pub fn station_title<'k>(path: &Path<'k>, place: Place) -> &'k str {
    let stations = &path.knowledge.visit.stations;
    stations.iter().find(|station| station.place == place).map_or("", |station| &station.title)
}

/// The plan on one screen: a line a station, what is left out, who can do it.
#[must_use]
pub fn screen(path: &Path<'_>, plan: &Plan) -> Vec<String> {
    let looks = match plan.looks.len() {
        1 => "one look".to_owned(),
        many => format!("{many} looks"),
    };
    let mut lines = vec![format!("{looks}, about {} minutes beside the motor:", rounded(plan.minutes))];
    for stop in stops(path, plan) {
        let more = match stop.looks.len() {
            1 => String::new(),
            many => format!(", then {} more", many - 1),
        };
        lines.push(format!("{}, {} min: {}{more}", stop.title, rounded(stop.minutes), stop.first));
    }
    lines.extend(left_out(path, plan));
    lines
}

/// Every look of the plan, a line each, under its station.
#[must_use]
pub fn whole_list(path: &Path<'_>, plan: &Plan) -> Vec<String> {
    let mut lines = Vec::new();
    for stop in stops(path, plan) {
        let briefs = stop.looks.iter().map(|look| brief(path, look.question));
        lines.push(format!("{}: {}", stop.title, briefs.collect::<Vec<_>>().join("; ")));
    }
    lines
}

/// What is left out, a line a reason.
#[must_use]
pub fn left_out(path: &Path<'_>, plan: &Plan) -> Vec<String> {
    let named = |wanted: fn(&LeftOut) -> bool| -> Vec<&str> {
        plan.left_out.iter().filter(|(_, why)| wanted(why)).map(|(ix, _)| brief(path, *ix)).collect()
    };
    let mut lines = Vec::new();
    let mut say = |before: &str, briefs: &[&str]| {
        if !briefs.is_empty() {
            lines.push(format!("{before}: {}.", few(briefs)));
        }
    };
    let fee =
        judge::fee(path).map_or_else(String::new, |fee| format!(", about {}", Purse::of(path).about(fee.sum)));
    let workshop = format!("Left to a workshop, in an hour of its own{fee}");
    say(&workshop, &named(|why| *why == LeftOut::Workshop));
    say("The seller does not want it; a workshop can", &named(|why| *why == LeftOut::Refused));
    say("No tool for it; a workshop has one", &named(|why| matches!(why, LeftOut::Tool(_))));
    say("Left out for time; it stays open, never fine", &named(|why| *why == LeftOut::Time));
    lines
}

/// The first few, and how many more.
#[must_use]
pub fn few(briefs: &[&str]) -> String {
    const NAMED: usize = 5;
    match briefs.len().checked_sub(NAMED) {
        Some(more) if more > 1 => format!("{} and {more} more", briefs[..NAMED].join(", ")),
        _ => briefs.join(", "),
    }
}

/// What a plan's looks need in the hands, each once, in order of need.
#[must_use]
pub fn bring(path: &Path<'_>, plan: &Plan) -> Vec<String> {
    let named = path.knowledge.visit.tools.map(|ix| path.knowledge.question(ix).choices()).unwrap_or_default();
    let mut seen = BTreeSet::new();
    let view = path.view();
    let tools = plan.looks.iter().flat_map(|look| view.tools(path.knowledge.question(look.question)));
    let plain = tools.map(|tool| {
        let choice = named.iter().find(|choice| choice.id == tool.as_str());
        choice.map_or(tool.as_str(), |choice| choice.label.as_str())
    });
    plain.filter(|tool| seen.insert(tool.to_lowercase())).map(str::to_owned).collect()
}

/// A page as headings with their lines.
pub type Page = Vec<(String, Vec<String>)>;

/// All that is to be read before the drive: what home has settled, what to bring, what to send.
#[must_use]
pub fn before(path: &Path<'_>, plan: &Plan) -> Page {
    [at_the_door(path, plan), to_the_seller(path, &path.knowledge.stages)].concat()
}

/// The page at the door: what home has settled, what to bring.
#[must_use]
pub fn at_the_door(path: &Path<'_>, plan: &Plan) -> Page {
    let findings = judge::look(path);
    let at_home = |ix: &FindingIx| {
        let finding = &path.knowledge.findings[ix.0];
        finding.grade != Grade::Good && finding.check.is_some_and(|check| !beside_the_motor(path, check))
    };
    let settled = findings.places().filter(at_home).map(|ix| path.knowledge.findings[ix.0].title.to_string());
    page([("Known from home", settled.collect()), ("Bring", vec![bring(path, plan).join(", ")])])
}

/// The message to the seller these stages hold, as far as it fits the motor and nothing of it is answered.
#[must_use]
pub fn to_the_seller(path: &Path<'_>, stages: &[Stage]) -> Page {
    let fitting = |lines: &[CardLine]| -> Vec<String> {
        path.view().lines(lines).into_iter().map(|line| line.text.to_string()).collect()
    };
    let send = stages.iter().flat_map(|stage| fitting(&stage.send_ahead)).collect();
    let ready = stages.iter().flat_map(|stage| fitting(&stage.have_ready)).collect();
    page([("Send the seller", send), ("And to have ready", ready)])
}

/// The headings that have something below them.
fn page(parts: [(&str, Vec<String>); 2]) -> Page {
    let told = parts.into_iter().filter(|(_, points)| points.iter().any(|point| !point.is_empty()));
    told.map(|(heading, points)| (heading.to_owned(), points)).collect()
}

fn brief<'k>(path: &Path<'k>, ix: QuestionIx) -> &'k str {
    path.view().texts(path.knowledge.question(ix)).brief
}

/// Minutes as people say them.
#[must_use]
pub fn rounded(minutes: f64) -> String {
    if minutes < 1.0 { "1".into() } else { format!("{minutes:.0}") }
}
