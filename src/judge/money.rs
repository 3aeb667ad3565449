//! The money of one interview: costs, their distribution, value, offers, and what a second opinion is worth.
//!
//! Every figure rests on chances and costs that are typical, from memory; get a quote.

use crate::knowledge::FindingIx;
use crate::knowledge::roles::{ASKING_PRICE, COMPARABLES, INSPECTION, INSPECTION_FEE, OTHER_COSTS};
use crate::path::Path;

use super::chances::{self, Chance, Evidence};
use super::costs::{self, Line, Terms};
use super::distribution::{Distribution, Summing};
use super::offers::{self, Offers, Value};
use super::ordinary;
use super::pert::Pert;
use super::worth::{Atom, worth_of_knowing};

/// The ceiling when the figures from memory are off: all odds halved and doubled, costs 30 % less and more.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HowSure {
    pub least: f64,
    pub most: f64,
}

/// A workshop's fee for looking at the motor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fee {
    pub sum: f64,
    /// Nobody named one: typical, from the cost table.
    pub typical: bool,
}

/// All that is known of the money; what can't be known is absent.
#[derive(Clone, Debug, PartialEq)]
pub struct Money {
    /// What costs rest on, or why there are none.
    pub terms: Result<Terms, String>,
    pub value: Option<Value>,
    pub asking: Option<f64>,
    /// Ordinary upkeep, already in the price.
    pub ordinary: Option<f64>,
    pub lines: Vec<Line>,
    /// Travel, registration, tax, as typed.
    pub other: f64,
    pub cost: Option<Distribution>,
    pub offers: Option<Offers>,
    /// What knowing every fault would be worth, at the aim.
    pub know_all: Option<f64>,
    pub fee: Option<Fee>,
    pub how_sure: Option<HowSure>,
}

/// Sums of costs, ready to be taken again with other chances while the sizes stay the same.
pub struct Sums {
    sizes: Vec<Pert>,
    summing: Summing,
}

impl Sums {
    fn new(lines: &[Line], other: f64) -> Self {
        let sizes = sizes_of(lines, other);
        let summing = Summing::new(&sizes);
        Self { sizes, summing }
    }

    /// The distribution of the total of these lines.
    fn total(&self, lines: &[Line], other: f64) -> Distribution {
        let chances: Vec<f64> = lines.iter().map(|line| line.chance).chain([1.0]).collect();
        if sizes_of(lines, other) == self.sizes {
            return self.summing.sum(&chances);
        }
        Sums::new(lines, other).summing.sum(&chances)
    }
}

fn sizes_of(lines: &[Line], other: f64) -> Vec<Pert> {
    lines.iter().map(|line| line.size).chain([Pert::fixed(other)]).collect()
}

fn value_of(path: &Path<'_>, asking: Option<f64>) -> Option<Value> {
    let comparables = path.live.get(COMPARABLES).unwrap_or(&[]);
    Value::from_prices(comparables, asking, path.knowledge.settings.asking_gap)
}

/// Counts the money. While a stop stands (`offer` false) there are costs and chances, no offers.
#[must_use]
pub fn count(path: &Path<'_>, chances: &[Chance], offer: bool) -> (Money, Option<Sums>) {
    let view = path.view();
    let terms = costs::terms(&view);
    let asking = path.live.get(ASKING_PRICE);
    let value = value_of(path, asking);
    let other = path.live.get(OTHER_COSTS).unwrap_or(0.0);
    let mut money = Money {
        value,
        terms,
        asking,
        ordinary: None,
        lines: Vec::new(),
        other,
        cost: None,
        offers: None,
        know_all: None,
        fee: None,
        how_sure: None,
    };
    let Ok(terms) = money.terms.clone() else { return (money, None) };
    let sums = count_costs(path, chances, &terms, &mut money);
    if offer {
        count_offers(path, &terms, &sums, &mut money);
    }
    (money, Some(sums))
}

