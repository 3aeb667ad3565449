//! The loop of the interview: work out the path, ask, save, say what it means, and round again.
//!
//! There is no cursor: where to go on is worked out from the answers each time, so resuming is nothing special.

use std::collections::BTreeSet;
use std::sync::Arc;

use crate::answers::LateReader;
use crate::answers::{Record, Said, Value};
use crate::edge;
use crate::knowledge::{Choice, QuestionIx, roles};
use crate::path::plan::{Plan, beside_the_motor, plan, spent};
use crate::path::sitting::Sitting;
use crate::path::{Path, State, walk};
use crate::store::{Held, Saved, Store};
use crate::talk::{Act, Leave, Talk, Words};

use super::keeping::{Kept, keep};
use super::{Bench, finish, said, stage, turn, visit};

/// One interview under way.
pub struct Interview<'b> {
    bench: &'b Bench,
    /// Where it is kept: the bench's store, unless that failed and another folder was named.
    store: Store,
    held: Held,
    saved: Saved,
    kept: Kept,
    /// An answer that is kept piece by piece, and what was said there before.
    pieces: Option<(QuestionIx, Option<Said>)>,
    talk: Box<dyn Talk>,
    /// Reads what is said in free words.
    reader: Arc<LateReader>,
    /// A question to go to instead of the next open one.
    goto: Option<QuestionIx>,
    /// Only one answer is to be changed.
    once: bool,
    /// The tools are asked for again, to add to those named before.
    more_tools: bool,
    stage_shown: Option<usize>,
    /// The cautions shown since the talk began.
    sitting: Sitting,
    /// The plan of the visit was shown in this sitting.
    plan_shown: bool,
    /// Looks offered once more because a run waits for them.
    offered: BTreeSet<QuestionIx>,
    ends_told: Vec<(QuestionIx, String)>,
    /// It was said what becomes of what nobody can tell.
    cant_tell_told: bool,
    /// The sitting ended at the message to the seller.
    left_at_message: bool,
    /// The ceiling when money was last spoken of.
    ceiling_told: Option<f64>,
}

impl<'b> Interview<'b> {
    /// Holds an interview and opens the talk.
    ///
    /// # Errors
    /// Another program holds it.
    pub fn open(bench: &'b Bench, saved: Saved, mut talk: Box<dyn Talk>) -> Result<Self, String> {
        let held = bench.store.hold(&saved.name)?;
        // Another program may have written between reading and holding.
        let saved = bench.store.load(&saved.name, &bench.knowledge).unwrap_or(saved);
        if let Some(warning) = &held.warning {
            talk.tell(&Words::Plain(warning.clone()));
        }
        let ends_told = said::told_already(&walk(&bench.knowledge, &saved.record, saved.date));
        Ok(Self {
            bench,
            store: bench.store.clone(),
            held,
            saved,
            kept: Kept::Yes,
            pieces: None,
            talk,
            reader: Arc::new(LateReader::new(Arc::clone(&bench.knowledge))),
            goto: None,
            once: false,
            more_tools: false,
            stage_shown: None,
            sitting: Sitting::default(),
            plan_shown: false,
            offered: BTreeSet::new(),
            ends_told,
            cant_tell_told: false,
            left_at_message: false,
            ceiling_told: None,
        })
    }

    /// Saves it as it stands; where that fails the sitting stays in memory, and the person chooses what to do.
    fn save(&mut self) -> Result<(), String> {
        let knowledge = &self.bench.knowledge;
        self.kept = keep(&mut *self.talk, &mut self.store, &mut self.held, &self.saved, knowledge, self.kept)?;
        Ok(())
    }

    /// Asks until nothing is open or the person leaves; `None` means it came to its end.
    ///
    /// # Errors
    /// An answer can't be saved.
    pub fn run(mut self) -> Result<Option<Leave>, String> {
        self.save()?;
        loop {
            let Some(ix) = self.next_question() else {
                return match self.at_the_end() {
                    Ok(true) => continue,
                    Ok(false) => self.last_try().map(|()| self.talk.is_unheard().then_some(Leave::Unheard)),
                    Err(leave) => self.say_goodbye(leave),
                };
            };
            if let Some(leave) = self.one_turn(ix)? {
                return self.say_goodbye(leave);
            }
        }
    }

