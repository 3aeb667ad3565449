//! When a question that is not on the path is asked after all, in words with the short names of the sheet.
//!
//! Parts of a condition that are settled already are left out. A condition too long to read beside a blank is told
//! by the questions it looks at.

use std::borrow::Borrow;
use std::fmt::Display;

use crate::knowledge::{AnswerTest, Condition, Kind, MeasureId, MeasureTest, Named, QuestionIx};
use crate::path::{Path, Truth};
use crate::units::{Quantity, figure};

/// Longer than this it would push the boxes off the line for good.
const LONGEST: usize = 120;

/// "only if gear oil is hazy or milky"; `None` for a question that is asked anyway.
#[must_use]
pub fn words(path: &Path<'_>, ix: QuestionIx) -> Option<String> {
    if path.step(ix).is_some() {
        return None;
    }
    let question = path.knowledge.question(ix);
    let told = match (&question.when, question.follows) {
        (Some(when), _) => condition(path, when),
        (None, Some(above)) => format!("{} is asked", brief(path, above)),
        (None, None) => return None,
    };
    let short = match &question.when {
        Some(when) if told.chars().count() > LONGEST => format!("it fits: see {}", looked_at(path, when)),
        _ => told,
    };
    Some(format!("only if {short}"))
}

fn brief<'p>(path: &Path<'p>, ix: QuestionIx) -> &'p str {
    &path.knowledge.question(ix).brief
}

fn condition(path: &Path<'_>, when: &Condition) -> String {
    match when {
        Condition::Answer(ix, test) => answer(path, *ix, test),
        Condition::Measure(id, test) => measure(path, *id, test),
        Condition::All(parts) => joined(path, parts, Truth::Yes, " and "),
        Condition::Any(parts) => joined(path, parts, Truth::No, " or "),
        Condition::Not(part) => match &**part {
            Condition::Answer(ix, AnswerTest::AnyOf(ids) | AnswerTest::Has(ids)) => {
                format!("{} is not {}", brief(path, *ix), either(ids))
            }
            Condition::Answer(ix, AnswerTest::Answered(known)) => answer(path, *ix, &AnswerTest::Answered(!known)),
            other => format!("not: {}", condition(path, other)),
        },
    }
}

/// The parts that are not decided yet.
fn joined(path: &Path<'_>, parts: &[Condition], decided: Truth, with: &str) -> String {
    let view = path.view();
    let open = parts.iter().filter(|part| view.holds(part) != decided);
    open.map(|part| condition(path, part)).collect::<Vec<_>>().join(with)
}

fn answer(path: &Path<'_>, ix: QuestionIx, test: &AnswerTest) -> String {
    let name = brief(path, ix);
    match test {
        AnswerTest::AnyOf(ids) => format!("{name} is {}", either(ids)),
        AnswerTest::Has(ids) => format!("{name} has {}", either(ids)),
        AnswerTest::Only(ids) => format!("{name} has nothing but {}", either(ids)),
        AnswerTest::AtLeast(bound) => format!("{name} is {} or more", amount(path, ix, *bound)),
        AnswerTest::AtMost(bound) => format!("{name} is {} or less", amount(path, ix, *bound)),
        AnswerTest::Answered(true) => format!("{name} is known"),
        AnswerTest::Answered(false) => format!("{name} is not known"),
    }
}

/// A bound in the unit the question is asked in.
fn amount(path: &Path<'_>, ix: QuestionIx, house: f64) -> String {
    match &path.knowledge.question(ix).kind {
        Kind::Amount(about) | Kind::Readings(about, _) => {
            let bound = Quantity::new(house, about.dimension.house_unit()).to(about.unit);
            format!("{} {}", figure(bound.number, 1), about.unit.symbol()).trim_end().to_owned()
        }
        _ => figure(house, 1),
    }
}

fn measure(path: &Path<'_>, id: MeasureId, test: &MeasureTest) -> String {
    let about = path.knowledge.measure(id);
    let bound = |bound: f64| format!("{} {}", figure(bound, 2), about.unit).trim_end().to_owned();
    match test {
        MeasureTest::AnyOf(all) => format!("{} is {}", about.title, or(all)),
        MeasureTest::Above(least) => format!("{} is over {}", about.title, bound(*least)),
        MeasureTest::Below(most) => format!("{} is under {}", about.title, bound(*most)),
    }
}

fn looked_at(path: &Path<'_>, when: &Condition) -> String {
    let mut all: Vec<String> = Vec::new();
    when.visit(&mut |named| {
        let name = match named {
            Named::Question(ix) => brief(path, ix).to_owned(),
            Named::Measure(id) => path.knowledge.measure(id).title.to_owned(),
        };
        if !all.contains(&name) {
            all.push(name);
        }
    });
    all.join(", ")
}

fn either(ids: &[crate::knowledge::ChoiceId]) -> String {
    or(&ids.iter().map(ToString::to_string).collect::<Vec<_>>())
}

/// "a", "a or b", "a, b or c".
fn or<W: Borrow<str> + Display>(words: &[W]) -> String {
    match words.split_last() {
        Some((last, others)) if !others.is_empty() => format!("{} or {last}", others.join(", ")),
        _ => words.join(""),
    }
}
