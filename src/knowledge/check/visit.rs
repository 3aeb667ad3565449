//! The minutes of a visit: what it costs beside its questions, what comes first when time is short.

use crate::knowledge::ids::{ChoiceId, QuestionId, QuestionIx, StageId};
use crate::knowledge::model::{Kind, Side, Visit};
use crate::knowledge::near_name;
use crate::knowledge::raw::{RawSide, RawVisit};
use crate::knowledge::read::{Placed, Problem};
use crate::knowledge::wrong::{Thing, Wrong};

use super::bench::Bench;

pub fn resolve_visit(
    placed: Option<&Placed<RawVisit>>,
    stages: &[StageId],
    bench: &mut Bench<'_>,
) -> Option<Visit> {
    let Some(placed) = placed else {
        bench.problems.push(Problem::of_file("visit.json", Wrong::NoVisit));
        return None;
    };
    let raw = &placed.raw;
    let minutes = [raw.arrive, raw.usual_minutes].into_iter();
    let minutes = minutes.chain(raw.stations.iter().map(|station| station.minutes));
    if minutes.chain(raw.blocks.iter().map(|block| block.minutes)).any(|minutes| !(0.0..1440.0).contains(&minutes))
    {
        bench.problems.push(placed.problem("visit", "minutes", Wrong::MinutesOutside));
    }
    for name in &raw.workshop {
        if !raw.blocks.iter().any(|block| block.id == *name) {
            let known = raw.blocks.iter().map(|block| block.id.as_str());
            bench.problems.push(placed.problem("visit", "workshop", Wrong::unknown(Thing::Block, name, known)));
        }
    }
    blocks_are_known(raw, bench);
    let mut all = |field: &str, ids: &[QuestionId]| -> Vec<QuestionIx> {
        ids.iter().filter_map(|id| bench.question(placed, "visit", field, id)).collect()
    };
    let remind = all("remind", &raw.remind);
    let stop_order = all("stop-order", &raw.stop_order);
    let refusals: Vec<(ChoiceId, Vec<QuestionIx>)> =
        raw.refusals.iter().map(|(choice, ids)| (choice.clone(), all("refusals", ids))).collect();
    let mut one = |field: &str, id: &Option<QuestionId>| {
        id.as_ref().and_then(|id| bench.question(placed, "visit", field, id))
    };
    let (tools, minutes) = (one("tools", &raw.tools), one("minutes", &raw.minutes));
    let sheet = sides(placed, stages, bench);
    let refuses = bench.question(placed, "visit", "refuses", &raw.refuses)?;
    for (choice, _) in &refusals {
        let question = &bench.questions[refuses.0];
        if !matches!(question.kind, Kind::Many(_)) || question.choice(choice).is_none() {
            let near = near_name(choice.as_str(), question.choices().iter().map(|choice| choice.id.as_str()));
            let near = near.map(str::to_owned);
            let wrong = Wrong::UnknownChoice { of: question.id.to_string(), name: choice.to_string(), near };
            bench.problems.push(placed.problem("visit", "refusals", wrong));
        }
    }
    Some(Visit {
        arrive: raw.arrive,
        stations: raw.stations.clone(),
        blocks: raw.blocks.clone(),
        stop_order,
        tools,
        minutes,
        refuses,
        usual_minutes: raw.usual_minutes,
        refusals,
        workshop: raw.workshop.clone(),
        remind,
        sheet,
    })
}

/// The sides of the field sheet. Each stage stands on one side of a fresh sheet and on one of any other.
fn sides(placed: &Placed<RawVisit>, stages: &[StageId], bench: &mut Bench<'_>) -> Vec<Side> {
    let raw = &placed.raw;
    for stage in raw.sheet.iter().flat_map(|side| &side.stages) {
        if !stages.contains(stage) {
            let known = stages.iter().map(StageId::as_str);
            let wrong = Wrong::unknown(Thing::Stage, stage.as_str(), known);
            bench.problems.push(placed.problem("visit", "sheet", wrong));
        }
    }
    for stage in stages {
        for fresh in [false, true] {
            let on = |side: &&RawSide| side.fresh.is_none_or(|only| only == fresh) && side.stages.contains(stage);
            if raw.sheet.iter().filter(on).count() != 1 {
                let wrong = Wrong::NotOneSide { stage: stage.to_string(), fresh };
                bench.problems.push(placed.problem("visit", "sheet", wrong));
            }
        }
    }
    let side = |side: &RawSide| Side {
        title: side.title.clone(),
        stages: side.stages.clone(),
        also: side.also.iter().filter_map(|id| bench.question(placed, "visit", "sheet", id)).collect(),
        run: side.run,
        fresh: side.fresh,
    };
    raw.sheet.iter().map(side).collect()
}

/// Every block a question names is one of the visit's.
fn blocks_are_known(raw: &RawVisit, bench: &mut Bench<'_>) {
    for question in bench.questions {
        let Some(block) = &question.block else { continue };
        if !raw.blocks.iter().any(|known| known.id == *block) {
            let known = raw.blocks.iter().map(|block| block.id.as_str());
            bench.problems.push(Problem {
                file: "visit.json".into(),
                line: 1,
                id: Some(question.id.to_string()),
                field: Some("block".into()),
                wrong: Wrong::unknown(Thing::Block, block, known),
            });
        }
    }
}
