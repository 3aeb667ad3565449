//! Several motors side by side, and which to look at again first.
//!
//! [`candidate`] takes what is compared out of a judgement, [`order`] ranks by its one rule, [`advice`] says why.
//! [`print`] shows them as a table, as Markdown, as JSON. Nothing here judges anew.

mod print;

use std::cmp::Ordering;

use crate::judge::{Call, Distribution, Judgement};
use crate::knowledge::roles::HOURS;
use crate::knowledge::{Finding, Grade, MeasureId};
use crate::measure::{Figure, age, compression, fit, id_of, propeller};
use crate::path::State;

use super::view::{Scene, stories};
use super::words::{self, Purse};
use super::{Audience, bare, motor_line};

pub use print::{table, to_json, to_markdown};

/// The measures that tell motors apart, in the order they are shown.
fn compared() -> [MeasureId; 6] {
    [
        id_of::<fit::FitOfShaft>(),
        id_of::<compression::Evenness>(),
        id_of::<compression::Share>(),
        id_of::<propeller::PropSlip>(),
        id_of::<age::Age>(),
        id_of::<age::HoursExpected>(),
    ]
}

/// A finding or a check by its id and what people call it.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Named {
    id: String,
    title: String,
}

/// One motor, ready to stand beside others.
#[derive(Clone, Debug)]
pub struct Candidate {
    pub name: String,
    motor: String,
    call: Call,
    /// Findings that stand; what a mechanic cleared is not among them.
    stops: Vec<Named>,
    serious: Vec<Named>,
    minor: usize,
    good: usize,
    /// What a reader is told: several findings of one trouble are one story. Its title, by how grave it is.
    told: Vec<(Grade, String)>,
    measures: Vec<(MeasureId, Option<Figure>)>,
    /// Hours as claimed or read.
    hours: Option<f64>,
    /// Costs that are sure to come, and the mean of all.
    sure: Option<f64>,
    cost: Option<f64>,
    opening: Option<f64>,
    aim: Option<f64>,
    ceiling: Option<f64>,
    asking: Option<f64>,
    /// What it may turn out to be worth, from and to.
    net: Option<(f64, f64)>,
    /// The ceilings where one fault decides: fine, and not.
    hinge: Option<(f64, f64)>,
    /// What it is worth after costs against what is asked, as a share of the asking price; under 0: too dear.
    room: Option<f64>,
    /// Core checks nobody has seen.
    unseen: Vec<Named>,
    /// The shaft does not fit and nothing was decided about it.
    fit_open: bool,
    open: usize,
    purse: Purse,
}

/// What is compared of a judged interview.
#[must_use]
pub fn candidate(name: &str, judgement: &Judgement<'_>) -> Candidate {
    let (money, path, verdict) = (&judgement.money, &judgement.path, &judgement.verdict);
    let cost = money.cost.as_ref().map(Distribution::mean);
    let sure = money.lines.iter().filter(|line| line.sure).map(|line| line.size.mean()).sum::<f64>() + money.other;
    let unseen = verdict.unseen.iter().map(|ix| path.knowledge.question(*ix));
    let figure_of = |id: MeasureId| judgement.measures.iter().find(|outcome| outcome.id == id)?.figure;
    Candidate {
        name: name.to_owned(),
        motor: motor_line(path),
        call: verdict.call,
        stops: standing(judgement, Grade::Stop).map(named).collect(),
        serious: standing(judgement, Grade::Serious).map(named).collect(),
        minor: standing(judgement, Grade::Minor).count(),
        good: standing(judgement, Grade::Good).count(),
        told: told(judgement),
        measures: compared().map(|id| (id, figure_of(id))).to_vec(),
        hours: path.live.get(HOURS).map(|hours| hours.0),
        sure: cost.map(|_| sure),
        cost,
        opening: money.offers.map(|offers| offers.opening),
        aim: money.offers.map(|offers| offers.aim),
        ceiling: money.offers.map(|offers| offers.ceiling),
        asking: money.asking,
        net: money.net,
        hinge: money.hinge.map(|hinge| (hinge.fine, hinge.faulty)),
        room: room(judgement, cost),
        unseen: unseen.map(|check| Named { id: check.id.to_string(), title: check.brief.to_string() }).collect(),
        fit_open: verdict.undecided_fit.is_some(),
        open: path.steps.iter().filter(|step| step.state == State::Open).count(),
        purse: Purse::of(path),
    }
}

