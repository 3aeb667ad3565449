//! What was found: every finding with what was seen, what it usually means, and what it rests on.

use serde::Serialize;

use crate::answers::{Outcome, Settled};
use crate::judge::Fired;
use crate::knowledge::{Basis, Finding, Grade};
use crate::path::Truth;

use super::super::words::{self, typed};
use super::points::main_fault;
use super::{Scene, Seen};

/// Findings by how much they weigh.
#[derive(Clone, Debug, Serialize)]
pub struct Found {
    pub stops: Vec<Told>,
    pub serious: Vec<Told>,
    pub minor: Vec<Told>,
    pub good: Vec<Told>,
}

/// One finding.
#[derive(Clone, Debug, Serialize)]
pub struct Told {
    pub title: String,
    pub seen: Vec<Seen>,
    pub means: String,
    pub innocent: Option<String>,
    pub to_do: Option<String>,
    pub notes: Vec<String>,
    pub clears: Option<String>,
    pub basis: String,
    pub safety: bool,
    /// What a mechanic said of it.
    pub settled: Option<SettledSaid>,
}

/// A mechanic's word on a point.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SettledSaid {
    /// "fine", "faulty" or "can't say".
    pub outcome: &'static str,
    pub price: Option<String>,
    pub words: Option<String>,
}

impl Found {
    pub(super) fn of(scene: &Scene<'_, '_>) -> Self {
        let of = |grade: Grade| {
            let fired = scene.judgement.findings.fired.iter();
            let graded = fired.filter(|fired| scene.knowledge().findings[fired.finding.0].grade == grade);
            graded.map(|fired| told(scene, fired)).collect()
        };
        Self { stops: of(Grade::Stop), serious: of(Grade::Serious), minor: of(Grade::Minor), good: of(Grade::Good) }
    }
}

fn told(scene: &Scene<'_, '_>, fired: &Fired) -> Told {
    let finding = &scene.knowledge().findings[fired.finding.0];
    let view = scene.path().view();
    let notes = finding.notes.iter().filter(|note| view.holds(&note.when) == Truth::Yes);
    Told {
        title: words::capital(&finding.title),
        seen: fired.answers.iter().filter_map(|ix| scene.seen(*ix)).collect(),
        means: finding.means.clone(),
        innocent: finding.innocent.clone(),
        to_do: finding.what_to_do.clone(),
        notes: notes.map(|note| note.text.clone()).collect(),
        clears: finding.clears.clone(),
        basis: scene.basis_said(&finding.basis),
        safety: finding.safety,
        settled: scene.settled_of(finding).map(|settled| scene.settled_said(settled)),
    }
}

impl Scene<'_, '_> {
    /// "common practice", "from memory", or the title of what was published.
    pub(super) fn basis_said(&self, basis: &Basis) -> String {
        match basis {
            Basis::Practice => "common practice".to_owned(),
            Basis::Memory => "from memory".to_owned(),
            Basis::Published(key) => {
                let source = self.knowledge().sources.iter().find(|source| source.id == *key);
                source.map_or_else(|| key.to_string(), |source| source.title.clone())
            }
        }
    }

    /// What a mechanic last said of a finding, by its own point or by that of the fault behind it.
    pub(super) fn settled_of(&self, finding: &Finding) -> Option<&Settled> {
        let fault = main_fault(self, finding).map(|fault| self.knowledge().faults[fault.0].id.as_str());
        let about =
            |settled: &&Settled| settled.point == finding.id.as_str() || Some(settled.point.as_str()) == fault;
        self.record().settled.iter().rev().find(about)
    }

    pub(super) fn settled_said(&self, settled: &Settled) -> SettledSaid {
        let words = typed(&settled.words);
        SettledSaid {
            outcome: match settled.outcome {
                Outcome::Fine => "fine",
                Outcome::Faulty => "faulty",
                Outcome::CantSay => "can't say",
            },
            price: settled.price.map(|price| self.purse.exact(price)),
            words: (!words.is_empty()).then_some(words),
        }
    }
}
