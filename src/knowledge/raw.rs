//! The question data as it is written: plain shapes that mirror the JSON, nothing resolved yet.
//!
//! Unknown fields are refused here; what the fields mean together is looked at in [`super::check`].
//! `skeg questions schema` prints the JSON Schema of these shapes. What is prose is a [`Text`], as the build packs it.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Deserialize;

use super::ids::{
    ChoiceId, FaultId, FindingId, HazardId, ItemId, PictureId, QuestionId, SourceId, StageId, StoryId, TermId,
};
use super::text::Text;
use super::words::{Clearer, Grade, Level, Place, Strength, Telling, TextForm};

#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct RawStage {
    pub id: StageId,
    pub title: Text,
    pub about: Text,
    /// Questions to send the seller beforehand, ready to copy; a line may depend on the motor.
    #[serde(default)]
    pub send_ahead: Vec<RawCardLine>,
    /// What the seller is asked to have ready on the day.
    #[serde(default)]
    pub have_ready: Vec<RawCardLine>,
    /// What must have come out well before some of its questions may be asked.
    #[serde(default)]
    pub gates: Vec<RawGate>,
}

/// A gate before a risky step: every need must have a good answer; a bad one shuts the step for this visit.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct RawGate {
    pub id: Text,
    /// Questions of the stage it stands before; none named: all of the stage.
    #[serde(default)]
    pub questions: Vec<QuestionId>,
    pub needs: Vec<RawNeed>,
}

/// One need of a gate. `good` not yet yes: the step stays open and the check is offered again. `bad` yes: it is shut.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct RawNeed {
    /// The look to offer again, and the one named in the report.
    pub check: QuestionId,
    pub good: Option<RawCondition>,
    pub bad: Option<RawCondition>,
    pub because: Text,
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
    pub untold: Option<RawUntold>,
    pub seen_only: Option<RawCondition>,
    pub seen_also: Option<RawCondition>,
    pub brief: Text,
    pub ask: Text,
    /// The act in at most 22 words: whose leave, what to do with the hands, when to stop.
    #[serde(rename = "do")]
    pub act: Option<Text>,
    #[serde(default)]
    pub how: Vec<Text>,
    pub why: Text,
    /// Texts for motors or boats the usual ones do not fit: the first whose condition is yes.
    #[serde(default)]
    pub variants: Vec<RawVariant>,
    /// The seller answers it: hearsay is an answer.
    #[serde(default)]
    pub told: bool,
    /// Where the buyer stands while looking.
    pub place: Option<Place>,
    /// How soon it is worth its minutes in a visit; 1 always, then 2, 3 ...
    pub rank: Option<u8>,
    /// Minutes for a novice, reading included, and so many more for each cylinder.
    pub minutes: f64,
    #[serde(default)]
    pub minutes_cylinder: f64,
    /// Checks a plan must hold before this one.
    #[serde(default)]
    pub needs: Vec<QuestionId>,
    /// What is done in one go with one set-up, such as `plugs-out` or `run`.
    pub block: Option<Text>,
    #[serde(default)]
    pub hazards: Vec<HazardId>,
    #[serde(default)]
    pub tools: Vec<Text>,
    pub picture: Option<PictureId>,
    pub wait: Option<Wait>,
    #[serde(default)]
    pub replies: Vec<RawWords>,
}

/// Texts that take the place of the usual ones when the condition is yes; what is left out stays.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct RawVariant {
    pub when: RawCondition,
    pub brief: Option<Text>,
    pub ask: Option<Text>,
    #[serde(rename = "do")]
    pub act: Option<Text>,
    pub how: Option<Vec<Text>>,
    pub why: Option<Text>,
    /// What it needs in the hands there; an empty list: nothing.
    pub tools: Option<Vec<Text>>,
    /// On such a motor it is a workshop's job: never planned beside the motor.
    #[serde(default)]
    pub workshop: bool,
}

/// A step that takes time by itself: how long, and what to watch meanwhile.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Wait {
    pub minutes: f64,
    pub text: Text,
}

