//! The plan of a visit: which looks are worth the minutes there are, in the order of the walk.
//!
//! Start at [`plan()`]. Rank by rank, each look with all that must come before it, whole set-ups, nothing that a
//! missing tool or the seller forbids. It is made anew after each answer and only chooses what is asked in this visit:
//! what it leaves out stays open, and judging never looks at it. Ranks and minutes are the data's own.

use std::collections::{BTreeMap, BTreeSet};

use crate::answers::{Standing, Value};
use crate::knowledge::{Grade, Place, QuestionIx, Text};
use crate::units::Unit;

use super::truth::Truth;
use super::walk::{Path, State};

/// One look of a plan.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Look {
    pub question: QuestionIx,
    /// Its own minutes on this motor.
    pub minutes: f64,
    pub place: Place,
}

/// Why a look is not in the plan.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum LeftOut {
    /// The minutes do not hold it.
    Time,
    /// This tool is not there; the choice's id of the question on tools.
    Tool(String),
    /// The seller does not want it done.
    Refused,
    /// A workshop had better do it: on this motor it is its job, or the time does not hold the core with it.
    Workshop,
}

/// What to look at in a visit.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Plan {
    /// In the order of the walk.
    pub looks: Vec<Look>,
    /// In the order of the walk, with the reason.
    pub left_out: Vec<(QuestionIx, LeftOut)>,
    /// Minutes of the whole plan, set-ups and ways included.
    pub minutes: f64,
    /// Every core look that can be had today is in it.
    pub holds_core: bool,
}

impl Plan {
    /// Whether a look is in it.
    #[must_use]
    pub fn holds(&self, ix: QuestionIx) -> bool {
        self.looks.iter().any(|look| look.question == ix)
    }
}

/// Minutes of a look on this motor: a base, and so much for each cylinder (unknown: two).
#[must_use]
pub fn minutes_of(path: &Path<'_>, ix: QuestionIx) -> f64 {
    path.view().minutes(path.knowledge.question(ix))
}

/// Whether a question is looked at beside the motor.
#[must_use]
pub fn beside_the_motor(path: &Path<'_>, ix: QuestionIx) -> bool {
    path.knowledge.question(ix).place.is_some_and(|place| place != Place::Home)
}

/// Minutes the whole visit may take: as answered, else the usual.
#[must_use]
pub fn visit_minutes(path: &Path<'_>) -> f64 {
    let visit = &path.knowledge.visit;
    let said = visit.minutes.and_then(|ix| match path.live.standing(ix) {
        Standing::Value(Value::Amount(quantity)) => Some(quantity.to(Unit::Minute).number),
        _ => None,
    });
    said.unwrap_or(visit.usual_minutes)
}

/// Minutes that the looks dealt with so far were planned to take; an answer without a value costs half a minute.
#[must_use]
pub fn spent(path: &Path<'_>) -> f64 {
    let mut bill = Bill::default();
    for step in path.steps.iter().filter(|step| beside_the_motor(path, step.question)) {
        match step.state {
            State::Value => bill.add(path, step.question),
            State::CantTell | State::NotDone => bill.minutes += 0.5,
            State::Open => {}
        }
    }
    bill.total(path)
}

/// The plan for the minutes that are left.
#[must_use]
pub fn plan(path: &Path<'_>, left: f64) -> Plan {
    let mut planner = Planner::new(path);
    planner.finish_the_run();
    let core_fits = planner.minutes_with(&planner.ranked(1)) <= left;
    let leaves_room = core_fits && planner.leaves_room(left);
    if leaves_room || planner.leave_to_a_workshop(left) || core_fits {
        planner.fill(left, 1);
    } else {
        planner.fill_in_stop_order(left);
    }
    let ranks: BTreeSet<u8> = planner.open.iter().map(|ix| planner.rank_of(*ix)).filter(|rank| *rank > 1).collect();
    for rank in ranks {
        planner.fill(left, rank);
    }
    planner.done()
}

