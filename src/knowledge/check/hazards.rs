//! Hazards and the cards read before a run.

use crate::knowledge::ids::{HazardId, HazardIx};
use crate::knowledge::model::{CardLine, Hazard, HazardText, RunCard};
use crate::knowledge::raw::{RawCardLine, RawHazard, RawRunCard};
use crate::knowledge::read::Placed;
use crate::knowledge::wrong::{Thing, Wrong};

use super::bench::{Bench, unique};

pub fn resolve_hazards(raws: &[Placed<RawHazard>], bench: &mut Bench<'_>) -> Vec<Hazard> {
    unique(raws.iter(), |raw| raw.id.as_str(), bench.problems);
    raws.iter().map(|placed| resolve_hazard(placed, bench)).collect()
}

fn resolve_hazard(placed: &Placed<RawHazard>, bench: &mut Bench<'_>) -> Hazard {
    let raw = &placed.raw;
    let id = raw.id.as_str();
    let variants = raw.variants.iter().filter_map(|variant| {
        let when = bench.condition(placed, id, "variants", &variant.when)?;
        Some(HazardText { when, text: variant.text.clone(), line: variant.line.clone() })
    });
    let variants = variants.collect();
    let again = raw.again.iter().filter_map(|look| bench.question(placed, id, "again", look)).collect();
    Hazard {
        id: raw.id.clone(),
        level: raw.level,
        text: raw.text.clone(),
        line: raw.line.clone(),
        when: bench.optional(placed, id, "when", raw.when.as_ref()),
        variants,
        again,
        basis: bench.basis(placed, id, &raw.basis),
    }
}

/// The place of a hazard of that name among those written, or a problem with the nearest name.
pub fn place_of<T>(
    wanted: &HazardId,
    known: &[&HazardId],
    (at, id): (&Placed<T>, &str),
    bench: &mut Bench<'_>,
) -> Option<HazardIx> {
    let found = known.iter().position(|hazard| *hazard == wanted).map(HazardIx);
    if found.is_none() {
        let names = known.iter().map(|hazard| hazard.as_str());
        bench.problems.push(at.problem(id, "hazards", Wrong::unknown(Thing::Hazard, wanted.as_str(), names)));
    }
    found
}

pub fn resolve_cards(raws: &[Placed<RawRunCard>], hazards: &[Hazard], bench: &mut Bench<'_>) -> Vec<RunCard> {
    let known: Vec<&HazardId> = hazards.iter().map(|hazard| &hazard.id).collect();
    let mut cards = Vec::new();
    for placed in raws {
        let raw = &placed.raw;
        let id = format!("run {}", raw.run);
        let Some(before) = bench.question(placed, &id, "before", &raw.before) else { continue };
        let named =
            raw.hazards.iter().filter_map(|hazard| place_of(hazard, &known, (placed, &id), bench)).collect();
        let cautions = lines_of(&raw.cautions, placed, &id, bench);
        let watch = lines_of(&raw.watch, placed, &id, bench);
        let title = raw.title.clone();
        cards.push(RunCard { run: raw.run, title, before, hazards: named, level: raw.level, cautions, watch });
    }
    cards
}

/// Lines of which some depend on the motor.
pub fn lines_of<T>(raws: &[RawCardLine], placed: &Placed<T>, id: &str, bench: &mut Bench<'_>) -> Vec<CardLine> {
    let line = |raw: &RawCardLine| CardLine {
        text: raw.text.clone(),
        look: raw.look.as_ref().and_then(|look| bench.question(placed, id, "look", look)),
        when: bench.optional(placed, id, "when", raw.when.as_ref()),
    };
    raws.iter().map(line).collect()
}
