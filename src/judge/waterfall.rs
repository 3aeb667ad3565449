//! From what adverts ask down to the ceiling, step by step; the steps add up to the dollar.

use crate::knowledge::roles::{ASKING_PRICE, OTHER_COSTS};
use crate::knowledge::{ItemIx, Knowledge};

use super::costs::Line;
use super::offers::{FOR_PARTS, Net};

/// What a step stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum What {
    /// Comparable adverts, on average.
    Adverts,
    /// The asking price, where there are no comparables.
    Asked,
    /// By how much adverts ask more than motors sell for.
    Gap,
    /// A repair or purchase worth naming, by what it costs on average.
    Repair(ItemIx),
    /// Travel, registration, tax, and what a mechanic priced besides.
    Other,
    /// All smaller chances together.
    Rest,
    /// Ordinary upkeep: in the adverts already.
    Upkeep,
    /// It is never worth less than its parts.
    Floor,
    /// Not worth repairing: the parts are all it is worth.
    PartsOnly,
    /// Never more than such a motor is worth.
    ValueCap,
    /// Never more than is asked.
    AskingCap,
    /// Sums are said rounded down.
    Rounding,
}

impl What {
    /// The word used in JSON; a repair goes by its item.
    #[must_use]
    pub fn name(self, knowledge: &Knowledge) -> &str {
        match self {
            Self::Adverts => "adverts",
            Self::Asked => ASKING_PRICE.any.id(),
            Self::Gap => "gap",
            Self::Repair(item) => knowledge.items[item.0].id.as_str(),
            Self::Other => OTHER_COSTS.any.id(),
            Self::Rest => "rest",
            Self::Upkeep => "upkeep",
            Self::Floor => "floor",
            Self::PartsOnly => "parts-only",
            Self::ValueCap => "value-cap",
            Self::AskingCap => "asking-cap",
            Self::Rounding => "rounding",
        }
    }
}

/// One step: what it is and what it adds, in whole units of the currency.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Step {
    pub what: What,
    pub sum: f64,
}

/// How many repairs are named.
const NAMED: usize = 6;
/// A repair under this share of the value goes with the rest.
const WORTH_NAMING: f64 = 0.02;

/// Where the steps end.
#[derive(Clone, Copy, Debug)]
pub struct End {
    pub fixed: f64,
    pub write_off: bool,
    pub asking: Option<f64>,
    /// As said, rounded.
    pub ceiling: f64,
}

/// The steps from adverts to the ceiling. Each is the difference of two rounded levels, so they add up exactly.
#[must_use]
pub fn waterfall(lines: &[Line], net: Net<'_>, end: End) -> Vec<Step> {
    let value = net.value.mean();
    let begin = if net.value.compared { What::Adverts } else { What::Asked };
    let mut levels = vec![(begin, net.value.adverts), (What::Gap, value)];
    let mean = |line: &Line| line.chance * line.size.mean();
    let mut dear: Vec<&Line> = lines.iter().filter(|line| mean(line) >= WORTH_NAMING * value).collect();
    dear.sort_by(|a, b| mean(b).total_cmp(&mean(a)).then(a.item.cmp(&b.item)));
    dear.truncate(NAMED);
    let mut level = value;
    for line in &dear {
        level -= mean(line);
        levels.push((What::Repair(line.item), level));
    }
    level -= end.fixed;
    levels.push((What::Other, level));
    level = value - end.fixed - lines.iter().map(mean).sum::<f64>();
    levels.push((What::Rest, level));
    levels.push((What::Upkeep, level + net.ordinary));
    level = net.mean();
    levels.push((What::Floor, level));
    if end.write_off {
        level = FOR_PARTS * value;
        levels.push((What::PartsOnly, level));
    }
    level = level.min(value);
    levels.push((What::ValueCap, level));
    levels.push((What::AskingCap, level.min(end.asking.unwrap_or(f64::INFINITY))));
    levels.push((What::Rounding, end.ceiling));
    let mut before = 0.0;
    let steps = levels.into_iter().map(|(what, level)| {
        let sum = level.round() - before;
        before = level.round();
        Step { what, sum }
    });
    steps.filter(|step| step.sum.abs() > 0.5).collect()
}
