//! What can be wrong with the question data: data first, the sentence in one place.

use std::fmt;

use super::near_name;
use crate::units::{Dimension, UnitError};

/// What kind of thing a name should have led to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Thing {
    Question,
    Measure,
    Fault,
    Item,
    Story,
    Hazard,
    Picture,
    Source,
    Stage,
    Dimension,
    Block,
    Concept,
}

impl Thing {
    fn name(self) -> &'static str {
        match self {
            Self::Question => "question",
            Self::Measure => "measure",
            Self::Fault => "fault",
            Self::Item => "item",
            Self::Story => "story",
            Self::Hazard => "hazard",
            Self::Picture => "picture",
            Self::Source => "source",
            Self::Stage => "stage",
            Self::Dimension => "dimension",
            Self::Block => "block",
            Self::Concept => "concept",
        }
    }
}

/// One rule of the data that was broken.
#[derive(Clone, Debug, PartialEq)]
pub enum Wrong {
    /// Not JSON, or not of the shape the schema names; in the reader's own words.
    Unreadable(String),
    NotADataFile,
    NoStageFile,
    TooManyQuestions,
    NoSettings,
    NoVisit,
    MinutesOutside,
    /// A stage that is on no side of the field sheet, or on two.
    NotOneSide {
        stage: String,
        fresh: bool,
    },
    TwiceTheId,
    /// A name that leads to nothing, with the nearest that would.
    Unknown {
        thing: Thing,
        name: String,
        near: Option<String>,
    },
    UnknownChoice {
        of: String,
        name: String,
        near: Option<String>,
    },
    /// A question or an item the program counts on.
    RoleMissing {
        thing: Thing,
        name: String,
        near: Option<String>,
    },
    RoleKind {
        wanted: String,
    },
    RoleDimension {
        wanted: Dimension,
        found: Dimension,
    },
    RoleChoice {
        name: String,
        near: Option<String>,
    },
    ConditionHead,
    TestAlone(String),
    AnyOfNothing,
    OneTest {
        name: String,
        found: usize,
    },
    WrongTest {
        name: String,
        allowed: String,
        found: String,
    },
    WordNever {
        measure: String,
        word: String,
        near: Option<String>,
    },
    NotANumber(String),
    BadAmount(UnitError),
    NoUnitOf {
        unit: String,
        dimension: String,
    },
    NotUnder,
    NotRising,
    NoSpread,
    DearerUnderOne,
    ChanceOutside,
    NoChance,
    NoQuestionMark,
    NoMinutes,
    FewChoices,
    TwoChoices(String),
    /// A name of a choice that reads as another one.
    ReadsAs {
        name: String,
        other: String,
    },
    ClosesAndBecause,
    ClosesNothing,
    /// What a condition looks at stands too late for it.
    TooLate {
        other: String,
        where_it_is: &'static str,
    },
    FollowsLater(String),
    /// Something stands between a follow-up and what it follows.
    FollowsApart {
        above: String,
        between: String,
    },
    UntoldChoice(String),
    EmptyNeed,
    StopWithoutClears,
    NoInnocent,
    SeenAgainst,
    NotSpokenFor(String),
    FiresOnNothing,
    OnlyAgainst,
    TwiceGood(String),
    Outweighs(String),
    /// A follow-up's finding speaks for a fault and none of its answers speaks against it.
    FollowUpOnlyAgainst(String),
    SpeaksForNothing,
    GoodBesideBad(String),
    Grade {
        index: f64,
        most: f64,
    },
    HardWord(String),
}

