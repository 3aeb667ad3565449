//! Ordinary upkeep: what is likely to be paid even on a motor where every check came out well.
//!
//! Adverts speak of motors in good order, so this much is already in the price; only what goes beyond it comes off.

use crate::answers::{Record, Said, Standing};
use crate::knowledge::roles::FIRST_SERVICE;
use crate::knowledge::{FindingIx, Grade, ItemIx, Knowledge};
use crate::path::{Path, Truth, walk};

use super::chances::{self, Chance, Evidence, Spoken};
use super::mechanic::Mechanic;

/// The words of the good findings that can fire on this motor, whatever was answered to the checks.
///
/// Only what the motor is (strokes, start, trim and the like) counts; every other answer is taken as not known.
#[must_use]
pub fn good_signs<'a>(path: &Path<'a>) -> Vec<Spoken<'a>> {
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
    let signs = (0..knowledge.findings.len()).filter(can_fire).map(FindingIx);
    // The words borrow from the question data alone; the bare interview ends here.
    chances::spoken_in(knowledge, &view, signs)
}

/// The chances of faults with all those signs firing at once, for the faults that can exist on this motor. Wear is
/// that of its years: hours are an answer.
#[must_use]
pub fn chances_in_good_order(path: &Path<'_>, signs: &[Spoken<'_>], wear: f64, tilt: f64) -> Vec<Chance> {
    let nobody = Mechanic::default();
    chances::weigh(&path.view(), Evidence { spoken: signs, mechanic: &nobody, wear, tilt })
}

/// The only cost that is sure on a motor in good order.
#[must_use]
pub fn sure_in_good_order(knowledge: &Knowledge) -> Vec<ItemIx> {
    vec![knowledge.bought(FIRST_SERVICE)]
}
