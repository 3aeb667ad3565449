//! Raw shapes to [`Knowledge`]: every name resolved, every rule of the data looked at.
//!
//! [`read_all`] sorts the files into their parts; [`resolve_all`] turns the parts into types. Both gather
//! problems and go on, so that whoever edits the data sees all of them at once.

mod bench;
mod findings;
mod hazards;
mod items;
mod parts;
mod questions;
mod roles;
mod visit;

use std::collections::HashSet;

use super::fold::fold;
use super::ids::{QuestionIx, StageId};
use super::marks::{Mark, Marks};
use super::measures::{KnownMeasure, MeasureFacts, MeasureId};
use super::model::{Gate, Knowledge, Need, Stage};
use super::raw::{RawGate, RawQuestion, RawStage};
use super::read::{Placed, Problem};
use super::wrong::{Thing, Wrong};
use super::{endings, synonyms};

use bench::{Bench, unique};
use findings::{Known, resolve_finding};
use hazards::{lines_of, resolve_cards, resolve_hazards};
use items::{resolve_faults, resolve_items, resolve_settings};
use parts::Parts;
use questions::{
    Links, choices_have_names_of_their_own, follow_ups_stand_right_behind, late, links_of, outline_questions,
};
use roles::{resolve_item_roles, resolve_roles};
use visit::resolve_visit;

use parts::{Lates, lates};
pub use parts::{read_all, unpack_all};

/// Turns parts into knowledge; `None` when a part is missing altogether.
pub fn resolve_all(
    parts: Parts,
    measures: &[MeasureFacts],
    fingerprint: String,
    problems: &mut Vec<Problem>,
) -> Option<Knowledge> {
    let stage_ids: Vec<StageId> = parts.stages.iter().map(|read| read.stage.raw.id.clone()).collect();
    let (mut questions, by_id) = outline_questions(&parts.stages, &stage_ids, problems);
    if let Some(synonyms) = &parts.synonyms {
        synonyms::look_at(synonyms, &questions, problems);
    }
    let sources: HashSet<String> = parts.sources.iter().map(|source| source.raw.id.to_string()).collect();
    let raws: Vec<&Placed<RawQuestion>> = parts.stages.iter().flat_map(|read| &read.questions).collect();
    if !parts.proven {
        for raw in &raws {
            choices_have_names_of_their_own(raw, problems);
        }
    }
    let roles = resolve_roles(&raws, &questions, &by_id, problems);
    let measures: Vec<KnownMeasure> = measures.iter().map(|facts| KnownMeasure::found(facts, &roles)).collect();
    let measures = &measures[..];
    let written: Vec<Option<QuestionIx>> =
        raws.iter().map(|raw| raw.raw.follows.as_ref().and_then(|above| by_id.get(above).copied())).collect();
    let written = &written[..];
    let mut bench = Bench { questions: &questions, by_id: &by_id, sources: &sources, measures, written, problems };
    follow_ups_stand_right_behind(&raws, &mut bench);
    let links: Vec<Links> = raws
        .iter()
        .enumerate()
        .map(|(ix, raw)| links_of(QuestionIx(ix), raw, &parts.hazards, &mut bench))
        .collect();
    for (question, links) in questions.iter_mut().zip(links) {
        links.put_into(question);
    }
    let mut bench = Bench { questions: &questions, by_id: &by_id, sources: &sources, measures, written, problems };
    if !parts.proven {
        pictures_are_there(&raws, &parts, &mut bench);
    }
    let above = parts.settings.as_ref().map(|placed| placed.raw.very_large);
    let items = resolve_items(&parts.items, above, &mut bench);
    let faults = resolve_faults(&parts.faults, &items, &mut bench);
    let settings = resolve_settings(parts.settings.as_ref(), &mut bench);
    let hazards = resolve_hazards(&parts.hazards, &mut bench);
    let run_cards = resolve_cards(&parts.cards, &hazards, &mut bench);
    let visit = resolve_visit(parts.visit.as_ref(), &stage_ids, &mut bench);
    let (mut findings, mut finding_marks) = (Vec::new(), Vec::new());
    let known = Known { faults: &faults, items: &items, questions: &questions, stories: &parts.stories };
    for (stage, read) in parts.stages.iter().enumerate() {
        for raw in &read.findings {
            if let Some(finding) = resolve_finding(raw, stage, &known, &mut bench) {
                findings.push(finding);
                finding_marks.push(Mark::of(raw));
            }
        }
    }
    let item_roles = resolve_item_roles(&parts.items, &items, bench.problems);
    unique(parts.stages.iter().flat_map(|read| &read.findings), |raw| raw.id.as_str(), bench.problems);
    let stages = parts
        .stages
        .iter()
        .enumerate()
        .map(|(place, read)| resolve_stage(place, &read.stage, &mut bench))
        .collect();
    if questions.is_empty() {
        problems.push(Problem::of_file("questions", Wrong::NoStageFile));
    }
    endings::mark(&mut questions, &findings);
    let Lates { terms, pictures, synonyms } = lates(parts.proven, parts.terms, parts.pictures, parts.synonyms);
    let mut knowledge = Knowledge {
        stages,
        questions,
        findings,
        faults,
        items,
        settings: settings?,
        sources: parts.sources.into_iter().map(|source| source.raw).collect(),
        terms,
        pictures,
        hazards,
        run_cards,
        stories: parts.stories.into_iter().map(|story| story.raw).collect(),
        folds: Vec::new(),
        synonyms,
        visit: visit?,
        roles: roles.into_iter().map(|place| place.unwrap_or(QuestionIx(0))).collect(),
        item_roles,
        marks: Marks {
            stages: parts.stages.iter().map(|read| Mark::of(&read.stage)).collect(),
            questions: parts.stages.iter().flat_map(|read| &read.questions).map(Mark::of).collect(),
            findings: finding_marks,
        },
        read_by: read_by(measures, raws.len()),
        measures: measures.to_vec(),
        fingerprint,
        by_id,
    };
    knowledge.folds = fold(&knowledge);
    Some(knowledge)
}

