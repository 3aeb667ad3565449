//! The points of a mechanic's paper: what a workshop is asked, each under a key that its answer comes back with.
//!
//! A point is a story; its key is the story's name, or that of a core check nobody has seen. What was settled
//! before is not asked again.

use serde::Serialize;

use crate::answers::{Outcome, Settled};
use crate::knowledge::roles;
use crate::knowledge::{Clearer, Grade, Text};

use super::super::words;
use super::Scene;
use super::after::{Photo, photos_of};
use super::found::SettledSaid;
use super::story::{Once, Tale, settled_outcome, stories};

/// One thing a mechanic is asked.
#[derive(Clone, Debug, Serialize)]
pub struct PointSaid {
    pub number: usize,
    pub code: String,
    /// What it is about, for whoever is asked about it on the telephone.
    pub title: String,
    pub seen: String,
    pub ask: String,
    /// The keyed line with its boxes.
    pub line: String,
    /// The sale waits for it.
    pub stop: bool,
    /// What was said the last time, when it could not be said.
    pub last: Option<SettledSaid>,
    pub photos: Vec<Photo>,
}

/// A core check nobody has seen, as a keyed line.
#[derive(Clone, Debug, Serialize)]
pub struct CheckLine {
    pub code: String,
    pub title: String,
    pub line: String,
}

/// A point a mechanic has settled.
#[derive(Clone, Debug, Serialize)]
pub struct Done {
    pub code: String,
    pub title: String,
    pub said: SettledSaid,
}

/// The most columns of a keyed line: mail programs leave it whole.
pub const KEYED: usize = 72;

/// `1 gearcase-seals: [ ] fine  [ ] faulty  [ ] can't say  price ______`
#[must_use]
pub fn keyed_line(number: Option<usize>, code: &str) -> String {
    let head = number.map_or_else(|| format!("{code}:"), |number| format!("{number} {code}:"));
    let wide = format!("{head} [ ] fine  [ ] faulty  [ ] can't say  price ______");
    let narrow = format!("{head} [ ] fine [ ] faulty [ ] can't say price ____");
    let narrowest = || format!("{head} [ ] fine [ ] faulty [ ] can't say price _");
    if wide.len() <= KEYED {
        wide
    } else if narrow.len() <= KEYED {
        narrow
    } else {
        narrowest()
    }
}

/// What a workshop can answer, in the order of the stories.
#[must_use]
pub fn open_points(scene: &Scene<'_, '_>) -> Vec<PointSaid> {
    let mut once = Once::default();
    let asked = stories(scene).into_iter().filter(|tale| is_asked(scene, tale));
    asked.enumerate().map(|(place, tale)| point_said(scene, &tale, place + 1, &mut once)).collect()
}

/// A story with a fault behind it, or a stop that a workshop clears; not what was settled already.
fn is_asked(scene: &Scene<'_, '_>, tale: &Tale<'_, '_>) -> bool {
    let for_workshop = tale.findings(scene).any(|finding| {
        !finding.speaks_for.is_empty()
            || (finding.grade == Grade::Stop && matches!(finding.clears_by, None | Some(Clearer::Workshop)))
    });
    let told = tale.answers().iter().any(|ix| scene.may_tell(*ix));
    for_workshop && told && settled_outcome(scene, tale.story).is_none()
}

fn point_said(scene: &Scene<'_, '_>, tale: &Tale<'_, '_>, number: usize, once: &mut Once) -> PointSaid {
    let knowledge = scene.knowledge();
    let code = knowledge.story_id(tale.story).to_owned();
    let fault = knowledge.story_fault(tale.story).map(|fault| &knowledge.faults[fault.0]);
    let ask = tale.lead.mechanic.as_ref().or_else(|| fault.map(|fault| &fault.settle));
    // Without a colon: a name with one could be taken for a key.
    let told = once.tell(scene, &tale.answers());
    let seen = told.iter().map(|seen| format!("{} - {}", seen.brief, seen.said)).collect::<Vec<_>>().join("; ");
    let seen = if seen.is_empty() { words::capital(&tale.lead.title) } else { seen };
    PointSaid {
        number,
        title: words::capital(knowledge.story_title(tale.story)),
        seen,
        ask: ask.map(Text::to_string).unwrap_or_default(),
        line: keyed_line(Some(number), &code),
        stop: tale.grade() == Grade::Stop,
        last: last_said(scene, &code),
        photos: photos_of(scene, &tale.answers()),
        code,
    }
}

/// What a mechanic wrote that answers no question.
#[must_use]
pub fn their_words(scene: &Scene<'_, '_>) -> Option<String> {
    scene.record().settled.iter().find(|one| one.is_only_words()).map(|one| words::typed(&one.words))
}

/// What was said of a point the last time.
#[must_use]
pub fn last_said(scene: &Scene<'_, '_>, code: &str) -> Option<SettledSaid> {
    let last = scene.record().settled.iter().rev().find(|settled| settled.point == code);
    last.map(|settled| scene.settled_said(settled))
}

/// Core checks nobody has seen that a workshop can see: not whose it is, not the plate with the number, and not what
/// the boxes of the numbers answer.
#[must_use]
pub fn open_checks(scene: &Scene<'_, '_>) -> Vec<CheckLine> {
    let knowledge = scene.knowledge();
    let elsewhere =
        [roles::OWNERSHIP.any, roles::SERIAL_PLATE.any, roles::COMPRESSION.any].map(|role| knowledge.ask(role));
    let unseen = scene.judgement.verdict.unseen.iter().filter(|ix| !elsewhere.contains(ix));
    let wanted = unseen.map(|ix| knowledge.question(*ix));
    let line = |question: &crate::knowledge::Question| {
        let code = question.id.to_string();
        CheckLine { title: words::capital(&question.brief), line: keyed_line(None, &code), code }
    };
    wanted.map(line).collect()
}

/// Keys and titles of everything that is asked, in the order of the paper.
#[must_use]
pub fn codes(scene: &Scene<'_, '_>) -> Vec<(String, String)> {
    let points = open_points(scene).into_iter().map(|point| (point.code, point.title));
    let checks = open_checks(scene).into_iter().map(|check| (check.code, check.title));
    points.chain(checks).collect()
}

/// What the mechanic is asked at a point.
#[must_use]
pub fn question_of(scene: &Scene<'_, '_>, code: &str) -> Option<String> {
    open_points(scene).into_iter().find(|point| point.code == code).map(|point| point.ask)
}

/// What people call a point, by its key; a key nobody knows is its own name.
#[must_use]
pub fn title_of(scene: &Scene<'_, '_>, code: &str) -> String {
    let knowledge = scene.knowledge();
    let story = knowledge.story_by_id(code).map(|story| knowledge.story_title(story));
    let check = || knowledge.find(code).map(|ix| knowledge.question(ix).brief.as_str());
    match story.or_else(check) {
        Some(title) => words::capital(title),
        None if Settled::names_besides(code) => "Found besides".to_owned(),
        None => code.to_owned(),
    }
}

/// What a mechanic has settled already, the last word on each point.
#[must_use]
pub fn done_points(scene: &Scene<'_, '_>) -> Vec<Done> {
    let settled = &scene.record().settled;
    let last = settled.iter().enumerate().filter(|(place, one)| {
        one.outcome != Outcome::CantSay && !settled[place + 1..].iter().any(|later| later.point == one.point)
    });
    last.map(|(_, one)| Done {
        code: one.point.clone(),
        title: title_of(scene, &one.point),
        said: scene.settled_said(one),
    })
    .collect()
}
