//! A mechanic's word on a point, ready to be told.

use serde::Serialize;

use crate::answers::{Outcome, Settled};

use crate::judge::overtaken;
use crate::knowledge::Story;

use super::super::words::{self, typed};
use super::Scene;

/// A mechanic's word on a point.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SettledSaid {
    /// "fine", "faulty" or "can't say".
    pub outcome: &'static str,
    pub price: Option<String>,
    pub words: Option<String>,
    /// It is faulty, and neither a price nor a usual cost stands for it: the sums don't have it.
    pub unpriced: bool,
    /// "gear oil": answers that are newer than the look, and count again.
    pub overtaken: Option<String>,
}

impl Scene<'_, '_> {
    fn is_unpriced(&self, settled: &Settled) -> bool {
        let usual = matches!(self.knowledge().story_by_id(&settled.point), Some(Story::Fault(_) | Story::Item(_)));
        settled.outcome == Outcome::Faulty && settled.price.is_none() && !usual
    }

    fn newer_answers(&self, settled: &Settled) -> Option<String> {
        let all = overtaken(self.path());
        let (_, answers) = all.iter().find(|(one, _)| one.point == settled.point)?;
        let told = answers.iter().filter(|ix| self.may_tell(**ix));
        let briefs: Vec<String> = told.map(|ix| self.brief(*ix).to_owned()).collect();
        (!briefs.is_empty()).then(|| words::list(&briefs))
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
            unpriced: self.is_unpriced(settled),
            overtaken: self.newer_answers(settled),
        }
    }
}
