//! What the work on a point usually costs here, to hold a mechanic's price against.

use crate::judge::{Judgement, size};
use crate::knowledge::Story;

/// A price this many times over or under what such work costs is asked about.
const FAR: f64 = 3.0;

/// What the work on a point usually costs, from and to; `None` where nothing usual stands behind it.
pub fn usual(judgement: &Judgement<'_>, code: &str) -> Option<(f64, f64)> {
    let knowledge = judgement.knowledge();
    let item = match knowledge.story_by_id(code)? {
        Story::Fault(fault) => knowledge.faults[fault.0].item,
        Story::Item(item) => item,
        Story::Named(_) | Story::Alone(_) => return None,
    };
    let size = size(knowledge, item, judgement.money.terms.as_ref().ok()?);
    Some((size.low, size.high))
}

/// The usual cost, when a price lies far from it.
pub fn far_from(judgement: &Judgement<'_>, code: &str, price: f64) -> Option<(f64, f64)> {
    usual(judgement, code).filter(|(low, high)| price > high * FAR || price * FAR < *low)
}
