//! The synonyms made ready: words to stems, stems to concepts, listed phrases, and the cues of doubt and denial.

use std::collections::{HashMap, HashSet};

use fnv::FnvBuildHasher;
use rust_stemmers::{Algorithm, Stemmer};

use crate::knowledge::{Knowledge, Synonyms, Text};

use super::letters::{self, Piece};

/// A stem, a listed phrase or a concept, as a number.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Sym(pub u32);

/// A word that no data knows.
pub const STRANGE: Sym = Sym(u32::MAX);

/// What a word or phrase says about the sentence it stands in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Cues {
    pub hedge: bool,
    pub hearsay: bool,
    pub unknown: bool,
    pub undone: bool,
    pub vague: bool,
    pub seller: bool,
    /// It may be the start of an answer as well.
    pub weak: bool,
}

impl Cues {
    pub fn add(&mut self, other: Self) {
        self.hedge |= other.hedge;
        self.hearsay |= other.hearsay;
        self.unknown |= other.unknown;
        self.undone |= other.undone;
        self.vague |= other.vague;
        self.seller |= other.seller;
        self.weak |= other.weak;
    }
}

/// A listed phrase behind its first stem.
#[derive(Debug)]
pub struct Pattern {
    pub rest: Vec<Sym>,
    pub whole: Sym,
    pub concepts: Vec<Sym>,
    pub cues: Cues,
}

/// What kind of word it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Class {
    Filler,
    /// Carries something only where a choice uses it.
    Soft,
    Content,
    Negation,
    /// Begins a new clause.
    Turn,
}

type Map<K, V> = HashMap<K, V, FnvBuildHasher>;

/// All that is known of words.
pub struct Lexicon {
    stemmer: Stemmer,
    syms: Map<String, Sym>,
    /// Every word of the data, with its stem.
    words: Map<String, Sym>,
    classes: Map<String, Class>,
    spellings: Map<String, Vec<String>>,
    numbers: Map<String, u32>,
    concepts: Map<Sym, Vec<Sym>>,
    patterns: Map<Sym, Vec<Pattern>>,
    opposites: Map<Sym, Vec<Sym>>,
    acts: HashSet<Sym>,
    witnesses: HashSet<Sym>,
    praise: HashSet<Sym>,
    blame: HashSet<Sym>,
    things: HashSet<Sym>,
    doubts: Vec<Vec<String>>,
    senses: HashSet<Sym>,
    knowing: HashSet<Sym>,
    /// Words by first letter and length, to mend slips of the pen.
    shelves: Map<(char, usize), Vec<String>>,
}

impl std::fmt::Debug for Lexicon {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "Lexicon({} words, {} phrases)", self.words.len(), self.patterns.len())
    }
}

impl Lexicon {
    /// Makes the synonyms of the data ready.
    pub fn new(knowledge: &Knowledge) -> Self {
        let data = &knowledge.synonyms;
        let mut lexicon = Self {
            stemmer: Stemmer::create(Algorithm::English),
            syms: Map::default(),
            words: Map::default(),
            classes: classes(data),
            spellings: data.spellings.iter().map(|(slip, meant)| (slip.clone(), split(meant))).collect(),
            numbers: data.numbers.iter().map(|(word, number)| (word.clone(), *number)).collect(),
            concepts: Map::default(),
            patterns: Map::default(),
            opposites: Map::default(),
            acts: HashSet::new(),
            witnesses: HashSet::new(),
            praise: HashSet::new(),
            blame: HashSet::new(),
            things: HashSet::new(),
            doubts: data.doubts.iter().map(|doubt| split(doubt)).collect(),
            senses: HashSet::new(),
            knowing: HashSet::new(),
            shelves: Map::default(),
        };
        lexicon.add_concepts(data);
        lexicon.add_cues(data);
        lexicon.praise = data.praise.iter().map(|name| lexicon.intern(&format!("={name}"))).collect();
        lexicon.blame = data.blame.iter().map(|name| lexicon.intern(&format!("={name}"))).collect();
        lexicon.things = data.things.iter().map(|word| lexicon.learn(word)).collect();
        lexicon.acts = data.acts.iter().map(|verb| lexicon.learn(verb)).collect();
        lexicon.witnesses = data.witnesses.iter().map(|word| lexicon.learn(word)).collect();
        lexicon.knowing = data.knowing.iter().map(|word| lexicon.learn(word)).collect();
        lexicon.senses = data.senses.iter().map(|verb| lexicon.learn(verb)).collect();
        lexicon.know_texts(knowledge);
        for all in lexicon.patterns.values_mut() {
            all.sort_by_key(|pattern| std::cmp::Reverse(pattern.rest.len()));
        }
        lexicon.fill_shelves();
        lexicon
    }

    fn add_concepts(&mut self, data: &Synonyms) {
        for (name, words) in &data.concepts {
            let concept = self.intern(&format!("={name}"));
            for words in words {
                self.list(words, Some(concept), Cues::default());
            }
        }
        for (one, other) in &data.opposites {
            let (one, other) = (self.intern(&format!("={one}")), self.intern(&format!("={other}")));
            self.opposites.entry(one).or_default().push(other);
            self.opposites.entry(other).or_default().push(one);
        }
    }

