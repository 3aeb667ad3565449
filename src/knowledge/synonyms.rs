//! `synonyms.json`: what words of everyday and of the trade mean the same, and how people put each choice.
//!
//! One file, so that whoever hears a new way to say a thing adds it without code. The phrases of the choices are
//! merged into the words of the choices when the files are read; the rest is used by the reading of typed answers.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Deserialize;

use super::ids::{ChoiceId, QuestionId};
use super::model::{Kind, Knowledge, Question};
use super::near_name;
use super::read::{Placed, Problem};
use super::wrong::{Thing, Wrong};

/// Everything `synonyms.json` says.
#[derive(Clone, Debug, Default, Deserialize, JsonSchema)]
#[serde(default, deny_unknown_fields)]
pub struct Synonyms {
    /// Words that carry nothing: articles, pronouns, helping verbs.
    pub fillers: Vec<String>,
    /// Words that carry something only where a choice uses them: look, still, up.
    pub soft: Vec<String>,
    pub negations: Vec<String>,
    /// Words after which a new clause begins: but, though.
    pub turns: Vec<String>,
    /// Words that make it less than sure.
    pub hedges: Vec<String>,
    /// Words that tell of what was once, should be or would be.
    pub doubts: Vec<String>,
    /// Words that say somebody else said so.
    pub hearsay: Vec<String>,
    /// Words for the seller, and for nobody at all.
    pub sellers: Vec<String>,
    /// Things and people whose word counts by itself: plates, registers, dealers.
    pub witnesses: Vec<String>,
    /// Ways to say that it can't be told.
    pub unknown: Vec<String>,
    /// Ways to say that it was not done.
    pub undone: Vec<String>,
    /// A way to say "can't tell" with one of these words may be the start of an answer: "did not see any crack".
    pub weak: Vec<String>,
    /// Verbs of asking and trying: one denied says that it was not done.
    pub acts: Vec<String>,
    /// Verbs of the senses: who can't do one can't tell.
    pub senses: Vec<String>,
    /// Words of knowing: denied, somebody can't tell.
    pub knowing: Vec<String>,
    /// Short answers that say nearly nothing.
    pub vague: Vec<String>,
    pub numbers: BTreeMap<String, u32>,
    /// Another spelling, dialect or slip of the pen, and what it stands for.
    pub spellings: BTreeMap<String, String>,
    /// Words that mean about the same, under a name of their own.
    pub concepts: BTreeMap<String, Vec<String>>,
    /// Pairs of concepts of which one denied says the other.
    pub opposites: Vec<(String, String)>,
    /// The concepts that say a thing is in order: in a list, what is praised may not be what is wanted.
    pub praise: Vec<String>,
    /// The concepts that say a thing is not in order: a reading that leaves one of them out is asked about.
    pub blame: Vec<String>,
    /// Parts of motor and boat: named where the question is about another, they are asked about.
    pub things: Vec<String>,
    /// The choice that says all is well: faults denied speak for it.
    pub well: BTreeMap<QuestionId, ChoiceId>,
    /// The choice that says nobody looked or asked, where it is not the only unseen one.
    #[serde(rename = "not-looked")]
    pub not_looked: BTreeMap<QuestionId, ChoiceId>,
    /// The names of choices that say the same wherever they stand.
    pub standing: StandingNames,
    pub ranges: Vec<Range>,
    /// How people put each choice.
    pub choices: BTreeMap<QuestionId, BTreeMap<ChoiceId, Vec<String>>>,
}

/// Names that choices of many questions share, and what they mean there.
#[derive(Clone, Debug, Default, Deserialize, JsonSchema)]
#[serde(default, deny_unknown_fields)]
pub struct StandingNames {
    /// Nobody knows.
    pub unknown: Vec<ChoiceId>,
    /// The seller's word only.
    pub said: Vec<ChoiceId>,
    /// The same with a bill for it.
    pub proven: Vec<ChoiceId>,
}

/// An amount said in passing that tells a choice: "two years ago".
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Range {
    pub question: QuestionId,
    pub choice: ChoiceId,
    pub of: Said,
    pub least: Option<f64>,
    pub most: Option<f64>,
}