/// The stories of the buyer's paper, in its order.
fn told(judgement: &Judgement<'_>) -> Vec<(Grade, String)> {
    let meta = bare(judgement);
    let scene = Scene::new(judgement, &meta, Audience::Buyer);
    stories(&scene).iter().map(|tale| (tale.grade(), tale.lead.title.to_string())).collect()
}

/// The findings of a grade that stand.
fn standing<'j>(judgement: &'j Judgement<'_>, grade: Grade) -> impl Iterator<Item = &'j Finding> {
    let fired = judgement.findings.fired.iter().filter(|fired| !fired.cleared);
    let all = fired.map(|fired| &judgement.knowledge().findings[fired.finding.0]);
    all.filter(move |finding| finding.grade == grade)
}

impl Candidate {
    fn told(&self, grade: Grade) -> Vec<String> {
        self.told.iter().filter(|(of, _)| *of == grade).map(|(_, title)| title.clone()).collect()
    }
}

fn named(finding: &Finding) -> Named {
    Named { id: finding.id.to_string(), title: finding.title.to_string() }
}

/// Value less mean cost, ordinary upkeep added back, less the asking price: a share of the asking price.
fn room(judgement: &Judgement<'_>, cost: Option<f64>) -> Option<f64> {
    let money = &judgement.money;
    let net = money.value.as_ref()?.mean() - cost? + money.ordinary?;
    let asking = money.asking.filter(|asking| *asking > 0.0)?;
    Some((net - asking) / asking)
}

/// The candidates, the one to look at again first in front.
///
/// The rule: the better call first; of equal calls the one whose price leaves more room for what must still be
/// spent, in shares of the asking price, so that dear and cheap motors can be compared; one without prices after
/// those with; then fewer core checks that nobody has seen; then the name.
#[must_use]
pub fn order(mut all: Vec<Candidate>) -> Vec<Candidate> {
    all.sort_by(|a, b| a.call.cmp(&b.call).then(by_room(a, b)).then(by_unseen(a, b)).then(a.name.cmp(&b.name)));
    all
}

fn by_room(a: &Candidate, b: &Candidate) -> Ordering {
    let room = |one: &Candidate| one.room.unwrap_or(f64::NEG_INFINITY);
    room(b).total_cmp(&room(a))
}

fn by_unseen(a: &Candidate, b: &Candidate) -> Ordering {
    a.unseen.len().cmp(&b.unseen.len())
}

/// Which to look at again first and why: what set it before the second.
#[must_use]
pub fn advice(ordered: &[Candidate]) -> String {
    let Some((first, others)) = ordered.split_first() else { return String::new() };
    let name = &first.name;
    let open = still_open(first);
    let Some(second) = others.first() else { return format!("There is only {name} here.") };
    if first.call == Call::WalkAway {
        let stops = first.told(Grade::Stop);
        return format!(
            "Leave all of them as they stand: each has a stop that must be cleared first. The nearest is {name}{}. It stands there because of this: {}.",
            why_of_equals(first, second),
            words::short_list(&stops, 2)
        );
    }
    let why = if first.call < second.call { why_alone(first) } else { why_of_equals(first, second) };
    format!("Look at {name} again first{why}.{open}")
}

/// The call that none of the others has.
fn why_alone(first: &Candidate) -> String {
    match first.call {
        Call::Fair => ": it alone is worth buying at the right price".into(),
        Call::OnlyIf => format!(
            ": it alone could be bought once this is settled or paid for: {}",
            words::short_list(&first.told(Grade::Serious), 2)
        ),
        Call::Undecided | Call::WalkAway => ": the others have a stop, and this one has none so far".into(),
    }
}

