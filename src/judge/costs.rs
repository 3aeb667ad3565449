//! What repairs and purchases cost, and with what chance each has to be paid.
//!
//! Figures are typical, from memory; get a quote. A repair is paid once however many faults call for it; a larger
//! repair covers the smaller ones it includes.

use crate::knowledge::roles::{CLAIMED_POWER, CURRENCY, LABOUR_RATE, PARTS_SCALE};
use crate::knowledge::{FaultIx, ItemIx, Knowledge, PowerClass};
use crate::path::{Truth, View};

use super::chances::Chance;
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
    /// What had to be assumed, in plain sentences.
    pub assumed: Vec<String>,
}

/// Reads the terms from the live answers.
///
/// # Errors
/// Why no costs can be given: another currency than dollars without the price of parts in it.
pub fn terms(view: &View<'_, '_>) -> Result<Terms, String> {
    let live = view.live;
    let settings = &live.knowledge.settings;
    let mut assumed = Vec::new();
    let currency = live.get(CURRENCY);
    let typed_scale = live.get(PARTS_SCALE).map(scale_of);
    let scale = match (typed_scale, currency) {
        (Some(scale), _) => scale,
        (None, Some(named)) if !is_dollar(named) => {
            return Err(format!(
                "Costs are known in US dollars. Prices here are in {named}: say what a part of 100 US dollars costs you (parts-scale), and costs, offers and worths follow."
            ));
        }
        (None, named) => {
            if named.is_none() {
                assumed.push("No currency was named: costs are in US dollars.".to_owned());
            }
            1.0
        }
    };
    let rate = live.get(LABOUR_RATE).unwrap_or_else(|| {
        let rate = settings.rate * scale;
        assumed.push(format!("The workshop's rate is not known: {rate:.0} an hour is assumed."));
        rate
    });
    let class = match live.get(CLAIMED_POWER).map(|power| power.0) {
        Some(power) if power <= settings.power_small => PowerClass::Small,
        Some(power) if power <= settings.power_middle => PowerClass::Middle,
        Some(power) if power <= settings.power_large => PowerClass::Large,
        Some(_) => PowerClass::VeryLarge,
        None => {
            assumed.push("The power is not known: costs are those of a middle-sized motor.".to_owned());
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

/// What 100 dollars of parts cost, as a share: from 10 on it was typed as that price, under 10 as the share itself.
fn scale_of(typed: f64) -> f64 {
    if typed >= 10.0 { typed / 100.0 } else { typed }
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
pub fn lines(knowledge: &Knowledge, terms: &Terms, chances: &[Chance], sure: &[ItemIx]) -> Vec<Line> {
    let paid = |item: ItemIx| {
        if sure.contains(&item) {
            return 1.0;
        }
        1.0 - of_item(knowledge, chances, item).map(|chance| 1.0 - chance.to_pay()).product::<f64>()
    };
    let all = (0..knowledge.items.len()).map(ItemIx).map(|item| {
        let larger = (0..knowledge.items.len())
            .map(ItemIx)
            .filter(|larger| knowledge.items[larger.0].covers.contains(&item));
        let uncovered: f64 = larger.map(|larger| 1.0 - paid(larger)).product();
        let named = of_item(knowledge, chances, item).filter_map(|chance| chance.price).reduce(f64::max);
        Line {
            item,
            size: named.map_or_else(|| size(knowledge, item, terms), Pert::fixed),
            chance: paid(item) * uncovered,
            sure: sure.contains(&item) || of_item(knowledge, chances, item).any(|chance| chance.sure),
            faults: of_item(knowledge, chances, item).map(|chance| chance.fault).collect(),
        }
    });
    // An item that no motor of this size has costs nothing, unless a mechanic named a price for it.
    let is_there = |line: &Line| line.size.high > 0.0;
    all.filter(|line| is_there(line) && (line.sure || !line.faults.is_empty())).collect()
}

fn of_item<'c>(knowledge: &'c Knowledge, chances: &'c [Chance], item: ItemIx) -> impl Iterator<Item = &'c Chance> {
    chances.iter().filter(move |chance| knowledge.faults[chance.fault.0].item == item)
}

/// Mean of all lines together.
#[must_use]
pub fn mean(lines: &[Line]) -> f64 {
    lines.iter().map(|line| line.chance * line.size.mean()).sum()
}
