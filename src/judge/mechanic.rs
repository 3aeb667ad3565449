//! What a mechanic's paper settles: faults, the findings of a story, core checks, and costs nobody else named.
//!
//! A point is a story. Its tick settles the story's own fault; called fine, the story's findings are settled and no
//! longer speak for other faults either. Found faulty, what was seen goes on speaking: it never makes anything
//! cheaper. An answer that changed after the look is newer than it: what it says counts again.

use crate::answers::{Changed, Outcome, Settled};
use crate::knowledge::roles::{AnyRole, OWNERSHIP, SERIAL_PLATE};
use crate::knowledge::{FaultIx, FindingIx, Grade, ItemIx, Knowledge, Named as Reads, QuestionIx, Story};
use crate::path::Path;

use super::findings;

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
    /// Findings that rest on an answer newer than the look that would settle them.
    anew: Vec<bool>,
    /// Purchases no fault stands behind.
    items: Vec<(ItemIx, Said)>,
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
        let said_later =
            |place: usize| settled[place + 1..].iter().any(|later| later.point == settled[place].point);
        for (place, point) in settled.iter().enumerate() {
            if point.outcome == Outcome::CantSay || said_later(place) {
                continue;
            }
            if all.faults.is_empty() {
                all.faults = vec![None; knowledge.faults.len()];
                all.stories = vec![None; knowledge.findings.len()];
                all.anew = vec![false; knowledge.findings.len()];
            }
            all.take(knowledge, point);
        }
        all
    }

    fn take(&mut self, knowledge: &Knowledge, point: &Settled) {
        let said = Said { outcome: point.outcome, price: point.price };
        let faulty = point.outcome == Outcome::Faulty;
        let named = point.price.filter(|_| faulty).map(|sum| Named { point: point.point.clone(), sum });
        if point.is_besides() {
            self.named.extend(named);
            return;
        }
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
        self.hear_again(knowledge, story, &point.changed);
        match story {
            Story::Fault(fault) => self.faults[fault.0] = Some(said),
            Story::Item(item) => self.items.push((item, said)),
            Story::Named(_) | Story::Alone(_) => self.named.extend(named),
        }
    }

    /// Findings of this story, or of its fault, that rest on an answer that changed since.
    fn hear_again(&mut self, knowledge: &Knowledge, story: Story, changed: &[Changed]) {
        for (place, finding) in knowledge.findings.iter().enumerate().filter(|_| !changed.is_empty()) {
            let of_fault = |fault: &FaultIx| story == Story::Fault(*fault);
            let concerned = knowledge.story_of(FindingIx(place)) == story
                || finding.speaks_for.iter().any(|(fault, _)| of_fault(fault));
            self.anew[place] |= concerned && rests_on(knowledge, FindingIx(place), changed);
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
        self.is_anew(finding) || self.story(finding).is_none_or(|said| said.outcome != Outcome::Fine)
    }

    /// Whether a finding rests on an answer that is newer than the look that would settle it.
    #[must_use]
    pub fn is_anew(&self, finding: FindingIx) -> bool {
        self.anew.get(finding.0).copied().unwrap_or(false)
    }

    fn story(&self, finding: FindingIx) -> Option<Said> {
        self.stories.get(finding.0).copied().flatten()
    }

    /// Whether a finding is settled: its story was called fine, or every fault it speaks for was.
    #[must_use]
    pub fn settles(&self, knowledge: &Knowledge, finding: FindingIx) -> bool {
        let fine = |said: Option<Said>| said.is_some_and(|said| said.outcome == Outcome::Fine);
        let words = &knowledge.findings[finding.0].speaks_for;
        !self.is_anew(finding)
            && (fine(self.story(finding))
                || !words.is_empty() && words.iter().all(|(fault, _)| fine(self.of(*fault))))
    }

    /// Whether a finding was found faulty and has its price.
    #[must_use]
    pub fn prices(&self, finding: FindingIx) -> bool {
        self.story(finding).is_some_and(|said| said.outcome == Outcome::Faulty && said.price.is_some())
    }

    /// Whether a purchase no fault stands behind is due, by the mechanic; `None` where nothing was said.
    #[must_use]
    pub fn is_due(&self, item: ItemIx) -> Option<bool> {
        self.items.iter().find(|(of, _)| *of == item).map(|(_, said)| said.outcome == Outcome::Faulty)
    }

    /// The price of a purchase no fault stands behind.
    #[must_use]
    pub fn price_of(&self, item: ItemIx) -> Option<f64> {
        let due = self.items.iter().filter(|(of, said)| *of == item && said.outcome == Outcome::Faulty);
        due.filter_map(|(_, said)| said.price).reduce(f64::max)
    }

    /// Whether a mechanic looked at a core check, and whether it came out faulty.
    #[must_use]
    pub fn saw(&self, check: QuestionIx) -> Option<bool> {
        self.checks.iter().rev().find(|(ix, _)| *ix == check).map(|(_, faulty)| *faulty)
    }
}

