//! The path: which questions are asked, in what order, and where it ends early.
//!
//! [`walk`] folds over the questions in file order, growing the live answers. It is a pure function of question
//! data, record and date: there is no cursor to get wrong.

use jiff::civil::Date;

use crate::answers::{Live, Record, Said, Standing, Value};
use crate::knowledge::{Choice, ChoiceId, Kind, Knowledge, Of, QuestionIx, StageId};
use crate::measure;

use super::conditions::View;
use super::truth::Truth;

/// How a question on the path stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum State {
    Value,
    CantTell,
    NotDone,
    /// Not dealt with, or its value no longer fits the number of cylinders.
    Open,
}

impl State {
    /// The word used in JSON.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Value => "value",
            Self::CantTell => "cant-tell",
            Self::NotDone => "not-done",
            Self::Open => "open",
        }
    }
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Step {
    pub question: QuestionIx,
    pub state: State,
}

/// An early end: after which question, what it shut, and why.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ended {
    pub after: QuestionIx,
    pub choice: ChoiceId,
    /// Stages, or `interview`.
    pub closes: Vec<StageId>,
    pub because: String,
    /// Questions that would have been asked but for this end, follow-ups left out.
    pub shut: Vec<QuestionIx>,
}

/// The questions of one interview as they stand.
#[derive(Clone, Debug)]
pub struct Path<'a> {
    pub knowledge: &'a Knowledge,
    pub record: &'a Record,
    pub date: Date,
    pub steps: Vec<Step>,
    pub ended: Vec<Ended>,
    pub live: Live<'a>,
}

impl<'a> Path<'a> {
    /// The first question nobody has dealt with.
    #[must_use]
    pub fn next_open(&self) -> Option<QuestionIx> {
        self.steps.iter().find(|step| step.state == State::Open).map(|step| step.question)
    }

    /// The step of a question, when it is on the path.
    #[must_use]
    pub fn step(&self, question: QuestionIx) -> Option<Step> {
        self.steps.iter().copied().find(|step| step.question == question)
    }

    /// To evaluate conditions with all live answers.
    #[must_use]
    pub fn view(&self) -> View<'_, 'a> {
        View { live: &self.live, date: self.date }
    }

    /// Answers that are kept but count for nothing at present.
    #[must_use]
    pub fn asleep(&self) -> Vec<QuestionIx> {
        let said = self.record.entries().filter(|(_, answer)| answer.said.is_some());
        said.map(|(ix, _)| ix).filter(|ix| self.step(*ix).is_none()).collect()
    }
}

/// Works out the path.
#[must_use]
pub fn walk<'a>(knowledge: &'a Knowledge, record: &'a Record, date: Date) -> Path<'a> {
    let path = Path { knowledge, record, date, steps: Vec::new(), ended: Vec::new(), live: Live::new(knowledge) };
    let mut fold = Fold { path, in_force: Vec::new() };
    for ix in knowledge.places() {
        fold.come_to(ix);
    }
    fold.path
}

struct Fold<'a> {
    path: Path<'a>,
    /// For each early end, whether its follow-ups are behind us.
    in_force: Vec<bool>,
}

impl<'a> Fold<'a> {
    fn come_to(&mut self, ix: QuestionIx) {
        let question = self.path.knowledge.question(ix);
        for place in 0..self.path.ended.len() {
            let after = self.path.ended[place].after;
            self.in_force[place] |= !self.stands_below(ix, after);
        }
        let applies = self.applies(ix);
        // What this motor can't be asked is a no, whether its stage is shut or not.
        if applies == Truth::No {
            self.path.live.set(ix, Standing::DoesNotApply);
            return;
        }
        if let Some(place) = self.shut_by(question.stage) {
            if question.follows.is_none() {
                self.path.ended[place].shut.push(ix);
            }
            self.path.live.set(ix, Standing::MayApply);
            return;
        }
        if applies == Truth::Yes {
            self.stand_on(ix);
        } else {
            self.path.live.set(ix, Standing::MayApply);
        }
    }

