//! What to say to the seller: one thing at a time, each with what it costs.
//!
//! Safety matters stand apart: repaired before the sale, or no sale. Nothing here may give the buyer's value,
//! chances or ceiling away.

use crate::knowledge::{FindingIx, Grade, ItemIx, Strength};
use crate::path::Path;

use super::costs::Line;
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

/// Under this chance of having to be paid a repair is not talked of in money: what was seen points to it, and
/// everything else speaks against it.
const WORTH_NAMING: f64 = 0.10;

/// The points of an interview: stops, then safety, then the rest by what they are likely to cost.
#[must_use]
pub fn points(path: &Path<'_>, findings: &Findings, lines: &[Line]) -> Vec<Point> {
    let knowledge = path.knowledge;
    let mut points: Vec<(f64, Point)> = findings
        .fired
        .iter()
        .filter(|fired| !fired.cleared)
        .map(|fired| (fired.finding, &knowledge.findings[fired.finding.0]))
        .filter(|(_, finding)| finding.grade != Grade::Good && finding.bargain.is_some())
        .map(|(ix, finding)| {
            let line = line_of(path, ix, lines).filter(|line| line.chance >= WORTH_NAMING);
            let likely = line.map_or(0.0, |line| line.chance * line.size.mean());
            let (item, size) = (line.map(|line| line.item), line.map(|line| line.size));
            (likely, Point { finding: ix, grade: finding.grade, safety: finding.safety, item, size })
        })
        .collect();
    let rank = |point: &Point| match (point.grade, point.safety) {
        (Grade::Stop, _) => 0,
        (_, true) => 1,
        _ => 2,
    };
    points.sort_by(|(likely_a, a), (likely_b, b)| {
        rank(a).cmp(&rank(b)).then(likely_b.total_cmp(likely_a)).then(a.finding.cmp(&b.finding))
    });
    points.into_iter().map(|(_, point)| point).collect()
}

/// The line a finding leads to: that of the fault it speaks for most strongly, or a purchase it makes necessary.
fn line_of<'l>(path: &Path<'_>, finding: FindingIx, lines: &'l [Line]) -> Option<&'l Line> {
    let knowledge = path.knowledge;
    let finding = &knowledge.findings[finding.0];
    let strongest = finding.speaks_for.iter().rev().max_by_key(|(_, strength)| *strength);
    let by_fault = strongest
        .filter(|(_, strength)| *strength >= Strength::Fair)
        .map(|(fault, _)| knowledge.faults[fault.0].item);
    let bought =
        || finding.costs.iter().copied().find(|item| lines.iter().any(|line| line.item == *item && line.sure));
    let item = bought().or(by_fault)?;
    lines.iter().find(|line| line.item == item)
}
