//! The field sheet: every question still open, in walking order, to print, fill in with a pencil and type in later.
//!
//! Compact on purpose: boxes with short names for choices, blanks for amounts and a short word how; a fresh one
//! takes two or three leaves of small type printed on both sides, one under way less. Cautions stand before their
//! step, each once: on them a sheet never saves room. What is asked only after some answers says so ([`only_if`]).

mod only_if;

use std::collections::BTreeSet;

use crate::answers::Standing;
use crate::knowledge::{AnswerTest, Caution, Condition, Kind, Question, QuestionIx};
use crate::path::{Path, State};

use super::{markdown, words};

/// Lines of small type that fit a page; before a stage that fits a page, but not the rest of this one, a line says: break here.
const PAGE: usize = 110;
/// The longest first step of a how that is told beside a blank.
const SHORT_HOW: usize = 90;

const HEAD: &str = "Tick what you see, write what you read, leave open what you can't tell. One with \"only if\" is \
                    asked only then. Without those marked (core) nobody can call a motor good. The service manual, \
                    the rules of your place and a licensed mechanic have the last word on every step. Type it in \
                    later: the questions come in the same order, and the short names can be typed as they stand.";

/// The sheet as Markdown; `name` is the interview it belongs to.
#[must_use]
pub fn sheet(path: &Path<'_>, name: Option<&str>) -> String {
    let belongs = name.map_or_else(String::new, |name| format!(", for {}", markdown::escape(name)));
    let mut pages = markdown::tidy(&format!("# Field sheet{belongs}\n\n{HEAD}\n"));
    let mut used = pages.lines().count();
    let mut told = BTreeSet::new();
    let stages: Vec<String> = (0..path.knowledge.stages.len())
        .filter_map(|place| stage(path, place, &mut told))
        .map(|text| markdown::tidy(&text))
        .collect();
    if stages.is_empty() {
        pages.push_str("\nNothing is open: every question was dealt with.\n");
    }
    for text in stages {
        let lines = text.lines().count() + 1;
        // One that fits no page breaks somewhere anyway.
        if lines <= PAGE && used + lines > PAGE && used > PAGE / 3 {
            pages.push_str("\n---\n");
            used = 0;
        }
        pages.push('\n');
        pages.push_str(&text);
        used = (used + lines) % PAGE;
    }
    pages
}

/// One stage with its open questions; `None` when there are none.
fn stage(path: &Path<'_>, place: usize, told: &mut BTreeSet<String>) -> Option<String> {
    let stage = &path.knowledge.stages[place];
    let of_stage = path.knowledge.places().filter(|ix| path.knowledge.question(*ix).stage == place);
    let open: Vec<QuestionIx> = of_stage.filter(|ix| may_be_asked(path, *ix)).collect();
    if open.is_empty() {
        return None;
    }
    let mut text = format!("\n## {}\n\n", markdown::escape(&stage.title));
    for caution in cautions(path, &stage.cautions, told) {
        text.push_str(&format!("{caution}\n\n"));
    }
    let mut before = None;
    for ix in open {
        let question = path.knowledge.question(ix);
        for caution in cautions(path, &question.cautions, told) {
            text.push_str(&format!("- {caution}\n"));
        }
        let only = only_if::words(path, ix);
        let same = only.is_some() && only == before;
        let shown = if same { Some("only if the same".to_owned()) } else { only.clone() };
        text.push_str(&item(path, question, shown));
        before = only;
    }
    Some(text)
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

/// The cautions that may hold, each text once on the whole sheet.
fn cautions(path: &Path<'_>, all: &[Caution], told: &mut BTreeSet<String>) -> Vec<String> {
    let mut shown = Vec::new();
    for caution in path.view().cautions(all) {
        if told.insert(caution.text.clone()) {
            shown.push(format!("**{}:** {}", caution.level.word(), markdown::escape(&caution.text)));
        }
    }
    shown
}

/// One question: its name, when it is asked, where to put the answer, and how to come by it if that is said shortly.
fn item(path: &Path<'_>, question: &Question, only: Option<String>) -> String {
    let marks: Vec<String> = question.core.then(|| "core".to_owned()).into_iter().chain(only).collect();
    let marks =
        if marks.is_empty() { String::new() } else { format!(" ({})", markdown::escape(&marks.join(", "))) };
    let name = markdown::escape(&words::capital(&question.brief));
    let bare = format!("- **{name}**{marks}: {}\n", blanks(path, question));
    let how = question.how.first().filter(|how| question.choices().is_empty() && how.len() <= SHORT_HOW);
    how.map_or_else(|| bare.clone(), |how| format!("{} ({})\n", bare.trim_end(), markdown::escape(how)))
}

/// Boxes for choices, blanks for the rest.
fn blanks(path: &Path<'_>, question: &Question) -> String {
    let cylinders = path.live.cylinders().unwrap_or(4);
    // The short names: they can be typed later just as they stand.
    let ids = question.choices().iter().map(|choice| choice.id.as_str());
    let by_cylinder = |unit: &str| {
        let each = (1..=cylinders).map(|number| format!("{number}:....."));
        format!("{} {unit}", each.collect::<Vec<_>>().join(" ")).trim_end().to_owned()
    };
    match &question.kind {
        Kind::One(_) | Kind::Many(_) => ids.map(|id| format!("(){id}")).collect::<Vec<_>>().join(" "),
        Kind::Each(_) => format!("{}. {}", ids.collect::<Vec<_>>().join(", "), by_cylinder("")),
        Kind::Amount(amount) => format!("........ {}", amount.unit.symbol()).trim_end().to_owned(),
        Kind::Readings(amount, _) => by_cylinder(amount.unit.symbol()),
        Kind::Count { .. } | Kind::Year { .. } | Kind::Money { .. } => "........".into(),
        Kind::Prices { .. } => "........ ........ ........".into(),
        Kind::Text(_) => "................................".into(),
    }
}
