//! What repairs and purchases cost, and with what chance each has to be paid.
//!
//! Figures are typical, from memory; get a quote. A repair is paid once however many faults call for it; a larger
//! repair covers the smaller ones it includes.

use std::fmt;

use crate::knowledge::roles::{CLAIMED_POWER, CURRENCY, LABOUR_RATE, PARTS_SCALE};
use crate::knowledge::{FaultIx, ItemIx, Knowledge, PowerClass};
use crate::path::{Truth, View};

use super::chances::Chance;
use super::mechanic::Mechanic;
use super::pert::Pert;

/// What all sizes of one interview rest on.
#[derive(Clone, Debug, PartialEq)]
pub struct Terms {
    pub class: PowerClass,
    /// Workshop's rate an hour, in the buyer's currency.
    pub rate: f64,
    /// What a part of one US dollar costs the buyer.
    pub scale: f64,
    pub salt: bool,
    /// Items whose parts cost more on this motor.
    pub dearer: Vec<ItemIx>,
    pub assumed: Vec<Assumed>,
}

/// What had to be assumed; printed as a plain sentence.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Assumed {
    /// Dollars, as the buyer named them.
    Dollars,
    /// Dollars, since no currency was named.
    NoCurrency,
    /// The usual rate of a workshop, an hour.
    Rate(f64),
    MiddleClass,
}

impl fmt::Display for Assumed {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Dollars => out.write_str("Costs are in US dollars."),
            Self::NoCurrency => out.write_str("No currency was named: costs are in US dollars."),
            Self::Rate(rate) => write!(out, "The workshop's rate is not known: {rate:.0} an hour is assumed."),
            Self::MiddleClass => out.write_str("The power is not known: costs are those of a middle-sized motor."),
        }
    }
}

/// Why no costs can be given: another currency than dollars, without the price of parts in it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NoTerms {
    /// As the buyer named it.
    pub currency: String,
}

impl fmt::Display for NoTerms {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            out,
            "Costs are known in US dollars. Prices here are in {}: say what a part of 100 US dollars costs you (parts-scale), and costs, offers and worths follow.",
            self.currency
        )
    }
}

impl std::error::Error for NoTerms {}

/// Reads the terms from the live answers.
///
/// # Errors
/// Why no costs can be given: another currency than dollars without the price of parts in it.
pub fn terms(view: &View<'_, '_>) -> Result<Terms, NoTerms> {
    let live = view.live;
    let settings = &live.knowledge.settings;
    let mut assumed = Vec::new();
    let currency = live.get(CURRENCY);
    let scale = scale_of(live.get(PARTS_SCALE), currency, &mut assumed)?;
    let rate = live.get(LABOUR_RATE).unwrap_or_else(|| {
        let rate = settings.rate * scale;
        assumed.push(Assumed::Rate(rate));
        rate
    });
    let class = match live.get(CLAIMED_POWER).map(|power| power.0) {
        Some(power) if power <= settings.power_small => PowerClass::Small,
        Some(power) if power <= settings.power_middle => PowerClass::Middle,
        Some(power) if power <= settings.power_large => PowerClass::Large,
        Some(_) => PowerClass::VeryLarge,
        None => {
            assumed.push(Assumed::MiddleClass);
            PowerClass::Middle
        }
    };
    let salt = view.holds(&settings.salt) == Truth::Yes;
    let items = &live.knowledge.items;
    let is_dearer =
        |place: &usize| items[*place].dearer.as_ref().is_some_and(|(when, _)| view.holds(when) == Truth::Yes);
    let dearer = (0..items.len()).filter(is_dearer).map(ItemIx).collect();
    Ok(Terms { class, rate, scale, salt, dearer, assumed })
}

/// From this on the price of parts is a price for 100 dollars' worth; under it a factor.
const PRICE_FROM: f64 = 10.0;

/// What a part of one US dollar costs the buyer. For dollars it is never asked and never counts.
fn scale_of(typed: Option<f64>, currency: Option<&str>, assumed: &mut Vec<Assumed>) -> Result<f64, NoTerms> {
    let dollars = currency.is_some_and(is_dollar);
    match (typed.filter(|_| !dollars), currency) {
        (Some(price), _) if price >= PRICE_FROM => Ok(price / 100.0),
        (Some(scale), _) => Ok(scale),
        (None, Some(named)) if !dollars => Err(NoTerms { currency: named.to_owned() }),
        (None, named) => {
            assumed.push(if named.is_some() { Assumed::Dollars } else { Assumed::NoCurrency });
            Ok(1.0)
        }
    }
}

/// Whether a currency as typed is the US dollar.
#[must_use]
pub fn is_dollar(named: &str) -> bool {
    let bare: String = named.to_lowercase().chars().filter(|c| !c.is_whitespace() && *c != '.').collect();
    ["$", "us$", "usd", "dollar", "dollars", "usdollar", "usdollars"].contains(&bare.as_str())
}

