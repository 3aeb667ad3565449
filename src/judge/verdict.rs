//! The verdict: four calls, by a fixed rule.

use crate::answers::Standing;
use crate::knowledge::roles::ACCEPT_SHAFT_CHANGE;
use crate::knowledge::{FindingIx, Grade, QuestionIx};
use crate::path::{Path, Truth, core_unseen};

use super::findings::{Findings, Fired};
use super::mechanic::Mechanic;

/// What is decided of a motor.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Call {
    /// Nothing stands against it at the right price.
    Fair,
    /// Only if something serious is settled or paid for.
    OnlyIf,
    /// Something without which no motor is called fine was not seen.
    Undecided,
    /// At least one stop.
    WalkAway,
}

impl Call {
    /// The word used in JSON.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Fair => "fair",
            Self::OnlyIf => "only-if",
            Self::Undecided => "undecided",
            Self::WalkAway => "walk-away",
        }
    }
}

/// The call and what it rests on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Verdict {
    pub call: Call,
    pub stops: Vec<FindingIx>,
    pub serious: Vec<FindingIx>,
    /// Core checks nobody has seen.
    pub unseen: Vec<QuestionIx>,
    /// Core checks a mechanic called faulty.
    pub faulty: Vec<QuestionIx>,
    /// The shaft does not fit and nothing was decided about it: the question that is still open.
    pub undecided_fit: Option<QuestionIx>,
}

impl Verdict {
    /// What the call rests on, as ids: stops, or what was not seen, or what is serious.
    #[must_use]
    pub fn because(&self, path: &Path<'_>) -> Vec<String> {
        let finding = |ix: &FindingIx| path.knowledge.findings[ix.0].id.to_string();
        let question = |ix: &QuestionIx| path.knowledge.question(*ix).id.to_string();
        match self.call {
            Call::WalkAway => self.stops.iter().map(finding).collect(),
            Call::Undecided => self.unseen.iter().chain(&self.undecided_fit).map(question).collect(),
            Call::OnlyIf => self.serious.iter().map(finding).chain(self.faulty.iter().map(question)).collect(),
            Call::Fair => Vec::new(),
        }
    }
}

/// `walk-away` any stop, `undecided` a core check not seen or a misfit without a decision, `only-if` a serious
/// finding or a core check a mechanic called faulty, else `fair`.
#[must_use]
pub fn decide(path: &Path<'_>, findings: &Findings) -> Verdict {
    let mechanic = Mechanic::read(path.knowledge, &path.record.settled);
    let standing = || findings.fired.iter().filter(|fired| !fired.cleared);
    let of = |grade: Grade| {
        let graded = standing().filter(move |fired| grade_of(path, fired) == grade);
        graded.map(|fired| fired.finding).collect::<Vec<_>>()
    };
    let (stops, serious) = (of(Grade::Stop), of(Grade::Serious));
    let mut unseen = core_unseen(path);
    unseen.retain(|check| mechanic.saw(*check).is_none());
    let core = path.knowledge.places().filter(|ix| path.knowledge.question(*ix).core);
    let faulty: Vec<QuestionIx> = core.filter(|ix| mechanic.saw(*ix) == Some(true)).collect();
    let undecided_fit = undecided_fit(path);
    let call = if !stops.is_empty() {
        Call::WalkAway
    } else if !unseen.is_empty() || undecided_fit.is_some() {
        Call::Undecided
    } else if !serious.is_empty() || !faulty.is_empty() {
        Call::OnlyIf
    } else {
        Call::Fair
    };
    Verdict { call, stops, serious, unseen, faulty, undecided_fit }
}

/// How grave a finding is now: what a mechanic found and priced no longer stops the sale, but where someone could
/// get hurt it stays until it is repaired.
#[must_use]
pub fn grade_of(path: &Path<'_>, fired: &Fired) -> Grade {
    let finding = &path.knowledge.findings[fired.finding.0];
    if finding.grade == Grade::Stop && fired.priced && !finding.safety { Grade::Serious } else { finding.grade }
}

/// The question what to do about a shaft that does not fit, while it has no value.
fn undecided_fit(path: &Path<'_>) -> Option<QuestionIx> {
    let ix = path.knowledge.ask(ACCEPT_SHAFT_CHANGE.any);
    let asked = path.knowledge.question(ix).when.as_ref().is_some_and(|when| path.view().holds(when) == Truth::Yes);
    (asked && matches!(path.live.standing(ix), Standing::Silent(_))).then_some(ix)
}