impl Wrong {
    /// A name that leads to nothing.
    pub fn unknown<'a>(thing: Thing, name: &str, known: impl Iterator<Item = &'a str>) -> Self {
        Self::Unknown { thing, name: name.to_owned(), near: near_name(name, known).map(str::to_owned) }
    }

    /// A short name of the rule, for tools.
    #[must_use]
    pub fn code(&self) -> &'static str {
        match self {
            Self::Unreadable(_) => "unreadable",
            Self::NotADataFile => "not-a-data-file",
            Self::NoStageFile => "no-stage-file",
            Self::TooManyQuestions => "too-many-questions",
            Self::NoSettings => "no-settings",
            Self::NoVisit => "no-visit",
            Self::MinutesOutside => "minutes-outside",
            Self::NotOneSide { .. } => "not-one-side",
            Self::TwiceTheId => "id-twice",
            Self::Unknown { .. } => "unknown-name",
            Self::UnknownChoice { .. } => "unknown-choice",
            Self::RoleMissing { .. } => "role-missing",
            Self::RoleKind { .. } => "role-kind",
            Self::RoleDimension { .. } => "role-dimension",
            Self::RoleChoice { .. } => "role-choice",
            Self::ConditionHead => "condition-head",
            Self::TestAlone(_) => "test-alone",
            Self::AnyOfNothing => "any-of-nothing",
            Self::OneTest { .. } => "one-test",
            Self::WrongTest { .. } => "wrong-test",
            Self::WordNever { .. } => "word-never",
            Self::NotANumber(_) => "not-a-number",
            Self::BadAmount(_) => "bad-amount",
            Self::NoUnitOf { .. } => "no-unit",
            Self::NotUnder => "bounds",
            Self::NotRising => "not-rising",
            Self::NoSpread => "no-spread",
            Self::DearerUnderOne => "dearer-under-one",
            Self::ChanceOutside => "chance-outside",
            Self::NoChance => "no-chance",
            Self::NoQuestionMark => "no-question-mark",
            Self::NoMinutes => "no-minutes",
            Self::FewChoices => "few-choices",
            Self::TwoChoices(_) => "name-of-two-choices",
            Self::ReadsAs { .. } => "reads-as-another",
            Self::ClosesAndBecause => "closes-and-because",
            Self::ClosesNothing => "closes-nothing",
            Self::TooLate { .. } => "looks-too-late",
            Self::FollowsLater(_) => "follows-later",
            Self::FollowsApart { .. } => "follows-apart",
            Self::UntoldChoice(_) => "untold-choice",
            Self::EmptyNeed => "empty-need",
            Self::StopWithoutClears => "stop-without-clears",
            Self::NoInnocent => "no-innocent",
            Self::SeenAgainst => "seen-against",
            Self::NotSpokenFor(_) => "not-spoken-for",
            Self::FiresOnNothing => "fires-on-nothing",
            Self::OnlyAgainst => "only-against-the-motor",
            Self::TwiceGood(_) => "twice-good",
            Self::Outweighs(_) => "outweighs",
            Self::FollowUpOnlyAgainst(_) => "follow-up-only-against",
            Self::SpeaksForNothing => "speaks-for-nothing",
            Self::GoodBesideBad(_) => "good-beside-bad",
            Self::Grade { .. } => "reading-grade",
            Self::HardWord(_) => "hard-word",
        }
    }
}

/// `, did you mean "…"?` when a name is near.
struct Near<'n>(&'n Option<String>);

impl fmt::Display for Near<'_> {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.0 {
            Some(near) => write!(out, ", did you mean {near:?}?"),
            None => Ok(()),
        }
    }
}

