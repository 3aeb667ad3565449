//! Cost items, faults and the settings of the money.

use crate::knowledge::ids::{ItemId, ItemIx};
use crate::knowledge::model::{Fault, Item, Settings, Spread};
use crate::knowledge::raw::{Beyond, RawFault, RawItem, RawSettings};
use crate::knowledge::read::{Placed, Problem};
use crate::knowledge::wrong::{Thing, Wrong};
use crate::units::{Dimension, Unit, parse_quantity};

use super::bench::{Bench, unique};

pub fn resolve_items(raws: &[Placed<RawItem>], above: Option<Beyond>, bench: &mut Bench<'_>) -> Vec<Item> {
    unique(raws.iter(), |raw| raw.id.as_str(), bench.problems);
    let place = |id: &ItemId| raws.iter().position(|placed| placed.raw.id == *id).map(ItemIx);
    raws.iter()
        .map(|placed| {
            let raw = &placed.raw;
            let id = raw.id.as_str();
            for spread in [raw.small, raw.middle, raw.large, raw.very_large].into_iter().flatten() {
                let rising = |three: [f64; 3]| three[0] >= 0.0 && three[0] <= three[1] && three[1] <= three[2];
                if !rising(spread.parts) || !rising(spread.hours) {
                    bench.problems.push(placed.problem(id, "parts", Wrong::NotRising));
                }
            }
            if [raw.small, raw.middle, raw.large, raw.very_large].iter().all(Option::is_none) {
                bench.problems.push(placed.problem(id, "small", Wrong::NoSpread));
            }
            let dearer = raw.dearer.as_ref().and_then(|dearer| {
                if dearer.parts.iter().any(|factor| *factor < 1.0) {
                    bench.problems.push(placed.problem(id, "dearer", Wrong::DearerUnderOne));
                }
                Some((bench.condition(placed, id, "dearer", &dearer.when)?, dearer.parts))
            });
            let covers = raw.covers.iter().filter_map(|smaller| {
                let found = place(smaller);
                if found.is_none() {
                    let known = raws.iter().map(|placed| placed.raw.id.as_str());
                    let wrong = Wrong::unknown(Thing::Item, smaller.as_str(), known);
                    bench.problems.push(placed.problem(id, "covers", wrong));
                }
                found
            });
            Item {
                id: raw.id.clone(),
                title: raw.title.clone(),
                small: raw.small,
                middle: raw.middle,
                large: raw.large,
                very_large: raw.very_large.or_else(|| Some(beyond(raw.large?, above?))),
                dearer,
                covers: covers.collect(),
                sure: bench.optional(placed, id, "sure", raw.sure.as_ref()),
                basis: bench.basis(placed, id, &raw.basis),
            }
        })
        .collect()
}

/// Figures above the large class, from those of it.
fn beyond(large: Spread, above: Beyond) -> Spread {
    Spread { parts: large.parts.map(|sum| sum * above.parts), hours: large.hours.map(|hours| hours * above.hours) }
}

pub fn resolve_faults(raws: &[Placed<RawFault>], items: &[Item], bench: &mut Bench<'_>) -> Vec<Fault> {
    unique(raws.iter(), |raw| raw.id.as_str(), bench.problems);
    let mut faults = Vec::new();
    for placed in raws {
        let raw = &placed.raw;
        let id = raw.id.as_str();
        let item = items.iter().position(|item| item.id == raw.item).map(ItemIx);
        if item.is_none() {
            let known = items.iter().map(|item| item.id.as_str());
            let wrong = Wrong::unknown(Thing::Item, raw.item.as_str(), known);
            bench.problems.push(placed.problem(id, "item", wrong));
        }
        let mut priors = Vec::new();
        for prior in &raw.priors {
            if !(prior.chance > 0.0 && prior.chance < 1.0) {
                bench.problems.push(placed.problem(id, "priors", Wrong::ChanceOutside));
            }
            priors.push((bench.optional(placed, id, "priors", prior.when.as_ref()), prior.chance));
        }
        if priors.is_empty() {
            bench.problems.push(placed.problem(id, "priors", Wrong::NoChance));
        }
        faults.push(Fault {
            id: raw.id.clone(),
            title: raw.title.clone(),
            priors,
            exists: bench.optional(placed, id, "exists", raw.exists.as_ref()),
            wears: raw.wears,
            upkeep: raw.upkeep,
            item: item.unwrap_or(ItemIx(0)),
            settle: raw.settle.clone(),
            after: raw.after.clone(),
            first: raw.first.clone(),
            seller: raw.seller.clone(),
            asked: raw.asked.iter().filter_map(|asked| bench.question(placed, id, "asked", asked)).collect(),
            basis: bench.basis(placed, id, &raw.basis),
        });
    }
    faults
}

pub fn resolve_settings(placed: Option<&Placed<RawSettings>>, bench: &mut Bench<'_>) -> Option<Settings> {
    let Some(placed) = placed else {
        bench.problems.push(Problem::of_file("costs.json", Wrong::NoSettings));
        return None;
    };
    let raw = &placed.raw;
    let mut power = |field: &str, text: &str| match parse_quantity(text, Dimension::Power, Unit::Horsepower) {
        Ok(quantity) => quantity.house(),
        Err(problem) => {
            bench.problems.push(placed.problem("settings", field, Wrong::BadAmount(problem)));
            0.0
        }
    };
    let power_small = power("power-small", &raw.power_small);
    let power_middle = power("power-middle", &raw.power_middle);
    let power_large = power("power-large", &raw.power_large);
    let salt = bench.condition(placed, "settings", "salt", &raw.salt)?;
    Some(Settings {
        rate: raw.rate,
        asking_gap: raw.asking_gap,
        salt_hours: raw.salt_hours,
        salt,
        power_small,
        power_middle,
        power_large,
    })
}