    fn add_cues(&mut self, data: &Synonyms) {
        let weak = |phrase: &str| phrase.split_whitespace().any(|word| data.weak.iter().any(|weak| weak == word));
        for phrase in &data.hedges {
            self.list(phrase, None, Cues { hedge: true, ..Cues::default() });
        }
        for phrase in &data.hearsay {
            self.list(phrase, None, Cues { hearsay: true, ..Cues::default() });
        }
        for phrase in &data.sellers {
            self.list(phrase, None, Cues { seller: true, ..Cues::default() });
        }
        for phrase in &data.unknown {
            self.list(phrase, None, Cues { unknown: true, weak: weak(phrase), ..Cues::default() });
        }
        for phrase in &data.undone {
            self.list(phrase, None, Cues { undone: true, weak: true, ..Cues::default() });
        }
        for phrase in &data.vague {
            self.list(phrase, None, Cues { vague: true, ..Cues::default() });
        }
    }

    /// Adds one listed phrase.
    fn list(&mut self, phrase: &str, concept: Option<Sym>, cues: Cues) {
        let mut stems: Vec<Sym> = Vec::new();
        let mut says = false;
        for piece in self.pieces(phrase) {
            if let Piece::Word(word) = piece
                && (self.class(&word) != Class::Filler || is_person(&word))
            {
                says |= self.class(&word) != Class::Negation || word == "nobody";
                stems.push(self.learn(&word));
            }
        }
        // A denial alone, its helping verb dropped, is no phrase.
        if !says && concept.is_none() {
            return;
        }
        let Some((first, rest)) = stems.split_first() else { return };
        if let ([], Some(concept)) = (rest, concept) {
            let all = self.concepts.entry(*first).or_default();
            if !all.contains(&concept) {
                all.push(concept);
            }
            return;
        }
        let name: Vec<String> = stems.iter().map(|stem| stem.0.to_string()).collect();
        let whole = if rest.is_empty() { *first } else { self.intern(&format!("+{}", name.join("+"))) };
        let all = self.patterns.entry(*first).or_default();
        let at = all.iter().position(|known| known.rest == rest).unwrap_or_else(|| {
            all.push(Pattern { rest: rest.to_vec(), whole, concepts: Vec::new(), cues: Cues::default() });
            all.len() - 1
        });
        all[at].concepts.extend(concept);
        all[at].cues.add(cues);
    }

    /// Every word of the questions is a word: it is not mended into another.
    fn know_texts(&mut self, knowledge: &Knowledge) {
        let mut texts: Vec<&str> = Vec::new();
        for question in &knowledge.questions {
            texts.extend([question.ask.as_str(), &question.brief, &question.why]);
            texts.extend(question.act.as_deref());
            texts.extend(question.how.iter().map(Text::as_str));
            for choice in question.choices() {
                texts.extend([choice.id.as_str(), &choice.label]);
                texts.extend(choice.words.iter().map(Text::as_str));
            }
        }
        texts.extend(knowledge.terms.iter().flat_map(|term| [term.term.as_str(), &term.text]));
        for text in texts {
            for piece in self.pieces(text) {
                if let Piece::Word(word) = piece {
                    self.learn(&word);
                }
            }
        }
    }

    fn fill_shelves(&mut self) {
        let words: HashSet<&String> = self.words.keys().filter(|word| word.chars().count() > 3).collect();
        for word in words {
            if let Some(first) = word.chars().next() {
                self.shelves.entry((first, word.chars().count())).or_default().push(word.clone());
            }
        }
        self.shelves.values_mut().for_each(|words| words.sort_unstable());
    }

    fn intern(&mut self, text: &str) -> Sym {
        if let Some(sym) = self.syms.get(text) {
            return *sym;
        }
        let sym = Sym(u32::try_from(self.syms.len()).unwrap_or(u32::MAX - 1));
        self.syms.insert(text.to_owned(), sym);
        sym
    }

    /// The stem of a word of the data, known from now on.
    fn learn(&mut self, word: &str) -> Sym {
        let word = denial(word);
        if let Some(sym) = self.words.get(word) {
            return *sym;
        }
        let stem = self.stemmer.stem(word).into_owned();
        let sym = self.intern(&stem);
        self.words.insert(word.to_owned(), sym);
        sym
    }

    /// The stem of a typed word; a slip of the pen is mended first, to a word of the question if one is near.
    pub fn stem(&self, word: &str, own: &[String]) -> Sym {
        let word = denial(word);
        if let Some(sym) = self.words.get(word) {
            return *sym;
        }
        if let Some(sym) = self.syms.get(&*self.stemmer.stem(word)) {
            return *sym;
        }
        self.mended(word, own).and_then(|meant| self.words.get(meant)).copied().unwrap_or(STRANGE)
    }

