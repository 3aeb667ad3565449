//! What would change this: the few single facts that would move the ceiling or the verdict most.
//!
//! Each check that is open or soft is answered at its best and at its worst, everything is judged again, and the
//! widest gaps are kept. A stop counts as a ceiling of nothing.

use jiff::civil::Date;

use crate::answers::{Each, Record, Said, Value};
use crate::knowledge::roles::SELLER_DOES_NOT_KNOW;
use crate::knowledge::{Choice, FindingIx, Kind, Knowledge, QuestionIx};
use crate::path::{Path, is_seen, walk};
use crate::units::{Quantity, Unit};

use super::chances::{self, Evidence};
use super::costs;
use super::findings;
use super::money::{self, Money, Sums};
use super::verdict::{Call, decide};

/// What would follow from one answer.
#[derive(Clone, Debug, PartialEq)]
pub struct Turn {
    pub value: Value,
    pub call: Call,
    /// None while a stop stands, or where no offers can be made.
    pub ceiling: Option<f64>,
}

/// One fact that is not settled, at its best and at its worst.
#[derive(Clone, Debug, PartialEq)]
pub struct Change {
    pub question: QuestionIx,
    pub best: Turn,
    pub worst: Turn,
}

/// How many facts are kept.
const KEPT: usize = 3;

/// A quick judgement: enough to rank answers by.
struct Rough {
    value: Value,
    call: Call,
    cost: f64,
}

/// The facts that would move things most.
#[must_use]
pub fn changes(path: &Path<'_>, money: &Money, sums: Option<&Sums>) -> Vec<Change> {
    let mut gaps: Vec<(f64, QuestionIx, Rough, Rough)> = Vec::new();
    for step in &path.steps {
        let question = path.knowledge.question(step.question);
        if question.follows.is_some() || !speaks(path, step.question) || settled(path, step.question) {
            continue;
        }
        let mut rough: Vec<Rough> = extremes(path, step.question)
            .into_iter()
            .map(|value| roughly(path, step.question, value, money))
            .collect();
        rough.sort_by(|a, b| {
            (a.call == Call::WalkAway).cmp(&(b.call == Call::WalkAway)).then(a.cost.total_cmp(&b.cost))
        });
        if rough.len() < 2 {
            continue;
        }
        let worst = rough.pop();
        let best = rough.into_iter().next();
        if let (Some(best), Some(worst)) = (best, worst) {
            let gap = if (best.call == Call::WalkAway) == (worst.call == Call::WalkAway) {
                worst.cost - best.cost
            } else {
                money.value.as_ref().map_or(f64::MAX, super::offers::Value::mean)
            };
            gaps.push((gap, step.question, best, worst));
        }
    }
    gaps.retain(|(gap, ..)| *gap > 1e-6);
    gaps.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
    gaps.truncate(KEPT);
    let turned = |question: QuestionIx, rough: Rough| {
        let record = answered(path, question, &rough.value);
        let ceiling =
            if rough.call == Call::WalkAway { None } else { ceiling(path.knowledge, &record, path.date, sums) };
        Turn { value: rough.value, call: rough.call, ceiling }
    };
    gaps.into_iter()
        .map(|(_, question, best, worst)| Change {
            question,
            best: turned(question, best),
            worst: turned(question, worst),
        })
        .collect()
}

/// Whether any finding hangs on the question.
fn speaks(path: &Path<'_>, question: QuestionIx) -> bool {
    path.knowledge.findings.iter().any(|finding| finding.check == Some(question))
}

/// A value that counts as seen and is no "the seller doesn't know".
fn settled(path: &Path<'_>, question: QuestionIx) -> bool {
    let soft = matches!(&path.record.answer(question).said, Some(Said::Value(Value::One(choice))) if *choice == SELLER_DOES_NOT_KNOW);
    is_seen(path, question) && !soft
}

/// The answers worth trying: every choice that counts as seen; for readings all alike, and one far under.
fn extremes(path: &Path<'_>, question: QuestionIx) -> Vec<Value> {
    let counts = |choice: &&Choice| !choice.unseen && choice.id != SELLER_DOES_NOT_KNOW;
    let asked = path.knowledge.question(question);
    match &asked.kind {
        Kind::One(choices) => choices.iter().filter(counts).map(|choice| Value::One(choice.id.clone())).collect(),
        Kind::Many(choices) => {
            choices.iter().filter(counts).map(|choice| Value::Many(vec![choice.id.clone()])).collect()
        }
        Kind::Each(choices) => {
            choices.iter().filter(counts).map(|choice| Value::Each(Each::All(choice.id.clone()))).collect()
        }
        Kind::Readings(amount, _) if amount.unit == Unit::Psi => {
            let count = path.live.cylinders().unwrap_or(2);
            let readings = |last: f64| {
                let at = |place: usize| if place + 1 == count { last } else { 150.0 };
                Value::Readings((0..count).map(|place| Some(Quantity::new(at(place), Unit::Psi))).collect())
            };
            vec![readings(150.0), readings(90.0)]
        }
        _ => Vec::new(),
    }
}

fn answered(path: &Path<'_>, question: QuestionIx, value: &Value) -> Record {
    let mut record = path.record.clone();
    record.say(question, Said::Value(value.clone()));
    record
}

fn roughly(path: &Path<'_>, question: QuestionIx, value: Value, money: &Money) -> Rough {
    let record = answered(path, question, &value);
    let path = walk(path.knowledge, &record, path.date);
    let found = findings::look(&path);
    let call = decide(&path, &found).call;
    let fired: Vec<FindingIx> = found.places().collect();
    let chances = chances::weigh(&path.view(), Evidence { findings: &fired, settled: &record.settled, tilt: 1.0 });
    let cost = money.terms.as_ref().map_or_else(
        |_| chances.iter().map(|chance| chance.chance).sum(),
        |terms| costs::mean(&costs::lines(path.knowledge, terms, &chances, &costs::sure_items(&path.view()))),
    );
    Rough { value, call, cost }
}

fn ceiling(knowledge: &Knowledge, record: &Record, date: Date, sums: Option<&Sums>) -> Option<f64> {
    let path = walk(knowledge, record, date);
    let found = findings::look(&path);
    let fired: Vec<FindingIx> = found.places().collect();
    let chances = chances::weigh(&path.view(), Evidence { findings: &fired, settled: &record.settled, tilt: 1.0 });
    money::ceiling(&path, &chances, sums)
}
