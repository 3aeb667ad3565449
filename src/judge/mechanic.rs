//! What a mechanic's paper settles: faults, the findings of a story, core checks, and costs nobody else named.
//!
//! A point is a story. Its tick settles the story's own fault; called fine, the story's findings are settled and no
//! longer speak for other faults either. Found faulty, what was seen goes on speaking: it never makes anything
//! cheaper.

use crate::answers::{Outcome, Settled};
use crate::knowledge::roles::{AnyRole, OWNERSHIP, SERIAL_PLATE};
use crate::knowledge::{FaultIx, FindingIx, ItemIx, Knowledge, QuestionIx, Story};

/// What was said of one fault.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Said {
    pub outcome: Outcome,
    pub price: Option<f64>,
}

/// A price for something behind which no repair of the cost table stands, by the code of its point.
#[derive(Clone, Debug, PartialEq)]
pub struct Named {
    pub point: String,
    pub sum: f64,
}

/// All that is settled.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Mechanic {
    faults: Vec<Option<Said>>,
    /// For each finding whether the story it is told in was called fine, or was found faulty and with what price.
    stories: Vec<Option<Said>>,
    /// Purchases a mechanic priced.
    items: Vec<(ItemIx, f64)>,
    pub named: Vec<Named>,
    /// Core checks that were looked at, and whether they came out faulty.
    checks: Vec<(QuestionIx, bool)>,
}

/// Core checks that only the buyer can see: whose the motor is, and its plate.
const BUYERS_OWN: [AnyRole; 2] = [OWNERSHIP.any, SERIAL_PLATE.any];

impl Mechanic {
    /// Reads the points; the last word on each counts, and "can't say" settles nothing.
    #[must_use]
    pub fn read(knowledge: &Knowledge, settled: &[Settled]) -> Self {
        let mut all = Self::default();
        let ticked = settled.iter().filter(|point| point.outcome != Outcome::CantSay);
        for point in ticked {
            if all.faults.is_empty() {
                all.faults = vec![None; knowledge.faults.len()];
                all.stories = vec![None; knowledge.findings.len()];
            }
            all.take(knowledge, point);
        }
        all
    }

    fn take(&mut self, knowledge: &Knowledge, point: &Settled) {
        let said = Said { outcome: point.outcome, price: point.price };
        let faulty = point.outcome == Outcome::Faulty;
        let named = point.price.filter(|_| faulty).map(|sum| Named { point: point.point.clone(), sum });
        let Some(story) = knowledge.story_by_id(&point.point) else {
            let core = knowledge.find(&point.point).filter(|ix| knowledge.question(*ix).core);
            if let Some(ix) = core.filter(|ix| !BUYERS_OWN.iter().any(|own| knowledge.ask(*own) == *ix)) {
                self.checks.push((ix, faulty));
                self.named.extend(named);
            }
            return;
        };
        for place in (0..knowledge.findings.len()).filter(|place| knowledge.story_of(FindingIx(*place)) == story) {
            self.stories[place] = Some(said);
        }
        match story {
            Story::Fault(fault) => self.faults[fault.0] = Some(said),
            Story::Item(item) => self.items.extend(named.map(|named| (item, named.sum))),
            Story::Named(_) | Story::Alone(_) => self.named.extend(named),
        }
    }

    /// What was said of a fault.
    #[must_use]
    pub fn of(&self, fault: FaultIx) -> Option<Said> {
        self.faults.get(fault.0).copied().flatten()
    }

    /// Whether a finding still speaks for faults.
    #[must_use]
    pub fn hears(&self, finding: FindingIx) -> bool {
        self.story(finding).is_none_or(|said| said.outcome != Outcome::Fine)
    }

    fn story(&self, finding: FindingIx) -> Option<Said> {
        self.stories.get(finding.0).copied().flatten()
    }

    /// Whether a finding is settled: its story was called fine, or every fault it speaks for was.
    #[must_use]
    pub fn settles(&self, knowledge: &Knowledge, finding: FindingIx) -> bool {
        let fine = |said: Option<Said>| said.is_some_and(|said| said.outcome == Outcome::Fine);
        let words = &knowledge.findings[finding.0].speaks_for;
        fine(self.story(finding)) || !words.is_empty() && words.iter().all(|(fault, _)| fine(self.of(*fault)))
    }

    /// Whether a finding was found faulty and has its price.
    #[must_use]
    pub fn prices(&self, finding: FindingIx) -> bool {
        self.story(finding).is_some_and(|said| said.outcome == Outcome::Faulty && said.price.is_some())
    }

    /// The price of a purchase no fault stands behind.
    #[must_use]
    pub fn price_of(&self, item: ItemIx) -> Option<f64> {
        self.items.iter().filter(|(of, _)| *of == item).map(|(_, sum)| *sum).reduce(f64::max)
    }

    /// Whether a mechanic looked at a core check, and whether it came out faulty.
    #[must_use]
    pub fn saw(&self, check: QuestionIx) -> Option<bool> {
        self.checks.iter().rev().find(|(ix, _)| *ix == check).map(|(_, faulty)| *faulty)
    }
}
