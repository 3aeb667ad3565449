//! The field sheet: to print, to fill in with a pencil, to type in later in the same order.
//!
//! Start at [`Sheet::of`]. A side for each part of the visit: the talk and what is looked at cold and upright; the
//! engine off; the run; parts, and what comes after. A row is a question in a few words, its choices in plain words
//! with a box each, and a box for what can't be seen. Hazards stand once a side, by letter in the rows they go with.
//! What was answered is not asked again, and what does not fit stands small at the end.

mod rows;

use serde::Serialize;

use crate::answers::{Standing, Value};
use crate::knowledge::{self, HazardIx, Place, QuestionIx};
use crate::path::{Path, Truth};

use super::words::{self, Purse};
pub use rows::tick;
use rows::{Row, may_be_asked, row_of};

/// Rows of a sheet for an interview, and of a fresh one.
const ROWS: usize = 90;
const ROWS_FRESH: usize = 135;
/// Words of the same.
const WORDS: usize = 1250;
const WORDS_FRESH: usize = 1600;
/// Words of what stands around the rows: head, what to do, titles and hazards.
const FRAME: usize = 300;

/// All that stands on a sheet.
#[derive(Clone, Debug, Serialize)]
pub struct Sheet {
    pub name: Option<String>,
    pub head: super::view::Head,
    pub sides: Vec<Side>,
    /// What was answered at home: "power 40 hp; year 2017".
    pub known: Option<String>,
    /// What is left out for want of time or room.
    pub left_out: Option<String>,
}

/// One side of paper.
#[derive(Clone, Debug, Serialize)]
pub struct Side {
    pub title: String,
    /// Read before the start: large, with boxes for the clock.
    pub run: bool,
    pub hazards: Vec<Lettered>,
    pub rows: Vec<Row>,
}

/// A hazard in a line under its letter.
#[derive(Clone, Debug, Serialize)]
pub struct Lettered {
    pub letter: char,
    pub line: String,
}

impl Sheet {
    /// The sheet of an interview, or a fresh one without a name. `planned`: only these are asked in this visit.
    #[must_use]
    pub fn of(path: &Path<'_>, name: Option<&str>, planned: Option<&[QuestionIx]>) -> Self {
        let open: Vec<QuestionIx> = path.knowledge.places().filter(|ix| may_be_asked(path, *ix)).collect();
        let (chosen, out) = chosen(path, &open, name.is_some(), planned);
        let all = path.knowledge.visit.sheet.iter();
        let on = all.filter(|side| side.fresh.is_none_or(|fresh| fresh == name.is_none()));
        let sides = on.filter_map(|side| side_of(path, side, &chosen)).collect();
        let out: Vec<String> = out.iter().map(|ix| path.knowledge.question(*ix).brief.to_string()).collect();
        Self {
            name: name.map(words::typed),
            head: super::view::Head::new(path, path.date),
            sides,
            known: known(path),
            left_out: (!out.is_empty()).then(|| out.join(", ")),
        }
    }
}

/// What has a row, and what has none: the plan, else as many as there is room for, those first that are worth their
/// minutes soonest. A follow-up goes with what it follows.
fn chosen(
    path: &Path<'_>,
    open: &[QuestionIx],
    named: bool,
    planned: Option<&[QuestionIx]>,
) -> (Vec<QuestionIx>, Vec<QuestionIx>) {
    let knowledge = path.knowledge;
    let (rows, most) = if named { (ROWS, WORDS) } else { (ROWS_FRESH, WORDS_FRESH) };
    let wanted =
        |ix: &QuestionIx| planned.is_none_or(|plan| plan.contains(ix) || plan.contains(&knowledge.root_of(*ix)));
    let mut order: Vec<QuestionIx> = open.iter().copied().filter(wanted).collect();
    order.sort_by_key(|ix| {
        let root = knowledge.question(knowledge.root_of(*ix));
        let rank = if root.core || root.safety { 0 } else { root.rank.unwrap_or(2) };
        (rank, *ix)
    });
    // What has no row is named at the end.
    let named_words = |ix: QuestionIx| {
        let question = knowledge.question(ix);
        if question.follows.is_none() { words::count(&question.brief) } else { 0 }
    };
    let mut used = FRAME
        + known(path).as_deref().map_or(0, words::count)
        + open.iter().map(|ix| named_words(*ix)).sum::<usize>();
    let mut taken: Vec<QuestionIx> = Vec::new();
    for ix in order {
        let root = knowledge.root_of(ix);
        let alone = ix != root && open.contains(&root) && !taken.contains(&root);
        let cost = row_of(path, ix).words() + knowledge.question(ix).hazards.len().min(1);
        let saved = named_words(ix);
        if !alone && taken.len() < rows && used + cost <= most + saved {
            used = used + cost - saved;
            taken.push(ix);
        }
    }
    taken.sort_unstable();
    let out = open.iter().copied().filter(|ix| !taken.contains(ix) && knowledge.question(*ix).follows.is_none());
    let out = out.collect();
    (taken, out)
}

