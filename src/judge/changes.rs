//! What would change it: the few answers that would move the verdict or the ceiling most, and the checks that could
//! still bring a stop.
//!
//! Every other answer is first estimated from the findings that look at it; only the most telling ones are judged
//! in full.

use crate::answers::{Each, Record, Said, Standing, Value};
use crate::knowledge::roles::{COMPRESSION, COMPRESSION_FACTORY, SELLER_DOES_NOT_KNOW};
use crate::knowledge::{Choice, FindingIx, Grade, Kind, Named, QuestionIx};
use crate::path::{Path, State, Truth, View, walk};
use crate::units::{Quantity, Unit};

use super::books::{Books, Sums};
use super::chances::{self, Chance, Evidence, Spoken};
use super::findings::{self, Findings};
use super::mechanic::Mechanic;
use super::money::{self, Money};
use super::offers::{self, Net};
use super::verdict::{Call, Verdict, decide};

/// What would follow from one other answer.
#[derive(Clone, Debug, PartialEq)]
pub struct Change {
    pub question: QuestionIx,
    pub to: Value,
    pub call: Call,
    /// None while a stop stands, at a hinge, or where no offers can be made.
    pub ceiling: Option<f64>,
}

/// What would change a judgement.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Changes {
    /// The answers that would move it most, the most telling first.
    pub most: Vec<Change>,
    /// Open checks that could bring a stop, in asking order.
    pub stops: Vec<QuestionIx>,
}

/// The judgement that would change.
#[derive(Clone, Copy)]
pub struct Today<'t, 'a> {
    pub findings: &'t Findings,
    pub evidence: Evidence<'t, 'a>,
    pub chances: &'t [Chance],
    pub verdict: &'t Verdict,
    pub money: &'t Money,
}

/// How many answers are kept, and how many are judged in full to choose them.
const KEPT: usize = 3;
const JUDGED: usize = 6;
/// Another verdict weighs like so much of the value.
const ANOTHER_CALL: f64 = 0.5;
/// A reading this far under the others is serious, and no more than that.
const LOW_SHARE: f64 = 0.8;

/// The answers that would change most.
#[must_use]
pub fn changes<'a>(path: &Path<'a>, today: &Today<'_, 'a>, books: Option<&(Books<'_, 'a>, Sums)>) -> Changes {
    let stops = stop_checks(path, today.findings);
    let lookers = lookers(path);
    let mut rough: Vec<(f64, QuestionIx, Value)> = Vec::new();
    for step in &path.steps {
        let question = path.knowledge.question(step.question);
        if question.motor
            || question.private
            || stops.contains(&step.question)
            || lookers[step.question.0].is_empty()
        {
            continue;
        }
        let stopped = stands_behind_a_stop(path, today.findings, step.question);
        let others = alternatives(path, step.question, stopped);
        let others = others.into_iter().filter(|value| !is_said(path, step.question, value));
        let scored =
            others.filter_map(|value| Some((estimate(path, today, &lookers, step.question, &value)?, value)));
        if let Some((score, value)) = scored.max_by(|a, b| a.0.total_cmp(&b.0)) {
            rough.push((score, step.question, value));
        }
    }
    rough.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
    rough.truncate(JUDGED);
    let before = standing(today.money);
    let mut most: Vec<(f64, Change)> = rough
        .into_iter()
        .map(|(_, question, to)| judged(path, question, to, books, (today.verdict.call, before)))
        .filter(|(score, _)| *score > 1e-9)
        .collect();
    most.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.question.cmp(&b.1.question)));
    most.truncate(KEPT);
    Changes { most: most.into_iter().map(|(_, change)| change).collect(), stops }
}

/// Open checks on the path behind a stop that nobody can rule out.
fn stop_checks(path: &Path<'_>, findings: &Findings) -> Vec<QuestionIx> {
    let stops = findings.not_ruled_out.iter().map(|ix| &path.knowledge.findings[ix.0]);
    let checks = stops.filter(|finding| finding.grade == Grade::Stop).filter_map(|finding| finding.check);
    let open = |ix: &QuestionIx| path.step(*ix).is_some_and(|step| step.state != State::Value);
    let mut all: Vec<QuestionIx> = checks.filter(open).collect();
    all.sort_unstable();
    all.dedup();
    all
}

