//! How sure the ceiling is: between what it could be if the figures from memory are off, and after all that can
//! still be looked at.

use super::books::{Books, Sums};
use super::distribution::Distribution;
use super::offers::{FOR_PARTS, Net, Value, rounded, rounding_step};
use super::worth::Atom;

/// The lowest and the highest ceiling, before the asking price caps it. Never without width.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HowSure {
    pub least: f64,
    pub most: f64,
}

/// Odds, costs and the asking gap, one at a time, then all against and all for.
const LESS_ODDS: f64 = 0.5;
const MORE_ODDS: f64 = 2.0;
const LESS_COST: f64 = 0.7;
const MORE_COST: f64 = 1.3;
const SMALL_GAP: f64 = 0.05;
const WIDE_GAP: f64 = 0.15;

/// Works it out around a ceiling; `after_looks` are the mean costs that all open looks together may leave.
pub fn how_sure(books: &Books<'_, '_>, sums: &Sums, net: Net<'_>, ceiling: f64, after_looks: &[Atom]) -> HowSure {
    let tilted = |odds: f64| {
        let cost = sums.total(&books.lines(&books.chances(odds)), books.fixed);
        (cost, books.ordinary(odds))
    };
    let worth = |cost: &Distribution, ordinary: f64, costs: f64, value: &Value| {
        Net { value, cost: &cost.scaled(costs), ordinary: ordinary * costs }.worth()
    };
    let ((likelier, upkeep_then), (rarer, upkeep_now)) = (tilted(MORE_ODDS), tilted(LESS_ODDS));
    let (narrow, wide) = (books.value(SMALL_GAP), books.value(WIDE_GAP));
    let (dear, cheap) = (narrow.as_ref().unwrap_or(net.value), wide.as_ref().unwrap_or(net.value));
    let mut all = vec![
        ceiling,
        worth(&likelier, upkeep_then, 1.0, net.value),
        worth(&rarer, upkeep_now, 1.0, net.value),
        worth(net.cost, net.ordinary, MORE_COST, net.value),
        worth(net.cost, net.ordinary, LESS_COST, net.value),
        worth(net.cost, net.ordinary, 1.0, dear),
        worth(net.cost, net.ordinary, 1.0, cheap),
        worth(&likelier, upkeep_then, MORE_COST, cheap),
        worth(&rarer, upkeep_now, LESS_COST, dear),
    ];
    let value = net.value.mean();
    let after = |mean: f64| (value + net.ordinary - mean).clamp(FOR_PARTS * value, value);
    all.extend(tenths(after_looks).into_iter().flatten().map(after));
    let least = rounded(all.iter().copied().fold(f64::INFINITY, f64::min));
    let most = rounded(all.iter().copied().fold(0.0, f64::max));
    if most > least {
        return HowSure { least, most };
    }
    let step = rounding_step(most);
    HowSure { least: (least - step).max(0.0), most: most + step }
}

/// The 10 and 90 % points of mean costs.
fn tenths(after_looks: &[Atom]) -> [Option<f64>; 2] {
    let mut sorted = after_looks.to_vec();
    sorted.sort_by(|a, b| a.mean.total_cmp(&b.mean));
    [0.1, 0.9].map(|share| {
        let mut so_far = 0.0;
        let reached = sorted.iter().find(|atom| {
            so_far += atom.chance;
            so_far >= share - 1e-12
        });
        reached.or(sorted.last()).map(|atom| atom.mean)
    })
}