fn side_of(path: &Path<'_>, side: &knowledge::Side, chosen: &[QuestionIx]) -> Option<Side> {
    let knowledge = path.knowledge;
    let sides = &knowledge.visit.sheet;
    let part = |ix: &QuestionIx| side.stages.iter().position(|stage| *stage == knowledge.stage_of(*ix).id);
    let here = |ix: &&QuestionIx| {
        let root = knowledge.root_of(**ix);
        let elsewhere = sides.iter().any(|other| other.also.contains(&root));
        if elsewhere { side.also.contains(&root) } else { part(ix).is_some() }
    };
    let mut questions: Vec<QuestionIx> = chosen.iter().filter(here).copied().collect();
    // In the order of the side's stages: what was left at home stands last.
    questions.sort_by_key(|ix| (part(ix), *ix));
    if questions.is_empty() {
        return None;
    }
    let hazards = hazards(path, &questions);
    let mut rows: Vec<Row> = questions.iter().map(|ix| row_of(path, *ix)).collect();
    for (row, ix) in rows.iter_mut().zip(&questions) {
        let own = &knowledge.question(*ix).hazards;
        row.letters = hazards
            .iter()
            .filter(|(hazard, _)| own.contains(hazard))
            .map(|(_, lettered)| lettered.letter)
            .collect();
    }
    Some(Side {
        title: side.title.to_string(),
        run: side.run,
        hazards: hazards.into_iter().map(|(_, lettered)| lettered).collect(),
        rows,
    })
}

/// The hazards of a side in the order of the data; a letter is the same on every side.
fn hazards(path: &Path<'_>, questions: &[QuestionIx]) -> Vec<(HazardIx, Lettered)> {
    let knowledge = path.knowledge;
    let view = path.view();
    let own = |ix: &HazardIx| questions.iter().any(|question| knowledge.question(*question).hazards.contains(ix));
    let card = |ix: &HazardIx| {
        let before = |card: &&crate::knowledge::RunCard| questions.contains(&card.before);
        knowledge.run_cards.iter().filter(before).any(|card| card.hazards.contains(ix))
    };
    let may =
        |ix: &HazardIx| knowledge.hazards[ix.0].when.as_ref().is_none_or(|when| view.holds(when) != Truth::No);
    let all = (0..knowledge.hazards.len()).map(HazardIx).filter(|ix| (own(ix) || card(ix)) && may(ix));
    let lettered = |ix: HazardIx| {
        let hazard = &knowledge.hazards[ix.0];
        let variant = hazard.variants.iter().find(|variant| view.holds(&variant.when) == Truth::Yes);
        let line = variant.and_then(|variant| variant.line.as_ref()).unwrap_or(&hazard.line);
        (ix, Lettered { letter: letter(ix), line: line.to_string() })
    };
    all.map(lettered).collect()
}

fn letter(ix: HazardIx) -> char {
    u8::try_from(ix.0).ok().filter(|place| *place < 26).map_or('Z', |place| char::from(b'A' + place))
}

/// The facts told at home, as answers.
fn known(path: &Path<'_>) -> Option<String> {
    let knowledge = path.knowledge;
    let purse = Purse::of(path);
    let said = |ix: QuestionIx| {
        let question = knowledge.question(ix);
        let home = question.place == Some(Place::Home) && !question.private;
        let Standing::Value(value) = path.live.standing(ix) else { return None };
        let text = match value {
            Value::One(choice) => question.choice(choice).map(tick)?,
            Value::Money(sum) => purse.exact(*sum),
            Value::Text(text) => words::typed(text),
            Value::Many(_) | Value::Each(_) | Value::Prices(_) => return None,
            value => value.to_text(),
        };
        home.then(|| format!("{} {text}", question.brief))
    };
    let all: Vec<String> = knowledge.places().filter_map(said).collect();
    (!all.is_empty()).then(|| all.join("; "))
}