/// Words said when a condition is yes.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct RawWords {
    pub when: RawCondition,
    pub text: Text,
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
    pub when: Option<RawCondition>,
    /// While it is open it reads so only once a later look has an answer.
    #[serde(default)]
    pub once_passed: bool,
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
    pub label: Text,
    /// The label in one to three words, for the field sheet.
    pub tick: Option<Text>,
    #[serde(default)]
    pub words: Vec<Text>,
    pub reply: Option<Text>,
    /// The answer that says all is well, or that there is nothing.
    #[serde(default)]
    pub well: bool,
    #[serde(default)]
    pub alone: bool,
    #[serde(default)]
    pub unseen: bool,
    #[serde(default)]
    pub closes: Vec<StageId>,
    pub because: Option<Text>,
    /// The end does not come when this is yes; it may look at the follow-ups.
    pub closes_unless: Option<RawCondition>,
}

#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct RawAmount {
    pub dimension: Text,
    pub unit: Text,
    pub least: Text,
    pub most: Text,
    /// What such a motor usually gives; a bare number far outside is asked about.
    pub usual: Option<[Text; 2]>,
    pub beyond: Text,
}

#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct RawReadings {
    pub dimension: Text,
    pub unit: Text,
    pub least: Text,
    pub most: Text,
    /// What such a motor usually gives; a bare number far outside is asked about.
    pub usual: Option<[Text; 2]>,
    pub beyond: Text,
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
    pub beyond: Text,
}

#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct RawYear {
    pub least: i16,
    pub beyond: Text,
}

#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct RawMoney {
    pub most: f64,
    pub beyond: Text,
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
    pub answer: Option<Text>,
    pub measure: Option<Text>,
    pub is: Option<Text>,
    pub any_of: Option<Vec<Text>>,
    pub has: Option<Vec<Text>>,
    pub only: Option<Vec<Text>>,
    pub at_least: Option<Text>,
    pub at_most: Option<Text>,
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
    pub sign: Option<Text>,
    pub points_to: Option<Text>,
    /// The named story it belongs to, where no fault stands behind it.
    pub story: Option<StoryId>,
    /// Of the faults it speaks for equally, the one whose story it is told in.
    pub main: Option<FaultId>,
    pub title: Text,
    pub means: Text,
    pub innocent: Option<Text>,
    #[serde(rename = "do")]
    pub what_to_do: Option<Text>,
    pub bargain: Option<Text>,
    pub mechanic: Option<Text>,
    pub clears: Option<Text>,
    pub clears_by: Option<Clearer>,
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
    /// Other evidence words in some cases: of those whose condition is yes the first counts instead.
    #[serde(default)]
    pub instead: Vec<RawInstead>,
    #[serde(default)]
    pub notes: Vec<RawWords>,
    pub basis: Text,
}

/// Evidence words that take the place of a finding's own when the condition is yes.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct RawInstead {
    pub when: RawCondition,
    #[serde(rename = "for", default)]
    pub speaks_for: BTreeMap<FaultId, Strength>,
    #[serde(default)]
    pub against: BTreeMap<FaultId, Strength>,
}

/// A story that no single fault tells, such as whose the motor is.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct NamedStory {
    pub id: StoryId,
    pub title: Text,
    /// What settles it.
    pub settle: Option<Text>,
    /// One sentence to say to the seller.
    pub seller: Option<Text>,
}

/// What a visit costs in minutes beside its questions, and what comes first when time is short.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct RawVisit {
    /// Minutes to arrive, say hello and lay the tools out, once.
    pub arrive: f64,
    /// What one is used to call the places, and the minutes the first look there costs beside its own.
    pub stations: Vec<Station>,
    /// What is done in one go with one set-up.
    pub blocks: Vec<Block>,
    /// The order of looks when the time does not hold the core: what stops a sale soonest.
    pub stop_order: Vec<QuestionId>,
    /// The question that says which tools are there; a look with one that is not there is left out.
    pub tools: Option<QuestionId>,
    /// The question that says how long the visit may take, and the minutes when nobody has said.
    pub minutes: Option<QuestionId>,
    pub usual_minutes: f64,
    /// What the seller may refuse: the choice, and the looks it takes away.
    pub refusals: BTreeMap<ChoiceId, Vec<QuestionId>>,
    /// The question about refusals.
    pub refuses: QuestionId,
    /// Blocks a workshop can take over when the time does not hold the core.
    pub workshop: Vec<Text>,
    /// Looks before which the short lines of their hazards always stand.
    pub remind: Vec<QuestionId>,
    /// The sides of the field sheet in the order of the visit.
    pub sheet: Vec<RawSide>,
}