/// For each question the findings that look at it, by a measure or by themselves.
fn lookers(path: &Path<'_>) -> Vec<Vec<FindingIx>> {
    let knowledge = path.knowledge;
    let mut all: Vec<Vec<FindingIx>> = vec![Vec::new(); knowledge.questions.len()];
    for (place, finding) in knowledge.findings.iter().enumerate() {
        let mut note = |ix: QuestionIx| {
            if all[ix.0].last() != Some(&FindingIx(place)) {
                all[ix.0].push(FindingIx(place));
            }
        };
        finding.when.visit(&mut |named| match named {
            Named::Question(ix) => note(ix),
            Named::Measure(measure) => {
                knowledge.measure(measure).reads.iter().copied().for_each(&mut note);
            }
        });
    }
    all
}

/// Whether a stop rests on a question.
fn stands_behind_a_stop(path: &Path<'_>, findings: &Findings, question: QuestionIx) -> bool {
    let stops = findings.places().map(|ix| &path.knowledge.findings[ix.0]);
    stops.into_iter().any(|finding| finding.grade == Grade::Stop && finding.check == Some(question))
}

/// Other answers worth trying: every choice that counts as seen, only the good ones where what was seen is a stop; for
/// compression all alike, and one low.
fn alternatives(path: &Path<'_>, question: QuestionIx, stopped: bool) -> Vec<Value> {
    let seen = |choice: &&Choice| !choice.unseen && choice.id != SELLER_DOES_NOT_KNOW;
    let counts = |choice: &&Choice| seen(choice) && (choice.well || !stopped);
    match &path.knowledge.question(question).kind {
        Kind::One(choices) => choices.iter().filter(counts).map(|choice| Value::One(choice.id.clone())).collect(),
        Kind::Many(choices) => {
            choices.iter().filter(counts).map(|choice| Value::Many(vec![choice.id.clone()])).collect()
        }
        Kind::Each(choices) => {
            choices.iter().filter(counts).map(|choice| Value::Each(Each::All(choice.id.clone()))).collect()
        }
        Kind::Readings(amount, _) if amount.unit == Unit::Psi => {
            let count = path.live.cylinders().unwrap_or(2);
            let top = highest_reading(path);
            let readings = |last: f64| {
                let at = |place: usize| if place + 1 == count { last } else { top };
                Value::Readings((0..count).map(|place| Some(Quantity::new(at(place), Unit::Psi))).collect())
            };
            vec![readings(top), readings(LOW_SHARE * top)]
        }
        _ => Vec::new(),
    }
}

/// What a sound cylinder of this motor reads: the best of those read, else the manual's figure, else a usual one.
fn highest_reading(path: &Path<'_>) -> f64 {
    let read = path.live.get(COMPRESSION).into_iter().flatten().flatten().map(|reading| reading.0);
    let factory = || path.live.get(COMPRESSION_FACTORY).map(|figure| figure.0);
    read.reduce(f64::max).or_else(factory).unwrap_or(150.0).round()
}

fn is_said(path: &Path<'_>, question: QuestionIx, value: &Value) -> bool {
    matches!(path.live.standing(question), Standing::Value(said) if said == value)
}

/// How much another answer would move, as a share of the value; `None` where it moves nothing or brings a stop.
fn estimate(
    path: &Path<'_>,
    today: &Today<'_, '_>,
    lookers: &[Vec<FindingIx>],
    question: QuestionIx,
    value: &Value,
) -> Option<f64> {
    let mut supposed = path.supposed();
    supposed.set(question, Standing::Value(value));
    let mut looking = lookers[question.0].clone();
    for below in (question.0 + 1..lookers.len()).map(QuestionIx) {
        let asked = path.knowledge.question(below);
        if asked.follows.is_none() {
            break;
        }
        let applies = asked.when.as_ref().is_none_or(|when| supposed.view().holds(when) == Truth::Yes);
        let untold = asked.untold.as_ref().filter(|untold| untold.when.is_none()).map(|untold| &untold.choice);
        supposed.set(below, if applies { Standing::Silent(untold) } else { Standing::DoesNotApply });
        looking.extend(&lookers[below.0]);
    }
    let view = supposed.view();
    let was = |ix: FindingIx| today.findings.fired.iter().any(|fired| fired.finding == ix);
    let flips = |ix: &FindingIx| (view.holds(&path.knowledge.findings[ix.0].when) == Truth::Yes) != was(*ix);
    let flipped: Vec<FindingIx> = looking.into_iter().filter(flips).collect();
    let stops = |ix: &FindingIx| path.knowledge.findings[ix.0].grade == Grade::Stop && !was(*ix);
    if flipped.is_empty() || flipped.iter().any(stops) {
        return None;
    }
    let money = cost_moved(&view, today, &flipped).abs()
        / today.money.value.as_ref().map_or(1.0, offers::Value::mean).max(1.0);
    let another = call_after(path, today, question, &flipped) != today.verdict.call;
    Some(money + if another { ANOTHER_CALL } else { 0.0 })
}