/// Whether what a finding looks at has changed.
fn rests_on(knowledge: &Knowledge, finding: FindingIx, changed: &[Changed]) -> bool {
    let is = |ix: &QuestionIx| changed.iter().any(|changed| changed.question == *ix);
    let mut rests = false;
    knowledge.findings[finding.0].when.visit(&mut |named| match named {
        Reads::Question(ix) => rests |= is(&ix),
        Reads::Measure(measure) => rests |= knowledge.measure(measure).reads.iter().any(is),
    });
    rests
}

/// Points called fine about which something speaks again, each with the answers that changed after that look.
#[must_use]
pub fn overtaken<'p>(path: &'p Path<'_>) -> Vec<(&'p Settled, Vec<QuestionIx>)> {
    let knowledge = path.knowledge;
    if path.record.settled.iter().all(|settled| settled.changed.is_empty()) {
        return Vec::new();
    }
    let found = findings::look(path);
    let newer = |settled: &'p Settled| {
        let alone = Mechanic::read(knowledge, std::slice::from_ref(settled));
        let speaks = |fired: &&findings::Fired| {
            knowledge.findings[fired.finding.0].grade != Grade::Good && alone.is_anew(fired.finding)
        };
        let answers: Vec<QuestionIx> =
            found.fired.iter().filter(speaks).flat_map(|fired| fired.answers.iter().copied()).collect();
        let all =
            settled.changed.iter().map(|changed| changed.question).filter(|ix| answers.contains(ix)).collect();
        (settled, all)
    };
    path.record.settled.iter().map(newer).filter(|(_, answers): &(_, Vec<_>)| !answers.is_empty()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::load_shipped;

    fn settled(point: &str, outcome: Outcome, price: Option<f64>) -> Settled {
        Settled { price, ..Settled::new(point, outcome) }
    }

    fn finding(knowledge: &Knowledge, id: &str) -> FindingIx {
        FindingIx(knowledge.findings.iter().position(|one| one.id == *id).expect("a finding"))
    }

    /// Only what was found and has its price leaves the stop to money.
    #[test]
    fn a_finding_is_priced_when_it_was_found_and_a_price_was_named() {
        let knowledge = load_shipped();
        let milky = finding(&knowledge, "gear-oil-milky");
        for (outcome, price, priced) in [
            (Outcome::Faulty, Some(450.0), true),
            (Outcome::Faulty, None, false),
            (Outcome::Fine, Some(450.0), false),
            (Outcome::CantSay, Some(450.0), false),
        ] {
            let mechanic = Mechanic::read(&knowledge, &[settled("gearcase-seals", outcome, price)]);
            assert_eq!(mechanic.prices(milky), priced, "{outcome:?} {price:?}");
        }
        assert!(!Mechanic::read(&knowledge, &[]).prices(milky), "nothing was said");
    }

    /// A story that is a purchase: due or not as the mechanic says, at the mechanic's price.
    #[test]
    fn a_purchase_no_fault_stands_behind_is_due_as_the_mechanic_says() {
        let knowledge = load_shipped();
        let battery = ItemIx(knowledge.items.iter().position(|item| item.id == *"battery").expect("an item"));
        let other = ItemIx(knowledge.items.iter().position(|item| item.id != *"battery").expect("an item"));
        for (outcome, price, due, paid) in [
            (Outcome::Faulty, Some(140.0), Some(true), Some(140.0)),
            (Outcome::Faulty, None, Some(true), None),
            (Outcome::Fine, Some(140.0), Some(false), None),
            (Outcome::CantSay, Some(140.0), None, None),
        ] {
            let mechanic = Mechanic::read(&knowledge, &[settled("battery", outcome, price)]);
            assert_eq!(mechanic.is_due(battery), due, "{outcome:?} {price:?}");
            assert_eq!(mechanic.price_of(battery), paid, "{outcome:?} {price:?}");
            assert_eq!((mechanic.is_due(other), mechanic.price_of(other)), (None, None));
        }
    }

    /// An answer that changed after the look wakes what it is about, and nothing else.
    #[test]
    fn only_what_rests_on_a_changed_answer_is_heard_again() {
        let knowledge = load_shipped();
        let changed = |question: &str| {
            let question = knowledge.find(question).expect("a question");
            Settled {
                changed: vec![Changed { question, was: "clear".into() }],
                ..Settled::new("gearcase-seals", Outcome::Fine)
            }
        };
        let (milky, dropped) =
            (finding(&knowledge, "gear-oil-milky"), finding(&knowledge, "gear-pressure-dropped"));
        let chips = finding(&knowledge, "gear-metal-chips");
        let oil = Mechanic::read(&knowledge, &[changed("gear-oil")]);
        assert!(oil.is_anew(milky) && oil.hears(milky) && !oil.settles(&knowledge, milky));
        assert!(!oil.is_anew(dropped) && oil.settles(&knowledge, dropped), "the air it held is as old as the look");
        // Metal at the screw is another fault's: whatever changes there, the seals stay as they were called.
        let metal = Mechanic::read(&knowledge, &[changed("gear-metal")]);
        assert!(!metal.is_anew(chips) && !metal.is_anew(milky) && metal.settles(&knowledge, milky));
    }
}