fn count_costs(path: &Path<'_>, chances: &[Chance], terms: &Terms, money: &mut Money) -> Sums {
    let sure = costs::sure_items(&path.view());
    money.lines = costs::lines(path.knowledge, terms, chances, &sure);
    let sums = Sums::new(&money.lines, money.other);
    money.cost = Some(sums.total(&money.lines, money.other));
    money.ordinary = Some(ordinary_of(path, terms, 1.0));
    let typed = path.live.get(INSPECTION_FEE).map(|sum| Fee { sum, typical: false });
    money.fee = typed.or_else(|| {
        let item = path.knowledge.bought(INSPECTION);
        Some(Fee { sum: costs::size(path.knowledge, item, terms).likely, typical: true })
    });
    sums
}

fn ordinary_of(path: &Path<'_>, terms: &Terms, tilt: f64) -> f64 {
    let signs: Vec<FindingIx> = ordinary::good_signs(path);
    let chances = ordinary::chances_in_good_order(path, &signs, tilt);
    costs::mean(&costs::lines(path.knowledge, terms, &chances, &ordinary::sure_in_good_order(path.knowledge)))
}

fn count_offers(path: &Path<'_>, terms: &Terms, sums: &Sums, money: &mut Money) {
    let (Some(value), Some(cost), Some(ordinary)) = (&money.value, &money.cost, money.ordinary) else { return };
    let offers = offers::offers(value, cost, ordinary, money.asking);
    let atoms: Vec<Atom> = cost.nodes().map(|(mean, chance)| Atom { chance, mean }).collect();
    money.know_all = Some(worth_of_knowing(value.mean() + ordinary - offers.aim, &atoms));
    money.how_sure = Some(how_sure(path, terms, sums, money, ordinary));
    money.offers = Some(offers);
}

/// The ceiling again with all odds halved and doubled and with costs 30 % less and more, ordinary upkeep alike.
fn how_sure(path: &Path<'_>, terms: &Terms, sums: &Sums, money: &Money, ordinary: f64) -> HowSure {
    let ceiling = |cost: &Distribution, ordinary: f64| {
        let value = money.value.as_ref();
        value.map_or(0.0, |value| offers::rounded(offers::raw_ceiling(value, cost, ordinary, money.asking)))
    };
    let scaled = |factor: f64| money.cost.as_ref().map(|cost| ceiling(&cost.scaled(factor), ordinary * factor));
    let mut ceilings: Vec<f64> = [0.7, 1.3].into_iter().filter_map(scaled).collect();
    let fired: Vec<FindingIx> = super::findings::look(path).places().collect();
    for tilt in [0.5, 2.0] {
        let evidence = Evidence { findings: &fired, settled: &path.record.settled, tilt };
        let tilted = chances::weigh(&path.view(), evidence);
        let lines = costs::lines(path.knowledge, terms, &tilted, &costs::sure_items(&path.view()));
        ceilings.push(ceiling(&sums.total(&lines, money.other), ordinary_of(path, terms, tilt)));
    }
    HowSure {
        least: ceilings.iter().copied().fold(f64::INFINITY, f64::min),
        most: ceilings.iter().copied().fold(0.0, f64::max),
    }
}

/// Only the ceiling, with sums taken before where the sizes are the same.
#[must_use]
pub fn ceiling(path: &Path<'_>, chances: &[Chance], sums: Option<&Sums>) -> Option<f64> {
    let view = path.view();
    let terms = costs::terms(&view).ok()?;
    let asking = path.live.get(ASKING_PRICE);
    let value = value_of(path, asking)?;
    let other = path.live.get(OTHER_COSTS).unwrap_or(0.0);
    let lines = costs::lines(path.knowledge, &terms, chances, &costs::sure_items(&view));
    let cost = sums.map_or_else(|| Sums::new(&lines, other).total(&lines, other), |sums| sums.total(&lines, other));
    Some(offers::rounded(offers::raw_ceiling(&value, &cost, ordinary_of(path, &terms, 1.0), asking)))
}
