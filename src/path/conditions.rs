//! Evaluating conditions on live answers and on the measures they give.

use jiff::civil::Date;

use crate::answers::{Live, Standing, Value};
use crate::knowledge::{AnswerTest, CardLine, ChoiceId, Condition, MeasureId, MeasureTest, QuestionIx};
use crate::measure::Figure;

use super::figures::Figures;
use super::truth::Truth;

/// What conditions are looked at in: the live answers and the interview's date.
#[derive(Clone, Copy, Debug)]
pub struct View<'v, 'a> {
    pub live: &'v Live<'a>,
    pub date: Date,
    pub(super) figures: &'v Figures,
}

impl<'v, 'a> View<'v, 'a> {
    /// Looks at other standings than those of the path.
    #[must_use]
    pub fn new(live: &'v Live<'a>, date: Date, figures: &'v Figures) -> Self {
        Self { live, date, figures }
    }
}

impl View<'_, '_> {
    /// Whether a condition holds.
    #[must_use]
    pub fn holds(&self, condition: &Condition) -> Truth {
        match condition {
            Condition::Answer(question, test) => self.answer_holds(*question, test),
            Condition::Measure(measure, test) => self.measure_holds(*measure, test),
            Condition::All(parts) => parts.iter().fold(Truth::Yes, |so_far, part| so_far.and(self.holds(part))),
            Condition::Any(parts) => parts.iter().fold(Truth::No, |so_far, part| so_far.or(self.holds(part))),
            Condition::Not(part) => !self.holds(part),
        }
    }

    /// The lines that fit: all but those whose condition is a clear no.
    #[must_use]
    pub fn lines<'c>(&self, lines: &'c [CardLine]) -> Vec<&'c CardLine> {
        let fits = |line: &&CardLine| line.when.as_ref().is_none_or(|when| self.holds(when) != Truth::No);
        lines.iter().filter(fits).collect()
    }

    fn answer_holds(&self, question: QuestionIx, test: &AnswerTest) -> Truth {
        let standing = self.live.standing(question);
        if let AnswerTest::Answered(wanted) = test {
            return Truth::from(matches!(standing, Standing::Value(_)) == *wanted);
        }
        match standing {
            Standing::DoesNotApply => Truth::No,
            Standing::MayApply | Standing::Silent(None) => Truth::Unknown,
            Standing::Silent(Some(choice)) => match test {
                AnswerTest::AnyOf(choices) => choices.contains(choice).into(),
                _ => Truth::Unknown,
            },
            Standing::Value(value) => value_passes(value, test),
        }
    }

    /// The figure of a measure, worked out at most once between two answers.
    #[must_use]
    pub fn figure(&self, id: MeasureId) -> Option<Figure> {
        self.figures.of(id, self.live, self.date)
    }

    /// A measure that can't apply because an answer it needs is not asked is a no, like that answer.
    fn measure_holds(&self, id: MeasureId, test: &MeasureTest) -> Truth {
        let about = self.live.knowledge.measure(id);
        if about.needs.iter().any(|need| self.live.standing(*need) == Standing::DoesNotApply) {
            return Truth::No;
        }
        match self.figure(id) {
            Some(Figure::Word(word)) => match test {
                MeasureTest::AnyOf(words) => words.contains(&word).into(),
                _ => Truth::Unknown,
            },
            Some(Figure::Number(number)) => match test {
                MeasureTest::Above(bound) => (number > *bound).into(),
                MeasureTest::Below(bound) => (number < *bound).into(),
                MeasureTest::AnyOf(_) => Truth::Unknown,
            },
            None => Truth::Unknown,
        }
    }
}

fn value_passes(value: &Value, test: &AnswerTest) -> Truth {
    /// Typed amounts are compared with a little slack, so that 9.6 V is at least 9.6 V in any unit.
    const SLACK: f64 = 1e-9;
    let number = |house: f64| match test {
        AnswerTest::AtLeast(bound) => Truth::from(house >= bound - SLACK),
        AnswerTest::AtMost(bound) => Truth::from(house <= bound + SLACK),
        _ => Truth::Unknown,
    };
    match value {
        Value::One(choice) => match test {
            AnswerTest::AnyOf(choices) => choices.contains(choice).into(),
            _ => Truth::Unknown,
        },
        Value::Many(ticked) => list_passes(ticked, test),
        Value::Each(each) => list_passes(each.choices(), test),
        Value::Amount(quantity) => number(quantity.house()),
        Value::Readings(readings) => readings
            .iter()
            .map(|reading| reading.map_or(Truth::Unknown, |quantity| number(quantity.house())))
            .fold(Truth::Yes, Truth::and),
        Value::Count(count) => number(f64::from(*count)),
        Value::Year(year) => number(f64::from(*year)),
        Value::Text(text) => match test {
            AnswerTest::AnyOf(words) => {
                words.iter().any(|word| *word == text.trim().to_lowercase().as_str()).into()
            }
            _ => Truth::Unknown,
        },
        Value::Money(_) | Value::Prices(_) => Truth::Unknown,
    }
}

fn list_passes(ticked: &[ChoiceId], test: &AnswerTest) -> Truth {
    match test {
        AnswerTest::Has(choices) => ticked.iter().any(|choice| choices.contains(choice)).into(),
        AnswerTest::Only(choices) => ticked.iter().all(|choice| choices.contains(choice)).into(),
        _ => Truth::Unknown,
    }
}
