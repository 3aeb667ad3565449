//! What resolving one element needs to look up, and where it puts what is wrong.

use std::collections::{HashMap, HashSet};

use crate::knowledge::condition::Condition;
use crate::knowledge::ids::{QuestionId, QuestionIx};
use crate::knowledge::measures::KnownMeasure;
use crate::knowledge::model::{Basis, Question, Words};
use crate::knowledge::raw::{RawCondition, RawWords};
use crate::knowledge::read::{Placed, Problem};
use crate::knowledge::resolve::{Names, resolve};
use crate::knowledge::wrong::{Thing, Wrong};

/// The bench the elements are worked on.
pub struct Bench<'a> {
    pub questions: &'a [Question],
    pub by_id: &'a HashMap<QuestionId, QuestionIx>,
    pub sources: &'a HashSet<String>,
    pub measures: &'a [KnownMeasure],
    /// What each question says it follows, before links are put into their places.
    pub written: &'a [Option<QuestionIx>],
    pub problems: &'a mut Vec<Problem>,
}

impl Bench<'_> {
    pub fn condition<T>(&mut self, at: &Placed<T>, id: &str, field: &str, raw: &RawCondition) -> Option<Condition> {
        let find = |id: &str| self.by_id.get(id).copied();
        match resolve(raw, &Names { questions: self.questions, find: &find, measures: self.measures }) {
            Ok(condition) => Some(condition),
            Err(wrongs) => {
                self.problems.extend(wrongs.into_iter().map(|wrong| at.problem(id, field, wrong)));
                None
            }
        }
    }

    pub fn optional<T>(
        &mut self,
        at: &Placed<T>,
        id: &str,
        field: &str,
        raw: Option<&RawCondition>,
    ) -> Option<Condition> {
        raw.and_then(|raw| self.condition(at, id, field, raw))
    }

    /// Whether a question follows another, directly or further down, by what stands written.
    pub fn stands_below(&self, ix: QuestionIx, above: QuestionIx) -> bool {
        let written = |ix: QuestionIx| self.written.get(ix.0).copied().flatten();
        std::iter::successors(written(ix), |next| written(*next))
            .take(self.questions.len())
            .any(|next| next == above)
    }

    /// The place of a question, or a problem with the nearest name.
    pub fn question<T>(
        &mut self,
        at: &Placed<T>,
        id: &str,
        field: &str,
        wanted: &QuestionId,
    ) -> Option<QuestionIx> {
        let found = self.by_id.get(wanted).copied();
        if found.is_none() {
            let known = self.questions.iter().map(|question| question.id.as_str());
            let wrong = Wrong::unknown(Thing::Question, wanted.as_str(), known);
            self.problems.push(at.problem(id, field, wrong));
        }
        found
    }

    pub fn words<T>(&mut self, at: &Placed<T>, id: &str, field: &str, raws: &[RawWords]) -> Vec<Words> {
        raws.iter()
            .filter_map(|raw| {
                let when = self.condition(at, id, field, &raw.when)?;
                Some(Words { when, text: raw.text.clone() })
            })
            .collect()
    }

    pub fn basis<T>(&mut self, at: &Placed<T>, id: &str, text: &str) -> Basis {
        match text {
            "practice" => Basis::Practice,
            "memory" => Basis::Memory,
            key => {
                if !self.sources.contains(key) {
                    let known = self.sources.iter().map(String::as_str).chain(["practice", "memory"]);
                    self.problems.push(at.problem(id, "basis", Wrong::unknown(Thing::Source, key, known)));
                }
                Basis::Published(key.into())
            }
        }
    }
}

/// Refuses an id that stands twice.
pub fn unique<'a, T: 'a>(
    all: impl Iterator<Item = &'a Placed<T>>,
    id: impl Fn(&'a T) -> &'a str,
    problems: &mut Vec<Problem>,
) {
    let mut seen = HashSet::new();
    for placed in all {
        let name = id(&placed.raw);
        if !seen.insert(name) {
            problems.push(placed.problem(name, "id", Wrong::TwiceTheId));
        }
    }
}
