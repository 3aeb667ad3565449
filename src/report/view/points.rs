//! The open points of a mechanic's paper: what a mechanic is asked, each with a code that an outcome can be put to.
//!
//! A point's code is the id of a finding, of a fault, or of a core check nobody has seen. Findings that lead to the
//! same fault share a point, so that one outcome settles them; a stop keeps its own, since only its own clears it.

use serde::Serialize;

use crate::answers::Outcome;
use crate::judge::{Chance, Fired};
use crate::knowledge::{FaultIx, Finding, Grade};

use super::super::markdown::WIDTH;
use super::super::words;
use super::costs::{chance_of, is_raised};
use super::found::SettledSaid;
use super::{Scene, Seen};

/// From this chance on a fault is asked about even if nothing raised it.
const LIKELY: f64 = 0.10;

/// One thing a mechanic is asked.
#[derive(Clone, Debug, Serialize)]
pub struct OpenPoint {
    pub number: usize,
    pub code: String,
    /// What stands in the heading.
    pub title: String,
    /// The whole title where it is too long for a heading.
    pub in_full: Option<String>,
    pub asks: Vec<String>,
    pub seen: Vec<Seen>,
    /// A stop: the sale waits for it.
    pub stop: bool,
    /// What clears a stop.
    pub clears: Option<String>,
    /// What was said the last time, when it could not be said.
    pub last: Option<SettledSaid>,
    #[serde(skip)]
    fault: Option<FaultIx>,
}

/// A point a mechanic has settled.
#[derive(Clone, Debug, Serialize)]
pub struct Done {
    pub code: String,
    pub title: String,
    pub said: SettledSaid,
}

/// The fault a finding speaks for most strongly, of those this motor can have.
pub(super) fn main_fault(scene: &Scene<'_, '_>, finding: &Finding) -> Option<FaultIx> {
    let here = finding.speaks_for.iter().rev().filter(|(fault, _)| chance_of(scene, *fault).is_some());
    here.max_by_key(|(_, strength)| *strength).map(|(fault, _)| *fault)
}

/// The codes of the open points with their titles, in the order of the paper.
#[must_use]
pub fn codes(scene: &Scene<'_, '_>) -> Vec<(String, String)> {
    let title = |point: OpenPoint| (point.code, point.in_full.unwrap_or(point.title));
    open_points(scene).into_iter().map(title).collect()
}

/// Stops, serious and minor findings, likely or raised faults, core checks nobody has seen.
pub(super) fn open_points(scene: &Scene<'_, '_>) -> Vec<OpenPoint> {
    let mut points = Vec::new();
    for grade in [Grade::Stop, Grade::Serious, Grade::Minor] {
        for fired in &scene.judgement.findings.fired {
            let finding = &scene.knowledge().findings[fired.finding.0];
            if finding.grade == grade && !fired.cleared {
                add_finding(scene, &mut points, fired, finding);
            }
        }
    }
    let mut faults: Vec<&Chance> = scene.judgement.chances.iter().filter(|chance| is_asked(chance)).collect();
    faults.sort_by(|a, b| b.chance.total_cmp(&a.chance).then(a.fault.cmp(&b.fault)));
    for chance in faults {
        if !points.iter().any(|point: &OpenPoint| point.fault == Some(chance.fault)) {
            let fault = &scene.knowledge().faults[chance.fault.0];
            let point = blank(scene, fault.id.as_str(), &fault.title);
            points.push(OpenPoint { asks: vec![fault.settle.clone()], fault: Some(chance.fault), ..point });
        }
    }
    for ix in &scene.judgement.verdict.unseen {
        let question = scene.knowledge().question(*ix);
        let title = format!("{}: nobody has seen it yet", question.brief);
        let point = blank(scene, &code_of_check(scene, question.id.as_str()), &title);
        points.push(OpenPoint { asks: vec![question.ask.clone()], ..point });
    }
    for (place, point) in points.iter_mut().enumerate() {
        point.number = place + 1;
        shorten(scene, point);
    }
    points
}

