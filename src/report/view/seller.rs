//! The seller's paper: only the points to talk about. Nothing of value, chances, offers, verdict or other motors can
//! get in, because none of it is in this view; what the buyer typed in his own words is left out too.

use serde::Serialize;

use crate::judge::{Judgement, Point};
use crate::knowledge::{FaultIx, QuestionIx, Telling};
use crate::path::State;

use super::super::words;
use super::points::main_fault;
use super::{Head, Scene, Seen};

#[derive(Clone, Debug, Serialize)]
pub struct Seller {
    pub head: Head,
    /// Whether any cost is named.
    pub costs: bool,
    pub points: Vec<ForSeller>,
    /// Only a thank-you: there is nothing to talk over, or it must not be talked over here.
    pub farewell: bool,
}

#[derive(Clone, Debug, Serialize)]
pub struct ForSeller {
    pub number: usize,
    /// What was looked at.
    pub about: String,
    pub seen: Vec<Seen>,
    /// What the buyer has to say, in words meant for the seller.
    pub say: String,
    /// What the seller may know.
    pub question: Option<String>,
    /// What the repair costs as a range.
    pub cost: Option<String>,
    /// What would settle it.
    pub settle: Option<String>,
    /// To be put right before a sale.
    pub safety: bool,
}

impl Seller {
    /// Points that lead to the same repair stand together under the gravest of them.
    #[must_use]
    pub fn of(scene: &Scene<'_, '_>) -> Self {
        if is_farewell(scene.judgement) {
            return Self { head: Head::of(scene), costs: false, points: Vec::new(), farewell: true };
        }
        let mut points: Vec<(Option<FaultIx>, ForSeller)> = Vec::new();
        for point in scene.judgement.points.iter().filter(|point| may_be_told(scene, point)) {
            let fault = main_fault(scene, &scene.knowledge().findings[point.finding.0]);
            let same = points.iter_mut().find(|(other, _)| fault.is_some() && *other == fault);
            match same {
                Some((_, said)) => said.add(scene.seen_for(point), point),
                None => points.push((fault, for_seller(scene, points.len() + 1, point, fault))),
            }
        }
        let points: Vec<ForSeller> = points.into_iter().map(|(_, said)| said).collect();
        Self {
            head: Head::of(scene),
            costs: points.iter().any(|point| point.cost.is_some()),
            points,
            farewell: false,
        }
    }
}

impl ForSeller {
    fn add(&mut self, seen: Vec<Seen>, point: &Point) {
        for one in seen {
            if !self.seen.contains(&one) {
                self.seen.push(one);
            }
        }
        self.safety |= point.safety;
    }
}

/// Whether something was found after which the seller gets a thank-you and no reason: a number that is reported
/// stolen is for the police, and a motor that is not for this boat is no fault of the seller's.
#[must_use]
pub fn is_farewell(judgement: &Judgement<'_>) -> bool {
    let findings = &judgement.knowledge().findings;
    judgement.findings.places().any(|ix| findings[ix.0].seller == Telling::Farewell)
}

/// Not the buyer's own matter, and seen: what nobody has asked yet is not held against anybody.
fn may_be_told(scene: &Scene<'_, '_>, point: &Point) -> bool {
    let fired = scene.judgement.findings.fired.iter().find(|fired| fired.finding == point.finding);
    let asked = |ix: &QuestionIx| scene.path().step(*ix).is_none_or(|step| step.state != State::Open);
    scene.knowledge().findings[point.finding.0].seller == Telling::Told
        && fired.is_some_and(|fired| fired.answers.iter().all(asked))
}

fn for_seller(scene: &Scene<'_, '_>, number: usize, point: &Point, fault: Option<FaultIx>) -> ForSeller {
    let finding = &scene.knowledge().findings[point.finding.0];
    let fault = fault.map(|fault| &scene.knowledge().faults[fault.0]);
    let about = finding.check.map_or(finding.title.as_str(), |check| scene.brief(check));
    ForSeller {
        number,
        about: words::capital(about),
        seen: scene.seen_for(point),
        say: finding.bargain.clone().unwrap_or_default(),
        question: fault.map(|fault| fault.seller.clone()),
        cost: point.size.map(|size| scene.purse.span(size.low, size.high)),
        // What clears a stop is written for the buyer.
        settle: fault.map(|fault| fault.settle.clone()),
        safety: point.safety,
    }
}
