//! Chances of faults: prior odds, moved by wear and by the evidence words of the findings that fired.
//!
//! Odds form of Bayes' rule with likelihood ratios; the ratios and priors are from memory and say so. Of the
//! findings of one sign only the strongest word for and the strongest against count, so that one thing seen in
//! two ways is not counted twice.

use crate::answers::Outcome;
use crate::knowledge::{Condition, FaultIx, FindingIx, Knowledge, Strength};
use crate::path::{Truth, View};

use super::mechanic::{Mechanic, Said};

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
    /// What it would be if a mechanic looked and called it fine.
    pub if_fine: f64,
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

    /// Whether nobody knows yet: it was not seen, and no mechanic settled it.
    #[must_use]
    pub fn is_open(&self) -> bool {
        !self.sure && self.settled.is_none()
    }
}

type Word = (FaultIx, Strength);

/// What one finding says of the faults of this motor.
#[derive(Clone, Copy, Debug)]
pub struct Spoken<'k> {
    pub finding: FindingIx,
    sign: &'k str,
    speaks_for: &'k [Word],
    against: &'k [Word],
}

/// The evidence words of findings: those of the first case that is a clear yes, else the usual ones.
#[must_use]
pub fn spoken<'k>(view: &View<'_, 'k>, findings: impl Iterator<Item = FindingIx>) -> Vec<Spoken<'k>> {
    spoken_in(view.live.knowledge, view, findings)
}

/// The same where the answers live shorter than the question data.
pub(super) fn spoken_in<'k>(
    knowledge: &'k Knowledge,
    view: &View<'_, '_>,
    findings: impl Iterator<Item = FindingIx>,
) -> Vec<Spoken<'k>> {
    let words = |place: FindingIx| {
        let finding = &knowledge.findings[place.0];
        let case = finding.instead.iter().find(|case| view.holds(&case.when) == Truth::Yes);
        let (speaks_for, against) =
            case.map_or((&finding.speaks_for, &finding.against), |case| (&case.speaks_for, &case.against));
        Spoken { finding: place, sign: &finding.sign, speaks_for, against }
    };
    findings.map(words).filter(|spoken| !spoken.speaks_for.is_empty() || !spoken.against.is_empty()).collect()
}

/// Which findings speak, what a mechanic settled, and how all odds are moved besides.
#[derive(Clone, Copy, Debug)]
pub struct Evidence<'e, 'k> {
    pub spoken: &'e [Spoken<'k>],
    pub mechanic: &'e Mechanic,
    /// Factor on the prior odds of faults that come with years and hours.
    pub wear: f64,
    /// Factor on all prior odds: 1, or a half and two to see how much the judgement hangs on them.
    pub tilt: f64,
}

/// The chances of all faults that can exist on this motor, in the order of the data. One that a mechanic found
/// exists, whatever the answers say.
#[must_use]
pub fn weigh(view: &View<'_, '_>, evidence: Evidence<'_, '_>) -> Vec<Chance> {
    let faults = &view.live.knowledge.faults;
    let mut heard: Vec<Heard<'_>> = vec![Heard::default(); faults.len()];
    for spoken in evidence.spoken {
        let speaks_for = if evidence.mechanic.hears(spoken.finding) { spoken.speaks_for } else { &[] };
        for (fault, strength) in speaks_for {
            heard[fault.0].hear(spoken, Some(*strength), None);
        }
        for (fault, strength) in spoken.against {
            heard[fault.0].hear(spoken, None, Some(*strength));
        }
    }
    let exists = |fault: &FaultIx| {
        let possible = |exists: &Condition| view.holds(exists) != Truth::No;
        let found = evidence.mechanic.of(*fault).is_some_and(|said| said.outcome == Outcome::Faulty);
        found || faults[fault.0].exists.as_ref().is_none_or(possible)
    };
    let all = (0..faults.len()).map(FaultIx).filter(exists);
    all.map(|fault| heard[fault.0].chance(view, fault, evidence)).collect()
}

