//! The mechanic's paper: facts first, then numbered points to be filled in. No money, no chances.

use serde::Serialize;

use crate::answers::Standing;
use crate::knowledge::roles::{
    AnyRole, CLAIMED_POWER, CLAIMED_YEAR, HOURS, HOURS_SOURCE, KEPT_IN, LABEL_FAMILY, SERIAL_NUMBER, SHAFT_LENGTH,
    STROKES,
};
use crate::knowledge::{Grade, Kind, QuestionIx};

use super::super::paper::state_code;
use super::found::Found;
use super::measured::Measured;
use super::points::{self, Done, OpenPoint};
use super::unseen::Unseen;
use super::{Head, Scene, Seen};

/// What a workshop asks first, besides the facts marked as being about the motor.
const ALSO: [AnyRole; 6] =
    [SHAFT_LENGTH.any, HOURS.any, HOURS_SOURCE.any, KEPT_IN.any, SERIAL_NUMBER.any, LABEL_FAMILY.any];
/// These stand in the title line already.
const IN_TITLE: [AnyRole; 3] = [CLAIMED_POWER.any, CLAIMED_YEAR.any, STROKES.any];

#[derive(Clone, Debug, Serialize)]
pub struct Mechanic {
    pub head: Head,
    pub name: String,
    /// Tells a paper of an older state of the interview.
    pub state: String,
    pub motor: Vec<Seen>,
    pub measured: Measured,
    pub found: Found,
    /// Evidence of good signs, each once; amounts stand among the readings.
    pub in_order: Vec<Seen>,
    pub unseen: Unseen,
    pub points: Vec<OpenPoint>,
    pub done: Vec<Done>,
}

impl Mechanic {
    #[must_use]
    pub fn of(scene: &Scene<'_, '_>) -> Self {
        let told = scene.path().steps.iter().map(|step| step.question).filter(|ix| {
            let question = scene.knowledge().question(*ix);
            let is_in = |roles: &[AnyRole]| roles.iter().any(|role| scene.knowledge().ask(*role) == *ix);
            (question.motor || is_in(&ALSO))
                && !is_in(&IN_TITLE)
                && matches!(scene.path().live.standing(*ix), Standing::Value(_))
        });
        Self {
            head: Head::of(scene),
            name: super::words::typed(scene.meta.name),
            state: state_code(scene.knowledge(), scene.record()),
            motor: told.filter_map(|ix| scene.seen(ix)).collect(),
            measured: Measured::of(scene),
            in_order: in_order(scene),
            found: Found::of(scene),
            unseen: Unseen::of(scene),
            points: points::open_points(scene),
            done: points::done_points(scene),
        }
    }
}

/// What was seen to be in order.
fn in_order(scene: &Scene<'_, '_>) -> Vec<Seen> {
    let knowledge = scene.knowledge();
    let good = scene
        .judgement
        .findings
        .fired
        .iter()
        .filter(|fired| knowledge.findings[fired.finding.0].grade == Grade::Good);
    // The answer the finding hangs on, with its follow-ups; not the facts it was held against.
    let own = good.flat_map(|fired| {
        let check = knowledge.findings[fired.finding.0].check;
        fired.answers.iter().copied().filter(move |ix| Some(knowledge.root_of(*ix)) == check)
    });
    let chosen =
        |ix: &QuestionIx| matches!(knowledge.question(*ix).kind, Kind::One(_) | Kind::Many(_) | Kind::Each(_));
    let mut answers: Vec<QuestionIx> = own.filter(chosen).collect();
    answers.sort_unstable();
    answers.dedup();
    answers.into_iter().filter_map(|ix| scene.seen(ix)).collect()
}
