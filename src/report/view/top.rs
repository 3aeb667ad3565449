//! The first screen: what is decided and why, and the price.

use serde::Serialize;

use crate::judge::Call;
use crate::knowledge::{FindingIx, Grade, QuestionIx};
use crate::path::{State, is_seen};

use super::super::words;
use super::Scene;
use super::unseen::is_check;

/// How many things the verdict's sentence names.
const NAMED: usize = 3;

#[derive(Clone, Debug, Serialize)]
pub struct VerdictSaid {
    /// `fair`, `only-if`, `undecided` or `walk-away`.
    pub call: &'static str,
    /// The findings or checks the call rests on.
    pub because: String,
    /// The shaft does not fit and nothing was decided about it.
    pub fit_open: bool,
    pub unseen: Option<String>,
    pub stops: Option<String>,
    pub serious: Option<String>,
    pub serious_count: usize,
    pub minor_count: usize,
    pub good_count: usize,
    pub checks: usize,
    pub checks_seen: usize,
}

impl VerdictSaid {
    #[must_use]
    pub fn of(scene: &Scene<'_, '_>) -> Self {
        let verdict = &scene.judgement.verdict;
        let titles = |findings: &[FindingIx]| -> Vec<String> {
            findings.iter().map(|ix| scene.knowledge().findings[ix.0].title.clone()).collect()
        };
        let briefs = |questions: &[QuestionIx]| -> Vec<String> {
            questions.iter().map(|ix| scene.brief(*ix).to_owned()).collect()
        };
        let (stops, serious, unseen) = (titles(&verdict.stops), titles(&verdict.serious), briefs(&verdict.unseen));
        let because = match verdict.call {
            Call::WalkAway => words::short_list(&stops, NAMED),
            Call::Undecided => named(&unseen),
            Call::OnlyIf => words::short_list(&serious, NAMED),
            Call::Fair => String::new(),
        };
        let all = |list: Vec<String>| (!list.is_empty()).then(|| words::list(&list));
        let steps = scene.path().steps.iter().map(|step| step.question);
        let checks: Vec<QuestionIx> = steps.filter(|ix| is_check(scene, *ix)).collect();
        Self {
            call: verdict.call.name(),
            because,
            fit_open: verdict.undecided_fit.is_some(),
            serious_count: serious.len(),
            minor_count: count(scene, Grade::Minor),
            good_count: count(scene, Grade::Good),
            checks_seen: checks.iter().filter(|ix| is_seen(scene.path(), **ix)).count(),
            checks: checks.len(),
            unseen: all(unseen),
            stops: all(stops),
            serious: all(serious),
        }
    }
}

/// "a, b, c and 4 more".
fn named(briefs: &[String]) -> String {
    match briefs.len() {
        few if few <= NAMED + 1 => words::list(briefs),
        many => format!("{} and {} more", briefs[..NAMED].join(", "), many - NAMED),
    }
}

fn count(scene: &Scene<'_, '_>, grade: Grade) -> usize {
    let standing = scene.judgement.findings.fired.iter().filter(|fired| !fired.cleared);
    standing.filter(|fired| scene.knowledge().findings[fired.finding.0].grade == grade).count()
}

/// The price sentence and what stands behind it.
#[derive(Clone, Debug, Serialize)]
pub struct Price {
    pub asking: Option<String>,
    pub offers: Option<OffersSaid>,
    /// The one thing the price hangs on, where a single ceiling would mislead.
    pub hinge: Option<HingeSaid>,
    /// Worth its parts, and no repair.
    pub write_off: bool,
    /// What clears each stop, while one stands.
    pub clears: Vec<Clear>,
    /// Why there is no price, where no stop is the reason.
    pub none_because: Option<String>,
    /// Core checks nobody has seen, named again beside the price.
    pub unseen: Option<String>,
}

#[derive(Clone, Debug, Serialize)]
pub struct OffersSaid {
    pub ceiling: String,
    pub opening: String,
    pub aim: String,
    /// The ceiling when the figures from memory are off.
    pub least: Option<String>,
    pub most: Option<String>,
    pub at_asking: bool,
}

/// The ceiling either way, and how it is found out.
#[derive(Clone, Debug, Serialize)]
pub struct HingeSaid {
    pub fault: String,
    pub fine: String,
    pub faulty: String,
    pub settle: String,
    /// A workshop's look at it is worth its fee.
    pub pays: bool,
}

#[derive(Clone, Debug, Serialize)]
pub struct Clear {
    pub title: String,
    pub by: Option<String>,
}

impl Price {
    #[must_use]
    pub fn of(scene: &Scene<'_, '_>) -> Self {
        let money = &scene.judgement.money;
        let verdict = &scene.judgement.verdict;
        let clear = |ix: &FindingIx| {
            let finding = &scene.knowledge().findings[ix.0];
            Clear { title: words::capital(&finding.title), by: finding.clears.clone() }
        };
        let exact = |sum: f64| scene.purse.exact(sum);
        let offers = money.offers.map(|offers| OffersSaid {
            ceiling: exact(offers.ceiling),
            opening: exact(offers.opening),
            aim: exact(offers.aim),
            least: money.how_sure.map(|sure| exact(sure.least)),
            most: money.how_sure.map(|sure| exact(sure.most)),
            at_asking: money.asking.is_some_and(|asking| offers.ceiling >= crate::judge::rounded(asking)),
        });
        let unseen: Vec<String> = verdict.unseen.iter().map(|ix| scene.brief(*ix).to_owned()).collect();
        Self {
            asking: money.asking.map(exact),
            none_because: money.terms.as_ref().err().cloned().filter(|_| verdict.stops.is_empty()),
            clears: verdict.stops.iter().map(clear).collect(),
            hinge: money.hinge.map(|hinge| {
                let fault = &scene.knowledge().faults[hinge.fault.0];
                HingeSaid {
                    fault: fault.title.clone(),
                    fine: exact(hinge.fine),
                    faulty: exact(hinge.faulty),
                    settle: fault.settle.clone(),
                    pays: money.look_pays() == Some(true),
                }
            }),
            write_off: money.write_off,
            offers,
            unseen: (!unseen.is_empty()).then(|| words::list(&unseen)),
        }
    }
}

/// How many questions were dealt with at all.
pub(super) fn dealt_with(scene: &Scene<'_, '_>) -> usize {
    scene.path().steps.iter().filter(|step| step.state != State::Open).count()
}