/// What kind of amount was said.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Said {
    YearsAgo,
    Tries,
    Seconds,
    PercentLeft,
    PercentGone,
    /// Degrees Celsius.
    Degrees,
    Number,
}

/// Looks at what the file names: every id must exist, and no phrase may name two choices.
pub fn look_at(placed: &Placed<Synonyms>, questions: &[Question], problems: &mut Vec<Problem>) {
    let raw = &placed.raw;
    let mut merged = questions.to_vec();
    for (question, choices) in &raw.choices {
        for (choice, phrases) in choices {
            match choice_of(questions, question, choice) {
                Ok((at, place)) => {
                    let field = format!("choices: {choice}");
                    let twice = add(&mut merged[at], place, phrases).into_iter().map(Wrong::TwoChoices);
                    problems.extend(twice.map(|wrong| placed.problem(question.as_str(), &field, wrong)));
                }
                Err(wrong) => problems.push(placed.problem(question.as_str(), "choices", wrong)),
            }
        }
    }
    let named = raw.well.iter().map(|(question, choice)| ("well", question, choice));
    let named = named.chain(raw.not_looked.iter().map(|(question, choice)| ("not-looked", question, choice)));
    let named = named.chain(raw.ranges.iter().map(|range| ("ranges", &range.question, &range.choice)));
    for (field, question, choice) in named {
        if let Err(wrong) = choice_of(questions, question, choice) {
            problems.push(placed.problem(question.as_str(), field, wrong));
        }
    }
    let opposites = raw.opposites.iter().flat_map(|(one, other)| [("opposites", one), ("opposites", other)]);
    let praised = raw.praise.iter().map(|concept| ("praise", concept));
    let blamed = raw.blame.iter().map(|concept| ("blame", concept));
    for (field, concept) in opposites.chain(praised).chain(blamed) {
        if !raw.concepts.contains_key(concept) {
            let known = raw.concepts.keys().map(String::as_str);
            let wrong = Wrong::unknown(Thing::Concept, concept, known);
            problems.push(placed.problem(concept, field, wrong));
        }
    }
}

fn choice_of(questions: &[Question], question: &QuestionId, choice: &ChoiceId) -> Result<(usize, usize), Wrong> {
    let Some(at) = questions.iter().position(|known| known.id == *question) else {
        let known = questions.iter().map(|known| known.id.as_str());
        return Err(Wrong::unknown(Thing::Question, question.as_str(), known));
    };
    let choices = questions[at].choices();
    let place = choices.iter().position(|known| known.id == *choice);
    place.map(|place| (at, place)).ok_or_else(|| {
        let known = choices.iter().map(|known| known.id.as_str());
        let near = near_name(choice.as_str(), known).map(str::to_owned);
        Wrong::UnknownChoice { of: question.to_string(), name: choice.to_string(), near }
    })
}

/// The data with the phrases among the words of the choices: what reading free words goes by.
#[must_use]
pub fn with_phrases(knowledge: &Knowledge) -> Knowledge {
    let mut merged = knowledge.clone();
    for question in &mut merged.questions {
        for (choice, phrases) in knowledge.synonyms.choices.get(&question.id).into_iter().flatten() {
            if let Some(place) = question.choices().iter().position(|known| known.id == *choice) {
                add(question, place, phrases);
            }
        }
    }
    merged
}

/// Puts phrases among the words of a choice; those that are the name of another choice come back.
fn add(question: &mut Question, place: usize, phrases: &[String]) -> Vec<String> {
    let (Kind::One(choices) | Kind::Many(choices) | Kind::Each(choices)) = &mut question.kind else {
        return Vec::new();
    };
    let mut twice = Vec::new();
    for phrase in phrases.iter().map(|phrase| phrase.to_lowercase()) {
        let has = |choice: &super::model::Choice| {
            choice.words.iter().any(|word| *word == phrase.as_str())
                || choice.id == phrase.as_str()
                || choice.label.to_lowercase() == phrase
        };
        match choices.iter().position(has) {
            Some(other) if other != place => twice.push(phrase),
            Some(_) => {}
            None => choices[place].words.push(phrase.into()),
        }
    }
    twice
}
