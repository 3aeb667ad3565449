//! Gates before a risky step: every look it needs must have come out well.
//!
//! A bad value shuts the gate and stands among what ended; a look without a good value only holds it, and is offered
//! again: a missing safety look is no reason to pass it over.

use std::collections::HashMap;

use crate::answers::Standing;
use crate::knowledge::{Gate, Need, QuestionIx};

use super::truth::Truth;
use super::walk::{Ended, Held, Path};

/// How the gates met so far stand, by stage and place in it.
#[derive(Default)]
pub struct Gates {
    met: HashMap<(usize, usize), Stand>,
}

#[derive(Clone, Copy)]
enum Stand {
    Open,
    /// Place in [`Path::held`].
    Held(usize),
    /// Place in [`Path::ended`].
    Shut(usize),
}

impl Gates {
    /// Whether a gate keeps this question from being asked; the gate notes it where it `counts`.
    pub fn keep_shut(&mut self, path: &mut Path<'_>, ix: QuestionIx, counts: bool) -> bool {
        let stage = path.knowledge.question(ix).stage;
        let knowledge = path.knowledge;
        for (place, gate) in knowledge.stages[stage].gates.iter().enumerate() {
            if !gate.questions.contains(&ix) {
                continue;
            }
            let stand = *self.met.entry((stage, place)).or_insert_with(|| look(path, stage, gate));
            let waiting = match stand {
                Stand::Open => continue,
                Stand::Held(place) => &mut path.held[place].questions,
                Stand::Shut(place) => &mut path.ended[place].shut,
            };
            if counts {
                waiting.push(ix);
            }
            return true;
        }
        false
    }
}

/// Looks at a gate once, when its first question comes up.
fn look(path: &mut Path<'_>, stage: usize, gate: &Gate) -> Stand {
    // What can't be looked at on this motor is not needed.
    let applies = |need: &&Need| path.live.standing(need.check) != Standing::DoesNotApply;
    let needs: Vec<&Need> = gate.needs.iter().filter(applies).collect();
    let view = path.view();
    let bad = |need: &&&Need| need.bad.as_ref().is_some_and(|bad| view.holds(bad) == Truth::Yes);
    let shutting: Vec<&Need> = needs.iter().filter(bad).copied().collect();
    let missing = |need: &&&Need| need.good.as_ref().is_some_and(|good| view.holds(good) != Truth::Yes);
    let missing: Vec<&Need> = needs.iter().filter(missing).copied().collect();
    if !shutting.is_empty() {
        let first = path.ended.len();
        path.ended.extend(shutting.into_iter().map(|need| Ended {
            after: need.check,
            choice: None,
            closes: vec![path.knowledge.stages[stage].id.clone()],
            because: need.because.to_string(),
            shut: Vec::new(),
        }));
        return Stand::Shut(first);
    }
    if missing.is_empty() {
        return Stand::Open;
    }
    let first = path.held.len();
    path.held.extend(missing.into_iter().map(|need| Held {
        gate: gate.id.to_string(),
        check: need.check,
        because: need.because.to_string(),
        questions: Vec::new(),
    }));
    Stand::Held(first)
}
