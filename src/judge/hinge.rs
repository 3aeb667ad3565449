//! The hinge: one fault that decides what the motor is worth, so that one ceiling would mislead.

use crate::knowledge::FaultIx;

use super::books::{Books, Sums};
use super::chances::Chance;
use super::costs;
use super::offers::{Net, rounded};

/// A fault that has to be known first, and the ceiling either way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hinge {
    pub fault: FaultIx,
    pub fine: f64,
    pub faulty: f64,
}

/// Fine must lift the mean of the net, and faulty lower it, by more than this share of the value.
const SHARE: f64 = 0.1;

/// The fault the price hangs on; of several the one with the largest smaller move.
pub fn hinge(books: &Books<'_, '_>, sums: &Sums, chances: &[Chance], net: Net<'_>) -> Option<Hinge> {
    let enough = SHARE * net.value.mean();
    let lines = books.lines(chances);
    let (today, mean) = (net.worth(), costs::mean(&lines));
    let faults = &books.path.knowledge.faults;
    let mut best: Option<(f64, Hinge)> = None;
    let mut known = chances.to_vec();
    for (place, chance) in chances.iter().enumerate() {
        if !chance.is_open() || faults[chance.fault.0].upkeep {
            continue;
        }
        let [fine, faulty] = [chance.if_fine, 1.0].map(|now| {
            known[place].chance = now;
            books.paid(&lines, &known)
        });
        known[place].chance = chance.chance;
        // The net never moves by more than the mean of the costs does: no need to sum for most faults.
        let mean_of = |paid: &[f64]| costs::mean_with(&lines, paid.iter().copied());
        if mean - mean_of(&fine) <= enough || mean_of(&faulty) - mean <= enough {
            continue;
        }
        let [fine, faulty] =
            sums.totals(&lines, books.fixed, [&fine, &faulty]).map(|cost| Net { cost: &cost, ..net }.worth());
        let moves = (fine - today).min(today - faulty);
        if moves > enough && best.as_ref().is_none_or(|(most, _)| moves > *most) {
            let said = |worth: f64| rounded(worth.min(books.asking.unwrap_or(f64::INFINITY)));
            best = Some((moves, Hinge { fault: chance.fault, fine: said(fine), faulty: said(faulty) }));
        }
    }
    best.map(|(_, hinge)| hinge)
}
