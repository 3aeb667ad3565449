//! The question data once it has been checked: every name resolved, every amount read.

use std::collections::HashMap;

use super::condition::Condition;
use super::fold::Story;
use super::ids::{
    ChoiceId, FaultId, FaultIx, FindingId, HazardId, HazardIx, ItemId, ItemIx, PictureId, QuestionId, QuestionIx,
    StageId,
};
use super::marks::Marks;
use super::measures::{KnownMeasure, MeasureId};
use super::packed::Late;
pub use super::raw::{Block, Known, NamedStory, Picture, Source, Spread, Station, Term, Wait};
use super::roles::{AnyRole, ItemRole};
use super::synonyms::Synonyms;
use super::text::Text;
pub use super::words::{Clearer, Grade, Level, Place, Strength, Telling, TextForm};
use crate::units::{Dimension, Unit};

#[derive(Clone, Debug)]
pub struct Stage {
    pub id: StageId,
    pub title: Text,
    pub about: Text,
    pub send_ahead: Vec<CardLine>,
    pub have_ready: Vec<CardLine>,
    pub gates: Vec<Gate>,
}

/// A gate before a risky step: every need must have a good answer; a bad one shuts the step for this visit.
#[derive(Clone, Debug)]
pub struct Gate {
    pub id: Text,
    /// Questions it stands before, in asking order.
    pub questions: Vec<QuestionIx>,
    pub needs: Vec<Need>,
}

/// One need of a gate: open while `good` is not yes, shut when `bad` is.
#[derive(Clone, Debug)]
pub struct Need {
    pub check: QuestionIx,
    pub good: Option<Condition>,
    pub bad: Option<Condition>,
    pub because: Text,
}

/// Texts that take the place of a question's usual ones.
#[derive(Clone, Debug)]
pub struct Variant {
    pub when: Condition,
    pub brief: Option<Text>,
    pub ask: Option<Text>,
    pub act: Option<Text>,
    pub how: Option<Vec<Text>>,
    pub why: Option<Text>,
    pub tools: Option<Vec<Text>>,
    /// On such a motor it is a workshop's job.
    pub workshop: bool,
}

/// A hazard: the full text, the short line, and others where the motor or the place is another.
#[derive(Clone, Debug)]
pub struct Hazard {
    pub id: HazardId,
    pub level: Level,
    pub text: Text,
    pub line: Text,
    pub when: Option<Condition>,
    pub variants: Vec<HazardText>,
    /// Looks at which it has grown and is told in full again.
    pub again: Vec<QuestionIx>,
    pub basis: Basis,
}

#[derive(Clone, Debug)]
pub struct HazardText {
    pub when: Condition,
    pub text: Option<Text>,
    pub line: Option<Text>,
}

/// The card read before a run of the engine.
#[derive(Clone, Debug)]
pub struct RunCard {
    pub run: u8,
    pub title: Text,
    pub before: QuestionIx,
    pub hazards: Vec<HazardIx>,
    pub level: Level,
    pub cautions: Vec<CardLine>,
    pub watch: Vec<CardLine>,
}

/// A line of a card, shown when its condition is not a clear no.
#[derive(Clone, Debug)]
pub struct CardLine {
    pub text: Text,
    /// The look it is about: shown only where that is planned or was taken.
    pub look: Option<QuestionIx>,
    pub when: Option<Condition>,
}

/// Words said when the condition is yes.
#[derive(Clone, Debug)]
pub struct Words {
    pub when: Condition,
    pub text: Text,
}

/// What a question reads as while it has no value.
#[derive(Clone, Debug)]
pub struct Untold {
    pub choice: ChoiceId,
    pub when: Option<Condition>,
    /// While it is open it reads so only once a later look has an answer.
    pub once_passed: bool,
}

#[derive(Clone, Debug)]
pub struct Choice {
    pub id: ChoiceId,
    pub label: Text,
    pub tick: Option<Text>,
    pub words: Vec<Text>,
    pub reply: Option<Text>,
    /// The answer that says all is well, or that there is nothing.
    pub well: bool,
    pub alone: bool,
    pub unseen: bool,
    pub closes: Vec<StageId>,
    pub because: Option<Text>,
    pub closes_unless: Option<Condition>,
    /// It closes something or brings a stop: asked once more before it is taken from a person.
    pub ends: bool,
}

