//! The judgement: findings, chances, costs, their distribution, offers, worth of checks, verdict; a file each.
//!
//! Start at [`judge`]. It takes a path and gives everything a paper can say; it neither asks nor prints.

mod bargain;
mod books;
mod chances;
mod changes;
mod costs;
mod distribution;
mod findings;
mod hinge;
mod mechanic;
mod money;
mod next;
mod offers;
mod open_looks;
mod ordinary;
mod pert;
mod sureness;
mod verdict;
mod waterfall;
mod workshop;
mod worth;

use crate::answers::Record;
use crate::knowledge::Knowledge;
use crate::measure::{self, Outcome};
use crate::path::{Path, walk};
use jiff::civil::Date;

pub use bargain::Point;
pub use chances::Chance;
pub use changes::{Change, Changes};
pub use costs::{Line, is_dollar, size};
pub use distribution::{Distribution, Summing};
pub use findings::{Findings, Fired, look};
pub use mechanic::{Mechanic, overtaken};
pub use money::{Money, fee};
pub use next::{Checks, Next};
pub use offers::{Net, Value, rounded};
pub use pert::Pert;
pub use verdict::{Call, Verdict, decide, grade_of};
pub use waterfall::{Step, What};

/// Everything that follows from one interview.
#[derive(Clone, Debug)]
pub struct Judgement<'a> {
    pub path: Path<'a>,
    pub measures: Vec<Outcome>,
    pub findings: Findings,
    pub chances: Vec<Chance>,
    pub verdict: Verdict,
    pub money: Money,
    pub points: Vec<Point>,
    pub checks: Checks,
    /// What would change it.
    pub changes: Changes,
}

impl<'a> Judgement<'a> {
    /// The question data it rests on.
    #[must_use]
    pub fn knowledge(&self) -> &'a Knowledge {
        self.path.knowledge
    }
}

/// Judges an interview as it stands.
#[must_use]
pub fn judge<'a>(knowledge: &'a Knowledge, record: &'a Record, date: Date) -> Judgement<'a> {
    let path = walk(knowledge, record, date);
    let measures = measure::work_out_all(&path.live, date);
    let findings = findings::look(&path);
    let mechanic = Mechanic::read(knowledge, &record.settled);
    let spoken = chances::spoken(&path.view(), findings.places());
    let wear = measure::wear(&path.live, date).value.ratio;
    let evidence = chances::Evidence { spoken: &spoken, mechanic: &mechanic, wear, tilt: 1.0 };
    let chances = chances::weigh(&path.view(), evidence);
    let verdict = verdict::decide(&path, &findings);
    let (money, books) = money::count(&path, &mechanic, &spoken, &chances, &verdict);
    let points = bargain::points(&path, &findings, &money.lines);
    let checks = next::weigh_checks(&path, &chances, &money.lines);
    let today =
        changes::Today { findings: &findings, evidence, chances: &chances, verdict: &verdict, money: &money };
    let changes = changes::changes(&path, &today, books.as_ref());
    Judgement { path, measures, findings, chances, verdict, money, points, checks, changes }
}
