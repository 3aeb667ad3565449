//! Chances of faults, what they cost, how the total spreads, ordinary upkeep, value. For the buyer's eyes only.

use serde::Serialize;

use crate::answers::Outcome;
use crate::judge::{Chance, Line, Money};
use crate::knowledge::{FaultIx, Knowledge};

use super::super::markdown::WIDTH;
use super::super::picture::{self, Points, Row};
use super::super::words::{self, percent, rounded};
use super::Scene;

/// Under this a chance is told only if something raised it.
const SMALL: f64 = 0.05;
/// A chance this much over its prior was raised in earnest.
const RAISED: f64 = 1.05;

#[derive(Clone, Debug, Serialize)]
pub struct ChanceSaid {
    pub fault: String,
    pub chance: String,
    pub raised_by: Option<String>,
    pub lowered_by: Option<String>,
}

/// All about costs, or the reason why nothing can be said.
#[derive(Clone, Debug, Serialize)]
pub struct Costs {
    pub none_because: Option<String>,
    pub sign: String,
    pub rows: Vec<CostRow>,
    /// "12 smaller chances together: about $90 on average".
    pub rest: Option<Rest>,
    pub other: Option<String>,
    pub assumed: Vec<String>,
    pub spread: Option<Spread>,
    pub ordinary: Option<String>,
    pub value: Option<ValueSaid>,
}

#[derive(Clone, Debug, Serialize)]
pub struct CostRow {
    pub item: String,
    pub chance: String,
    /// Low, likely, high.
    pub sizes: String,
}

#[derive(Clone, Debug, Serialize)]
pub struct Rest {
    pub count: usize,
    pub mean: String,
}

#[derive(Clone, Debug, Serialize)]
pub struct Spread {
    pub points: Points,
    pub rows: Vec<Row>,
    pub lines: Vec<String>,
}

#[derive(Clone, Debug, Serialize)]
pub struct ValueSaid {
    pub value: String,
    pub how: String,
}

/// Faults from the likeliest down, those that are neither likely nor raised left out.
pub(super) fn chances(scene: &Scene<'_, '_>) -> Vec<ChanceSaid> {
    let worth_telling = |chance: &&Chance| chance.settled.is_some() || chance.chance > SMALL || is_raised(chance);
    let mut told: Vec<&Chance> = scene.judgement.chances.iter().filter(worth_telling).collect();
    told.sort_by(|a, b| b.chance.total_cmp(&a.chance).then(a.fault.cmp(&b.fault)));
    told.into_iter().map(|chance| chance_said(scene.knowledge(), chance)).collect()
}

/// Whether the findings made a fault likelier than it is on any motor.
pub(super) fn is_raised(chance: &Chance) -> bool {
    chance.sure || chance.chance > chance.prior * RAISED
}

fn chance_said(knowledge: &Knowledge, chance: &Chance) -> ChanceSaid {
    let said = match (chance.settled, chance.sure) {
        (Some(Outcome::Faulty), _) => "a mechanic found it, so it is sure".to_owned(),
        (Some(Outcome::Fine), _) => format!("{}, a mechanic called it fine", words::chance(chance.chance)),
        (_, true) => "seen on this motor, so its cost is sure".to_owned(),
        _ => words::chance(chance.chance),
    };
    let movers = |raised: bool| {
        let findings = chance.moved_by.iter().map(|ix| &knowledge.findings[ix.0]);
        let on_side = findings.filter(|finding| {
            let words = if raised { &finding.speaks_for } else { &finding.against };
            words.iter().any(|(fault, _)| *fault == chance.fault)
        });
        let titles: Vec<&str> = on_side.map(|finding| finding.title.as_str()).collect();
        (!titles.is_empty()).then(|| titles.join("; "))
    };
    ChanceSaid {
        fault: words::capital(&knowledge.faults[chance.fault.0].title),
        chance: said,
        raised_by: movers(true),
        lowered_by: movers(false),
    }
}

impl Costs {
    pub(super) fn of(scene: &Scene<'_, '_>) -> Self {
        let money = &scene.judgement.money;
        let (told, small): (Vec<&Line>, Vec<&Line>) =
            money.lines.iter().partition(|line| line.sure || line.chance >= SMALL);
        Self {
            none_because: money.terms.as_ref().err().cloned(),
            sign: scene.purse.sign().to_owned(),
            rows: cost_rows(scene.knowledge(), told),
            rest: (!small.is_empty()).then(|| Rest {
                count: small.len(),
                mean: scene.purse.about(small.iter().map(|line| line.chance * line.size.mean()).sum()),
            }),
            other: (money.other > 0.0).then(|| scene.purse.exact(money.other)),
            assumed: money.terms.as_ref().map_or_else(|_| Vec::new(), |terms| terms.assumed.clone()),
            spread: spread(scene, money),
            ordinary: money.ordinary.map(|sum| scene.purse.about(sum)),
            value: money
                .value
                .as_ref()
                .map(|value| ValueSaid { value: scene.purse.about(value.mean()), how: value.how.clone() }),
        }
    }
}

/// The sure ones first, then from the likeliest down.
fn cost_rows(knowledge: &Knowledge, mut lines: Vec<&Line>) -> Vec<CostRow> {
    lines.sort_by(|a, b| b.sure.cmp(&a.sure).then(b.chance.total_cmp(&a.chance)).then(a.item.cmp(&b.item)));
    let row = |line: &Line| {
        let size = [line.size.low, line.size.likely, line.size.high];
        let fixed = line.size.low.to_bits() == line.size.high.to_bits();
        let sizes: Vec<String> =
            size.iter().map(|sum| words::grouped(if fixed { *sum } else { rounded(*sum) })).collect();
        CostRow {
            item: words::capital(&knowledge.items[line.item.0].title),
            chance: if line.sure && line.chance >= 1.0 { "sure".to_owned() } else { percent(line.chance) },
            sizes: if fixed { sizes[0].clone() } else { sizes.join(" / ") },
        }
    };
    lines.into_iter().map(row).collect()
}

fn spread(scene: &Scene<'_, '_>, money: &Money) -> Option<Spread> {
    let cost = money.cost.as_ref()?;
    let rows = picture::rows(cost);
    let lines = picture::lines(&rows, WIDTH);
    Some(Spread { points: picture::points(cost, &scene.purse), rows, lines })
}

/// The chance of a fault, where it can exist on this motor.
pub(super) fn chance_of<'s>(scene: &Scene<'s, '_>, fault: FaultIx) -> Option<&'s Chance> {
    scene.judgement.chances.iter().find(|chance| chance.fault == fault)
}