/// Bounds of an amount, in the house unit of its dimension.
#[derive(Clone, Debug)]
pub struct Amount {
    pub dimension: Dimension,
    pub unit: Unit,
    pub least: f64,
    pub most: f64,
    /// The bounds as the data writes them, for people.
    pub bounds: (Text, Text),
    /// What such a motor usually gives, in the house unit.
    pub usual: Option<(f64, f64)>,
    pub beyond: Text,
}

/// How many readings are wanted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Of {
    Cylinders,
    LowCylinders,
}

#[derive(Clone, Debug)]
pub enum Kind {
    One(Vec<Choice>),
    Many(Vec<Choice>),
    Each(Vec<Choice>),
    Amount(Amount),
    Readings(Amount, Of),
    Count { least: u32, most: u32, beyond: Text },
    Year { least: i16, beyond: Text },
    Money { most: f64, beyond: Text },
    Prices { most: f64, beyond: Text },
    Text(TextForm),
}

#[derive(Clone, Debug)]
pub struct Question {
    pub id: QuestionId,
    /// Place of its stage in [`Knowledge::stages`].
    pub stage: usize,
    pub follows: Option<QuestionIx>,
    pub when: Option<Condition>,
    pub kind: Kind,
    pub core: bool,
    pub safety: bool,
    pub motor: bool,
    pub private: bool,
    pub untold: Option<Untold>,
    pub seen_only: Option<Condition>,
    pub seen_also: Option<Condition>,
    pub brief: Text,
    pub ask: Text,
    /// The act in at most two lines: whose leave, what to do, when to stop.
    pub act: Option<Text>,
    pub how: Vec<Text>,
    pub why: Text,
    pub variants: Vec<Variant>,
    /// The seller answers it: hearsay is an answer.
    pub told: bool,
    pub place: Option<Place>,
    /// How soon it is worth its minutes in a visit; 1 always.
    pub rank: Option<u8>,
    /// Minutes, and so many more for each cylinder.
    pub minutes: f64,
    pub minutes_cylinder: f64,
    /// Checks a plan must hold before this one.
    pub needs: Vec<QuestionIx>,
    pub block: Option<Text>,
    pub hazards: Vec<HazardIx>,
    pub tools: Vec<Text>,
    pub picture: Option<PictureId>,
    pub wait: Option<Wait>,
    pub replies: Vec<Words>,
}

impl Question {
    /// The choices, none for kinds that have no choices.
    #[must_use]
    pub fn choices(&self) -> &[Choice] {
        match &self.kind {
            Kind::One(choices) | Kind::Many(choices) | Kind::Each(choices) => choices,
            _ => &[],
        }
    }

    /// The choice of that id.
    #[must_use]
    pub fn choice(&self, id: &ChoiceId) -> Option<&Choice> {
        self.choices().iter().find(|choice| choice.id == *id)
    }
}

#[derive(Clone, Debug)]
pub struct Finding {
    pub id: FindingId,
    pub stage: usize,
    /// The question whose answer makes it fire: the last one it reads, followed back to its root.
    pub check: Option<QuestionIx>,
    /// The last question it can't do without, follow-ups included.
    pub last: Option<QuestionIx>,
    pub when: Condition,
    pub grade: Grade,
    /// Findings of one sign count once for and once against each fault.
    pub sign: Text,
    pub points_to: Option<Text>,
    /// Place in [`Knowledge::stories`] of the named story it belongs to.
    pub story: Option<usize>,
    /// Of the faults it speaks for equally, the one whose story it is told in.
    pub main: Option<FaultIx>,
    pub title: Text,
    pub means: Text,
    pub innocent: Option<Text>,
    pub what_to_do: Option<Text>,
    pub bargain: Option<Text>,
    pub mechanic: Option<Text>,
    pub clears: Option<Text>,
    pub clears_by: Option<Clearer>,
    pub safety: bool,
    pub seller: Telling,
    /// The purchase it makes necessary, where no fault stands behind it.
    pub costs: Vec<ItemIx>,
    pub speaks_for: Vec<(FaultIx, Strength)>,
    pub against: Vec<(FaultIx, Strength)>,
    /// Of those whose condition is yes the first takes the place of the two above.
    pub instead: Vec<Instead>,
    pub notes: Vec<Words>,
    pub basis: Basis,
}

