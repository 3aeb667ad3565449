//! The view: everything a paper says, as plain strings and numbers, made from a judgement for one audience.
//!
//! One file for each part of a paper. [`Scene`] is what they all look at; who may read what is decided here and not
//! in the templates: what a seller must not see never gets into the view of the seller's paper.

mod after;
mod buyer;
mod costs;
mod found;
mod measured;
mod mechanic;
mod points;
mod said;
mod seller;
mod story;
mod top;
mod unseen;

use jiff::civil::Date;
use serde::Serialize;

use crate::answers::{Record, Value};
use crate::judge::Judgement;
use crate::knowledge::roles::{CLAIMED_POWER_AS_TYPED, CLAIMED_YEAR, STROKES};
use crate::knowledge::{Knowledge, QuestionIx};
use crate::path::Path;
use crate::units::figure;

use super::words::{self, Purse};
use super::{Audience, Meta};

pub use buyer::Buyer;
pub use mechanic::Mechanic;
pub use mechanic::may_be_read;
#[cfg(test)]
pub use points::keyed_line;
pub use points::{codes, question_of, title_of};
pub use said::Seen;
pub use seller::{Seller, is_farewell};
pub use story::stories;
pub use top::{ChangeSaid, Price, VerdictSaid, VerdictScreen, changes, steps, unseen};

/// A judgement and what a paper needs besides.
#[derive(Clone, Debug)]
pub struct Scene<'s, 'a> {
    pub judgement: &'s Judgement<'a>,
    pub meta: &'s Meta<'s>,
    pub audience: Audience,
    pub purse: Purse,
}

impl<'s, 'a> Scene<'s, 'a> {
    #[must_use]
    pub fn new(judgement: &'s Judgement<'a>, meta: &'s Meta<'s>, audience: Audience) -> Self {
        Self { judgement, meta, audience, purse: Purse::of(&judgement.path) }
    }

    fn path(&self) -> &'s Path<'a> {
        &self.judgement.path
    }

    fn knowledge(&self) -> &'a Knowledge {
        self.judgement.path.knowledge
    }

    fn record(&self) -> &'a Record {
        self.judgement.path.record
    }

    fn brief(&self, ix: QuestionIx) -> &'a str {
        &self.knowledge().question(ix).brief
    }

    /// Whether this reader may be told of a question at all.
    fn may_tell(&self, ix: QuestionIx) -> bool {
        self.audience == Audience::Buyer || !self.knowledge().question(ix).private
    }
}

/// What stands at the head of every paper.
#[derive(Clone, Debug, Serialize)]
pub struct Head {
    /// "40 hp four-stroke, 2017".
    pub motor: String,
    /// "3 May 2026".
    pub date: String,
    /// The motor with nothing in it that acts in a style sheet.
    pub foot: String,
}

impl Head {
    fn of(scene: &Scene<'_, '_>) -> Self {
        Self::new(scene.path(), scene.meta.date)
    }

    /// The head of a paper of this interview and day.
    #[must_use]
    pub fn new(path: &Path<'_>, date: Date) -> Self {
        let motor = motor_line(path);
        let plain = |sign: &char| sign.is_alphanumeric() || matches!(sign, ' ' | ',' | '.' | '-');
        Self { foot: motor.chars().filter(plain).collect(), motor, date: date.strftime("%-d %B %Y").to_string() }
    }
}

/// The motor by what was answered of it: power, strokes, year.
#[must_use]
pub fn motor_line(path: &Path<'_>) -> String {
    let live = &path.live;
    let strokes = match live.value(STROKES.any) {
        Some(Value::One(id)) => path.knowledge.question(path.knowledge.ask(STROKES.any)).choice(id),
        _ => None,
    };
    let strokes = strokes.map(|choice| choice.label.to_string());
    let power = live.get(CLAIMED_POWER_AS_TYPED).map(|power| format!("{} {}", figure(power.number, 1), power.unit));
    let kind: Vec<String> = power.into_iter().chain(strokes).collect();
    let kind = if kind.is_empty() { "used outboard".to_owned() } else { kind.join(" ") };
    let year = live.get(CLAIMED_YEAR).map(|year| format!(", {year}")).unwrap_or_default();
    words::capital(&format!("{kind}{year}"))
}
