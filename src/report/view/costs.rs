//! How the price comes about: value, upkeep, how the total cost spreads. For the buyer's eyes only.

use serde::Serialize;

use crate::judge::{Money, Step, What};

use super::super::markdown::WIDTH;
use super::super::picture::{self, Points, Row};
use super::super::words;
use super::Scene;

/// All about costs, or the reason why nothing can be said.
#[derive(Clone, Debug, Serialize)]
pub struct Costs {
    pub none_because: Option<String>,
    pub sign: String,
    /// From adverts to the ceiling, adding up.
    pub steps: Vec<StepSaid>,
    pub other: Option<String>,
    pub assumed: Vec<String>,
    pub spread: Option<Spread>,
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
pub struct ValueSaid {
    pub value: String,
    pub how: String,
}

impl Costs {
    pub(super) fn of(scene: &Scene<'_, '_>) -> Self {
        let money = &scene.judgement.money;
        Self {
            none_because: money.terms.as_ref().err().map(ToString::to_string),
            sign: scene.purse.sign().to_owned(),
            steps: money.waterfall.iter().map(|step| step_said(scene, step)).collect(),
            other: (money.other > 0.0).then(|| scene.purse.exact(money.other)),
            assumed: money
                .terms
                .as_ref()
                .map_or_else(|_| Vec::new(), |terms| terms.assumed.iter().map(ToString::to_string).collect()),
            spread: spread(scene, money),
            ordinary: money.ordinary.map(|sum| scene.purse.about(sum)),
            value: money
                .value
                .as_ref()
                .map(|value| ValueSaid { value: scene.purse.about(value.mean()), how: value.how.clone() }),
        }
    }
}

/// One step of the way from adverts to the ceiling.
#[derive(Clone, Debug, Serialize)]
pub struct StepSaid {
    pub what: String,
    pub sum: String,
}

fn step_said(scene: &Scene<'_, '_>, step: &Step) -> StepSaid {
    let what = match step.what {
        What::Adverts => "adverts of motors like it, on average".to_owned(),
        What::Asked => "the asking price".to_owned(),
        What::Gap => "adverts ask more than motors sell for".to_owned(),
        What::Repair(item) => scene.knowledge().items[item.0].title.to_string(),
        What::Other => "other costs".to_owned(),
        What::Rest => "all smaller chances together".to_owned(),
        What::Upkeep => "upkeep, in the adverts already".to_owned(),
        What::Floor => "it is always worth its parts".to_owned(),
        What::PartsOnly => "only the parts count".to_owned(),
        What::ValueCap => "never over its value".to_owned(),
        What::AskingCap => "never over what is asked".to_owned(),
        What::Rounding => "rounded down".to_owned(),
    };
    let sum =
        if step.sum < 0.0 { format!("-{}", scene.purse.exact(-step.sum)) } else { scene.purse.exact(step.sum) };
    StepSaid { what: words::capital(&what), sum }
}

fn spread(scene: &Scene<'_, '_>, money: &Money) -> Option<Spread> {
    let cost = money.cost.as_ref()?;
    let rows = picture::rows(cost);
    let lines = picture::lines(&rows, WIDTH);
    Some(Spread { points: picture::points(cost, &scene.purse), rows, lines })
}
