//! Which cautions stand before a step in this sitting: in full once and where the hazard grows, else as a line.
//!
//! Start at [`Sitting::before`]. What was shown belongs to the sitting, not to the saved interview: whoever comes back
//! another day is told again. A hazard that does not exist on this motor is not shown. Signal words head only what is
//! told in full.

use std::collections::BTreeSet;

use crate::answers::Standing;
use crate::knowledge::{Hazard, HazardIx, Level, Place, QuestionIx, RunCard};

use super::conditions::View;
use super::truth::Truth;

/// At most so many full texts share a box with their question; more stand alone before it.
const FULL_IN_A_BOX: usize = 2;

/// What has been shown since the talk began.
#[derive(Clone, Debug, Default)]
pub struct Sitting {
    full: BTreeSet<HazardIx>,
    /// Full texts shown again where the hazard had grown: the hazard and the look.
    grown: BTreeSet<(HazardIx, QuestionIx)>,
    station: Option<Place>,
    /// Shown at this station, in full or as a line.
    here: BTreeSet<HazardIx>,
    runs: BTreeSet<u8>,
}

/// What stands before a step.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Warned<'k> {
    /// Boxes that stand alone, to be read before the question comes.
    pub alone: Vec<Boxed<'k>>,
    /// The box above the question.
    pub with: Option<Boxed<'k>>,
    /// Reminders without a signal word.
    pub lines: Vec<&'k str>,
}

/// A box: the highest signal word, and the full texts under it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Boxed<'k> {
    pub level: Level,
    pub texts: Vec<&'k str>,
}

impl Sitting {
    /// What stands before a question, noted as shown.
    pub fn before<'k>(&mut self, view: &View<'_, 'k>, ix: QuestionIx) -> Warned<'k> {
        let knowledge = view.live.knowledge;
        let question = knowledge.question(ix);
        self.arrive(question.place);
        let remind = knowledge.visit.remind.contains(&ix);
        let (mut full, mut lines): (Vec<&'k Hazard>, Vec<&'k str>) = (Vec::new(), Vec::new());
        for place in question.hazards.iter().copied() {
            let hazard = &knowledge.hazards[place.0];
            if !exists(view, hazard) {
                continue;
            }
            let grows = hazard.again.contains(&ix) && self.grown.insert((place, ix));
            if self.full.insert(place) || grows {
                full.push(hazard);
            } else if !self.here.contains(&place) || remind {
                lines.push(line_of(view, hazard));
            }
            self.here.insert(place);
        }
        full.sort_by_key(|hazard| hazard.level);
        let boxes = full.chunks(FULL_IN_A_BOX).map(|some| boxed(view, some));
        let mut alone: Vec<Boxed<'k>> = boxes.collect();
        let with = alone.pop();
        Warned { alone, with, lines }
    }

    /// The card of a run, once in a sitting: before the question it belongs to, or where that is not asked before the
    /// first that is. Whoever has answered one of them has run it.
    pub fn card<'k>(&mut self, view: &View<'_, 'k>, ix: QuestionIx) -> Option<&'k RunCard> {
        let knowledge = view.live.knowledge;
        let block = knowledge.question(ix).block.as_ref()?;
        let of_run = |at: QuestionIx, card: &RunCard| {
            at >= card.before && knowledge.question(at).block.as_ref() == Some(block)
        };
        let card = knowledge
            .run_cards
            .iter()
            .find(|card| knowledge.question(card.before).block.as_ref() == Some(block) && of_run(ix, card))?;
        let answered = |at: QuestionIx| at < ix && matches!(view.live.standing(at), Standing::Value(_));
        if ix != card.before && knowledge.places().any(|at| of_run(at, card) && answered(at)) {
            return None;
        }
        self.runs.insert(card.run).then(|| {
            // What the card tells counts as told in full.
            self.full.extend(&card.hazards);
            self.here.extend(&card.hazards);
            card
        })
    }

    fn arrive(&mut self, place: Option<Place>) {
        if place.is_some() && self.station != place {
            self.station = place;
            self.here.clear();
        }
    }
}

fn exists(view: &View<'_, '_>, hazard: &Hazard) -> bool {
    hazard.when.as_ref().is_none_or(|when| view.holds(when) != Truth::No)
}

fn boxed<'k>(view: &View<'_, 'k>, hazards: &[&'k Hazard]) -> Boxed<'k> {
    let level = hazards.iter().map(|hazard| hazard.level).min().unwrap_or(Level::Notice);
    Boxed { level, texts: hazards.iter().map(|hazard| text_of(view, hazard)).collect() }
}

/// The full text that fits this motor and this place.
fn text_of<'k>(view: &View<'_, 'k>, hazard: &'k Hazard) -> &'k str {
    let mut fits = hazard.variants.iter().filter(|variant| view.holds(&variant.when) == Truth::Yes);
    fits.find_map(|variant| variant.text.as_deref()).unwrap_or(&hazard.text)
}

/// The short line that fits this motor and this place.
#[must_use]
pub fn line_of<'k>(view: &View<'_, 'k>, hazard: &'k Hazard) -> &'k str {
    let mut fits = hazard.variants.iter().filter(|variant| view.holds(&variant.when) == Truth::Yes);
    fits.find_map(|variant| variant.line.as_deref()).unwrap_or(&hazard.line)
}