/// The next question of a visit: what is asked at home, what is in the plan, and what an answer has opened right after.
#[must_use]
pub fn next_planned(path: &Path<'_>, plan: &Plan) -> Option<QuestionIx> {
    let wanted = |ix: QuestionIx| !beside_the_motor(path, ix) || plan.holds(ix);
    let open = path.steps.iter().filter(|step| step.state == State::Open).map(|step| step.question);
    open.into_iter().find(|ix| wanted(*ix) || path.knowledge.question(*ix).follows.is_some())
}

/// Minutes added up, each way and each set-up once.
#[derive(Clone, Debug, Default)]
struct Bill<'p> {
    minutes: f64,
    places: BTreeSet<Place>,
    blocks: BTreeSet<&'p str>,
}

impl<'p> Bill<'p> {
    fn add(&mut self, path: &Path<'p>, ix: QuestionIx) {
        let question = path.knowledge.question(ix);
        self.minutes += minutes_of(path, ix);
        self.places.extend(question.place);
        self.blocks.extend(question.block.as_deref());
    }

    fn total(&self, path: &Path<'p>) -> f64 {
        let visit = &path.knowledge.visit;
        let stations = visit.stations.iter().filter(|station| self.places.contains(&station.place));
        let blocks = visit.blocks.iter().filter(|block| self.blocks.contains(block.id.as_str()));
        let arrive = if self.places.is_empty() { 0.0 } else { visit.arrive };
        let ways: f64 = stations.map(|station| station.minutes).sum();
        arrive + self.minutes + ways + blocks.map(|block| block.minutes).sum::<f64>()
    }
}

#[derive(Clone)]
struct Planner<'v, 'p> {
    path: &'v Path<'p>,
    /// What could be looked at, in the order of the walk.
    open: Vec<QuestionIx>,
    left_out: BTreeMap<QuestionIx, LeftOut>,
    chosen: BTreeSet<QuestionIx>,
    /// The looks that a stop or a serious finding rests on.
    telling: BTreeSet<QuestionIx>,
    /// Of what is chosen, and of the ways and set-ups that were paid before this plan began.
    bill: Bill<'p>,
    already: f64,
}

impl<'v, 'p> Planner<'v, 'p> {
    fn new(path: &'v Path<'p>) -> Self {
        let mut bill = Bill::default();
        for step in path.steps.iter().filter(|step| step.state == State::Value) {
            if beside_the_motor(path, step.question) {
                bill.add(path, step.question);
            }
        }
        bill.minutes = 0.0;
        let already = bill.total(path);
        let grave = path.knowledge.findings.iter().filter(|it| matches!(it.grade, Grade::Stop | Grade::Serious));
        let mut planner = Self {
            path,
            open: path.knowledge.places().filter(|ix| can_be_asked(path, *ix)).collect(),
            left_out: BTreeMap::new(),
            chosen: BTreeSet::new(),
            telling: grave.filter(|finding| finding.check == finding.last).filter_map(|it| it.check).collect(),
            bill,
            already,
        };
        planner.leave_what_is_forbidden();
        planner
    }

    fn rank_of(&self, ix: QuestionIx) -> u8 {
        let question = self.path.knowledge.question(ix);
        // What an answer opened belongs to it, and is asked with it.
        if question.follows.is_some() { 1 } else { question.rank.unwrap_or(u8::MAX - 1) }
    }

    /// The looks of a rank that can be had: nothing forbids them or what must come before them.
    fn ranked(&self, rank: u8) -> Vec<QuestionIx> {
        let own = self.open.iter().copied().filter(|ix| self.rank_of(*ix) == rank);
        own.filter(|ix| self.with_needs(*ix).is_ok()).collect()
    }

    fn leave_what_is_forbidden(&mut self) {
        let path = self.path;
        self.left_out = self.open.iter().filter_map(|ix| Some((*ix, forbidden(path, *ix)?))).collect();
    }

