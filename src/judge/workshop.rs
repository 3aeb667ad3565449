//! What a workshop's look is worth: imperfect eyes on the few faults that matter most, the floor in every outcome.

use super::books::{Books, sizes_of};
use super::chances::Chance;
use super::costs::Line;
use super::distribution::{COARSE, Distribution, Summing};
use super::offers::Net;
use super::worth::{Atom, Look};

/// How many faults a workshop looks at for its fee.
const FAULTS: usize = 6;
/// How much a workshop's word counts, either way (strong).
const STRENGTH: f64 = 12.0;

/// What knowing every cost would add to the choice, at this price.
pub fn know_all(net: Net<'_>, price: f64) -> f64 {
    let with: f64 = net.cost.nodes().map(|(size, chance)| chance * (net.at(size) - price).max(0.0)).sum();
    positive(with - (net.mean() - price).max(0.0), price)
}

/// What is left of rounding is no worth.
fn positive(worth: f64, price: f64) -> f64 {
    if worth > 1e-9 * price.abs() { worth } else { 0.0 }
}

/// What the look would add to the choice, at this price.
pub fn look(books: &Books<'_, '_>, chances: &[Chance], lines: &[Line], net: Net<'_>, price: f64) -> f64 {
    let asked = asked_about(lines, chances);
    let Some(eyes) = Look::from_words(STRENGTH, STRENGTH) else { return 0.0 };
    let answers: Vec<Vec<Atom>> = asked.iter().map(|place| eyes.outcomes(chances[*place].chance)).collect();
    let case = Case::new(books, chances, lines, &asked);
    let (mut with, mut mean) = (0.0, 0.0);
    let mut after = chances.to_vec();
    for outcome in 0..1usize << asked.len() {
        let mut chance = 1.0;
        for (bit, (place, atoms)) in asked.iter().zip(&answers).enumerate() {
            let atom = atoms[(outcome >> bit) & 1];
            after[*place].chance = atom.mean;
            chance *= atom.chance;
        }
        let cost = case.cost(&books.paid(lines, &after));
        let worth = Net { cost: &cost, ..net }.mean();
        with += chance * (worth - price).max(0.0);
        mean += chance * worth;
    }
    positive(with - (mean - price).max(0.0), price)
}

/// Places of the open faults that leave most in doubt: the largest p(1 − p) × mean cost.
fn asked_about(lines: &[Line], chances: &[Chance]) -> Vec<usize> {
    let doubt = |chance: &Chance| {
        let line = lines.iter().find(|line| line.faults.contains(&chance.fault));
        line.map_or(0.0, |line| chance.chance * (1.0 - chance.chance) * line.size.mean())
    };
    let mut all: Vec<(f64, usize)> = chances
        .iter()
        .enumerate()
        .filter(|(_, chance)| chance.is_open())
        .map(|(place, chance)| (doubt(chance), place))
        .filter(|(doubt, _)| *doubt > 0.0)
        .collect();
    all.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
    all.truncate(FAULTS);
    all.into_iter().map(|(_, place)| place).collect()
}

/// The total when a few faults are known better: what they don't touch is summed once.
struct Case {
    summing: Summing,
    untouched: super::distribution::Spectrum,
    touched: Vec<usize>,
}

impl Case {
    fn new(books: &Books<'_, '_>, chances: &[Chance], lines: &[Line], asked: &[usize]) -> Self {
        let knowledge = books.path.knowledge;
        let repairs: Vec<_> = asked.iter().map(|place| knowledge.faults[chances[*place].fault.0].item).collect();
        let is_touched = |line: &Line| {
            repairs.iter().any(|item| *item == line.item || knowledge.items[item.0].covers.contains(&line.item))
        };
        let touched: Vec<usize> = (0..lines.len()).filter(|place| is_touched(&lines[*place])).collect();
        let summing = Summing::on_cells(&sizes_of(lines, books.fixed), COARSE);
        let rest = (0..lines.len()).filter(|place| !touched.contains(place));
        let paid = rest.map(|place| (place, lines[place].chance)).chain([(lines.len(), 1.0)]);
        let untouched = summing.product(paid, None);
        Self { summing, untouched, touched }
    }

    fn cost(&self, paid: &[f64]) -> Distribution {
        let paid = self.touched.iter().map(|place| (*place, paid[*place]));
        self.summing.finish(self.summing.product(paid, Some(&self.untouched)))
    }
}