/// A side of the field sheet.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct RawSide {
    pub title: Text,
    /// The stages whose questions stand here, in their order.
    pub stages: Vec<StageId>,
    /// Questions of other sides that are looked at here, with what follows them.
    #[serde(default)]
    pub also: Vec<QuestionId>,
    /// Read before the start: large, with boxes for the clock.
    #[serde(default)]
    pub run: bool,
    /// Only on a sheet without an interview, or only on one with it.
    pub fresh: Option<bool>,
}

#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Station {
    pub place: Place,
    pub title: Text,
    #[serde(default)]
    pub minutes: f64,
}

#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Block {
    pub id: Text,
    pub title: Text,
    #[serde(default)]
    pub minutes: f64,
}

/// A hazard, told once and well: the full text, the short line, and others where the motor or the place is another.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct RawHazard {
    pub id: HazardId,
    pub level: Level,
    pub text: Text,
    pub line: Text,
    /// Shown when this is not a clear no.
    pub when: Option<RawCondition>,
    #[serde(default)]
    pub variants: Vec<RawHazardText>,
    /// Looks at which it has grown and is told in full again.
    #[serde(default)]
    pub again: Vec<QuestionId>,
    pub basis: Text,
}

/// Other words of a hazard when the condition is yes.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct RawHazardText {
    pub when: RawCondition,
    pub text: Option<Text>,
    pub line: Option<Text>,
}

/// The card read before a run: which hazards it holds, in a merged wording of its own.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct RawRunCard {
    /// Which run of the engine: 1, 2 or 3.
    pub run: u8,
    pub title: Text,
    /// Before this question.
    pub before: QuestionId,
    pub hazards: Vec<HazardId>,
    pub level: Level,
    /// The merged wording; a line may depend on the motor.
    pub cautions: Vec<RawCardLine>,
    /// What to watch while it runs.
    pub watch: Vec<RawCardLine>,
}

#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct RawCardLine {
    pub text: Text,
    /// On a card of a run: the look it is about, without which it is not shown.
    pub look: Option<QuestionId>,
    /// Shown when this is not a clear no.
    pub when: Option<RawCondition>,
}

#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct RawFault {
    pub id: FaultId,
    pub title: Text,
    pub priors: Vec<RawPrior>,
    pub exists: Option<RawCondition>,
    /// Its prior odds grow with age and hours.
    #[serde(default)]
    pub wears: bool,
    /// Renewed as a matter of course, sooner or later: nothing a purchase ever hangs on.
    #[serde(default)]
    pub upkeep: bool,
    pub item: ItemId,
    pub settle: Text,
    pub after: Text,
    /// What has to be done first where the fault is likelier than not; in place of `after`.
    pub first: Option<Text>,
    pub seller: Text,
    /// Questions that ask the seller just this: once one is answered, the seller's paper doesn't ask again.
    #[serde(default)]
    pub asked: Vec<QuestionId>,
    pub basis: Text,
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
    pub power_small: Text,
    pub power_middle: Text,
    pub power_large: Text,
    /// What parts and hours of the large class are multiplied by above it, where an item has no figures of its own.
    pub very_large: Beyond,
}

/// Factors on parts and on hours.
#[derive(Clone, Copy, Debug, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Beyond {
    pub parts: f64,
    pub hours: f64,
}

/// An item whose parts cost more on some motors: factors on low, likely and high.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct RawDearer {
    pub when: RawCondition,
    pub parts: [f64; 3],
}

#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct RawItem {
    pub id: ItemId,
    pub title: Text,
    pub small: Option<Spread>,
    pub middle: Option<Spread>,
    pub large: Option<Spread>,
    pub very_large: Option<Spread>,
    pub dearer: Option<RawDearer>,
    pub sure: Option<RawCondition>,
    #[serde(default)]
    pub covers: Vec<ItemId>,
    pub basis: Text,
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
    pub title: Text,
    pub what: Text,
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
    pub term: Text,
    #[serde(default)]
    pub also: Vec<Text>,
    pub text: Text,
}

/// A drawing in plain characters, for two widths, with the same in words.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Picture {
    pub id: PictureId,
    pub words: Text,
    pub wide: Vec<String>,
    pub narrow: Vec<String>,
}
