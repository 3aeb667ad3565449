//! The money of one interview: costs, their distribution, value, offers, and what a second opinion is worth.
//!
//! Every figure rests on chances and costs that are typical, from memory; get a quote.

use crate::answers::Value as Typed;
use crate::knowledge::FindingIx;
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

/// Counts the money. While a stop stands (`offer` false) there are costs and chances, no offers.
#[must_use]
pub fn count(path: &Path<'_>, chances: &[Chance], offer: bool) -> Money {
    let view = path.view();
    let terms = costs::terms(&view);
    let asking = path.live.money("asking-price");
    let comparables = match path.live.value("comparables") {
        Some(Typed::Prices(prices)) => prices.as_slice(),
        _ => &[],
    };
    let value = Value::from_prices(comparables, asking, path.knowledge.settings.asking_gap);
    let other = path.live.money("other-costs").unwrap_or(0.0);
    let mut money = Money {
        value: terms.as_ref().ok().and(value),
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
    if let Ok(terms) = money.terms.clone() {
        count_costs(path, chances, &terms, &mut money);
        if offer {
            count_offers(path, &terms, &mut money);
        }
    }
    money
}

fn count_costs(path: &Path<'_>, chances: &[Chance], terms: &Terms, money: &mut Money) {
    let sure = costs::sure_items(&path.view());
    money.lines = costs::lines(path.knowledge, terms, chances, &sure);
    let summing = summing_of(&money.lines, money.other);
    money.cost = Some(summing.sum(&chances_of(&money.lines)));
    money.ordinary = Some(ordinary_of(path, terms, 1.0));
    let typed = path.live.money("inspection-fee").map(|sum| Fee { sum, typical: false });
    money.fee = typed.or_else(|| {
        let item = path.knowledge.item("inspection")?;
        Some(Fee { sum: costs::size(path.knowledge, item, terms).likely, typical: true })
    });
}

fn summing_of(lines: &[Line], other: f64) -> Summing {
    let sizes: Vec<Pert> = lines.iter().map(|line| line.size).chain([Pert::fixed(other)]).collect();
    Summing::new(&sizes)
}

/// Chances of the lines, and one for what is paid in any case.
fn chances_of(lines: &[Line]) -> Vec<f64> {
    lines.iter().map(|line| line.chance).chain([1.0]).collect()
}

fn ordinary_of(path: &Path<'_>, terms: &Terms, tilt: f64) -> f64 {
    let signs: Vec<FindingIx> = ordinary::good_signs(path.knowledge, path.record, path.date);
    let chances = ordinary::chances_in_good_order(path, &signs, tilt);
    costs::mean(&costs::lines(path.knowledge, terms, &chances, &ordinary::sure_in_good_order(path.knowledge)))
}

fn count_offers(path: &Path<'_>, terms: &Terms, money: &mut Money) {
    let (Some(value), Some(cost), Some(ordinary)) = (&money.value, &money.cost, money.ordinary) else { return };
    let offers = offers::offers(value, cost, ordinary, money.asking);
    let atoms: Vec<Atom> = cost.nodes().map(|(mean, chance)| Atom { chance, mean }).collect();
    money.know_all = Some(worth_of_knowing(value.mean() + ordinary - offers.aim, &atoms));
    money.how_sure = Some(how_sure(path, terms, money, value, cost));
    money.offers = Some(offers);
}

/// The ceiling again with all odds halved and doubled and with costs 30 % less and more, ordinary upkeep alike.
fn how_sure(path: &Path<'_>, terms: &Terms, money: &Money, value: &Value, cost: &Distribution) -> HowSure {
    let ordinary = money.ordinary.unwrap_or(0.0);
    let ceiling = |cost: &Distribution, ordinary: f64| {
        offers::rounded(offers::raw_ceiling(value, cost, ordinary, money.asking))
    };
    let mut ceilings: Vec<f64> =
        [0.7, 1.3].iter().map(|factor| ceiling(&cost.scaled(*factor), ordinary * factor)).collect();
    let fired: Vec<FindingIx> = super::findings::look(path).places().collect();
    for tilt in [0.5, 2.0] {
        let evidence = Evidence { findings: &fired, settled: &path.record.settled, tilt };
        let tilted = chances::weigh(&path.view(), evidence);
        let lines = costs::lines(path.knowledge, terms, &tilted, &costs::sure_items(&path.view()));
        let cost = summing_of(&lines, money.other).sum(&chances_of(&lines));
        ceilings.push(ceiling(&cost, ordinary_of(path, terms, tilt)));
    }
    HowSure {
        least: ceilings.iter().copied().fold(f64::INFINITY, f64::min),
        most: ceilings.iter().copied().fold(0.0, f64::max),
    }
}