/// Evidence words for one case.
#[derive(Clone, Debug)]
pub struct Instead {
    pub when: Condition,
    pub speaks_for: Vec<(FaultIx, Strength)>,
    pub against: Vec<(FaultIx, Strength)>,
}

/// What a statement rests on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Basis {
    Published(super::ids::SourceId),
    Practice,
    Memory,
}

impl Basis {
    /// The word used in the data and in JSON: a source key, `practice` or `memory`.
    #[must_use]
    pub fn name(&self) -> &str {
        match self {
            Self::Published(key) => key.as_str(),
            Self::Practice => "practice",
            Self::Memory => "memory",
        }
    }
}

#[derive(Clone, Debug)]
pub struct Fault {
    pub id: FaultId,
    pub title: Text,
    /// The first whose condition is yes, else the last.
    pub priors: Vec<(Option<Condition>, f64)>,
    pub exists: Option<Condition>,
    /// Its prior odds grow with age and hours.
    pub wears: bool,
    /// Renewed as a matter of course, sooner or later: nothing a purchase ever hangs on.
    pub upkeep: bool,
    pub item: ItemIx,
    pub settle: Text,
    pub after: Text,
    /// What has to be done first where the fault is likelier than not; in place of `after`.
    pub first: Option<Text>,
    pub seller: Text,
    /// Questions that ask the seller just this.
    pub asked: Vec<QuestionIx>,
    pub basis: Basis,
}

/// Size of the motor, by claimed power.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum PowerClass {
    Small,
    Middle,
    Large,
    VeryLarge,
}

#[derive(Clone, Debug)]
pub struct Item {
    pub id: ItemId,
    pub title: Text,
    pub small: Option<Spread>,
    pub middle: Option<Spread>,
    pub large: Option<Spread>,
    pub very_large: Option<Spread>,
    /// Its parts cost more when the condition is yes: factors on low, likely and high.
    pub dearer: Option<(Condition, [f64; 3])>,
    pub sure: Option<Condition>,
    pub covers: Vec<ItemIx>,
    pub basis: Basis,
}

impl Item {
    /// The spread for a class; where the table has none, that of the next larger class. None: no such item there.
    #[must_use]
    pub fn spread(&self, class: PowerClass) -> Option<Spread> {
        match class {
            PowerClass::Small => self.small.or(self.middle).or(self.large).or(self.very_large),
            PowerClass::Middle => self.middle.or(self.large).or(self.very_large),
            PowerClass::Large => self.large.or(self.very_large),
            PowerClass::VeryLarge => self.very_large,
        }
    }
}

#[derive(Clone, Debug)]
pub struct Settings {
    pub rate: f64,
    pub asking_gap: f64,
    pub salt_hours: f64,
    pub salt: Condition,
    /// Upper ends of the small, the middle and the large class, hp.
    pub power_small: f64,
    pub power_middle: f64,
    pub power_large: f64,
}

/// What a visit costs beside its questions, and what comes first when time is short.
#[derive(Clone, Debug)]
pub struct Visit {
    /// Minutes to arrive, once.
    pub arrive: f64,
    pub stations: Vec<Station>,
    pub blocks: Vec<Block>,
    pub stop_order: Vec<QuestionIx>,
    /// The questions on tools, on time, and on what the seller refuses.
    pub tools: Option<QuestionIx>,
    pub minutes: Option<QuestionIx>,
    pub refuses: QuestionIx,
    pub usual_minutes: f64,
    pub refusals: Vec<(ChoiceId, Vec<QuestionIx>)>,
    /// Blocks a workshop can take over.
    pub workshop: Vec<Text>,
    /// Looks before which the short lines of their hazards always stand.
    pub remind: Vec<QuestionIx>,
    pub sheet: Vec<Side>,
}