    /// Asks one question again and stops.
    ///
    /// # Errors
    /// The question is not on the path, or the answer can't be saved.
    pub fn change(mut self, ix: QuestionIx) -> Result<Option<Leave>, String> {
        (self.goto, self.once) = (Some(ix), true);
        loop {
            let at = self.goto.unwrap_or(ix);
            if let Some(leave) = self.one_turn(at)? {
                self.last_try()?;
                self.tell_pieces();
                let stopped = leave == Leave::Stop;
                return Ok((!stopped).then_some(leave));
            }
            if self.goto.is_none() {
                return self.last_try().map(|()| None);
            }
        }
    }

    fn path(&self) -> Path<'_> {
        walk(&self.bench.knowledge, &self.saved.record, self.saved.date)
    }

    /// Where to go: where the person asked to, else the next of the plan.
    fn next_question(&mut self) -> Option<QuestionIx> {
        let path = walk(&self.bench.knowledge, &self.saved.record, self.saved.date);
        if let Some(goto) = self.goto.filter(|goto| path.step(*goto).is_some()) {
            return Some(goto);
        }
        let plan = visit::plan_now(&path, &self.saved);
        let next = visit::next(&path, &plan, &mut self.offered)?;
        if let Some(held) = path.held.iter().find(|held| held.check == next)
            && path.step(next).is_some_and(|step| step.state != State::Open)
        {
            self.talk.tell(&Words::Plain(format!(
                "Before the run this look is needed: {}.",
                held.because.trim_end_matches('.')
            )));
        }
        Some(next)
    }

    /// One question: asked, done what was said, saved.
    fn one_turn(&mut self, ix: QuestionIx) -> Result<Option<Leave>, String> {
        if let Err(leave) = self.open_stage(ix) {
            return Ok(Some(leave));
        }
        let act = {
            let path = walk(&self.bench.knowledge, &self.saved.record, self.saved.date);
            let plan = visit::plan_now(&path, &self.saved);
            let budget = visit::budget(&path, &self.saved);
            let before = self.sitting.clone();
            let turn = turn::prepare(&path, ix, &self.reader, (&plan, budget), &mut self.sitting);
            let act = self.talk.ask(&turn);
            // Whoever turned away has not read what stands before the step: it comes again.
            if matches!(act, Act::Back | Act::Leave(_)) {
                self.sitting = before;
            }
            act
        };
        match act {
            Act::Say(said) => return self.take(ix, said),
            Act::Keep(said) => {
                let before = self.before_pieces(ix);
                self.saved.record.answer_mut(ix).said = said.clone().or_else(|| before.clone());
                self.pieces = said.map(|_| (ix, before));
                self.goto = Some(ix);
                self.save()?;
            }
            Act::SellerSays(words) => {
                let answer = self.saved.record.answer_mut(ix);
                let before = answer.note.take().map_or_else(String::new, |note| format!("{note}; "));
                answer.note = Some(before + &words);
                return self.take(ix, Said::CantTell);
            }
            Act::Note(note) => {
                self.saved.record.answer_mut(ix).note = (!note.is_empty()).then_some(note);
                self.goto = Some(ix);
                self.save()?;
            }
            Act::Photo(photo) => {
                self.saved.record.answer_mut(ix).photos.push(photo);
                self.goto = Some(ix);
                self.save()?;
            }
            Act::Back => self.go_back(ix),
            Act::Jump(to) => self.goto = Some(to),
            Act::ShortOfTime => {
                if let Some(leave) = self.short_of_time()? {
                    return Ok(Some(leave));
                }
            }
            Act::Leave(leave) => return Ok(Some(leave)),
        }
        Ok(None)
    }

    /// Takes an answer: tells what a change does first, saves, says what it means.
    fn take(&mut self, ix: QuestionIx, said: Said) -> Result<Option<Leave>, String> {
        let said = if std::mem::take(&mut self.more_tools) { self.with_those_before(ix, said) } else { said };
        let mut before: Record = self.saved.record.clone();
        before.answer_mut(ix).said = self.before_pieces(ix);
        let path = walk(&self.bench.knowledge, &before, self.saved.date);
        let changes = before.answer(ix).said.as_ref().is_some_and(|old| *old != said);
        if changes && let Some(effects) = said::effects(&path, ix, &said) {
            match self.talk.confirm(&format!("{effects} Go ahead?")) {
                Ok(true) => {}
                Ok(false) => {
                    self.saved.record = before;
                    self.pieces = None;
                    self.goto = None;
                    self.save()?;
                    self.talk.tell(&Words::Plain("Left as it was.".into()));
                    return Ok(None);
                }
                // Whoever leaves here has not agreed to the change.
                Err(leave) => {
                    self.saved.record = before;
                    self.pieces = None;
                    self.save()?;
                    return Ok(Some(leave));
                }
            }
        }
        let taken = said.clone();
        self.saved.record.say(ix, said);
        self.goes_with(ix, &taken);
        self.pieces = None;
        self.goto = None;
        self.save()?;
        self.talk.taken(self.bench.knowledge.question(ix), &taken);
        let after = walk(&self.bench.knowledge, &self.saved.record, self.saved.date);
        let stop = finish::new_stop(&path, &after);
        if stop.is_some()
            && visit::seller_near(&after, ix)
            && let Err(leave) = finish::turn_away(&mut *self.talk)
        {
            return Ok(Some(leave));
        }
        if taken != Said::CantTell || !std::mem::replace(&mut self.cant_tell_told, true) {
            said::reply(&mut *self.talk, &after, ix);
        }
        said::margin(&mut *self.talk, &path, &after);
        said::ends(&mut *self.talk, &after, &mut self.ends_told);
        let (was, is) = (visit::plan_now(&path, &self.saved), visit::plan_now(&after, &self.saved));
        if visit::in_sight(&after, ix)
            && let Some(grown) = visit::grown(&after, &was, &is)
        {
            self.talk.tell(&Words::Margin(grown));
        }
        let Some(stop) = stop else { return Ok(None) };
        let ahead = self.ahead(&after, &is);
        match finish::at_a_stop(&mut *self.talk, &after, stop, ahead) {
            Ok(finish::AtStop::GoOn) => Ok(None),
            Ok(finish::AtStop::Change) => {
                self.goto = Some(ix);
                Ok(None)
            }
            Ok(finish::AtStop::LeaveIt) => Ok(Some(Leave::Stop)),
            Err(leave) => Ok(Some(leave)),
        }
    }

    /// The tools that turned up beside those that were named before.
    fn with_those_before(&self, ix: QuestionIx, said: Said) -> Said {
        let (Said::Value(Value::Many(new)), Some(Said::Value(Value::Many(old)))) =
            (&said, &self.saved.record.answer(ix).said)
        else {
            return said;
        };
        let choices = self.bench.knowledge.question(ix).choices();
        let named = choices.iter().filter(|choice| new.contains(&choice.id) || old.contains(&choice.id));
        let all: Vec<&Choice> = named.collect();
        let several = all.len() > 1;
        let kept = all.into_iter().filter(|choice| !(several && choice.alone));
        Said::Value(Value::Many(kept.map(|choice| choice.id.clone()).collect()))
    }

    /// What an answer settles besides: whoever can't tell where the band begins can't tell where it ends, and minutes
    /// that are answered take the place of those named for the visit.
    fn goes_with(&mut self, ix: QuestionIx, said: &Said) {
        let knowledge = &self.bench.knowledge;
        let end = knowledge.ask(roles::RATED_TO.any);
        let unknown = !matches!(said, Said::Value(_)) && self.saved.record.answer(end).said.is_none();
        if ix == knowledge.ask(roles::RATED_FROM.any) && unknown {
            self.saved.record.say(end, said.clone());
        }
        if Some(ix) == knowledge.visit.minutes && matches!(said, Said::Value(_)) {
            self.saved.minutes = None;
        }
    }

    /// What comes after an answer: a question of the plan, where it stands, or nothing.
    fn ahead(&self, path: &Path<'_>, plan: &Plan) -> finish::Ahead {
        if self.once {
            finish::Ahead::Nothing
        } else if visit::next(path, plan, &mut self.offered.clone()).is_some() {
            finish::Ahead::Questions
        } else {
            finish::Ahead::Verdict
        }
    }

    /// Asks how many minutes are left, plans anew, shows the plan.
    fn short_of_time(&mut self) -> Result<Option<Leave>, String> {
        let typed = match self.minutes_left() {
            Ok(typed) => typed,
            Err(leave) => return Ok(Some(leave)),
        };
        match visit::minutes_said(&typed) {
            Some(left) => {
                self.saved.minutes = Some(spent(&self.path()) + left);
                self.goto = None;
                self.save()?;
                if let Err(leave) = self.show_plan() {
                    return Ok(Some(leave));
                }
            }
            None if matches!(typed.trim(), "" | "b") => {}
            None => self
                .talk
                .tell(&Words::Plain(format!("I can't read {typed:?} as minutes: type a number such as 25."))),
        }
        Ok(None)
    }

    /// Asks for the minutes that are left; says why to whoever asks.
    fn minutes_left(&mut self) -> Result<String, Leave> {
        loop {
            let typed = self.talk.line("How many minutes are left? Enter alone leaves the plan as it is.")?;
            if typed.trim() != "?" {
                return Ok(typed);
            }
            self.talk.tell(&Words::Plain(
                "I plan the rest of the visit anew, so that what tells most comes first. A number such as 25 will do."
                    .into(),
            ));
        }
    }

    fn show_plan(&mut self) -> Result<(), Leave> {
        let path = walk(&self.bench.knowledge, &self.saved.record, self.saved.date);
        let plan = visit::plan_now(&path, &self.saved);
        self.plan_shown = true;
        stage::plan(&mut *self.talk, &path, &plan)
    }

    /// What was said at a question before its answer was kept piece by piece.
    fn before_pieces(&self, ix: QuestionIx) -> Option<Said> {
        match &self.pieces {
            Some((at, before)) if *at == ix => before.clone(),
            _ => self.saved.record.answer(ix).said.clone(),
        }
    }

    /// To the question before this one that was dealt with.
    fn go_back(&mut self, ix: QuestionIx) {
        let path = walk(&self.bench.knowledge, &self.saved.record, self.saved.date);
        let earlier = path.steps.iter().filter(|step| step.question < ix && step.state != State::Open);
        match earlier.into_iter().next_back().map(|step| step.question) {
            Some(to) => self.goto = Some(to),
            None => {
                self.talk.tell(&Words::Plain("This is the first question.".into()));
                self.goto = Some(ix);
            }
        }
    }

    /// Opens a stage when the question stands in another than the last: with the message to the seller where there is
    /// one; before the first look beside the motor with the page for the drive and the plan.
    fn open_stage(&mut self, ix: QuestionIx) -> Result<(), Leave> {
        let stage = self.bench.knowledge.question(ix).stage;
        if self.stage_shown == Some(stage) || self.goto.is_some() {
            return Ok(());
        }
        let path = walk(&self.bench.knowledge, &self.saved.record, self.saved.date);
        let beside = beside_the_motor(&path, ix);
        if beside && !self.plan_shown {
            let plan = visit::plan_now(&path, &self.saved);
            if self.stage_shown.is_some() {
                stage::leave_home(&mut *self.talk, &path, &plan)?;
            }
            stage::plan(&mut *self.talk, &path, &plan)?;
            self.plan_shown = true;
            // What was settled at home is known; told is what the looks beside the motor do to it.
            self.ceiling_told = None;
        } else if self.stage_shown.is_none() {
            stage::open(&mut *self.talk, &path, stage);
        } else if !beside {
            // Who stops here sends it first.
            stage::ask_the_seller(&mut *self.talk, &path, stage).inspect_err(|_| self.left_at_message = true)?;
        }
        let near = visit::seller_near(&path, ix);
        self.ceiling_told = finish::money_moved(&mut *self.talk, &path, self.ceiling_told, near);
        self.stage_shown = Some(stage);
        Ok(())
    }

    /// Nothing of the plan is open: the verdict as it stands, and what ten minutes more would best go to. `true` to go
    /// on.
    fn at_the_end(&mut self) -> Result<bool, Leave> {
        let path = walk(&self.bench.knowledge, &self.saved.record, self.saved.date);
        let open = path.steps.iter().any(|step| step.state == State::Open) || !path.held.is_empty();
        let beside =
            path.steps.iter().any(|step| beside_the_motor(&path, step.question) && step.state != State::Open);
        finish::tell(&mut *self.talk, self.bench, &self.store, &self.saved, beside)?;
        let more = plan(&path, stage::TEN_MINUTES);
        // What a run waits for and nobody could say holds it for good.
        let can = |plan: &Plan| visit::next(&path, plan, &mut self.offered.clone()).is_some();
        let can = (can(&more), can(&plan(&path, stage::ALL_DAY)));
        let ways = if open { stage::ways_on(&path, &more, can) } else { Vec::new() };
        if ways.len() > 1 {
            let words: Vec<String> = ways.iter().map(|(_, words)| words.clone()).collect();
            let picked = self.talk.pick("The plan is done. How do you go on?", &words)?;
            let extra = match ways.get(picked).map(|(way, _)| *way) {
                Some(stage::WayOn::TenMinutes) => stage::TEN_MINUTES,
                Some(stage::WayOn::AllDay) => stage::ALL_DAY,
                Some(stage::WayOn::Tools) => {
                    self.goto = self.bench.knowledge.visit.tools;
                    self.more_tools = true;
                    self.talk.tell(&Words::Plain("What you name comes to the tools you named before.".into()));
                    stage::TEN_MINUTES
                }
                _ => return Err(Leave::Stop),
            };
            self.saved.minutes = Some(spent(&path) + extra);
            return Ok(true);
        }
        if finish::undo(&mut *self.talk)? {
            let last = path.steps.iter().rev().find(|step| step.state != State::Open).map(|step| step.question);
            self.goto = last;
            return Ok(last.is_some());
        }
        Ok(false)
    }

    fn say_goodbye(&mut self, leave: Leave) -> Result<Option<Leave>, String> {
        self.last_try()?;
        if !matches!(leave, Leave::HangUp | Leave::Unheard) {
            self.tell_pieces();
            let elsewhere = self.bench.around.home_named || self.store.folder() != self.bench.store.folder();
            let home =
                if elsewhere { format!("--home {} ", edge::path(self.store.folder())) } else { String::new() };
            let name = &self.saved.name;
            if self.left_at_message {
                self.talk.tell(&Words::Plain(format!("The message again: skeg {home}sheet {name} --before")));
            }
            self.talk.tell(&Words::Plain(format!("All is kept. Carry on with: skeg {home}resume {name}")));
        }
        Ok(Some(leave))
    }

    /// What was agreed to go on unsaved is tried once more, and told when it is lost.
    fn last_try(&mut self) -> Result<(), String> {
        if self.kept == Kept::Yes {
            return Ok(());
        }
        self.store
            .save(&self.held, &self.saved, &self.bench.knowledge)
            .map_err(|why| format!("{why}; what was said since then is NOT kept"))
    }

    /// An answer that was left in the middle: what of it is kept.
    fn tell_pieces(&mut self) {
        let Some((ix, _)) = self.pieces.take() else { return };
        let question = self.bench.knowledge.question(ix);
        if let Some(Said::Value(Value::Readings(readings))) = &self.saved.record.answer(ix).said {
            let text = Value::Readings(readings.clone()).to_text();
            self.talk.tell(&Words::Plain(format!(
                "{} is kept as far as it was read: {text}. The rest: skeg change {} {}",
                question.brief, self.saved.name, question.id
            )));
        }
    }
}
