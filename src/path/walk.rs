//! The path: which questions are asked, in what order, and where it ends early.
//!
//! [`walk`] folds over the questions in file order, growing the live answers. It is a pure function of question
//! data, record and date: there is no cursor to get wrong.

use jiff::civil::Date;

use crate::answers::{Live, Record, Said, Standing, Value};
use crate::knowledge::{Choice, ChoiceId, Kind, Knowledge, Of, Place, QuestionIx, StageId, Text};
use crate::measure;

use super::conditions::View;
use super::figures::Figures;
use super::gates::Gates;
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

/// What shut part of the path: after which question, what it shut, and why.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ended {
    pub after: QuestionIx,
    /// The choice that ends a part; none where a gate is shut by a bad value.
    pub choice: Option<ChoiceId>,
    /// Stages, or `interview`; of a gate its stage, of which it may shut only some questions.
    pub closes: Vec<StageId>,
    pub because: String,
    /// Questions that would have been asked but for this end, follow-ups left out.
    pub shut: Vec<QuestionIx>,
}

/// A gate that is not open yet: its questions wait until a look has been taken that came out well.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Held {
    /// The gate's id in the question data.
    pub gate: String,
    /// The look to offer again.
    pub check: QuestionIx,
    pub because: String,
    /// The questions that wait, follow-ups left out; with several looks missing they stand with the first.
    pub questions: Vec<QuestionIx>,
}

/// The questions of one interview as they stand.
#[derive(Clone, Debug)]
pub struct Path<'a> {
    pub knowledge: &'a Knowledge,
    pub record: &'a Record,
    pub date: Date,
    pub steps: Vec<Step>,
    pub ended: Vec<Ended>,
    pub held: Vec<Held>,
    pub live: Live<'a>,
    pub(super) figures: Figures,
}

impl<'a> Path<'a> {
    /// Notes how a question stands.
    fn set(&mut self, ix: QuestionIx, standing: Standing<'a>) {
        self.live.set(ix, standing);
        self.figures.forget(self.knowledge, ix);
    }

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
        View { live: &self.live, date: self.date, figures: &self.figures }
    }

    /// What was worked out of measures so far.
    #[must_use]
    pub fn figures(&self) -> &Figures {
        &self.figures
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
    let (steps, ended, held) = (Vec::new(), Vec::new(), Vec::new());
    let path = Path {
        knowledge,
        record,
        date,
        steps,
        ended,
        held,
        live: Live::new(knowledge),
        figures: Figures::new(knowledge),
    };
    let mut fold = Fold { path, coming: Vec::new(), gates: Gates::default() };
    for ix in knowledge.places() {
        fold.come_to(ix);
    }
    fold.ends_in_force(None);
    fold.path
}

struct Fold<'a> {
    path: Path<'a>,
    /// Early ends that wait for the follow-ups of their question.
    coming: Vec<(QuestionIx, &'a Choice)>,
    gates: Gates,
}

impl<'a> Fold<'a> {
    fn come_to(&mut self, ix: QuestionIx) {
        self.ends_in_force(Some(ix));
        // What a mechanic read was read, whatever kept the buyer from it.
        if self.path.record.answer(ix).by_mechanic {
            self.stand_on(ix);
            return;
        }
        let applies = self.applies(ix);
        // What this motor can't be asked is a no, whether its stage is shut or not.
        if applies == Truth::No {
            self.path.set(ix, Standing::DoesNotApply);
        } else if self.is_shut(ix) || applies == Truth::Unknown {
            self.path.set(ix, Standing::MayApply);
        } else {
            self.stand_on(ix);
        }
    }

    /// Whether an early end or a gate keeps a question from being asked; whatever does so takes note of it.
    fn is_shut(&mut self, ix: QuestionIx) -> bool {
        let question = self.path.knowledge.question(ix);
        let counts = question.follows.is_none();
        if let Some(place) = self.shut_by(question.stage) {
            if counts {
                self.path.ended[place].shut.push(ix);
            }
            return true;
        }
        self.gates.keep_shut(&mut self.path, ix, counts)
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
        self.path.ended.iter().position(|ended| ended.choice.is_some() && shuts(ended))
    }

    /// A question on the path: notes its state, what is live of it, and what it ends.
    fn stand_on(&mut self, ix: QuestionIx) {
        let record = self.path.record;
        let said = record.answer(ix).said.as_ref();
        let wanted = wanted_entries(self.path.knowledge, ix, &self.path.live, self.path.date);
        let state = match said {
            Some(Said::Value(value)) if value.fits(wanted) => State::Value,
            Some(Said::CantTell) => State::CantTell,
            Some(Said::NotDone(_)) => State::NotDone,
            Some(Said::Value(_)) | None => State::Open,
        };
        let standing = match said {
            Some(Said::Value(value)) if state == State::Value => Standing::Value(value),
            _ => Standing::Silent(self.untold(ix, state)),
        };
        self.path.steps.push(Step { question: ix, state });
        self.path.set(ix, standing);
        let picked: &[ChoiceId] = match standing {
            Standing::Value(Value::One(choice)) | Standing::Silent(Some(choice)) => std::slice::from_ref(choice),
            Standing::Value(Value::Many(choices)) => choices,
            Standing::Value(Value::Each(each)) => each.choices(),
            _ => &[],
        };
        let closing = |choice: &&'a Choice| picked.contains(&choice.id) && !choice.closes.is_empty();
        let choices = self.path.knowledge.question(ix).choices();
        self.coming.extend(choices.iter().filter(closing).map(|choice| (ix, choice)));
    }

    /// What a question reads as while it has no value.
    fn untold(&self, ix: QuestionIx, state: State) -> Option<&'a ChoiceId> {
        let untold = self.path.knowledge.question(ix).untold.as_ref()?;
        let reads = untold.when.as_ref().is_none_or(|when| self.path.view().holds(when) == Truth::Yes)
            && (state != State::Open || !untold.once_passed || self.was_passed(ix));
        reads.then_some(&untold.choice)
    }

    /// Whether the buyer went on beside the motor without it: a later look there has an answer.
    fn was_passed(&self, ix: QuestionIx) -> bool {
        let away = |place: Option<Place>| matches!(place, Some(Place::Home | Place::Seller));
        self.path.record.entries().any(|(later, answer)| {
            let question = self.path.knowledge.question(later);
            later > ix && answer.said.is_some() && !question.told && !away(question.place)
        })
    }

    /// Early ends take effect once the follow-ups of their question are behind us, and unless a follow-up undoes them.
    fn ends_in_force(&mut self, next: Option<QuestionIx>) {
        let waits = |after: QuestionIx| next.is_some_and(|next| self.path.knowledge.stands_below(next, after));
        let (waiting, due): (Vec<_>, Vec<_>) = self.coming.iter().copied().partition(|(after, _)| waits(*after));
        self.coming = waiting;
        for (after, choice) in due {
            let undone =
                choice.closes_unless.as_ref().is_some_and(|unless| self.path.view().holds(unless) == Truth::Yes);
            if !undone {
                self.path.ended.push(Ended {
                    after,
                    choice: Some(choice.id.clone()),
                    closes: choice.closes.clone(),
                    because: choice.because.as_ref().map(Text::to_string).unwrap_or_default(),
                    shut: Vec::new(),
                });
            }
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