/// A side of the field sheet.
#[derive(Clone, Debug)]
pub struct Side {
    pub title: Text,
    pub stages: Vec<StageId>,
    /// Questions of other sides that are looked at here, with what follows them.
    pub also: Vec<QuestionIx>,
    pub run: bool,
    /// Only on a sheet without an interview, or only on one with it.
    pub fresh: Option<bool>,
}

/// All that the question data says.
#[derive(Clone, Debug)]
pub struct Knowledge {
    pub stages: Vec<Stage>,
    pub questions: Vec<Question>,
    pub findings: Vec<Finding>,
    pub faults: Vec<Fault>,
    pub items: Vec<Item>,
    pub settings: Settings,
    pub sources: Vec<Source>,
    pub terms: Late<Vec<Term>>,
    pub pictures: Late<Vec<Picture>>,
    pub hazards: Vec<Hazard>,
    pub run_cards: Vec<RunCard>,
    pub stories: Vec<NamedStory>,
    /// How people put it; its phrases are beside the words of the choices, not among them.
    pub synonyms: Late<Synonyms>,
    /// The story of every finding; see [`super::fold`].
    pub(super) folds: Vec<Story>,
    pub visit: Visit,
    /// The question of every role; see [`super::roles`].
    pub(super) roles: Vec<QuestionIx>,
    pub(super) item_roles: Vec<ItemIx>,
    pub(super) marks: Marks,
    /// What conditions may name beside answers.
    pub measures: Vec<KnownMeasure>,
    /// The measures that read each question.
    pub(super) read_by: Vec<Vec<MeasureId>>,
    /// Changes when any text of the data changes.
    pub fingerprint: String,
    pub(super) by_id: HashMap<QuestionId, QuestionIx>,
}

impl Knowledge {
    /// The measures that read a question.
    #[must_use]
    pub fn read_by(&self, ix: QuestionIx) -> &[MeasureId] {
        &self.read_by[ix.0]
    }

    /// The question at a place.
    #[must_use]
    pub fn question(&self, ix: QuestionIx) -> &Question {
        &self.questions[ix.0]
    }

    /// The question of a role.
    #[must_use]
    pub fn ask(&self, role: AnyRole) -> QuestionIx {
        self.roles[role.place()]
    }

    /// The item of a role.
    #[must_use]
    pub fn bought(&self, role: ItemRole) -> ItemIx {
        self.item_roles[role.place()]
    }

    /// What is fixed about a measure.
    #[must_use]
    pub fn measure(&self, id: MeasureId) -> &KnownMeasure {
        &self.measures[id.0]
    }

    /// The place of a question by its id.
    #[must_use]
    pub fn find(&self, id: &str) -> Option<QuestionIx> {
        self.by_id.get(id).copied()
    }

    /// All places, in asking order.
    pub fn places(&self) -> impl DoubleEndedIterator<Item = QuestionIx> + use<> {
        (0..self.questions.len()).map(QuestionIx)
    }

    /// The stage a question stands in.
    #[must_use]
    pub fn stage_of(&self, ix: QuestionIx) -> &Stage {
        &self.stages[self.question(ix).stage]
    }

    /// Whether a question follows another, directly or further down.
    #[must_use]
    pub fn stands_below(&self, mut ix: QuestionIx, above: QuestionIx) -> bool {
        while let Some(next) = self.question(ix).follows {
            if next == above {
                return true;
            }
            ix = next;
        }
        false
    }

    /// The question at the head of a chain of follow-ups.
    #[must_use]
    pub fn root_of(&self, mut ix: QuestionIx) -> QuestionIx {
        while let Some(above) = self.question(ix).follows {
            ix = above;
        }
        ix
    }

    /// The drawing of that id.
    #[must_use]
    pub fn picture(&self, id: &PictureId) -> Option<&Picture> {
        self.pictures.iter().find(|picture| picture.id == *id)
    }

    /// The item of that id.
    #[must_use]
    pub fn item(&self, id: &str) -> Option<ItemIx> {
        self.items.iter().position(|item| item.id == id).map(ItemIx)
    }
}
