//! The question data as it is written: plain shapes that mirror the JSON, nothing resolved yet.
//!
//! Unknown fields are refused here; what the fields mean together is looked at in [`super::check`].
//! `skeg questions schema` prints the JSON Schema of these shapes.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Deserialize;

use super::ids::{ChoiceId, FaultId, FindingId, ItemId, PictureId, QuestionId, SourceId, StageId, TermId};
use super::words::{Grade, Level, Strength, Telling, TextForm};

/// One file of a stage: what it is about, its questions in asking order, its findings.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct RawStageFile {
    pub stage: RawStage,
    pub questions: Vec<RawQuestion>,
    pub findings: Vec<RawFinding>,
}

#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct RawStage {
    pub id: StageId,
    pub title: String,
    pub about: String,
    #[serde(default)]
    pub at_hand: Vec<String>,
    #[serde(default)]
    pub cautions: Vec<RawCaution>,
    /// Questions to send the seller beforehand, ready to copy.
    #[serde(default)]
    pub send_ahead: Vec<String>,
    /// What to watch while the motor runs, told before the start.
    pub card: Option<Card>,
}

/// One card read before a step that leaves no hand free for typing.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Card {
    pub title: String,
    pub lines: Vec<String>,
}

#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct RawQuestion {
    pub id: QuestionId,
    pub follows: Option<QuestionId>,
    pub when: Option<RawCondition>,
    pub kind: RawKind,
    #[serde(default)]
    pub core: bool,
    #[serde(default)]
    pub safety: bool,
    /// The answer says what the motor is, not what state it is in.
    #[serde(default)]
    pub motor: bool,
    /// The buyer's own business: kept out of papers for others.
    #[serde(default)]
    pub private: bool,
    /// Show the stage's card before this question.
    #[serde(default)]
    pub card: bool,
    pub untold: Option<RawUntold>,
    pub seen_only: Option<RawCondition>,
    pub seen_also: Option<RawCondition>,
    pub brief: String,
    pub ask: String,
    #[serde(default)]
    pub how: Vec<String>,
    pub why: String,
    pub minutes: f64,
    #[serde(default)]
    pub tools: Vec<String>,
    #[serde(default)]
    pub cautions: Vec<RawCaution>,
    pub picture: Option<PictureId>,
    pub wait: Option<Wait>,
    #[serde(default)]
    pub replies: Vec<RawWords>,
}

/// A step that takes time by itself: how long, and what to watch meanwhile.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Wait {
    pub minutes: f64,
    pub text: String,
}

/// A caution that stands before a step, shown when its condition is not a clear no.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct RawCaution {
    pub level: Level,
    pub text: String,
    pub when: Option<RawCondition>,
    /// A source key, where the caution rests on a published text.
    pub basis: Option<String>,
}

/// Words said when a condition is yes.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct RawWords {
    pub when: RawCondition,
    pub text: String,
}

/// What a follow-up reads as while it has no value: always, or when a condition is yes.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(untagged)]
pub enum RawUntold {
    Always(ChoiceId),
    Sometimes(Box<RawUntoldWhen>),
}

#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct RawUntoldWhen {
    pub choice: ChoiceId,
    pub when: RawCondition,
}

#[derive(Debug, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum RawKind {
    One(Vec<RawChoice>),
    Many(Vec<RawChoice>),
    Each(Vec<RawChoice>),
    Amount(RawAmount),
    Readings(RawReadings),
    Count(RawCount),
    Year(RawYear),
    Money(RawMoney),
    Prices(RawMoney),
    Text(RawText),
}

#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct RawChoice {
    pub id: ChoiceId,
    pub label: String,
    #[serde(default)]
    pub words: Vec<String>,
    pub reply: Option<String>,
    #[serde(default)]
    pub alone: bool,
    #[serde(default)]
    pub unseen: bool,
    #[serde(default)]
    pub closes: Vec<StageId>,
    pub because: Option<String>,
}

#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct RawAmount {
    pub dimension: String,
    pub unit: String,
    pub least: String,
    pub most: String,
    pub beyond: String,
}

