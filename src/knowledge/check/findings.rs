//! Findings: their conditions, their evidence, the check each belongs to.

use std::collections::{BTreeMap, HashMap};

use crate::knowledge::condition::{Condition, Named};
use crate::knowledge::ids::{FaultId, FaultIx, ItemIx, QuestionId, QuestionIx};
use crate::knowledge::model::{Fault, Finding, Grade, Item, Question, Strength};
use crate::knowledge::near;
use crate::knowledge::raw::RawFinding;
use crate::knowledge::read::Placed;

use super::bench::Bench;

pub fn resolve_finding(
    placed: &Placed<RawFinding>,
    stage: usize,
    (faults, items, questions): (&[Fault], &[Item], &[Question]),
    bench: &mut Bench<'_>,
) -> Option<Finding> {
    let raw = &placed.raw;
    let id = raw.id.as_str();
    if raw.grade == Grade::Stop && raw.clears.is_none() {
        bench.problems.push(placed.problem(id, "clears", "a stop says who can clear it and how"));
    }
    if matches!(raw.grade, Grade::Stop | Grade::Serious) && raw.innocent.is_none() {
        bench.problems.push(placed.problem(
            id,
            "innocent",
            "a stop or serious finding names the innocent reason too",
        ));
    }
    let mut evidence = |field: &str, words: &BTreeMap<FaultId, Strength>| {
        let mut found = Vec::new();
        for (fault, strength) in words {
            match faults.iter().position(|known| known.id == *fault) {
                Some(place) => found.push((FaultIx(place), *strength)),
                None => {
                    let known = faults.iter().map(|fault| fault.id.as_str());
                    let message = format!("there is no fault \"{fault}\"{}", near(fault.as_str(), known));
                    bench.problems.push(placed.problem(id, field, message));
                }
            }
            if field == "against" && *strength == Strength::Seen {
                bench.problems.push(placed.problem(id, field, "seen speaks only for a fault"));
            }
        }
        found
    };
    let (speaks_for, against) = (evidence("for", &raw.speaks_for), evidence("against", &raw.against));
    let mut costs = Vec::new();
    for wanted in &raw.costs {
        match items.iter().position(|item| item.id == *wanted) {
            Some(place) => costs.push(ItemIx(place)),
            None => bench.problems.push(placed.problem(id, "costs", format!("there is no item \"{wanted}\""))),
        }
    }
    let when = bench.condition(placed, id, "when", &raw.when)?;
    let reads = questions_behind(&when, bench.by_id);
    Some(Finding {
        id: raw.id.clone(),
        stage,
        check: reads.iter().map(|ix| root_of(questions, *ix)).max(),
        last: reads.iter().copied().max(),
        when,
        grade: raw.grade,
        sign: raw.sign.clone().unwrap_or_else(|| id.to_owned()),
        points_to: raw.points_to.clone(),
        title: raw.title.clone(),
        means: raw.means.clone(),
        innocent: raw.innocent.clone(),
        what_to_do: raw.what_to_do.clone(),
        bargain: raw.bargain.clone(),
        mechanic: raw.mechanic.clone(),
        clears: raw.clears.clone(),
        safety: raw.safety,
        seller: raw.seller,
        costs,
        speaks_for,
        against,
        notes: bench.words(placed, id, "notes", &raw.notes),
        basis: bench.basis(placed, id, &raw.basis),
    })
}

/// The questions a condition can't do without.
fn questions_behind(when: &Condition, by_id: &HashMap<QuestionId, QuestionIx>) -> Vec<QuestionIx> {
    let mut all = Vec::new();
    when.visit(&mut |named| match named {
        Named::Question(ix) => all.push(ix),
        Named::Measure(measure) => {
            let about = measure.about();
            let reads = if about.needs.is_empty() { about.reads } else { about.needs };
            all.extend(reads.iter().filter_map(|id| by_id.get(*id).copied()));
        }
    });
    all
}

fn root_of(questions: &[Question], mut ix: QuestionIx) -> QuestionIx {
    while let Some(above) = questions[ix.0].follows {
        ix = above;
    }
    ix
}
