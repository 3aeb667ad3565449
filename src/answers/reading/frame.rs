//! A question made ready for reading: every label and word of its choices as a phrase of features, and how well
//! each feature tells its choice from the others.

use std::collections::{HashMap, HashSet};

use fnv::FnvBuildHasher;

use crate::knowledge::{Choice, ChoiceId, Kind, Knowledge, Question, QuestionIx, Range, Synonyms, Text};

use super::letters::Piece;
use super::lexicon::{Class, Lexicon, STRANGE, Sym};
use super::likeness::Likeness;
use super::sentence::sentence;

/// One feature of a phrase.
#[derive(Clone, Copy, Debug)]
pub struct Feature {
    pub phrase: usize,
    pub denied: bool,
    /// From 0 (every choice has it) to 1 (only this one).
    pub weight: f64,
}

/// One way to put a choice.
#[derive(Clone, Copy, Debug)]
pub struct Phrase {
    pub choice: usize,
    /// It is the label or the id, or a part of it.
    pub label: bool,
    /// Of all its features.
    pub weight: f64,
}

/// What reading must know of a choice.
#[derive(Clone, Copy, Debug)]
pub struct Put {
    pub unseen: bool,
    pub alone: bool,
    pub ends: bool,
}

/// A question, ready.
#[derive(Debug)]
pub struct Frame {
    pub choices: Vec<Put>,
    pub phrases: Vec<Phrase>,
    pub features: Vec<Feature>,
    /// Where a stem or a concept stands among the features.
    pub index: HashMap<Sym, Vec<usize>, FnvBuildHasher>,
    pub many: bool,
    pub each: bool,
    /// The seller answers it: what he says is an answer.
    pub told: bool,
    pub well: Option<usize>,
    /// The choice that says the seller doesn't know.
    pub unknown: Option<usize>,
    /// The choice that says nobody looked.
    pub unseen: Option<usize>,
    /// The choice that takes the seller's word.
    pub said: Option<usize>,
    /// The choice that says the same work was done, with a bill for it.
    pub proven: Option<usize>,
    pub ranges: Vec<(usize, Range)>,
    /// Words of the question itself: they are no news.
    pub context: HashSet<Sym, FnvBuildHasher>,
    /// Words of the choices, to mend slips of the pen.
    pub own: Vec<String>,
    /// The ways to put its choices, letter by letter.
    pub alike: Likeness,
}

impl Frame {
    /// Makes a question with choices ready.
    pub fn new(knowledge: &Knowledge, lexicon: &Lexicon, ix: QuestionIx) -> Self {
        let question = knowledge.question(ix);
        let choices = question.choices();
        let place = |id: &ChoiceId| choices.iter().position(|choice| choice.id == *id);
        let first = |names: &[ChoiceId]| names.iter().find_map(place);
        let synonyms = &knowledge.synonyms;
        let ranges = synonyms.ranges.iter().filter(|range| range.question == question.id);
        let mut frame = Self {
            choices: choices.iter().map(put).collect(),
            phrases: Vec::new(),
            features: Vec::new(),
            index: HashMap::default(),
            many: matches!(question.kind, Kind::Many(_)),
            each: matches!(question.kind, Kind::Each(_)),
            told: question.told,
            well: choices
                .iter()
                .position(|choice| choice.well)
                .or_else(|| synonyms.well.get(&question.id).and_then(place)),
            unknown: first(&synonyms.standing.unknown),
            unseen: unseen(synonyms, question),
            said: first(&synonyms.standing.said),
            proven: first(&synonyms.standing.proven),
            ranges: ranges.filter_map(|range| Some((place(&range.choice)?, range.clone()))).collect(),
            context: context(lexicon, question),
            own: own_words(lexicon, question),
            alike: Likeness::default(),
        };
        frame.fill(lexicon, choices);
        frame
    }

    /// Labels and words to phrases; a feature weighs by how few choices have it.
    fn fill(&mut self, lexicon: &Lexicon, choices: &[Choice]) {
        let mut owners: HashMap<(Sym, bool), HashSet<usize>> = HashMap::new();
        let mut stems: Vec<Sym> = Vec::new();
        let mut ways = Vec::new();
        for (place, choice) in choices.iter().enumerate() {
            for (label, text) in texts(choice) {
                let read = sentence(lexicon, &text, &[], 0);
                ways.push((place, read.letters));
                let tokens = read.tokens;
                if tokens.is_empty() {
                    continue;
                }
                for token in tokens {
                    let at = self.features.len();
                    for sym in token.concepts.iter().chain([&token.stem]) {
                        owners.entry((*sym, token.denied)).or_default().insert(place);
                        self.index.entry(*sym).or_default().push(at);
                    }
                    let weight = if token.content { 1.0 } else { 0.3 };
                    self.features.push(Feature { phrase: self.phrases.len(), denied: token.denied, weight });
                    stems.push(token.stem);
                }
                self.phrases.push(Phrase { choice: place, label, weight: 0.0 });
            }
        }
        self.alike = Likeness::new(choices.len(), &ways);
        let all = choices.len().max(2) as f64;
        for (feature, stem) in self.features.iter_mut().zip(stems) {
            let count = owners.get(&(stem, feature.denied)).map_or(1, HashSet::len) as f64;
            feature.weight *= (1.0 - (count - 1.0) / all).max(0.05).powf(1.5);
            self.phrases[feature.phrase].weight += feature.weight;
        }
    }
}

/// The choice that says nobody looked: the one the data names, else the only one that counts as unseen.
fn unseen(synonyms: &Synonyms, question: &Question) -> Option<usize> {
    let choices = question.choices();
    if let Some(named) = synonyms.not_looked.get(&question.id) {
        return choices.iter().position(|choice| choice.id == *named);
    }
    let mut all = choices.iter().enumerate().filter(|(_, choice)| choice.unseen).map(|(place, _)| place);
    all.next().filter(|_| all.next().is_none())
}

fn put(choice: &Choice) -> Put {
    Put { unseen: choice.unseen, alone: choice.alone, ends: choice.ends }
}

/// The parts of the label, the id and the words.
fn texts(choice: &Choice) -> Vec<(bool, String)> {
    let label = choice.label.split([',', ';', ':']).map(str::to_owned);
    let label = label.chain([choice.id.to_string()]).map(|text| (true, text));
    label.chain(choice.words.iter().map(|word| (false, word.to_string()))).collect()
}

fn context(lexicon: &Lexicon, question: &Question) -> HashSet<Sym, FnvBuildHasher> {
    let mut syms = HashSet::default();
    for text in [Some(question.ask.as_str()), Some(&question.brief), question.act.as_deref()].into_iter().flatten()
    {
        for token in sentence(lexicon, text, &[], 0).tokens {
            syms.extend(token.concepts.iter().copied().chain([token.stem]));
        }
    }
    syms.remove(&STRANGE);
    syms
}

fn own_words(lexicon: &Lexicon, question: &Question) -> Vec<String> {
    let mut words = HashSet::new();
    for choice in question.choices() {
        for text in [choice.label.as_str()].into_iter().chain(choice.words.iter().map(Text::as_str)) {
            for piece in lexicon.pieces(text) {
                if let Piece::Word(word) = piece
                    && word.chars().count() > 3
                    && lexicon.class(&word) == Class::Content
                {
                    words.insert(word);
                }
            }
        }
    }
    let mut words: Vec<String> = words.into_iter().collect();
    words.sort_unstable();
    words
}