#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct RawReadings {
    pub dimension: String,
    pub unit: String,
    pub least: String,
    pub most: String,
    pub beyond: String,
    pub of: RawOf,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum RawOf {
    Cylinders,
    LowCylinders,
}

#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct RawCount {
    pub least: u32,
    pub most: u32,
    pub beyond: String,
}

#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct RawYear {
    pub least: i16,
    pub beyond: String,
}

#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct RawMoney {
    pub most: f64,
    pub beyond: String,
}

#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct RawText {
    #[serde(default)]
    pub form: TextForm,
}

/// Exactly one test, or one of `all`, `any`, `not`; checked when resolved.
#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(default, deny_unknown_fields, rename_all = "kebab-case")]
pub struct RawCondition {
    pub answer: Option<String>,
    pub measure: Option<String>,
    pub is: Option<String>,
    pub any_of: Option<Vec<String>>,
    pub has: Option<Vec<String>>,
    pub only: Option<Vec<String>>,
    pub at_least: Option<String>,
    pub at_most: Option<String>,
    pub answered: Option<bool>,
    pub above: Option<f64>,
    pub below: Option<f64>,
    pub all: Option<Vec<RawCondition>>,
    pub any: Option<Vec<RawCondition>>,
    pub not: Option<Box<RawCondition>>,
}

#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct RawFinding {
    pub id: FindingId,
    pub when: RawCondition,
    pub grade: Grade,
    pub sign: Option<String>,
    pub points_to: Option<String>,
    pub title: String,
    pub means: String,
    pub innocent: Option<String>,
    #[serde(rename = "do")]
    pub what_to_do: Option<String>,
    pub bargain: Option<String>,
    pub mechanic: Option<String>,
    pub clears: Option<String>,
    #[serde(default)]
    pub safety: bool,
    /// What the seller's paper does with it.
    #[serde(default)]
    pub seller: Telling,
    /// Items it makes necessary, where no fault stands behind it.
    #[serde(default)]
    pub costs: Vec<ItemId>,
    #[serde(rename = "for", default)]
    pub speaks_for: BTreeMap<FaultId, Strength>,
    #[serde(default)]
    pub against: BTreeMap<FaultId, Strength>,
    #[serde(default)]
    pub notes: Vec<RawWords>,
    pub basis: String,
}

#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct RawFault {
    pub id: FaultId,
    pub title: String,
    pub priors: Vec<RawPrior>,
    pub exists: Option<RawCondition>,
    pub item: ItemId,
    pub settle: String,
    pub after: String,
    pub seller: String,
    pub basis: String,
}

#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct RawPrior {
    pub when: Option<RawCondition>,
    pub chance: f64,
}

#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct RawSettings {
    /// Workshop's hourly rate in US dollars when none is known.
    pub rate: f64,
    /// By how much adverts ask more than motors sell for, as a share.
    pub asking_gap: f64,
    /// What the high hours are multiplied by when the motor lived in salt.
    pub salt_hours: f64,
    pub salt: RawCondition,
    pub power_small: String,
    pub power_middle: String,
}

#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct RawItem {
    pub id: ItemId,
    pub title: String,
    pub small: Option<Spread>,
    pub middle: Option<Spread>,
    pub large: Option<Spread>,
    pub sure: Option<RawCondition>,
    #[serde(default)]
    pub covers: Vec<ItemId>,
    pub basis: String,
}

/// Low, likely and high: parts in US dollars, workshop hours.
#[derive(Clone, Copy, Debug, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Spread {
    pub parts: [f64; 3],
    pub hours: [f64; 3],
}

/// A published source the data and the tests cite.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Source {
    pub id: SourceId,
    pub title: String,
    pub what: String,
    pub known: Known,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Known {
    /// Checked against a stored copy of the text.
    Read,
    /// Worked out with an independent library.
    Computed,
    /// Remembered, not read again.
    Memory,
}

/// A trade word in plain words.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Term {
    pub id: TermId,
    pub term: String,
    #[serde(default)]
    pub also: Vec<String>,
    pub text: String,
}

/// A drawing in plain characters, for two widths, with the same in words.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Picture {
    pub id: PictureId,
    pub words: String,
    pub wide: Vec<String>,
    pub narrow: Vec<String>,
}
