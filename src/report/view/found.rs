//! A mechanic's word on a point, ready to be told.

use serde::Serialize;

use crate::answers::{Outcome, Settled};

use super::super::words::typed;
use super::Scene;

/// A mechanic's word on a point.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SettledSaid {
    /// "fine", "faulty" or "can't say".
    pub outcome: &'static str,
    pub price: Option<String>,
    pub words: Option<String>,
}

impl Scene<'_, '_> {
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