/// The size of one item under these terms: parts and hours, low, likely and high.
#[must_use]
pub fn size(knowledge: &Knowledge, item: ItemIx, terms: &Terms) -> Pert {
    let about = &knowledge.items[item.0];
    let Some(spread) = about.spread(terms.class) else { return Pert::fixed(0.0) };
    let factors =
        about.dearer.as_ref().filter(|_| terms.dearer.contains(&item)).map_or([1.0; 3], |(_, factors)| *factors);
    let salt = if terms.salt { knowledge.settings.salt_hours } else { 1.0 };
    let at = |place: usize, hours: f64| {
        spread.parts[place] * factors[place] * terms.scale + spread.hours[place] * hours * terms.rate
    };
    Pert { low: at(0, 1.0), likely: at(1, 1.0), high: at(2, salt) }
}

/// One item that may have to be paid.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    pub item: ItemIx,
    pub size: Pert,
    /// Chance that it has to be paid, larger repairs that cover it taken into account.
    pub chance: f64,
    /// It has to be paid whatever else is found.
    pub sure: bool,
    /// The faults that call for it.
    pub faults: Vec<FaultIx>,
}

/// The items that are sure by what was answered.
#[must_use]
pub fn sure_items(view: &View<'_, '_>) -> Vec<ItemIx> {
    let items = &view.live.knowledge.items;
    let sure = |item: &ItemIx| items[item.0].sure.as_ref().is_some_and(|sure| view.holds(sure) == Truth::Yes);
    (0..items.len()).map(ItemIx).filter(sure).collect()
}

/// All items with a chance to be paid, in the order of the data.
#[must_use]
pub fn lines(
    knowledge: &Knowledge,
    terms: &Terms,
    chances: &[Chance],
    sure: &[ItemIx],
    mechanic: &Mechanic,
) -> Vec<Line> {
    let items = &knowledge.items;
    let mut all: Vec<Line> = (0..items.len())
        .map(ItemIx)
        .map(|item| Line {
            item,
            size: mechanic.price_of(item).map_or_else(|| size(knowledge, item, terms), Pert::fixed),
            chance: 1.0,
            sure: is_sure(item, sure, mechanic),
            faults: Vec::new(),
        })
        .collect();
    let mut named: Vec<Option<f64>> = vec![None; items.len()];
    for chance in chances {
        let place = knowledge.faults[chance.fault.0].item.0;
        all[place].sure |= chance.sure;
        all[place].faults.push(chance.fault);
        // Two prices on one repair: the larger.
        named[place] = named[place].into_iter().chain(chance.price).reduce(f64::max);
    }
    let paid = paid(knowledge, chances, sure, mechanic);
    for (line, (paid, named)) in all.iter_mut().zip(paid.into_iter().zip(named)) {
        line.chance = paid;
        line.size = named.map_or(line.size, Pert::fixed);
    }
    // An item that no motor of this size has costs nothing, unless a mechanic named a price for it.
    all.retain(|line| line.size.high > 0.0 && (line.sure || !line.faults.is_empty()));
    all
}

/// The chance of each item of the data to be paid, larger repairs that cover it taken into account.
pub fn paid(knowledge: &Knowledge, chances: &[Chance], sure: &[ItemIx], mechanic: &Mechanic) -> Vec<f64> {
    let items = &knowledge.items;
    let unless_sure = |item| if is_sure(item, sure, mechanic) { 0.0 } else { 1.0 };
    let mut unpaid: Vec<f64> = (0..items.len()).map(ItemIx).map(unless_sure).collect();
    for chance in chances {
        unpaid[knowledge.faults[chance.fault.0].item.0] *= 1.0 - chance.to_pay();
    }
    let mut paid: Vec<f64> = unpaid.iter().map(|unpaid| 1.0 - unpaid).collect();
    for (larger, item) in items.iter().enumerate() {
        item.covers.iter().for_each(|smaller| paid[smaller.0] *= unpaid[larger]);
    }
    paid
}

/// Whether an item has to be paid whatever the chances of faults are; a mechanic's word goes before the answers.
fn is_sure(item: ItemIx, sure: &[ItemIx], mechanic: &Mechanic) -> bool {
    mechanic.is_due(item).unwrap_or_else(|| sure.contains(&item))
}

/// Mean of all lines together.
#[must_use]
pub fn mean(lines: &[Line]) -> f64 {
    mean_with(lines, lines.iter().map(|line| line.chance))
}

/// The same with other chances of these lines.
pub fn mean_with(lines: &[Line], paid: impl Iterator<Item = f64>) -> f64 {
    lines.iter().zip(paid).map(|(line, chance)| chance * line.size.mean()).sum()
}