/// The measures that read each of so many questions.
fn read_by(measures: &[KnownMeasure], questions: usize) -> Vec<Vec<MeasureId>> {
    let mut all = vec![Vec::new(); questions];
    for (place, measure) in measures.iter().enumerate() {
        measure.reads.iter().for_each(|ix| all[ix.0].push(MeasureId(place)));
    }
    all
}

/// Every drawing a question names is one of the data.
fn pictures_are_there(raws: &[&Placed<RawQuestion>], parts: &Parts, bench: &mut Bench<'_>) {
    let known = || parts.pictures.iter().map(|known| known.raw.id.as_str());
    for raw in raws {
        if let Some(picture) = &raw.raw.picture
            && !known().any(|known| *picture == known)
        {
            let wrong = Wrong::unknown(Thing::Picture, picture.as_str(), known());
            bench.problems.push(raw.problem(raw.raw.id.as_str(), "picture", wrong));
        }
    }
}

fn resolve_stage(place: usize, placed: &Placed<RawStage>, bench: &mut Bench<'_>) -> Stage {
    let raw = &placed.raw;
    Stage {
        id: raw.id.clone(),
        title: raw.title.clone(),
        about: raw.about.clone(),
        send_ahead: lines_of(&raw.send_ahead, placed, raw.id.as_str(), bench),
        have_ready: lines_of(&raw.have_ready, placed, raw.id.as_str(), bench),
        gates: raw.gates.iter().map(|gate| resolve_gate(place, gate, placed, bench)).collect(),
    }
}

fn resolve_gate(stage: usize, raw: &RawGate, placed: &Placed<RawStage>, bench: &mut Bench<'_>) -> Gate {
    let mut questions: Vec<QuestionIx> =
        raw.questions.iter().filter_map(|id| bench.question(placed, &raw.id, "gates", id)).collect();
    if questions.is_empty() {
        let places = (0..bench.questions.len()).map(QuestionIx);
        questions = places.filter(|ix| bench.questions[ix.0].stage == stage).collect();
    }
    questions.sort_unstable();
    let mut needs = Vec::new();
    for need in &raw.needs {
        if need.good.is_none() && need.bad.is_none() {
            bench.problems.push(placed.problem(&raw.id, "gates", Wrong::EmptyNeed));
        }
        let good = bench.optional(placed, &raw.id, "good", need.good.as_ref());
        let bad = bench.optional(placed, &raw.id, "bad", need.bad.as_ref());
        let first = questions.first().copied().unwrap_or(QuestionIx(0));
        for (field, when) in [("good", &good), ("bad", &bad)] {
            let behind = when.as_ref().map_or_else(Vec::new, |when| late(when, &|other| other >= first, bench));
            for other in behind {
                let wrong = Wrong::TooLate { other, where_it_is: "does not stand before the gate" };
                bench.problems.push(placed.problem(&raw.id, field, wrong));
            }
        }
        if let Some(check) = bench.question(placed, &raw.id, "check", &need.check) {
            needs.push(Need { check, good, bad, because: need.because.clone() });
        }
    }
    Gate { id: raw.id.clone(), questions, needs }
}
