//! What to say to the seller: one thing at a time, each with what it costs.
//!
//! Safety matters stand apart: repaired before the sale, or no sale. Nothing here may give the buyer's value,
//! chances or ceiling away.

use crate::knowledge::{FindingIx, Grade, ItemIx, Strength};
use crate::path::Path;

use super::costs::{self, Terms};
use super::findings::Findings;
use super::pert::Pert;

/// One thing to talk about.
#[derive(Clone, Debug, PartialEq)]
pub struct Point {
    pub finding: FindingIx,
    pub grade: Grade,
    pub safety: bool,
    /// The repair or purchase it usually leads to, with its size where costs are known.
    pub item: Option<ItemIx>,
    pub size: Option<Pert>,
}

/// The points of an interview: stops, then safety, then the rest by what they cost.
#[must_use]
pub fn points(path: &Path<'_>, findings: &Findings, terms: Option<&Terms>) -> Vec<Point> {
    let knowledge = path.knowledge;
    let mut points: Vec<Point> = findings
        .fired
        .iter()
        .filter(|fired| !fired.cleared)
        .map(|fired| (fired.finding, &knowledge.findings[fired.finding.0]))
        .filter(|(_, finding)| finding.grade != Grade::Good && finding.bargain.is_some())
        .map(|(ix, finding)| {
            let item = item_of(path, ix);
            let size = item.zip(terms).map(|(item, terms)| costs::size(knowledge, item, terms));
            Point { finding: ix, grade: finding.grade, safety: finding.safety, item, size }
        })
        .collect();
    let rank = |point: &Point| match (point.grade, point.safety) {
        (Grade::Stop, _) => 0,
        (_, true) => 1,
        _ => 2,
    };
    let cost = |point: &Point| point.size.map_or(0.0, Pert::mean);
    points.sort_by(|a, b| rank(a).cmp(&rank(b)).then(cost(b).total_cmp(&cost(a))).then(a.finding.cmp(&b.finding)));
    points
}

/// The item a finding leads to: that of the fault it speaks for most strongly, or a purchase it makes necessary.
#[must_use]
pub fn item_of(path: &Path<'_>, finding: FindingIx) -> Option<ItemIx> {
    let knowledge = path.knowledge;
    let finding = &knowledge.findings[finding.0];
    let strongest = finding.speaks_for.iter().rev().max_by_key(|(_, strength)| *strength);
    let by_fault = strongest
        .filter(|(_, strength)| *strength >= Strength::Fair)
        .map(|(fault, _)| knowledge.faults[fault.0].item);
    // Of the purchases named, the one that is sure for this motor.
    let sure = costs::sure_items(&path.view());
    by_fault.or_else(|| finding.costs.iter().copied().find(|item| sure.contains(item)))
}
