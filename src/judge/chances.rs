//! Chances of faults: prior odds moved by the evidence words of the findings that fired.
//!
//! Odds form of Bayes' rule with likelihood ratios; the ratios and priors are from memory and say so. Of the
//! findings of one sign only the strongest word for and the strongest against count, so that one thing seen in
//! two ways is not counted twice.

use std::collections::BTreeMap;

use crate::answers::{Outcome, Settled};
use crate::knowledge::{FaultIx, Finding, FindingIx, Knowledge, Strength};
use crate::path::{Truth, View};

/// Chances are kept within these: neither evidence nor its absence makes anything certain.
const LEAST: f64 = 0.01;
const MOST: f64 = 0.98;

/// The chance of one fault that this motor can have.
#[derive(Clone, Debug, PartialEq)]
pub struct Chance {
    pub fault: FaultIx,
    /// Before anything was seen.
    pub prior: f64,
    /// After the findings, 0–1.
    pub chance: f64,
    /// The fault itself was seen, or a mechanic named it: its cost is sure.
    pub sure: bool,
    /// A mechanic settled it.
    pub settled: Option<Outcome>,
    /// The price a mechanic named, in the buyer's currency.
    pub price: Option<f64>,
    /// What moved it, for and against.
    pub moved_by: Vec<FindingIx>,
}

impl Chance {
    /// The chance that its cost has to be paid.
    #[must_use]
    pub fn to_pay(&self) -> f64 {
        if self.sure { 1.0 } else { self.chance }
    }
}

/// Which findings speak, and how all odds are tilted.
#[derive(Clone, Copy, Debug)]
pub struct Evidence<'e> {
    pub findings: &'e [FindingIx],
    pub settled: &'e [Settled],
    /// Factor on all prior odds: 1, or a half and two to see how much the judgement hangs on them.
    pub tilt: f64,
}

/// The chances of all faults that can exist on this motor, in the order of the data.
#[must_use]
pub fn weigh(view: &View<'_, '_>, evidence: Evidence<'_>) -> Vec<Chance> {
    let knowledge = view.live.knowledge;
    let exists = |fault: &FaultIx| {
        knowledge.faults[fault.0].exists.as_ref().is_none_or(|exists| view.holds(exists) != Truth::No)
    };
    (0..knowledge.faults.len()).map(FaultIx).filter(exists).map(|fault| weigh_one(view, fault, evidence)).collect()
}

fn weigh_one(view: &View<'_, '_>, fault: FaultIx, evidence: Evidence<'_>) -> Chance {
    let knowledge = view.live.knowledge;
    let prior = prior_of(view, fault);
    let mut strongest: BTreeMap<&str, (f64, f64)> = BTreeMap::new();
    let mut moved_by = Vec::new();
    let mut seen = false;
    for place in evidence.findings {
        let finding = &knowledge.findings[place.0];
        let (speaks_for, against) = (word(&finding.speaks_for, fault), word(&finding.against, fault));
        if speaks_for.is_none() && against.is_none() {
            continue;
        }
        moved_by.push(*place);
        seen |= speaks_for == Some(Strength::Seen);
        let sign = strongest.entry(finding.sign.as_str()).or_insert((1.0, 1.0));
        sign.0 = sign.0.max(speaks_for.map_or(1.0, Strength::factor));
        sign.1 = sign.1.max(against.map_or(1.0, Strength::factor));
    }
    let moved: f64 = strongest.values().map(|(speaks_for, against)| speaks_for / against).product();
    let mechanic = settled_of(knowledge, fault, evidence.settled);
    let by_mechanic = match mechanic.map(|settled| settled.outcome) {
        Some(Outcome::Fine) => 1.0 / Strength::NearProof.factor(),
        _ => 1.0,
    };
    let odds = prior / (1.0 - prior) * evidence.tilt * moved * by_mechanic;
    let outcome = mechanic.map(|settled| settled.outcome);
    let faulty = outcome == Some(Outcome::Faulty);
    let sure = faulty || (seen && outcome != Some(Outcome::Fine));
    let chance = if faulty {
        1.0
    } else if sure {
        MOST
    } else {
        (odds / (1.0 + odds)).clamp(LEAST, MOST)
    };
    let price = mechanic.filter(|_| faulty).and_then(|settled| settled.price);
    Chance { fault, prior, chance, sure, settled: outcome, price, moved_by }
}

/// The first prior whose condition is yes, else the last.
fn prior_of(view: &View<'_, '_>, fault: FaultIx) -> f64 {
    let priors = &view.live.knowledge.faults[fault.0].priors;
    let fits = |(when, _): &&(Option<crate::knowledge::Condition>, f64)| {
        when.as_ref().is_none_or(|when| view.holds(when) == Truth::Yes)
    };
    priors.iter().find(fits).or(priors.last()).map_or(LEAST, |(_, chance)| *chance)
}

fn word(words: &[(FaultIx, Strength)], fault: FaultIx) -> Option<Strength> {
    words.iter().find(|(about, _)| *about == fault).map(|(_, strength)| *strength)
}

/// What a mechanic last said of a fault, by its own point or by that of a finding that speaks for it.
fn settled_of<'s>(knowledge: &Knowledge, fault: FaultIx, settled: &'s [Settled]) -> Option<&'s Settled> {
    let names_it = |finding: &Finding| word(&finding.speaks_for, fault).is_some();
    let about = |point: &str| {
        knowledge.faults[fault.0].id.as_str() == point
            || knowledge.findings.iter().any(|finding| finding.id.as_str() == point && names_it(finding))
    };
    settled.iter().rev().find(|settled| settled.outcome != Outcome::CantSay && about(&settled.point))
}
