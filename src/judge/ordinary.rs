//! Ordinary upkeep: what is likely to be paid even on a motor where every check came out well.
//!
//! Adverts speak of motors in good order, so this much is already in the price; only what goes beyond it comes off.

use crate::answers::{Record, Said, Standing};
use crate::knowledge::roles::FIRST_SERVICE;
use crate::knowledge::{FindingIx, Grade, ItemIx, Knowledge};
use crate::path::{Path, Truth, walk};

use super::chances::{self, Chance, Evidence};

/// The good findings that can fire on this motor, whatever was answered to the checks.
///
/// Only what the motor is (strokes, start, trim and the like) counts; every other answer is taken as not known.
#[must_use]
pub fn good_signs(path: &Path<'_>) -> Vec<FindingIx> {
    let knowledge = path.knowledge;
    let mut bare = Record::new(knowledge);
    for ix in knowledge.places().filter(|ix| knowledge.question(*ix).motor) {
        if let Standing::Value(value) = path.live.standing(ix) {
            bare.say(ix, Said::Value(value.clone()));
        }
    }
    let bare_path = walk(knowledge, &bare, path.date);
    let view = bare_path.view();
    let can_fire = |place: &usize| {
        let finding = &knowledge.findings[*place];
        finding.grade == Grade::Good && view.holds(&finding.when) != Truth::No
    };
    (0..knowledge.findings.len()).filter(can_fire).map(FindingIx).collect()
}

/// The chances of faults with all those signs firing at once, for the faults that can exist on this motor.
#[must_use]
pub fn chances_in_good_order(path: &Path<'_>, signs: &[FindingIx], tilt: f64) -> Vec<Chance> {
    chances::weigh(&path.view(), Evidence { findings: signs, settled: &[], tilt })
}

/// The only cost that is sure on a motor in good order.
#[must_use]
pub fn sure_in_good_order(knowledge: &Knowledge) -> Vec<ItemIx> {
    vec![knowledge.bought(FIRST_SERVICE)]
}
