//! The field sheet: every question still open, in walking order, to print, fill in with a pencil and type in later.
//!
//! Compact on purpose: boxes with short names for choices, blanks for amounts, the cautions that weigh before the step;
//! a fresh one takes two or three leaves printed on both sides, one under way less.

use std::collections::BTreeSet;

use crate::answers::Standing;
use crate::knowledge::{AnswerTest, Caution, Condition, Kind, Level, Question, QuestionIx};
use crate::path::{Path, State, View};

use super::markdown;

/// Lines of small type that fit a page; before a stage that would not fit the rest of one a line says: break here.
const PAGE: usize = 110;

/// The sheet as Markdown; `name` is the interview it belongs to.
#[must_use]
pub fn sheet(path: &Path<'_>, name: Option<&str>) -> String {
    let belongs = name.map_or_else(String::new, |name| format!(", for {}", markdown::escape(name)));
    let head = format!(
        "# Field sheet{belongs}\n\nTick what you see, write what you read, leave open what you can't tell. One with + is asked only after some answers. Type it in later: the answers go in the same order, and the short names can be typed as they stand.\n"
    );
    let mut pages = markdown::tidy(&head);
    let mut used = pages.lines().count();
    let mut told = BTreeSet::new();
    for (place, stage) in path.knowledge.stages.iter().enumerate() {
        let open: Vec<QuestionIx> = open_in(path, place);
        if open.is_empty() {
            continue;
        }
        let mut text = format!("\n## {}\n\n", markdown::escape(&stage.title));
        cautions(&mut text, &path.view(), &stage.cautions, &mut told);
        for ix in open {
            let question = path.knowledge.question(ix);
            let mut before = String::new();
            cautions(&mut before, &path.view(), &question.cautions, &mut told);
            if !before.is_empty() {
                text.push_str(&format!("\n{before}"));
            }
            text.push_str(&line(path, ix, question));
        }
        let text = markdown::tidy(&text);
        let lines = text.lines().count() + 1;
        if used > 0 && used + lines > PAGE && used > PAGE / 3 {
            pages.push_str("\n---\n");
            used = 0;
        }
        pages.push('\n');
        pages.push_str(&text);
        used = (used + lines) % PAGE;
    }
    pages
}

/// Questions of a stage that are open, or may still come to be asked.
fn open_in(path: &Path<'_>, stage: usize) -> Vec<QuestionIx> {
    let of_stage = path.knowledge.places().filter(|ix| path.knowledge.question(*ix).stage == stage);
    of_stage.filter(|ix| may_be_asked(path, *ix)).collect()
}

/// Open on the path, not yet decided, or a follow-up of such a one; what an early end shut is not.
fn may_be_asked(path: &Path<'_>, ix: QuestionIx) -> bool {
    if let Some(step) = path.step(ix) {
        return step.state == State::Open;
    }
    let root = path.knowledge.root_of(ix);
    let shut = path.ended.iter().any(|ended| ended.shut.contains(&root));
    let follows_open = path.knowledge.question(ix).follows.is_some_and(|above| may_be_asked(path, above));
    !shut && (follows_open || waits_for_a_value(path, ix) || path.live.standing(ix) == Standing::MayApply)
}

/// Asked once another question, itself still open, has any value.
fn waits_for_a_value(path: &Path<'_>, ix: QuestionIx) -> bool {
    match &path.knowledge.question(ix).when {
        Some(Condition::Answer(other, AnswerTest::Answered(true))) => may_be_asked(path, *other),
        _ => false,
    }
}

/// Cautions of weight before the step, each once.
fn cautions(text: &mut String, view: &View<'_, '_>, all: &[Caution], told: &mut BTreeSet<String>) {
    for caution in view.cautions(all).into_iter().filter(|caution| caution.level <= Level::Warning) {
        if told.insert(caution.text.clone()) {
            text.push_str(&format!("**{}:** {}\n\n", caution.level.word(), markdown::escape(&caution.text)));
        }
    }
}

/// One question: its name and where to put the answer; a plus where it is asked only after some answers.
fn line(path: &Path<'_>, ix: QuestionIx, question: &Question) -> String {
    let only = if path.step(ix).is_some() { "" } else { "+" };
    let core = if question.core { " (core)" } else { "" };
    let name = markdown::escape(&super::words::capital(&question.brief));
    format!("- {only}**{name}**{core}: {}\n", blanks(path, question))
}

/// Boxes for choices, blanks for the rest.
fn blanks(path: &Path<'_>, question: &Question) -> String {
    let cylinders = path.live.cylinders().unwrap_or(4);
    let boxes = |mark: &str| {
        // The short names: they can be typed later just as they stand.
        let each = question.choices().iter().map(|choice| format!("{mark}{}", choice.id));
        each.collect::<Vec<_>>().join(" ")
    };
    let by_cylinder = |unit: &str| {
        let each = (1..=cylinders).map(|number| format!("{number}: ....."));
        format!("{} {unit}", each.collect::<Vec<_>>().join(" "))
    };
    match &question.kind {
        Kind::One(_) | Kind::Many(_) => boxes("()"),
        Kind::Each(_) => {
            let names: Vec<&str> = question.choices().iter().map(|choice| choice.id.as_str()).collect();
            format!("{}. {}", names.join(", "), by_cylinder("").trim_end())
        }
        Kind::Amount(amount) => format!("........ {}", amount.unit.symbol()),
        Kind::Readings(amount, _) => by_cylinder(amount.unit.symbol()),
        Kind::Count { .. } | Kind::Year { .. } | Kind::Money { .. } => "........".into(),
        Kind::Prices { .. } => "........ ........ ........".into(),
        Kind::Text(_) => "................................".into(),
    }
}