    /// Whether a question follows another, directly or further down.
    fn stands_below(&self, mut ix: QuestionIx, above: QuestionIx) -> bool {
        while let Some(next) = self.path.knowledge.question(ix).follows {
            if next == above {
                return true;
            }
            ix = next;
        }
        false
    }

    fn applies(&self, ix: QuestionIx) -> Truth {
        let question = self.path.knowledge.question(ix);
        let above = question.follows.map_or(Truth::Yes, |above| match self.path.live.standing(above) {
            Standing::Value(_) | Standing::Silent(_) => Truth::Yes,
            Standing::MayApply => Truth::Unknown,
            Standing::DoesNotApply => Truth::No,
        });
        above.and(question.when.as_ref().map_or(Truth::Yes, |when| self.path.view().holds(when)))
    }

    fn shut_by(&self, stage: usize) -> Option<usize> {
        let stage = &self.path.knowledge.stages[stage].id;
        let shuts = |ended: &Ended| ended.closes.iter().any(|closed| closed == stage || *closed == "interview");
        (0..self.in_force.len()).find(|place| self.in_force[*place] && shuts(&self.path.ended[*place]))
    }

    /// A question on the path: notes its state, what is live of it, and what it ends.
    fn stand_on(&mut self, ix: QuestionIx) {
        let record = self.path.record;
        let said = record.answer(ix).said.as_ref();
        let wanted = wanted_entries(self.path.knowledge, ix, &self.path.live, self.path.date);
        let (state, standing) = match said {
            Some(Said::Value(value)) if value.fits(wanted) => (State::Value, Standing::Value(value)),
            Some(Said::CantTell) => (State::CantTell, Standing::Silent(self.untold(ix))),
            Some(Said::NotDone(_)) => (State::NotDone, Standing::Silent(self.untold(ix))),
            Some(Said::Value(_)) | None => (State::Open, Standing::Silent(self.untold(ix))),
        };
        self.path.steps.push(Step { question: ix, state });
        self.path.live.set(ix, standing);
        self.note_ends(ix, standing);
    }

    fn untold(&self, ix: QuestionIx) -> Option<&'a ChoiceId> {
        let untold = self.path.knowledge.question(ix).untold.as_ref()?;
        let reads = untold.when.as_ref().is_none_or(|when| self.path.view().holds(when) == Truth::Yes);
        reads.then_some(&untold.choice)
    }

    fn note_ends(&mut self, ix: QuestionIx, standing: Standing<'a>) {
        let question = self.path.knowledge.question(ix);
        let picked: &[ChoiceId] = match standing {
            Standing::Value(Value::One(choice)) | Standing::Silent(Some(choice)) => std::slice::from_ref(choice),
            Standing::Value(Value::Many(choices) | Value::Each(choices)) => choices,
            _ => &[],
        };
        let closing = |choice: &&Choice| picked.contains(&choice.id) && !choice.closes.is_empty();
        if let Some(choice) = question.choices().iter().find(closing) {
            self.path.ended.push(Ended {
                after: ix,
                choice: choice.id.clone(),
                closes: choice.closes.clone(),
                because: choice.because.clone().unwrap_or_default(),
                shut: Vec::new(),
            });
            self.in_force.push(false);
        }
    }
}

/// How many entries an answer of a question should have, where it is a list by cylinder and their number is known.
#[must_use]
pub fn wanted_entries(knowledge: &Knowledge, ix: QuestionIx, live: &Live<'_>, date: Date) -> Option<usize> {
    match &knowledge.question(ix).kind {
        Kind::Each(_)
        | Kind::Readings(_, Of::Cylinders)
        | Kind::Text(crate::knowledge::TextForm::CylinderGroups) => live.cylinders(),
        Kind::Readings(_, Of::LowCylinders) => {
            measure::low_cylinders(live, date).map(|low| low.len()).filter(|count| *count > 0)
        }
        _ => None,
    }
}