/// By how much the mean of the costs moves when some findings come or go, coverings left aside.
fn cost_moved(view: &View<'_, '_>, today: &Today<'_, '_>, flipped: &[FindingIx]) -> f64 {
    let knowledge = view.live.knowledge;
    let stays = |spoken: &&Spoken<'_>| !flipped.contains(&spoken.finding);
    let mut spoken: Vec<Spoken<'_>> = today.evidence.spoken.iter().filter(stays).copied().collect();
    let come =
        flipped.iter().copied().filter(|ix| !today.evidence.spoken.iter().any(|spoken| spoken.finding == *ix));
    spoken.extend(chances::spoken(view, come));
    let evidence = Evidence { spoken: &spoken, ..today.evidence };
    let touched = |chance: &&Chance| {
        let words = |ix: &FindingIx| {
            let finding = &knowledge.findings[ix.0];
            let cases = finding.instead.iter().flat_map(|case| case.speaks_for.iter().chain(&case.against));
            finding.speaks_for.iter().chain(&finding.against).chain(cases).any(|(fault, _)| *fault == chance.fault)
        };
        flipped.iter().any(words)
    };
    let moved = today.chances.iter().filter(touched).map(|before| {
        let line = today.money.lines.iter().find(|line| line.faults.contains(&before.fault));
        let mean = line.map_or(1.0, |line| line.size.mean());
        (chances::weigh_one(view, before.fault, evidence).to_pay() - before.to_pay()) * mean
    });
    moved.sum()
}

/// The call when some findings come or go and a question is answered.
fn call_after(path: &Path<'_>, today: &Today<'_, '_>, question: QuestionIx, flipped: &[FindingIx]) -> Call {
    let grade = |ix: &FindingIx| path.knowledge.findings[ix.0].grade;
    let stands = |before: &[FindingIx], wanted: Grade| {
        before.iter().any(|ix| !flipped.contains(ix))
            || flipped.iter().any(|ix| !before.contains(ix) && grade(ix) == wanted)
    };
    let verdict = today.verdict;
    if stands(&verdict.stops, Grade::Stop) {
        Call::WalkAway
    } else if verdict.unseen.iter().any(|ix| *ix != question)
        || verdict.undecided_fit.is_some_and(|ix| ix != question)
    {
        Call::Undecided
    } else if stands(&verdict.serious, Grade::Serious) {
        Call::OnlyIf
    } else {
        Call::Fair
    }
}

/// What stands today: the value and the ceiling as said, none where there is no single one.
fn standing(money: &Money) -> (f64, Option<f64>) {
    (money.value.as_ref().map_or(1.0, offers::Value::mean).max(1.0), money.offers.map(|offers| offers.ceiling))
}

/// Judges another answer in full; how much it moves, and what it leads to.
fn judged(
    path: &Path<'_>,
    question: QuestionIx,
    to: Value,
    books: Option<&(Books<'_, '_>, Sums)>,
    before: (Call, (f64, Option<f64>)),
) -> (f64, Change) {
    let mut record: Record = path.record.clone();
    record.say(question, Said::Value(to.clone()));
    let other = walk(path.knowledge, &record, path.date);
    let findings = findings::look(&other);
    let verdict = decide(&other, &findings);
    let ceiling =
        books.filter(|_| verdict.stops.is_empty()).and_then(|books| ceiling(&other, &findings, &verdict, books));
    let (call, (value, was)) = before;
    let moved = match (was, ceiling) {
        (Some(was), Some(is)) => (is - was).abs() / value,
        (None, None) => 0.0,
        // A price comes or goes: it tells whether to buy at all.
        _ => ANOTHER_CALL,
    };
    let another = if verdict.call == call { 0.0 } else { ANOTHER_CALL };
    (moved + another, Change { question, to, call: verdict.call, ceiling })
}

fn ceiling(path: &Path<'_>, findings: &Findings, verdict: &Verdict, books: &(Books<'_, '_>, Sums)) -> Option<f64> {
    let (today, sums) = books;
    let mechanic = Mechanic::read(path.knowledge, &path.record.settled);
    let spoken = chances::spoken(&path.view(), findings.places());
    let books = Books::open(path, &mechanic, &spoken, Some(&today.good)).ok()?;
    let chances = books.chances(1.0);
    let cost = sums.total(&books.lines(&chances), books.fixed);
    let value = books.value(path.knowledge.settings.asking_gap)?;
    let net = Net { value: &value, cost: &cost, ordinary: books.ordinary(1.0) };
    let reckoned = money::reckon(&books, sums, &chances, net, verdict);
    reckoned.hinge.is_none().then(|| offers::rounded(reckoned.ceiling))
}
