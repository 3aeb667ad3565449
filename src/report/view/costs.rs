//! How the price comes about: value, upkeep, how the total cost spreads. For the buyer's eyes only.

use serde::Serialize;

use crate::judge::{Money, Step, What};

use super::super::markdown::WIDTH;
use super::super::picture::{self, Points, Row};
use super::Scene;

/// All about costs, or the reason why nothing can be said.
#[derive(Clone, Debug, Serialize)]
pub struct Costs {
    pub none_because: Option<String>,
    pub sign: String,
    pub other: Option<String>,
    pub assumed: Vec<String>,
    pub spread: Option<Spread>,
    /// From the adverts to the ceiling, a sum a line; they add up.
    pub waterfall: Vec<Fall>,
    pub ordinary: Option<String>,
    pub value: Option<ValueSaid>,
}

#[derive(Clone, Debug, Serialize)]
pub struct Spread {
    pub points: Points,
    pub rows: Vec<Row>,
    pub lines: Vec<String>,
}

#[derive(Clone, Debug, Serialize)]
pub struct Fall {
    pub what: String,
    pub sum: String,
}

#[derive(Clone, Debug, Serialize)]
pub struct ValueSaid {
    pub value: String,
    pub how: String,
}

impl Costs {
    pub(super) fn of(scene: &Scene<'_, '_>) -> Self {
        let money = &scene.judgement.money;
        Self {
            none_because: money.terms.as_ref().err().cloned(),
            sign: scene.purse.sign().to_owned(),
            other: (money.other > 0.0).then(|| scene.purse.exact(money.other)),
            assumed: money.terms.as_ref().map_or_else(|_| Vec::new(), |terms| terms.assumed.clone()),
            spread: spread(scene, money),
            waterfall: waterfall(scene, money),
            ordinary: money.ordinary.map(|sum| scene.purse.about(sum)),
            value: money
                .value
                .as_ref()
                .map(|value| ValueSaid { value: scene.purse.about(value.mean()), how: value.how.clone() }),
        }
    }
}

fn waterfall(scene: &Scene<'_, '_>, money: &Money) -> Vec<Fall> {
    let said = |sum: f64| match sum {
        sum if sum < 0.0 => format!("-{}", scene.purse.exact(-sum)),
        sum => scene.purse.exact(sum),
    };
    let fall = |step: &Step| Fall { what: step_said(scene, step.what), sum: said(step.sum) };
    money.waterfall.iter().map(fall).collect()
}

/// A step of the waterfall in words.
fn step_said(scene: &Scene<'_, '_>, what: What) -> String {
    match what {
        What::Adverts => "adverts of motors like it, on average",
        What::Asked => "what is asked",
        What::Gap => "adverts ask more than motors sell for",
        What::Repair(item) => &scene.knowledge().items[item.0].title,
        What::Other => "other costs",
        What::Rest => "all smaller chances",
        What::Upkeep => "ordinary upkeep, in the adverts already",
        What::Floor => "never worth less than its parts",
        What::PartsOnly => "not worth repairing: its parts only",
        What::ValueCap => "never more than such a motor is worth",
        What::AskingCap => "never more than is asked",
        What::Rounding => "rounded down",
    }
    .to_owned()
}

fn spread(scene: &Scene<'_, '_>, money: &Money) -> Option<Spread> {
    let cost = money.cost.as_ref()?;
    let rows = picture::rows(cost);
    let lines = picture::lines(&rows, WIDTH);
    Some(Spread { points: picture::points(cost, &scene.purse), rows, lines })
}
