//! Which findings fire, and which nobody can rule out.

use crate::answers::Standing;
use crate::knowledge::{Condition, Finding, FindingIx, Grade, QuestionIx};
use crate::path::{Path, Truth, View};

use super::mechanic::Mechanic;

/// A finding that fired, with the answers that made it fire.
#[derive(Clone, Debug, PartialEq)]
pub struct Fired {
    pub finding: FindingIx,
    /// In asking order; a measure counts as the questions it reads.
    pub answers: Vec<QuestionIx>,
    /// A mechanic looked and called it fine: it no longer stops anything.
    pub cleared: bool,
    /// A mechanic found it faulty and named the price.
    pub priced: bool,
}

/// What was found and what stays possible.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Findings {
    pub fired: Vec<Fired>,
    /// Stop, serious and minor findings that are neither yes nor no.
    pub not_ruled_out: Vec<FindingIx>,
}

impl Findings {
    /// The places of those that fired.
    pub fn places(&self) -> impl Iterator<Item = FindingIx> {
        self.fired.iter().map(|fired| fired.finding)
    }
}

/// Looks at every finding, in the order of the files.
#[must_use]
pub fn look(path: &Path<'_>) -> Findings {
    let view = path.view();
    let mechanic = Mechanic::read(path.knowledge, &path.record.settled);
    let mut found = Findings::default();
    for (place, finding) in path.knowledge.findings.iter().enumerate() {
        match view.holds(&finding.when) {
            Truth::Yes => found.fired.push(Fired {
                finding: FindingIx(place),
                answers: answers_behind(path, finding),
                cleared: mechanic.settles(path.knowledge, FindingIx(place)),
                priced: mechanic.prices(FindingIx(place)),
            }),
            Truth::Unknown if finding.grade != Grade::Good => found.not_ruled_out.push(FindingIx(place)),
            _ => {}
        }
    }
    found
}

/// The questions on the path behind the parts of a condition that are yes.
fn answers_behind(path: &Path<'_>, finding: &Finding) -> Vec<QuestionIx> {
    let mut all = Vec::new();
    gather(&path.view(), &finding.when, &mut all);
    all.retain(|ix| matches!(path.live.standing(*ix), Standing::Value(_) | Standing::Silent(Some(_))));
    all.sort_unstable();
    all.dedup();
    all
}

fn gather(view: &View<'_, '_>, condition: &Condition, all: &mut Vec<QuestionIx>) {
    match condition {
        Condition::Answer(ix, _) => all.push(*ix),
        Condition::Measure(measure, _) => {
            all.extend(&view.live.knowledge.measure(*measure).reads);
        }
        Condition::All(parts) => parts.iter().for_each(|part| gather(view, part, all)),
        Condition::Any(parts) => {
            parts.iter().filter(|part| view.holds(part) == Truth::Yes).for_each(|part| gather(view, part, all));
        }
        // That something is not so is no answer that was seen.
        Condition::Not(_) => {}
    }
}
