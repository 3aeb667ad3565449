//! What to say to the seller, what to check next, what would change things, what to ask a mechanic.

use serde::Serialize;

use crate::judge::{Call, Change, Next, Point};
use crate::knowledge::{Grade, Level, QuestionIx};

use super::super::words;
use super::{Scene, Seen};

/// So many of the ranked checks are told.
const CHECKS: usize = 8;
/// So many faults are named beside a check.
const TELLS: usize = 3;

/// One thing to talk about with the seller.
#[derive(Clone, Debug, Serialize)]
pub struct PointSaid {
    pub title: String,
    pub seen: Vec<Seen>,
    pub means: String,
    pub innocent: Option<String>,
    /// What the repair costs as a range.
    pub cost: Option<String>,
    /// The same repair was named at this point already.
    pub same_as: Option<String>,
    pub ask: String,
    pub clears: Option<String>,
}

/// Points by what the buyer can do about them.
#[derive(Clone, Debug, Serialize)]
pub struct Talk {
    /// Not at any price until cleared.
    pub stops: Vec<PointSaid>,
    /// Repaired before the sale, or no sale.
    pub safety: Vec<PointSaid>,
    pub rest: Vec<PointSaid>,
}

impl Talk {
    pub(super) fn of(scene: &Scene<'_, '_>) -> Self {
        let mut talk = Self { stops: Vec::new(), safety: Vec::new(), rest: Vec::new() };
        let mut told: Vec<(&Point, String)> = Vec::new();
        for point in &scene.judgement.points {
            let same = told.iter().find(|(other, _)| other.item.is_some() && other.item == point.item);
            let said = point_said(scene, point, same.map(|(_, title)| title.clone()));
            told.push((point, said.title.clone()));
            match (point.grade, point.safety) {
                (Grade::Stop, _) => talk.stops.push(said),
                (_, true) => talk.safety.push(said),
                _ => talk.rest.push(said),
            }
        }
        talk
    }
}

fn point_said(scene: &Scene<'_, '_>, point: &Point, same_as: Option<String>) -> PointSaid {
    let finding = &scene.knowledge().findings[point.finding.0];
    PointSaid {
        title: words::capital(&finding.title),
        seen: scene.seen_for(point),
        means: finding.means.clone(),
        innocent: finding.innocent.clone(),
        cost: point.size.map(|size| scene.purse.span(size.low, size.high)),
        same_as,
        ask: finding.bargain.clone().unwrap_or_default(),
        clears: finding.clears.clone(),
    }
}

impl Scene<'_, '_> {
    /// What was seen of the finding behind a point.
    pub(super) fn seen_for(&self, point: &Point) -> Vec<Seen> {
        let fired = self.judgement.findings.fired.iter().find(|fired| fired.finding == point.finding);
        fired.map_or_else(Vec::new, |fired| fired.answers.iter().filter_map(|ix| self.seen(*ix)).collect())
    }
}

/// The checks that are open.
#[derive(Clone, Debug, Serialize)]
pub struct NextSaid {
    /// Hazards of the checks listed, to be read before.
    pub dangers: Vec<Hazard>,
    pub first: Vec<CheckSaid>,
    pub ranked: Vec<CheckSaid>,
    pub more: usize,
    pub look: Option<Look>,
}

#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Hazard {
    pub word: &'static str,
    pub text: String,
}

#[derive(Clone, Debug, Serialize)]
pub struct CheckSaid {
    pub brief: String,
    pub minutes: String,
    pub worth: Option<String>,
    /// "the gearcase seals leak, or the gears are worn".
    pub tells: Option<String>,
}

/// Whether a workshop's look is worth its fee.
#[derive(Clone, Debug, Serialize)]
pub struct Look {
    pub worth: String,
    pub fee: String,
    pub typical: bool,
    pub pays: bool,
}