impl fmt::Display for Wrong {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Unknown { thing, name, near } => {
                write!(out, "there is no {} {name:?}{}", thing.name(), Near(near))
            }
            Self::UnknownChoice { of, name, near } => write!(out, "{of} has no choice {name:?}{}", Near(near)),
            Self::RoleMissing { thing, name, near } => {
                let thing = thing.name();
                write!(out, "the program counts on a {thing} {name:?}, and there is none{}", Near(near))
            }
            Self::RoleKind { wanted } => write!(out, "the program counts on its being {wanted}"),
            Self::RoleDimension { wanted, found } => {
                write!(out, "the program counts on its being of {}, this is of {}", wanted.name(), found.name())
            }
            Self::RoleChoice { name, near } => {
                write!(out, "the program counts on a choice {name:?}{}", Near(near))
            }
            Self::TestAlone(tests) => write!(out, "{tests} needs an answer or a measure beside it"),
            Self::OneTest { name, found } => {
                write!(out, "the condition on {name} needs exactly one test, it has {found}")
            }
            Self::WrongTest { name, allowed, found } => {
                write!(out, "{name} can be tested by {allowed}, not by {found}")
            }
            Self::WordNever { measure, word, near } => write!(out, "{measure} is never {word:?}{}", Near(near)),
            Self::NotOneSide { stage, fresh } => {
                let sheet = if *fresh { "a fresh sheet" } else { "the sheet of an interview" };
                write!(out, "{stage} stands on exactly one side of {sheet}")
            }
            Self::NotANumber(text) => write!(out, "{text:?} is not a number"),
            Self::BadAmount(problem) => write!(out, "{problem}"),
            Self::NoUnitOf { unit, dimension } => write!(out, "{unit:?} is no unit of {dimension}"),
            Self::TwoChoices(name) => write!(out, "{name:?} names two choices"),
            Self::ReadsAs { name, other } => write!(out, "{name:?} reads as {other}"),
            Self::TooLate { other, where_it_is } => write!(out, "looks at {other}, which {where_it_is}"),
            Self::FollowsLater(above) => write!(out, "{above} does not stand before it"),
            Self::FollowsApart { above, between } => {
                write!(out, "it follows {above}, but {between} stands between the two")
            }
            Self::UntoldChoice(choice) => write!(out, "there is no choice {choice:?} to read it as"),
            Self::NotSpokenFor(fault) => write!(out, "it does not speak for {fault}"),
            Self::TwiceGood(fault) => {
                write!(out, "two good findings speak against {fault}: one look counts once")
            }
            Self::Outweighs(fault) => {
                write!(out, "its word against {fault} outweighs every word for it among the answers that open it")
            }
            Self::FollowUpOnlyAgainst(fault) => {
                write!(out, "its answers can speak for {fault}, and nothing in the data speaks against it")
            }
            Self::GoodBesideBad(other) => write!(out, "it can stand beside {other}, which says the contrary"),
            Self::Grade { index, most } => {
                write!(out, "its texts read at grade {index:.1}, over {most:.1}: shorter sentences, plainer words")
            }
            Self::HardWord(word) => {
                write!(out, "{word:?} is neither a common word nor in the glossary: explain it, or say it plainly")
            }
            other => out.write_str(other.plain()),
        }
    }
}

impl Wrong {
    /// Sentences that name nothing.
    fn plain(&self) -> &str {
        match self {
            Self::Unreadable(words) => words,
            Self::NotADataFile => {
                "not a file of question data: stages begin with a number; beside them faults, costs, sources, \
                 glossary, pictures, hazards, stories, visit, synonyms"
            }
            Self::TooManyQuestions => "there are more than 20,000 questions; I read up to 20,000",
            Self::NoStageFile => "there is no stage file: names begin with a number, such as 01-boat.json",
            Self::NoSettings => "the settings are missing",
            Self::NoVisit => "the visit is missing",
            Self::MinutesOutside => "minutes lie between 0 and a day",
            Self::TwiceTheId => "this id stands twice",
            Self::ConditionHead => "a condition holds exactly one of answer, measure, all, any, not",
            Self::AnyOfNothing => "any of nothing is never yes",
            Self::NotUnder => "the least has to be under the most",
            Self::NotRising => "low, likely and high must rise, from 0",
            Self::NoSpread => "at least one class needs a spread",
            Self::DearerUnderOne => "dearer parts have factors from 1",
            Self::ChanceOutside => "a chance lies between 0 and 1",
            Self::NoChance => "at least one chance is needed",
            Self::NoQuestionMark => "a question ends with a question mark",
            Self::NoMinutes => "how long it takes is a number above 0",
            Self::FewChoices => "a choice needs at least two choices",
            Self::ClosesAndBecause => "closes and because go together",
            Self::ClosesNothing => "closes nothing, so there is nothing to leave open",
            Self::EmptyNeed => "a need says what is good, what is bad, or both",
            Self::StopWithoutClears => "a stop says who can clear it and how",
            Self::NoInnocent => "a stop or serious finding names the innocent reason too",
            Self::SeenAgainst => "seen speaks only for a fault",
            Self::FiresOnNothing => "it would fire on nothing but things that are not so: name what has to be seen",
            Self::OnlyAgainst => {
                "its answers can speak for a fault, but none speaks against any: looking would be worse than not \
                 looking"
            }
            Self::SpeaksForNothing => {
                "a stop or serious finding about the motor's soundness speaks for a fault; name it, or a story it \
                 belongs to"
            }
            _ => "",
        }
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    /// The variants of the enum as this file lists them, so that none is forgotten below.
    fn variants() -> BTreeSet<&'static str> {
        let list = include_str!("wrong.rs").split_once("pub enum Wrong {").expect("the enum").1;
        let list = list.split_once("\n}").expect("its end").0;
        let lines = list.lines().filter_map(|line| line.strip_prefix("    "));
        let named = lines.filter(|line| line.starts_with(char::is_uppercase));
        named.map(|line| line.split(|c: char| !c.is_alphanumeric()).next().unwrap_or("")).collect()
    }

