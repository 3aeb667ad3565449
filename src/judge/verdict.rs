//! The verdict: four calls, by a fixed rule.

use crate::answers::Standing;
use crate::knowledge::roles::ACCEPT_SHAFT_CHANGE;
use crate::knowledge::{FindingIx, Grade, QuestionIx};
use crate::path::{Path, Truth, core_unseen};

use super::findings::Findings;

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
            Call::OnlyIf => self.serious.iter().map(finding).collect(),
            Call::Fair => Vec::new(),
        }
    }
}

/// `walk-away` any stop, `undecided` a core check not seen or a misfit without a decision, `only-if` a serious
/// finding, else `fair`.
#[must_use]
pub fn decide(path: &Path<'_>, findings: &Findings) -> Verdict {
    let of = |grade: Grade| {
        let standing = findings.fired.iter().filter(|fired| !fired.cleared);
        standing.map(|fired| fired.finding).filter(move |ix| path.knowledge.findings[ix.0].grade == grade)
    };
    let (stops, serious): (Vec<_>, Vec<_>) = (of(Grade::Stop).collect(), of(Grade::Serious).collect());
    let unseen = core_unseen(path);
    let undecided_fit = undecided_fit(path);
    let call = if !stops.is_empty() {
        Call::WalkAway
    } else if !unseen.is_empty() || undecided_fit.is_some() {
        Call::Undecided
    } else if !serious.is_empty() {
        Call::OnlyIf
    } else {
        Call::Fair
    };
    Verdict { call, stops, serious, unseen, undecided_fit }
}

/// The question what to do about a shaft that does not fit, while it has no value.
fn undecided_fit(path: &Path<'_>) -> Option<QuestionIx> {
    let ix = path.knowledge.ask(ACCEPT_SHAFT_CHANGE.any);
    let asked = path.knowledge.question(ix).when.as_ref().is_some_and(|when| path.view().holds(when) == Truth::Yes);
    (asked && matches!(path.live.standing(ix), Standing::Silent(_))).then_some(ix)
}