impl NextSaid {
    pub(super) fn of(scene: &Scene<'_, '_>) -> Self {
        let checks = &scene.judgement.checks;
        let ranked = &checks.ranked[..checks.ranked.len().min(CHECKS)];
        let listed = checks.first.iter().chain(ranked);
        let money = &scene.judgement.money;
        let look = money.look.zip(money.fee).map(|(worth, fee)| Look {
            worth: scene.purse.about(worth),
            fee: scene.purse.exact(if fee.typical { words::rounded(fee.sum) } else { fee.sum }),
            typical: fee.typical,
            pays: worth > fee.sum,
        });
        Self {
            dangers: dangers(scene, listed.map(|next| next.question)),
            first: checks.first.iter().map(|next| check_said(scene, next)).collect(),
            ranked: ranked.iter().map(|next| check_said(scene, next)).collect(),
            more: checks.ranked.len() - ranked.len(),
            look,
        }
    }
}

fn check_said(scene: &Scene<'_, '_>, next: &Next) -> CheckSaid {
    let faults: Vec<String> =
        next.tells.iter().map(|fault| scene.knowledge().faults[fault.0].title.clone()).collect();
    CheckSaid {
        brief: words::capital(scene.brief(next.question)),
        minutes: words::grouped(next.minutes),
        worth: next.worth.map(|worth| scene.purse.about(worth)),
        tells: (!faults.is_empty()).then(|| tells_said(&faults)),
    }
}

/// "the seals leak, or the gears are worn".
fn tells_said(faults: &[String]) -> String {
    let more = if faults.len() > TELLS { ", and more" } else { "" };
    match faults[..faults.len().min(TELLS)].split_last() {
        Some((last, [])) => last.clone(),
        Some((last, others)) => format!("{}, or {last}{more}", others.join(", ")),
        None => String::new(),
    }
}

/// The gravest hazards of the questions listed, each once.
fn dangers(scene: &Scene<'_, '_>, questions: impl Iterator<Item = QuestionIx>) -> Vec<Hazard> {
    let mut all = Vec::new();
    for ix in questions {
        for caution in scene.path().view().cautions(&scene.knowledge().question(ix).cautions) {
            let hazard = Hazard { word: caution.level.word(), text: caution.text.clone() };
            if caution.level == Level::Danger && !all.contains(&hazard) {
                all.push(hazard);
            }
        }
    }
    all
}

/// One other answer, and what would follow from it.
#[derive(Clone, Debug, Serialize)]
pub struct ChangeSaid {
    pub brief: String,
    pub answer: String,
    /// `fair`, `only-if`, `undecided` or `walk-away`.
    pub call: &'static str,
    /// The ceiling that would follow; none where no price can be named.
    pub ceiling: Option<String>,
    pub leave_it: bool,
}

pub(super) fn changes(scene: &Scene<'_, '_>) -> Vec<ChangeSaid> {
    let said = |change: &Change| {
        let question = scene.knowledge().question(change.question);
        ChangeSaid {
            brief: words::capital(&question.brief),
            answer: scene.value_said(question, &change.to),
            call: change.call.name(),
            ceiling: change.ceiling.map(|ceiling| scene.purse.exact(ceiling)),
            leave_it: change.call == Call::WalkAway,
        }
    };
    scene.judgement.changes.most.iter().map(said).collect()
}

/// The questions for a mechanic that weigh most; the mechanic's paper has them all.
pub(super) fn for_mechanic(scene: &Scene<'_, '_>) -> Vec<String> {
    let asks = |grades: &[Grade]| -> Vec<String> {
        let standing = scene.judgement.findings.fired.iter().filter(|fired| !fired.cleared);
        let findings = standing.map(|fired| &scene.knowledge().findings[fired.finding.0]);
        findings
            .filter(|finding| grades.contains(&finding.grade))
            .filter_map(|finding| finding.mechanic.clone())
            .collect()
    };
    let grave = asks(&[Grade::Stop, Grade::Serious]);
    let mut all = if grave.is_empty() { asks(&[Grade::Minor]) } else { grave };
    all.truncate(CHECKS);
    all
}
