//! The seller's paper: one page of points to talk about. Nothing of value, chances, offers, verdict or other motors can
//! get in, because none of it is in this view; what the buyer typed in his own words is left out too.

use serde::Serialize;

use crate::answers::{Standing, Value};
use crate::judge::Judgement;
use crate::knowledge::roles::SELLER_DOES_NOT_KNOW;
use crate::knowledge::{FaultIx, Finding, FindingIx, Grade, QuestionIx, Telling};
use crate::path::State;

use super::super::words::{self, with_its_request};
use super::story::{Once, Tale, in_a_line, lead_then_rest, stories};
use super::{Head, Scene};

/// Words of the page, the greeting and the end left out.
const PAGE: usize = 340;
/// Words of each part of a point.
const SAY: usize = 30;
const SEEN: usize = 24;
/// So many smaller matters are named.
const BESIDES: usize = 8;
/// Words a cost counts as, whatever the currency is called.
const COST: usize = 6;
/// Under this chance of having to be paid a repair is not talked of in money.
const WORTH_NAMING: f64 = 0.10;

#[derive(Clone, Debug, Serialize)]
pub struct Seller {
    pub head: Head,
    /// Whether any cost is named.
    pub costs: bool,
    pub points: Vec<ForSeller>,
    /// Smaller matters, named only.
    pub besides: Option<String>,
    /// Only a thank-you: there is nothing to talk over, or it must not be talked over here.
    pub farewell: bool,
}

#[derive(Clone, Debug, Serialize)]
pub struct ForSeller {
    pub number: usize,
    /// What was looked at.
    pub about: String,
    pub seen: String,
    /// What the buyer has to say, in words meant for the seller.
    pub say: String,
    /// What the seller may know.
    pub question: Option<String>,
    /// What the repair costs as a range.
    pub cost: Option<String>,
    /// To be put right before a sale.
    pub safety: bool,
}

impl Seller {
    #[must_use]
    pub fn of(scene: &Scene<'_, '_>) -> Self {
        let head = Head::of(scene);
        if is_farewell(scene.judgement) {
            return Self { head, costs: false, points: Vec::new(), besides: None, farewell: true };
        }
        let mut once = Once::default();
        let mut points: Vec<ForSeller> = Vec::new();
        let mut besides: Vec<String> = Vec::new();
        let mut used = 0;
        for tale in stories(scene) {
            let Some(mut point) = for_seller(scene, &tale, &mut once) else { continue };
            if used + point.words() > PAGE {
                point.question = None;
            }
            if used + point.words() > PAGE || points.iter().any(|other| other.about == point.about) {
                besides.push(point.about.to_lowercase());
                continue;
            }
            used += point.words();
            point.number = points.len() + 1;
            points.push(point);
        }
        besides.sort();
        besides.dedup();
        Self {
            head,
            costs: points.iter().any(|point| point.cost.is_some()),
            points,
            besides: named_only(&besides),
            farewell: false,
        }
    }
}

/// Smaller matters by name, and how many more there are.
fn named_only(besides: &[String]) -> Option<String> {
    let named = besides.len().min(BESIDES);
    let more = if besides.len() > named { format!(" and {} more", besides.len() - named) } else { String::new() };
    (named > 0).then(|| format!("{}{more}", besides[..named].join(", ")))
}

impl ForSeller {
    fn words(&self) -> usize {
        let some = |text: &Option<String>| text.as_deref().map_or(0, words::count);
        let safety = if self.safety { 12 } else { 0 };
        words::count(&self.about)
            + words::count(&self.seen)
            + words::count(&self.say)
            + some(&self.question)
            + self.cost.as_ref().map_or(0, |_| COST)
            + safety
            + 6
    }
}

/// Whether something was found after which the seller gets a thank-you and no reason: a number that is reported
/// stolen is for the police, and a motor that is not for this boat is no fault of the seller's.
#[must_use]
pub fn is_farewell(judgement: &Judgement<'_>) -> bool {
    let findings = &judgement.knowledge().findings;
    judgement.findings.places().any(|ix| findings[ix.0].seller == Telling::Farewell)
}

/// Not the buyer's own matter, with something to say, and seen: what nobody has asked yet is not held against anybody.
fn may_be_told(scene: &Scene<'_, '_>, finding: FindingIx, answers: &[QuestionIx]) -> bool {
    let asked = |ix: &QuestionIx| scene.path().step(*ix).is_none_or(|step| step.state != State::Open);
    let finding = &scene.knowledge().findings[finding.0];
    finding.seller == Telling::Told && finding.bargain.is_some() && answers.iter().all(asked)
}

/// The story by its first finding that may be told; none when none may.
fn for_seller(scene: &Scene<'_, '_>, tale: &Tale<'_, '_>, once: &mut Once) -> Option<ForSeller> {
    let knowledge = scene.knowledge();
    let told: Vec<_> =
        tale.fired.iter().copied().filter(|fired| may_be_told(scene, fired.finding, &fired.answers)).collect();
    let lead = &knowledge.findings[told.first()?.finding.0];
    let mut answers = lead_then_rest(&told);
    answers.retain(|ix| !is_unknown(scene, *ix));
    let spoken =
        |fault: &FaultIx| told.iter().any(|fired| speaks_for(&knowledge.findings[fired.finding.0], *fault));
    let fault = knowledge.story_fault(tale.story).filter(spoken).map(|fault| &knowledge.faults[fault.0]);
    let line = tale.line.filter(|line| tale.paid_with.is_none() && line.chance >= WORTH_NAMING);
    let safety = told.iter().any(|fired| knowledge.findings[fired.finding.0].safety)
        || lead.grade == Grade::Stop && lead.safety;
    let seen = in_a_line(&once.tell(scene, &answers));
    let about = words::capital(lead.check.map_or(lead.title.as_str(), |check| scene.brief(check)));
    // The heading has named it already.
    let seen = seen.strip_prefix(&format!("{about}: ")).unwrap_or(&seen);
    Some(ForSeller {
        number: 0,
        seen: first_words(seen),
        about,
        say: with_its_request(lead.bargain.as_deref().unwrap_or_default(), SAY),
        question: fault.filter(|fault| !is_answered(scene, &fault.asked)).map(|fault| fault.seller.to_string()),
        cost: line.map(|line| scene.purse.span(line.size.low, line.size.high)),
        safety,
    })
}

/// What the seller doesn't know is nothing that was seen.
fn is_unknown(scene: &Scene<'_, '_>, ix: QuestionIx) -> bool {
    matches!(scene.path().live.standing(ix), Standing::Value(Value::One(choice)) if *choice == SELLER_DOES_NOT_KNOW)
}

/// A finding told in a fault's story need not speak for it: tapping says nothing of the gears.
fn speaks_for(finding: &Finding, fault: FaultIx) -> bool {
    let cases = finding.instead.iter().flat_map(|case| &case.speaks_for);
    finding.speaks_for.iter().chain(cases).any(|(spoken, _)| *spoken == fault)
}

/// The seller has said so already.
fn is_answered(scene: &Scene<'_, '_>, asked: &[QuestionIx]) -> bool {
    asked.iter().any(|ix| matches!(scene.path().live.standing(*ix), Standing::Value(_)))
}

/// Clauses as long as there is room.
fn first_words(seen: &str) -> String {
    let mut kept = String::new();
    for part in seen.split("; ") {
        if !kept.is_empty() && words::count(&kept) + words::count(part) > SEEN {
            break;
        }
        if !kept.is_empty() {
            kept.push_str("; ");
        }
        kept.push_str(part);
    }
    kept
}