    /// What must be seen of an engine that was started is seen in that run, whatever the time.
    fn finish_the_run(&mut self) {
        let started = |ix: &QuestionIx| {
            let question = self.path.knowledge.question(*ix);
            let of_this_run = |need: &&QuestionIx| {
                let before = self.path.knowledge.question(**need);
                before.core && before.block.is_some() && before.block == question.block
            };
            let runs = |need: &QuestionIx| matches!(self.path.live.standing(*need), Standing::Value(_));
            (question.core || question.safety) && question.needs.iter().filter(of_this_run).any(runs)
        };
        let rest: Vec<QuestionIx> = self.ranked(1).into_iter().filter(started).collect();
        self.choose(rest);
    }

    /// A look with everything open that must come before it.
    ///
    /// # Errors
    /// Why it or part of that is left out.
    fn with_needs(&self, ix: QuestionIx) -> Result<Vec<QuestionIx>, LeftOut> {
        let mut all = vec![ix];
        let mut reached = 0;
        while let Some(at) = all.get(reached).copied() {
            if let Some(why) = self.left_out.get(&at) {
                return Err(why.clone());
            }
            let question = self.path.knowledge.question(at);
            let gates = self.path.knowledge.stages.iter().flat_map(|stage| &stage.gates);
            let gates = gates.filter(|gate| gate.questions.binary_search(&at).is_ok());
            // Only what must have been looked at: what is merely shut by a bad answer need not be.
            let looked = gates.flat_map(|gate| &gate.needs).filter(|need| need.good.is_some());
            for need in question.needs.iter().copied().chain(looked.map(|need| need.check)) {
                if self.is_open(need) && !all.contains(&need) {
                    all.push(need);
                }
            }
            reached += 1;
        }
        Ok(all)
    }

    fn is_open(&self, ix: QuestionIx) -> bool {
        self.open.binary_search(&ix).is_ok()
    }

    fn choose(&mut self, looks: Vec<QuestionIx>) {
        for ix in looks {
            if self.chosen.insert(ix) {
                self.bill.add(self.path, ix);
            }
        }
    }

    /// Minutes of what is chosen and these looks, less what was paid before.
    fn minutes_with(&self, more: &[QuestionIx]) -> f64 {
        let mut bill = self.bill.clone();
        for ix in more.iter().filter(|ix| !self.chosen.contains(ix)) {
            bill.add(self.path, *ix);
        }
        bill.minutes -= self.already;
        bill.total(self.path)
    }

    /// Adds the looks of a rank that fit: those first that can change a verdict, else in the order of the walk.
    fn fill(&mut self, left: f64, rank: u8) {
        let mut ranked = self.ranked(rank);
        ranked.sort_by_key(|ix| !self.telling.contains(ix));
        for ix in ranked {
            self.take_if_it_fits(ix, left);
        }
    }

    /// Whether beside the core there is time for half of the next looks that can change a verdict: an hour that holds
    /// nothing but the core calls fair what grinds going into gear.
    fn leaves_room(&self, left: f64) -> bool {
        let telling = self.ranked(2).into_iter().filter(|ix| self.telling.contains(ix)).collect::<Vec<_>>();
        let mut trial = self.clone();
        trial.fill(left, 1);
        for ix in &telling {
            trial.take_if_it_fits(*ix, left);
        }
        2 * telling.iter().filter(|ix| trial.chosen.contains(ix)).count() >= telling.len()
    }

    fn take_if_it_fits(&mut self, ix: QuestionIx, left: f64) {
        if self.chosen.contains(&ix) {
            return;
        }
        let Ok(with) = self.with_needs(ix) else { return };
        if self.minutes_with(&with) <= left {
            self.choose(with);
        }
    }

    fn fill_in_stop_order(&mut self, left: f64) {
        for ix in self.path.knowledge.visit.stop_order.clone() {
            if self.is_open(ix) && !self.left_out.contains_key(&ix) {
                self.take_if_it_fits(ix, left);
            }
        }
        self.fill(left, 1);
    }

