//! An answer in words: the label that was chosen, the amount as it was typed, or why there is none.

use serde::Serialize;

use crate::answers::{Said, Standing, Value};
use crate::knowledge::{ChoiceId, Question, QuestionIx};
use crate::path::State;

use crate::units::{Quantity, figure};

use super::super::Audience;
use super::super::sheet::tick;
use super::super::words::{self, typed};
use super::Scene;

/// One thing asked and what was said to it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Seen {
    pub brief: String,
    /// The answer, or why there is none.
    pub said: String,
    /// Without an answer it is read as this choice.
    pub taken_as: Option<String>,
    /// A person's own words stand in it.
    #[serde(skip)]
    pub typed: bool,
}

impl Scene<'_, '_> {
    /// What was said to a question; `None` when this reader is not to be told.
    pub(super) fn seen(&self, ix: QuestionIx) -> Option<Seen> {
        let question = self.knowledge().question(ix);
        let (said, taken_as) = match self.path().live.standing(ix) {
            Standing::Value(Value::Text(_)) if self.audience != Audience::Buyer => return None,
            Standing::Value(value) => (self.value_said(question, value), None),
            Standing::Silent(choice) => (self.why_silent(ix), choice.map(|choice| label(question, choice))),
            Standing::MayApply | Standing::DoesNotApply => (self.why_silent(ix), None),
        };
        let typed = said.contains('"');
        self.may_tell(ix).then(|| Seen { brief: words::capital(&question.brief), said, taken_as, typed })
    }

    /// A value as the buyer would say it.
    pub(super) fn value_said(&self, question: &Question, value: &Value) -> String {
        match value {
            Value::One(choice) => label(question, choice),
            Value::Many(choices) => {
                choices.iter().map(|choice| label(question, choice)).collect::<Vec<_>>().join("; ")
            }
            Value::Each(each) => each_said(question, each.choices()),
            Value::Money(sum) => self.purse.exact(*sum),
            Value::Prices(prices) => {
                words::list(&prices.iter().map(|price| self.purse.exact(*price)).collect::<Vec<_>>())
            }
            Value::Text(text) => format!("\"{}\"", typed(text)),
            Value::Amount(_) | Value::Readings(_) | Value::Count(_) | Value::Year(_) => value.to_text(),
        }
    }

    /// The same in a few words where the data has them: what stands on a field sheet.
    pub(super) fn value_in_short(&self, question: &Question, value: &Value) -> String {
        let tick = |choice: &ChoiceId| question.choice(choice).map_or_else(String::new, tick);
        let amount = |quantity: &Quantity| {
            format!("{} {}", figure(quantity.number, 1), quantity.unit.symbol()).trim_end().to_owned()
        };
        match value {
            Value::One(choice) => tick(choice),
            Value::Amount(quantity) => amount(quantity),
            Value::Many(choices) => choices.iter().map(tick).collect::<Vec<_>>().join("; "),
            Value::Each(crate::answers::Each::All(choice)) => format!("every cylinder {}", tick(choice)),
            _ => self.value_said(question, value),
        }
    }

    /// Why a question has no value, as the end of a sentence.
    pub(super) fn why_silent(&self, ix: QuestionIx) -> String {
        match self.path().step(ix).map(|step| step.state) {
            Some(State::CantTell) => "nobody could tell".to_owned(),
            Some(State::NotDone) => match &self.record().answer(ix).said {
                Some(Said::NotDone(reason)) if self.may_quote() && !typed(reason).is_empty() => {
                    format!("not done: \"{}\"", typed(reason))
                }
                _ => "not done".to_owned(),
            },
            Some(State::Open | State::Value) => "not asked yet".to_owned(),
            None => match self.path().ended.iter().find(|ended| ended.shut.contains(&ix)) {
                Some(ended) => format!("the look ended before it, at \"{}\"", self.brief(ended.after)),
                None => "not reached".to_owned(),
            },
        }
    }

    /// What the buyer typed for himself is no matter of others.
    fn may_quote(&self) -> bool {
        self.audience == Audience::Buyer
    }
}

pub(super) fn label(question: &Question, choice: &ChoiceId) -> String {
    question.choice(choice).map_or_else(|| choice.to_string(), |choice| choice.label.to_string())
}

/// "every cylinder: tan", "cylinders 1 and 3: tan; cylinder 2: oily".
fn each_said(question: &Question, choices: &[ChoiceId]) -> String {
    let mut alike: Vec<(&ChoiceId, Vec<String>)> = Vec::new();
    for (place, choice) in choices.iter().enumerate() {
        let number = (place + 1).to_string();
        match alike.iter_mut().find(|(known, _)| *known == choice) {
            Some((_, cylinders)) => cylinders.push(number),
            None => alike.push((choice, vec![number])),
        }
    }
    if let [(choice, _)] = alike.as_slice() {
        return format!("every cylinder: {}", label(question, choice));
    }
    let said = |(choice, cylinders): &(&ChoiceId, Vec<String>)| {
        let word = if cylinders.len() == 1 { "cylinder" } else { "cylinders" };
        format!("{word} {}: {}", words::list(cylinders), label(question, choice))
    };
    alike.iter().map(said).collect::<Vec<_>>().join("; ")
}