    /// One of each.
    fn all() -> Vec<Wrong> {
        use Wrong as W;
        let text = || "gear-oil".to_owned();
        vec![
            W::Unreadable("expected a comma".into()),
            W::NotADataFile,
            W::NoStageFile,
            W::TooManyQuestions,
            W::NoSettings,
            W::NoVisit,
            W::MinutesOutside,
            W::NotOneSide { stage: text(), fresh: true },
            W::TwiceTheId,
            W::Unknown { thing: Thing::Question, name: text(), near: None },
            W::UnknownChoice { of: text(), name: text(), near: None },
            W::RoleMissing { thing: Thing::Item, name: text(), near: None },
            W::RoleKind { wanted: "a year".into() },
            W::RoleDimension { wanted: Dimension::Length, found: Dimension::Mass },
            W::RoleChoice { name: text(), near: None },
            W::ConditionHead,
            W::TestAlone("is".into()),
            W::AnyOfNothing,
            W::OneTest { name: text(), found: 2 },
            W::WrongTest { name: text(), allowed: "is".into(), found: "has".into() },
            W::WordNever { measure: text(), word: "flat".into(), near: None },
            W::NotANumber("two".into()),
            W::BadAmount(UnitError::Empty { wanted: Dimension::Length }),
            W::NoUnitOf { unit: "psi".into(), dimension: "length".into() },
            W::NotUnder,
            W::NotRising,
            W::NoSpread,
            W::DearerUnderOne,
            W::ChanceOutside,
            W::NoChance,
            W::NoQuestionMark,
            W::NoMinutes,
            W::FewChoices,
            W::TwoChoices(text()),
            W::ReadsAs { name: text(), other: "milky".into() },
            W::ClosesAndBecause,
            W::ClosesNothing,
            W::TooLate { other: text(), where_it_is: "stands later" },
            W::FollowsLater(text()),
            W::FollowsApart { above: text(), between: "skeg".into() },
            W::UntoldChoice(text()),
            W::EmptyNeed,
            W::StopWithoutClears,
            W::NoInnocent,
            W::SeenAgainst,
            W::NotSpokenFor(text()),
            W::FiresOnNothing,
            W::OnlyAgainst,
            W::TwiceGood(text()),
            W::Outweighs(text()),
            W::FollowUpOnlyAgainst(text()),
            W::SpeaksForNothing,
            W::GoodBesideBad(text()),
            W::Grade { index: 12.0, most: 9.0 },
            W::HardWord(text()),
        ]
    }

    /// Whoever writes the data is told what is wrong in words, and by a code of its own.
    #[test]
    fn every_rule_has_its_own_sentence_and_its_own_code() {
        let all = all();
        let named: Vec<String> = all.iter().map(|wrong| format!("{wrong:?}")).collect();
        let listed: BTreeSet<&str> =
            named.iter().filter_map(|name| name.split(|c: char| !c.is_alphanumeric()).next()).collect();
        assert_eq!(listed, variants());
        let sentences: BTreeSet<String> = all.iter().map(ToString::to_string).collect();
        assert!(sentences.iter().all(|said| said.split(' ').count() >= 3), "{sentences:?}");
        assert_eq!(sentences.len(), all.len(), "two rules say the same");
        let codes: BTreeSet<&str> = all.iter().map(Wrong::code).collect();
        assert_eq!(codes.len(), all.len(), "two rules have one code");
    }
}