    /// The known word that is one slip away, two from eight letters on.
    fn mended<'a>(&'a self, word: &str, own: &'a [String]) -> Option<&'a str> {
        let length = word.chars().count();
        if !(5..=24).contains(&length) || word.chars().any(|c| c.is_ascii_digit()) {
            return None;
        }
        let slips = if length >= 8 { 2 } else { 1 };
        let near = |known: &str| {
            let apart = known.chars().count().abs_diff(length);
            (apart <= slips).then(|| strsim::osa_distance(known, word)).filter(|found| *found <= slips)
        };
        if let Some((_, meant)) = own.iter().filter_map(|known| Some((near(known)?, known))).min() {
            return Some(meant);
        }
        let first = word.chars().next()?;
        let lengths = length.saturating_sub(slips)..=length + slips;
        let shelves = lengths.filter_map(|length| self.shelves.get(&(first, length))).flatten();
        shelves.filter_map(|known| Some((near(known)?, known))).min().map(|(_, meant)| meant.as_str())
    }

    /// The words of a text, contractions opened, spellings made one.
    pub fn pieces(&self, text: &str) -> Vec<Piece> {
        let mut pieces = Vec::new();
        for piece in letters::pieces(text) {
            match piece {
                Piece::Word(word) => match self.spellings.get(&word) {
                    Some(meant) => pieces.extend(meant.iter().cloned().map(Piece::Word)),
                    None => match self.numbers.get(&word) {
                        Some(number) => pieces.push(Piece::Word(number.to_string())),
                        None => pieces.push(Piece::Word(word)),
                    },
                },
                other => pieces.push(other),
            }
        }
        pieces
    }

    pub fn class(&self, word: &str) -> Class {
        self.classes.get(word).copied().unwrap_or(Class::Content)
    }

    pub fn concepts(&self, stem: Sym) -> &[Sym] {
        self.concepts.get(&stem).map_or(&[], Vec::as_slice)
    }

    /// The longest listed phrase that begins here.
    pub fn pattern(&self, stems: &[Sym]) -> Option<&Pattern> {
        let (first, rest) = stems.split_first()?;
        self.patterns.get(first)?.iter().find(|pattern| rest.starts_with(&pattern.rest))
    }

    /// A verb of asking or trying.
    pub fn is_act(&self, stem: Sym) -> bool {
        self.acts.contains(&stem)
    }

    /// A word of knowing.
    pub fn is_knowing(&self, stem: Sym) -> bool {
        self.knowing.contains(&stem)
    }

    /// A thing or a person whose word counts by itself.
    pub fn is_witness(&self, stem: Sym) -> bool {
        self.witnesses.contains(&stem)
    }

    /// Whether it tells of what was once, should be or would be.
    pub fn doubts(&self, pieces: &[Piece]) -> bool {
        let words = |piece: &Piece, word: &String| matches!(piece, Piece::Word(said) if said == word);
        let at = |pieces: &[Piece]| {
            let same = |doubt: &&Vec<String>| doubt.iter().zip(pieces).all(|(word, piece)| words(piece, word));
            self.doubts.iter().filter(|doubt| doubt.len() <= pieces.len()).any(|doubt| same(&doubt))
        };
        (0..pieces.len()).any(|from| at(&pieces[from..]))
    }

    /// A verb of the senses.
    pub fn is_sense(&self, stem: Sym) -> bool {
        self.senses.contains(&stem)
    }

    /// Whether one of these concepts says that a thing is in order.
    pub fn praises(&self, concepts: &[Sym]) -> bool {
        concepts.iter().any(|concept| self.praise.contains(concept))
    }

    /// Whether one of these concepts says that a thing is not in order.
    pub fn blames(&self, concepts: &[Sym]) -> bool {
        concepts.iter().any(|concept| self.blame.contains(concept))
    }

    /// A part of motor or boat.
    pub fn is_thing(&self, stem: Sym) -> bool {
        self.things.contains(&stem)
    }

    /// The concepts that a concept denied says.
    pub fn opposites(&self, concept: Sym) -> &[Sym] {
        self.opposites.get(&concept).map_or(&[], Vec::as_slice)
    }
}

/// The plain denials are one word.
fn denial(word: &str) -> &str {
    if matches!(word, "no" | "without" | "neither") { "not" } else { word }
}

/// Pronouns carry nothing but who it is that knows or says.
pub fn is_person(word: &str) -> bool {
    matches!(word, "he" | "she" | "they" | "him" | "her")
}

fn split(text: &str) -> Vec<String> {
    text.split_whitespace().map(str::to_owned).collect()
}

fn classes(data: &Synonyms) -> Map<String, Class> {
    let mut classes = Map::default();
    let lists = [
        (&data.soft, Class::Soft),
        (&data.fillers, Class::Filler),
        (&data.negations, Class::Negation),
        (&data.turns, Class::Turn),
    ];
    for (words, class) in lists {
        classes.extend(words.iter().map(|word| (word.clone(), class)));
    }
    classes
}