/// A heading can't be folded: one that is too long names the check, or says its code in words, and the title follows
/// below.
fn shorten(scene: &Scene<'_, '_>, point: &mut OpenPoint) {
    let heading = format!("## {}. {} [{}]", point.number, point.title, point.code);
    if heading.chars().count() <= WIDTH {
        return;
    }
    let finding = scene.knowledge().findings.iter().find(|finding| finding.id == point.code.as_str());
    let brief = finding.and_then(|finding| finding.check).map(|check| scene.brief(check).to_owned());
    let short = brief.unwrap_or_else(|| point.code.replace('-', " "));
    point.in_full = Some(std::mem::replace(&mut point.title, words::capital(&short)));
}

fn is_asked(chance: &Chance) -> bool {
    chance.settled.is_none() && (chance.chance >= LIKELY || is_raised(chance))
}

/// A check settles no fault, so its code must not be the name of one.
fn code_of_check(scene: &Scene<'_, '_>, id: &str) -> String {
    let knowledge = scene.knowledge();
    let taken = knowledge.faults.iter().any(|fault| fault.id == id)
        || knowledge.findings.iter().any(|finding| finding.id == id);
    if taken { format!("check-{id}") } else { id.to_owned() }
}

fn add_finding(scene: &Scene<'_, '_>, points: &mut Vec<OpenPoint>, fired: &Fired, finding: &Finding) {
    let Some(ask) = &finding.mechanic else { return };
    let is_stop = finding.grade == Grade::Stop;
    let fault = main_fault(scene, finding);
    let own = scene.record().settled.iter().rev().find(|settled| settled.point == finding.id.as_str());
    let by_fault = fault.and_then(|fault| chance_of(scene, fault)).and_then(|chance| chance.settled);
    let settled = if is_stop { own.map(|own| own.outcome) } else { own.map(|own| own.outcome).or(by_fault) };
    if matches!(settled, Some(Outcome::Fine | Outcome::Faulty)) {
        return;
    }
    let seen = fired.answers.iter().filter_map(|ix| scene.seen(*ix));
    let shared = points.iter_mut().find(|point| fault.is_some() && point.fault == fault);
    match shared.filter(|_| !is_stop) {
        Some(point) => {
            point.asks.push(ask.clone());
            for one in seen {
                if !point.seen.contains(&one) {
                    point.seen.push(one);
                }
            }
        }
        None => {
            let by_fault = fault.filter(|_| !is_stop).map(|fault| &scene.knowledge().faults[fault.0]);
            let (code, title) = by_fault.map_or((finding.id.as_str(), finding.title.as_str()), |fault| {
                (fault.id.as_str(), fault.title.as_str())
            });
            let point = blank(scene, code, title);
            points.push(OpenPoint {
                asks: vec![ask.clone()],
                seen: seen.collect(),
                stop: is_stop,
                fault,
                clears: finding.clears.clone(),
                ..point
            });
        }
    }
}

fn blank(scene: &Scene<'_, '_>, code: &str, title: &str) -> OpenPoint {
    let last = scene.record().settled.iter().rev().find(|settled| settled.point == code);
    OpenPoint {
        number: 0,
        code: code.to_owned(),
        title: words::capital(title),
        in_full: None,
        asks: Vec::new(),
        seen: Vec::new(),
        stop: false,
        clears: None,
        last: last.map(|settled| scene.settled_said(settled)),
        fault: None,
    }
}

/// What a mechanic has settled already, the last word on each point.
pub(super) fn done_points(scene: &Scene<'_, '_>) -> Vec<Done> {
    let knowledge = scene.knowledge();
    let title_of = |code: &str| {
        let fault = knowledge.faults.iter().find(|fault| fault.id == code).map(|fault| &fault.title);
        let finding = || knowledge.findings.iter().find(|finding| finding.id == code).map(|finding| &finding.title);
        let check = || knowledge.find(code).map(|ix| &knowledge.question(ix).brief);
        fault.or_else(finding).or_else(check).map_or_else(|| code.to_owned(), |title| words::capital(title))
    };
    let settled = &scene.record().settled;
    let last = settled.iter().enumerate().filter(|(place, one)| {
        one.outcome != Outcome::CantSay && !settled[place + 1..].iter().any(|later| later.point == one.point)
    });
    last.map(|(_, one)| Done {
        code: one.point.clone(),
        title: title_of(&one.point),
        said: scene.settled_said(one),
    })
    .collect()
}
