//! Findings: their conditions, their evidence, the check each belongs to.

use std::collections::BTreeMap;

use crate::knowledge::condition::{Condition, Named};
use crate::knowledge::ids::{FaultId, FaultIx, ItemIx, QuestionIx};
use crate::knowledge::measures::KnownMeasure;
use crate::knowledge::model::{Fault, Finding, Grade, Instead, Item, NamedStory, Question, Strength};
use crate::knowledge::raw::RawFinding;
use crate::knowledge::read::Placed;
use crate::knowledge::wrong::{Thing, Wrong};

use super::bench::Bench;

/// What findings name.
pub struct Known<'k> {
    pub faults: &'k [Fault],
    pub items: &'k [Item],
    pub questions: &'k [Question],
    pub stories: &'k [Placed<NamedStory>],
}

pub fn resolve_finding(
    placed: &Placed<RawFinding>,
    stage: usize,
    known: &Known<'_>,
    bench: &mut Bench<'_>,
) -> Option<Finding> {
    let raw = &placed.raw;
    let id = raw.id.as_str();
    if raw.grade == Grade::Stop && raw.clears.is_none() {
        bench.problems.push(placed.problem(id, "clears", Wrong::StopWithoutClears));
    }
    if matches!(raw.grade, Grade::Stop | Grade::Serious) && raw.innocent.is_none() {
        bench.problems.push(placed.problem(id, "innocent", Wrong::NoInnocent));
    }
    let speaks_for = evidence("for", &raw.speaks_for, placed, known, bench);
    let against = evidence("against", &raw.against, placed, known, bench);
    let instead = instead_of(placed, known, bench);
    let story = story_of(placed, known, bench);
    let main = main_of(placed, known, bench);
    let mut costs = Vec::new();
    for wanted in &raw.costs {
        match known.items.iter().position(|item| item.id == *wanted) {
            Some(place) => costs.push(ItemIx(place)),
            None => {
                let names = known.items.iter().map(|item| item.id.as_str());
                let wrong = Wrong::unknown(Thing::Item, wanted.as_str(), names);
                bench.problems.push(placed.problem(id, "costs", wrong));
            }
        }
    }
    let when = bench.condition(placed, id, "when", &raw.when)?;
    let reads = questions_behind(&when, bench.measures);
    Some(Finding {
        id: raw.id.clone(),
        stage,
        check: reads.iter().map(|ix| root_of(known.questions, *ix)).max(),
        last: reads.iter().copied().max(),
        when,
        grade: raw.grade,
        sign: raw.sign.clone().unwrap_or_else(|| id.into()),
        points_to: raw.points_to.clone(),
        story,
        main,
        title: raw.title.clone(),
        means: raw.means.clone(),
        innocent: raw.innocent.clone(),
        what_to_do: raw.what_to_do.clone(),
        bargain: raw.bargain.clone(),
        mechanic: raw.mechanic.clone(),
        clears: raw.clears.clone(),
        clears_by: raw.clears_by,
        safety: raw.safety,
        seller: raw.seller,
        costs,
        speaks_for,
        against,
        instead,
        notes: bench.words(placed, id, "notes", &raw.notes),
        basis: bench.basis(placed, id, &raw.basis),
    })
}

fn evidence(
    field: &str,
    words: &BTreeMap<FaultId, Strength>,
    placed: &Placed<RawFinding>,
    known: &Known<'_>,
    bench: &mut Bench<'_>,
) -> Vec<(FaultIx, Strength)> {
    let id = placed.raw.id.as_str();
    let mut found = Vec::new();
    for (fault, strength) in words {
        found.extend(fault_named(fault, field, placed, known, bench).map(|fault| (fault, *strength)));
        if field == "against" && *strength == Strength::Seen {
            bench.problems.push(placed.problem(id, field, Wrong::SeenAgainst));
        }
    }
    found
}

fn fault_named(
    fault: &FaultId,
    field: &str,
    placed: &Placed<RawFinding>,
    known: &Known<'_>,
    bench: &mut Bench<'_>,
) -> Option<FaultIx> {
    let found = known.faults.iter().position(|known| known.id == *fault).map(FaultIx);
    if found.is_none() {
        let names = known.faults.iter().map(|fault| fault.id.as_str());
        let wrong = Wrong::unknown(Thing::Fault, fault.as_str(), names);
        bench.problems.push(placed.problem(placed.raw.id.as_str(), field, wrong));
    }
    found
}

fn instead_of(placed: &Placed<RawFinding>, known: &Known<'_>, bench: &mut Bench<'_>) -> Vec<Instead> {
    let mut all = Vec::new();
    for raw in &placed.raw.instead {
        let speaks_for = evidence("for", &raw.speaks_for, placed, known, bench);
        let against = evidence("against", &raw.against, placed, known, bench);
        let when = bench.condition(placed, placed.raw.id.as_str(), "instead", &raw.when);
        all.extend(when.map(|when| Instead { when, speaks_for, against }));
    }
    all
}

fn story_of(placed: &Placed<RawFinding>, known: &Known<'_>, bench: &mut Bench<'_>) -> Option<usize> {
    let wanted = placed.raw.story.as_ref()?;
    let found = known.stories.iter().position(|story| story.raw.id == *wanted);
    if found.is_none() {
        let names = known.stories.iter().map(|story| story.raw.id.as_str());
        let wrong = Wrong::unknown(Thing::Story, wanted.as_str(), names);
        bench.problems.push(placed.problem(placed.raw.id.as_str(), "story", wrong));
    }
    found
}

/// The fault whose story it is told in; it must be one it speaks for.
fn main_of(placed: &Placed<RawFinding>, known: &Known<'_>, bench: &mut Bench<'_>) -> Option<FaultIx> {
    let raw = &placed.raw;
    let wanted = raw.main.as_ref()?;
    if !raw.speaks_for.contains_key(wanted) {
        bench.problems.push(placed.problem(raw.id.as_str(), "main", Wrong::NotSpokenFor(wanted.to_string())));
    }
    fault_named(wanted, "main", placed, known, bench)
}

/// The questions a condition can't do without.
fn questions_behind(when: &Condition, measures: &[KnownMeasure]) -> Vec<QuestionIx> {
    let mut all = Vec::new();
    when.visit(&mut |named| match named {
        Named::Question(ix) => all.push(ix),
        Named::Measure(measure) => {
            let about = &measures[measure.0];
            all.extend(if about.needs.is_empty() { &about.reads } else { &about.needs });
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