/// What sets it before another of the same call.
fn why_of_equals(first: &Candidate, second: &Candidate) -> String {
    match (first.room, second.room) {
        (Some(room), Some(other)) if room > other && room >= 0.0 => {
            ": what is asked leaves the most room for what must still be spent".into()
        }
        (Some(room), Some(other)) if room > other => {
            format!(": its price has to come down least, by about {}", words::percent(-room))
        }
        (Some(_), None) => ": of those like it, its price alone can be held against its costs".into(),
        _ if by_unseen(first, second) == Ordering::Less => ": less of what counts is unseen there".into(),
        _ => ", though nothing sets it apart so far".into(),
    }
}

/// What to look for there.
fn still_open(first: &Candidate) -> String {
    let mut open = titles(&first.unseen);
    if first.fit_open {
        open.push("what to do about the leg that does not match".into());
    }
    if open.is_empty() { String::new() } else { format!(" Still to be seen there: {}.", words::list(&open)) }
}

fn titles(all: &[Named]) -> Vec<String> {
    all.iter().map(|one| one.title.clone()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn one(name: &str, call: Call, room: Option<f64>, unseen: usize) -> Candidate {
        let check = |place: usize| Named { id: format!("check-{place}"), title: format!("check {place}") };
        Candidate {
            name: name.to_owned(),
            motor: "Used outboard".to_owned(),
            call,
            stops: Vec::new(),
            serious: Vec::new(),
            minor: 0,
            good: 0,
            told: Vec::new(),
            measures: Vec::new(),
            hours: None,
            sure: None,
            cost: None,
            opening: None,
            aim: None,
            ceiling: None,
            asking: None,
            net: None,
            hinge: None,
            room,
            unseen: (0..unseen).map(check).collect(),
            fit_open: false,
            open: 0,
            purse: Purse::new(None),
        }
    }

    fn names(ordered: &[Candidate]) -> Vec<&str> {
        ordered.iter().map(|one| one.name.as_str()).collect()
    }

    #[test]
    fn the_call_comes_first_then_room_then_what_is_unseen_then_the_name() {
        let ordered = order(vec![
            one("stopped", Call::WalkAway, Some(0.9), 0),
            one("b", Call::Fair, None, 0),
            one("a", Call::Fair, None, 0),
            one("dear", Call::Fair, Some(-0.2), 0),
            one("cheap", Call::Fair, Some(0.1), 3),
            one("cheaper", Call::Fair, Some(0.3), 0),
            one("unpriced", Call::Fair, None, 2),
            one("half-seen", Call::Undecided, Some(0.5), 1),
            one("serious", Call::OnlyIf, Some(-0.5), 0),
        ]);
        assert_eq!(
            names(&ordered),
            ["cheaper", "cheap", "dear", "a", "b", "unpriced", "serious", "half-seen", "stopped"]
        );
    }

    #[test]
    fn the_reason_is_what_set_it_before_the_second() {
        let said = |first: Candidate, second: Candidate| {
            let ordered = order(vec![second, first.clone()]);
            assert_eq!(ordered[0].name, first.name);
            advice(&ordered)
        };
        let fair = |name: &str, room| one(name, Call::Fair, room, 0);
        let serious = || one("serious", Call::OnlyIf, Some(0.4), 0);
        let undecided = |name: &str, unseen| one(name, Call::Undecided, None, unseen);
        assert!(said(fair("a", None), serious()).contains("it alone is worth buying"));
        assert!(said(fair("b", Some(0.2)), fair("a", Some(0.1))).contains("leaves the most room"));
        assert!(said(fair("b", Some(-0.1)), fair("a", Some(-0.2))).contains("come down least, by about 10 %"));
        assert!(said(fair("b", Some(-0.1)), fair("a", None)).contains("its price alone"));
        assert!(said(fair("a", None), fair("b", None)).contains("nothing sets it apart"));
        assert_eq!(
            said(undecided("b", 1), undecided("a", 2)),
            "Look at b again first: less of what counts is unseen there. Still to be seen there: check 0."
        );
        let stopped = |name: &str| one(name, Call::WalkAway, None, 0);
        assert!(
            said(undecided("b", 2), stopped("a")).contains("has none so far. Still to be seen there: check 0 and")
        );
        assert!(said(stopped("a"), stopped("b")).starts_with("Leave all of them as they stand"));
    }
}