    /// Leaves out what a workshop can do in another hour, where the rest of the core fits then.
    fn leave_to_a_workshop(&mut self, left: f64) -> bool {
        let given: Vec<QuestionIx> = self.open.iter().copied().filter(|ix| self.is_for_a_workshop(*ix)).collect();
        let rest: Vec<QuestionIx> = self.ranked(1).into_iter().filter(|ix| !given.contains(ix)).collect();
        if given.is_empty() || self.minutes_with(&rest) > left {
            return false;
        }
        for ix in given {
            self.left_out.entry(ix).or_insert(LeftOut::Workshop);
        }
        true
    }

    fn is_for_a_workshop(&self, ix: QuestionIx) -> bool {
        let block = self.path.knowledge.question(ix).block.as_ref();
        block.is_some_and(|block| self.path.knowledge.visit.workshop.contains(block))
    }

    fn done(self) -> Plan {
        let path = self.path;
        let minutes = if self.chosen.is_empty() { 0.0 } else { self.minutes_with(&[]) };
        let place = |ix: QuestionIx| path.knowledge.question(ix).place.unwrap_or(Place::Outside);
        let looks =
            self.chosen.iter().map(|ix| Look { question: *ix, minutes: minutes_of(path, *ix), place: place(*ix) });
        // What waits for a look that is left out is left out for the same reason.
        let why = |ix: &QuestionIx| self.with_needs(*ix).err().unwrap_or(LeftOut::Time);
        let left_out = self.open.iter().filter(|ix| !self.chosen.contains(ix)).map(|ix| (*ix, why(ix)));
        let core = |ix: &QuestionIx| path.knowledge.question(*ix).core;
        let holds_core = self.open.iter().filter(|ix| core(ix)).all(|ix| self.chosen.contains(ix));
        Plan { looks: looks.collect(), left_out: left_out.collect(), minutes, holds_core }
    }
}

/// What keeps a look from being taken beside this motor, answered or not: the seller, a missing tool, or that it is a
/// workshop's job.
#[must_use]
pub fn forbidden(path: &Path<'_>, ix: QuestionIx) -> Option<LeftOut> {
    let visit = &path.knowledge.visit;
    let ticked = |ix: Option<QuestionIx>| match ix.map(|ix| path.live.standing(ix)) {
        Some(Standing::Value(Value::Many(choices))) => Some(choices),
        _ => None,
    };
    let question = path.knowledge.question(ix);
    let refused = ticked(Some(visit.refuses));
    let no = |choice| refused.is_some_and(|refused| refused.contains(choice));
    if visit.refusals.iter().any(|(choice, looks)| no(choice) && looks.contains(&ix)) {
        return Some(LeftOut::Refused);
    }
    let known = visit.tools.map(|ix| path.knowledge.question(ix).choices()).unwrap_or_default();
    let missing = ticked(visit.tools).and_then(|there| {
        let listed = |tool: &&Text| known.iter().any(|choice| choice.id == tool.as_str());
        let mut needed = path.view().tools(question).iter().filter(listed);
        needed.find(|tool| !there.iter().any(|have| *have == tool.as_str()))
    });
    let workshop = path.view().texts(question).workshop;
    missing.map(|tool| LeftOut::Tool(tool.to_string())).or(workshop.then_some(LeftOut::Workshop))
}

/// Whether a look can still be taken in this visit: it is open, or only held back by a gate whose looks are open too.
fn can_be_asked(path: &Path<'_>, ix: QuestionIx) -> bool {
    if !beside_the_motor(path, ix) {
        return false;
    }
    if let Some(step) = path.step(ix) {
        return step.state == State::Open;
    }
    let question = path.knowledge.question(ix);
    let gated = path.knowledge.stages[question.stage].gates.iter().any(|gate| gate.questions.contains(&ix));
    let shut = path.ended.iter().any(|ended| ended.shut.contains(&ix));
    let applies = question.when.as_ref().is_none_or(|when| path.view().holds(when) == Truth::Yes);
    gated && !shut && applies && question.follows.is_none() && path.live.standing(ix) == Standing::MayApply
}