/// The chance of one fault, whether it can exist or not.
pub(super) fn weigh_one(view: &View<'_, '_>, fault: FaultIx, evidence: Evidence<'_, '_>) -> Chance {
    let mut heard = Heard::default();
    let about = |words: &[Word]| words.iter().find(|(of, _)| *of == fault).map(|(_, strength)| *strength);
    for spoken in evidence.spoken {
        let speaks_for = about(spoken.speaks_for).filter(|_| evidence.mechanic.hears(spoken.finding));
        let against = about(spoken.against);
        if speaks_for.is_some() || against.is_some() {
            heard.hear(spoken, speaks_for, against);
        }
    }
    heard.chance(view, fault, evidence)
}

/// All that was said of one fault: by sign the strongest for and the strongest against.
#[derive(Clone, Debug, Default)]
struct Heard<'k> {
    signs: Vec<(&'k str, f64, f64)>,
    /// The findings that speak for it.
    for_it: Vec<FindingIx>,
    by: Vec<FindingIx>,
    seen: bool,
}

impl<'k> Heard<'k> {
    fn hear(&mut self, spoken: &Spoken<'k>, speaks_for: Option<Strength>, against: Option<Strength>) {
        if self.by.last() != Some(&spoken.finding) {
            self.by.push(spoken.finding);
        }
        self.seen |= speaks_for == Some(Strength::Seen);
        self.for_it.extend(speaks_for.map(|_| spoken.finding));
        let known = self.signs.iter().position(|(sign, _, _)| *sign == spoken.sign);
        let place = known.unwrap_or_else(|| {
            self.signs.push((spoken.sign, 1.0, 1.0));
            self.signs.len() - 1
        });
        let factor = |strength: Option<Strength>| strength.map_or(1.0, Strength::factor);
        let (_, most_for, most_against) = &mut self.signs[place];
        *most_for = most_for.max(factor(speaks_for));
        *most_against = most_against.max(factor(against));
    }

    fn chance(&self, view: &View<'_, '_>, fault: FaultIx, evidence: Evidence<'_, '_>) -> Chance {
        let about = &view.live.knowledge.faults[fault.0];
        let prior = prior_of(view, &about.priors);
        let wear = if about.wears { evidence.wear } else { 1.0 };
        let before = prior / (1.0 - prior) * wear * evidence.tilt;
        let moved: f64 = self.signs.iter().map(|(_, speaks_for, against)| speaks_for / against).product();
        // A look that came out fine stands in place of the buyer's signs, and never makes a fault likelier.
        let if_fine = chance_of(before * moved.min(1.0 / Strength::NearProof.factor()));
        // A newer sign leaves the matter open again; what the mechanic looked past stays out of it.
        let newer = |said: &Said| {
            said.outcome == Outcome::Fine && self.for_it.iter().any(|ix| evidence.mechanic.is_anew(*ix))
        };
        let said = evidence.mechanic.of(fault).filter(|said| !newer(said));
        let outcome = said.map(|said| said.outcome);
        let (fine, faulty) = (outcome == Some(Outcome::Fine), outcome == Some(Outcome::Faulty));
        let sure = faulty || (self.seen && !fine);
        let chance = match (faulty, fine, sure) {
            (true, ..) => 1.0,
            (_, true, _) => if_fine,
            (.., true) => MOST,
            _ => chance_of(before * moved),
        };
        let price = said.filter(|_| faulty).and_then(|said| said.price);
        Chance { fault, prior, chance, if_fine, sure, settled: outcome, price, moved_by: self.by.clone() }
    }
}

fn chance_of(odds: f64) -> f64 {
    (odds / (1.0 + odds)).clamp(LEAST, MOST)
}

/// The first prior whose condition is yes, else the last.
fn prior_of(view: &View<'_, '_>, priors: &[(Option<Condition>, f64)]) -> f64 {
    let fits =
        |(when, _): &&(Option<Condition>, f64)| when.as_ref().is_none_or(|when| view.holds(when) == Truth::Yes);
    priors.iter().find(fits).or(priors.last()).map_or(LEAST, |(_, chance)| *chance)
}
