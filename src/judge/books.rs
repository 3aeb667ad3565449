//! The books: what every sum of one interview is reckoned from, ready to be reckoned again with other chances.

use crate::knowledge::ItemIx;
use crate::knowledge::roles::{ASKING_PRICE, COMPARABLES, OTHER_COSTS};
use crate::measure;
use crate::path::Path;

use super::chances::{self, Chance, Evidence, Spoken};
use super::costs::{self, Line, NoTerms, Terms};
use super::distribution::{Distribution, Summing};
use super::mechanic::Mechanic;
use super::offers::Value;
use super::ordinary;
use super::pert::Pert;

/// Prices, terms and evidence of one interview.
pub struct Books<'p, 'a> {
    pub path: &'p Path<'a>,
    pub mechanic: &'p Mechanic,
    pub spoken: &'p [Spoken<'a>],
    /// The good signs of such a motor.
    pub good: Vec<Spoken<'a>>,
    pub wear: f64,
    wear_of_age: f64,
    pub terms: Terms,
    sure: Vec<ItemIx>,
    /// Travel, registration, tax, and what a mechanic priced that no repair stands for.
    pub fixed: f64,
    pub asking: Option<f64>,
}

impl<'p, 'a> Books<'p, 'a> {
    /// Opens the books. `good` are the good signs of such a motor, where they are known already.
    ///
    /// # Errors
    /// Why no costs can be given.
    pub fn open(
        path: &'p Path<'a>,
        mechanic: &'p Mechanic,
        spoken: &'p [Spoken<'a>],
        good: Option<&[Spoken<'a>]>,
    ) -> Result<Self, NoTerms> {
        let view = path.view();
        let named: f64 = mechanic.named.iter().map(|named| named.sum).sum();
        Ok(Self {
            path,
            mechanic,
            spoken,
            good: good.map_or_else(|| ordinary::good_signs(path), <[Spoken<'a>]>::to_vec),
            wear: measure::wear(&path.live, path.date).value.ratio,
            wear_of_age: measure::wear_of_age(&path.live, path.date).value.ratio,
            terms: costs::terms(&view)?,
            sure: costs::sure_items(&view),
            fixed: other_costs(path) + named,
            asking: path.live.get(ASKING_PRICE),
        })
    }

    /// The chances of all faults, all odds tilted alike.
    pub fn chances(&self, tilt: f64) -> Vec<Chance> {
        let evidence = Evidence { spoken: self.spoken, mechanic: self.mechanic, wear: self.wear, tilt };
        chances::weigh(&self.path.view(), evidence)
    }

    /// What has to be paid with these chances.
    pub fn lines(&self, chances: &[Chance]) -> Vec<Line> {
        costs::lines(self.path.knowledge, &self.terms, chances, &self.sure, self.mechanic)
    }

    /// The chances of these lines where only the chances of faults that were open are others.
    pub fn paid(&self, lines: &[Line], chances: &[Chance]) -> Vec<f64> {
        let paid = costs::paid(self.path.knowledge, chances, &self.sure, self.mechanic);
        lines.iter().map(|line| paid[line.item.0]).collect()
    }

    /// Ordinary upkeep of such a motor.
    pub fn ordinary(&self, tilt: f64) -> f64 {
        let chances = ordinary::chances_in_good_order(self.path, &self.good, self.wear_of_age, tilt);
        let sure = ordinary::sure_in_good_order(self.path.knowledge);
        costs::mean(&costs::lines(self.path.knowledge, &self.terms, &chances, &sure, &Mechanic::default()))
    }

    /// What such a motor is worth when adverts ask so much more than motors sell for.
    pub fn value(&self, gap: f64) -> Option<Value> {
        value_of(self.path, gap)
    }
}

/// Travel, registration, tax, as typed.
pub fn other_costs(path: &Path<'_>) -> f64 {
    path.live.get(OTHER_COSTS).unwrap_or(0.0)
}

/// What such a motor is worth before its faults.
pub fn value_of(path: &Path<'_>, gap: f64) -> Option<Value> {
    let comparables = path.live.get(COMPARABLES).unwrap_or_default();
    Value::from_prices(comparables, path.live.get(ASKING_PRICE), gap)
}

/// Sums of costs, ready to be taken again with other chances while the sizes stay the same.
pub struct Sums {
    sizes: Vec<Pert>,
    summing: Summing,
}

impl Sums {
    /// Prepares the sizes of these lines.
    pub fn new(lines: &[Line], fixed: f64) -> Self {
        let sizes = sizes_of(lines, fixed);
        let summing = Summing::new(&sizes);
        Self { sizes, summing }
    }

    /// The distribution of the total of these lines.
    pub fn total(&self, lines: &[Line], fixed: f64) -> Distribution {
        if sizes_of(lines, fixed) == self.sizes {
            return self.summing.sum(&chances_of(lines));
        }
        Sums::new(lines, fixed).summing.sum(&chances_of(lines))
    }

    /// The distributions of two totals of these lines, each with its own chances: what they share is summed once.
    pub fn totals(&self, lines: &[Line], fixed: f64, both: [&[f64]; 2]) -> [Distribution; 2] {
        if sizes_of(lines, fixed) != self.sizes {
            return Sums::new(lines, fixed).totals(lines, fixed, both);
        }
        let alike = |place: &usize| both[0][*place] == both[1][*place];
        let (shared, own): (Vec<usize>, Vec<usize>) = (0..lines.len()).partition(alike);
        let shared = shared.into_iter().map(|place| (place, both[0][place])).chain([(lines.len(), 1.0)]);
        let shared = self.summing.product(shared, None);
        both.map(|chances| {
            let own = own.iter().map(|place| (*place, chances[*place]));
            self.summing.finish(self.summing.product(own, Some(&shared)))
        })
    }
}

/// The chances of all lines, that of what is fixed last.
fn chances_of(lines: &[Line]) -> Vec<f64> {
    lines.iter().map(|line| line.chance).chain([1.0]).collect()
}

/// The sizes of all lines, what is fixed last.
pub fn sizes_of(lines: &[Line], fixed: f64) -> Vec<Pert> {
    lines.iter().map(|line| line.size).chain([Pert::fixed(fixed)]).collect()
}
