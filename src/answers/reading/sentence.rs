//! A typed text as a row of tokens: stem, concepts, denied or not, which part of a list it stands in.

use super::amounts::{self, Amount};
use super::letters::Piece;
use super::lexicon::{Class, Cues, Lexicon, Pattern, Sym, is_person};

/// A word as it was typed.
#[derive(Clone, Debug)]
pub struct Letters {
    pub text: String,
    pub denied: bool,
    /// The part of a list it stands in.
    pub segment: usize,
}

/// How many words a denial reaches over.
const REACH: usize = 5;

/// A denial of a thing, and the words with which something else is put in its place.
const OF_A_THING: [&str; 4] = ["no", "nope", "none", "not"];
const INSTEAD: [&str; 4] = ["just", "only", "its", "instead"];

/// Denials that say something by themselves: "nothing came out".
const TELLING: [&str; 5] = ["nothing", "none", "never", "zero", "nobody"];

/// One word, or one listed phrase, that can speak for a choice.
#[derive(Clone, Debug)]
pub struct Token {
    pub stem: Sym,
    pub concepts: Vec<Sym>,
    pub denied: bool,
    /// It counts as left over when nothing takes it.
    pub content: bool,
    /// The part of a list it stands in.
    pub segment: usize,
    pub clause: usize,
    /// Place of its first word.
    pub place: usize,
    /// How many words it takes up.
    pub length: usize,
    /// It belongs to a way of saying that it can't be told, or was not done.
    pub cue: bool,
    /// A denial that says something by itself.
    pub telling: bool,
    /// A denial with nothing behind it: an answer by itself.
    pub lone: bool,
    /// The place of the denial that reaches it.
    pub denial: Option<usize>,
}

/// A text, read word by word.
#[derive(Clone, Debug, Default)]
pub struct Sentence {
    pub tokens: Vec<Token>,
    pub cues: Cues,
    /// "He doesn't know": the one who can't tell is the seller.
    pub seller_cant_tell: bool,
    /// It says outright that it can't be told.
    pub cant_tell: bool,
    /// Where the first way begins to say that it was not seen or not done.
    pub cue_from: usize,
    /// A denial of a denial.
    pub twice_denied: bool,
    /// Places of denials that only say that it was not seen or not done.
    pub cue_denials: Vec<usize>,
    /// Places of the denials that stand free.
    pub denials: Vec<usize>,
    /// An `or` stands in it.
    pub either: bool,
    /// It asks something itself.
    pub asking: bool,
    /// It tells of what was once, should be or would be.
    pub doubtful: bool,
    /// The clause that puts something else in place of what was denied: "no chips, just some fuzz".
    pub corrected: Option<usize>,
    /// The clauses in which somebody else's word stands.
    pub hearsay: Vec<usize>,
    pub amounts: Vec<Amount>,
    pub letters: Vec<Letters>,
    pub segments: usize,
    /// This year.
    pub year: i16,
}

struct Word {
    text: String,
    stem: Sym,
    class: Class,
    segment: usize,
    clause: usize,
    /// An `or` stands before it.
    or: bool,
}

/// Reads a text; `own` are words of the question, to which a slip of the pen is mended first.
pub fn sentence(lexicon: &Lexicon, text: &str, own: &[String], year: i16) -> Sentence {
    let Words { words, segments, corrected } = words(lexicon, text, own);
    let doubtful = lexicon.doubts(&lexicon.pieces(text));
    Sentence { asking: asks(text), doubtful, corrected, ..walked(lexicon, &words, segments, year) }
}

/// Whether it is a question, and no answer that only begins with one: "seized? not at all".
fn asks(text: &str) -> bool {
    const HEADS: [&str; 9] = ["what", "which", "how", "why", "where", "should", "do", "does", "who"];
    let head = text.split_whitespace().next().unwrap_or("").to_lowercase();
    text.trim_end().ends_with('?') || HEADS.contains(&head.as_str())
}

/// The same text as if nothing in it were denied; `None` where nothing is.
pub fn undenied(lexicon: &Lexicon, text: &str, own: &[String], year: i16) -> Option<Sentence> {
    let Words { words, segments, .. } = words(lexicon, text, own);
    let all = words.len();
    let denies = |word: &Word| word.class == Class::Negation && !TELLING.contains(&word.text.as_str());
    let kept: Vec<Word> = words.into_iter().filter(|word| !denies(word)).collect();
    (kept.len() < all).then(|| walked(lexicon, &kept, segments, year))
}

fn walked(lexicon: &Lexicon, words: &[Word], segments: usize, year: i16) -> Sentence {
    let mut read = Sentence { segments, year, cue_from: usize::MAX, ..Sentence::default() };
    read.either = words.iter().any(|word| word.or);
    read.amounts = amounts::amounts(&words.iter().map(|word| word.text.as_str()).collect::<Vec<_>>(), year);
    Walk::new(lexicon, words, read).through()
}

/// The words that are no fillers, with the clause and the part of a list they stand in.
fn words(lexicon: &Lexicon, text: &str, own: &[String]) -> Words {
    let mut words: Vec<Word> = Vec::new();
    let (mut segment, mut clause, mut or, mut corrected) = (0, 0, false, None);
    let mut before = String::new();
    for piece in lexicon.pieces(text) {
        match piece {
            Piece::Stop => (segment, clause) = (segment + 1, clause + 1),
            Piece::And => segment += 1,
            Piece::Or => or = true,
            // "Not at all" denies and adds nothing.
            Piece::Word(text) if text == "all" && before == "at" => before = text,
            Piece::Word(text) => {
                // "No more than its hours": it goes on.
                let done = lexicon.class(&before) != Class::Filler;
                if done && INSTEAD.contains(&text.as_str()) && denies_a_thing(&words, clause) {
                    (segment, clause) = (segment + 1, clause + 1);
                    corrected = Some(clause);
                }
                before.clone_from(&text);
                let class = lexicon.class(&text);
                if class == Class::Turn {
                    (segment, clause) = (segment + 1, clause + 1);
                } else if class != Class::Filler || is_person(&text) {
                    let stem = lexicon.stem(&text, own);
                    words.push(Word { text, stem, class, segment, clause, or });
                    or = false;
                }
            }
        }
    }
    Words { words, segments: segment + 1, corrected }
}

/// Whether in this clause a thing was denied by name: "no belt", and not "don't think".
fn denies_a_thing(words: &[Word], clause: usize) -> bool {
    let here = words.iter().rev().take_while(|word| word.clause == clause);
    let (behind, denial) = here.fold((0, false), |(behind, found), word| match found {
        true => (behind, true),
        false if word.class == Class::Negation => (behind, OF_A_THING.contains(&word.text.as_str())),
        false => (behind + 1, false),
    });
    denial && behind > 0
}

/// The words of a text, into how many parts they fall, and the clause of a correction.
struct Words {
    words: Vec<Word>,
    segments: usize,
    corrected: Option<usize>,
}

/// Goes through the words once: the longest listed phrases first, then word by word.
struct Walk<'w> {
    lexicon: &'w Lexicon,
    words: &'w [Word],
    stems: Vec<Sym>,
    /// Which words stand free, outside phrases and cues.
    free: Vec<bool>,
    /// Words before this place belong to a way of saying that it was not seen or not done.
    cued: usize,
    /// Where the seller was named last.
    seller: Option<usize>,
    read: Sentence,
}

impl<'w> Walk<'w> {
    fn new(lexicon: &'w Lexicon, words: &'w [Word], read: Sentence) -> Self {
        let stems = words.iter().map(|word| word.stem).collect();
        Self { lexicon, words, stems, free: vec![true; words.len()], cued: 0, seller: None, read }
    }

    fn through(mut self) -> Sentence {
        let mut at = 0;
        while at < self.words.len() {
            at += self.step(at);
        }
        self.unseen();
        deny(self.words, &self.free, &mut self.read);
        self.read.letters = letters(self.words, &self.read.tokens);
        self.read
    }

    /// Who could not see, did not ask, or found it too dark: whatever stands between.
    fn unseen(&mut self) {
        for at in 0..self.words.len() {
            let word = &self.words[at];
            let behind = |reach: usize, wanted: &dyn Fn(Sym) -> bool| {
                let clause = self.words[at + 1..].iter().take_while(|next| next.clause == word.clause);
                clause.take(reach).position(|next| wanted(next.stem)).map(|more| at + 1 + more)
            };
            let telling = word.text != "nobody" && TELLING.contains(&word.text.as_str());
            let able = at > 0 && self.words[at - 1].text == "can";
            let sense = |stem: Sym| self.lexicon.is_sense(stem);
            let act = |stem: Sym| self.lexicon.is_act(stem);
            let knowing = |stem: Sym| self.lexicon.is_knowing(stem);
            let (found, cues) = match word.class {
                Class::Negation if able && behind(2, &sense).is_some() => {
                    (behind(2, &sense), Cues { unknown: true, weak: true, ..Cues::default() })
                }
                // "Nothing in memory" is known.
                Class::Negation if !telling && behind(3, &knowing).is_some() => {
                    (behind(3, &knowing), Cues { unknown: true, weak: true, ..Cues::default() })
                }
                Class::Negation => (behind(2, &act), Cues { undone: true, weak: true, ..Cues::default() }),
                _ if word.text == "too" => (behind(3, &sense), Cues { unknown: true, ..Cues::default() }),
                _ => (None, Cues::default()),
            };
            let Some(end) = found else { continue };
            self.read.cues.add(cues);
            let before = &self.words[at.saturating_sub(3)..at];
            self.read.seller_cant_tell |= cues.unknown && before.iter().any(|word| is_person(&word.text));
            self.read.cue_from = self.read.cue_from.min(at);
            if word.class == Class::Negation {
                self.read.cue_denials.push(at);
            }
            let within = |token: &&mut Token| (at..=end).contains(&token.place);
            self.read.tokens.iter_mut().filter(within).for_each(|token| token.cue = true);
        }
    }

    /// Takes the phrase or word at this place; how many words it was.
    fn step(&mut self, at: usize) -> usize {
        let lexicon = self.lexicon;
        let found = lexicon.pattern(&self.stems[at..]);
        let found = found.filter(|it| self.words[at].clause == self.words[at + it.rest.len()].clause);
        let Some(found) = found else { return self.word(at) };
        let length = found.rest.len() + 1;
        self.cue(found.cues, at, length);
        let cues = found.cues;
        let strong = !cues.weak && (cues.unknown || cues.hedge || cues.hearsay);
        let named = cues.seller && found.concepts.is_empty() && self.words[at].class != Class::Negation;
        if strong || named {
            self.free[at..at + length].fill(false);
            length
        } else if length > 1 && !found.concepts.is_empty() {
            self.phrase(found, at, length)
        } else {
            self.word(at)
        }
    }

    fn cue(&mut self, mut cues: Cues, at: usize, length: usize) {
        // "Like he told me" compares; nothing rests on it.
        cues.hearsay &= !self.words[at.saturating_sub(2)..at].iter().any(|word| word.text == "like");
        // "The plate says": nobody need be believed.
        let witness = |word: &&Word| word.clause == self.words[at].clause && self.lexicon.is_witness(word.stem);
        cues.hearsay &= !self.words[..at].iter().rev().take(2).any(|word| witness(&word));
        if cues.hearsay {
            self.read.hearsay.push(self.words[at].clause);
        }
        self.read.cues.add(cues);
        self.read.cant_tell |= cues.unknown && !cues.weak;
        self.read.seller_cant_tell |= cues.unknown && self.seller.is_some_and(|seller| at - seller <= 2);
        if cues.unknown || cues.undone {
            self.read.cue_from = self.read.cue_from.min(at);
        }
        if cues.seller {
            self.seller = Some(at);
        }
        if cues.undone || cues.unknown && cues.weak {
            self.cued = self.cued.max(at + length);
            let denials = (at..at + length).filter(|place| self.words[*place].class == Class::Negation);
            self.read.cue_denials.extend(denials);
        }
    }

    fn phrase(&mut self, found: &Pattern, at: usize, length: usize) -> usize {
        self.free[at..at + length].fill(false);
        // "No power" is a phrase; where it says nothing, its denial may have meant something else.
        let lone = self.words[at..at + length].iter().any(|word| word.class == Class::Negation);
        if lone {
            self.read.denials.push(at);
        }
        let token = token(found.whole, found.concepts.clone(), &self.words[at], at, true);
        self.read.tokens.push(Token { cue: at < self.cued, lone, length, ..token });
        length
    }

    fn word(&mut self, at: usize) -> usize {
        let word = &self.words[at];
        let telling = TELLING.contains(&word.text.as_str());
        if word.class != Class::Negation || telling {
            let concepts = self.lexicon.concepts(word.stem).to_vec();
            let token = token(word.stem, concepts, word, at, word.class == Class::Content || telling);
            self.read.tokens.push(Token { cue: at < self.cued, telling, ..token });
        }
        1
    }
}

fn token(stem: Sym, concepts: Vec<Sym>, word: &Word, place: usize, content: bool) -> Token {
    Token {
        stem,
        concepts,
        denied: false,
        content,
        segment: word.segment,
        clause: word.clause,
        place,
        length: 1,
        cue: false,
        telling: false,
        lone: false,
        denial: None,
    }
}

/// Denials: which words they reach, and which stand alone and are an answer themselves.
fn deny(words: &[Word], free: &[bool], read: &mut Sentence) {
    let denies = |place: &usize| free[*place] && words[*place].class == Class::Negation;
    let ends = clause_ends(words);
    for place in (0..words.len()).filter(denies) {
        // The next denial takes over, unless it stands right behind: "not without".
        let next = (place + 2..ends[place]).find(denies).unwrap_or(ends[place]);
        let reached = read.tokens.iter_mut().filter(|token| token.place > place && token.place < next);
        let mut any = false;
        for token in reached.take(REACH) {
            read.twice_denied |= token.denied || token.telling;
            token.denied = true;
            token.denial = Some(place);
            any = true;
        }
        // "Not built without one", "not needing none": the second may turn the first round, whatever stands between.
        let second = |before: usize| words[place].text == "without" || words[before].text == "not";
        let same = |before: &usize| denies(before) && words[*before].clause == words[place].clause;
        read.twice_denied |= (0..place).filter(same).any(second);
        read.denials.push(place);
        if !any && !TELLING.contains(&words[place].text.as_str()) {
            // "Seized? Not at all" turns round what stands before it; a bare no at the head is an answer.
            let turns = place > 0 || words[place].text == "not";
            read.twice_denied |= turns && !read.tokens.is_empty();
            let at = read.tokens.partition_point(|token| token.place < place);
            let token = token(words[place].stem, Vec::new(), &words[place], place, true);
            read.tokens.insert(at, Token { lone: true, ..token });
        }
    }
}

/// The words themselves; one is denied as the token is that it belongs to.
fn letters(words: &[Word], tokens: &[Token]) -> Vec<Letters> {
    let denied = |place: usize| {
        let before = tokens.iter().take_while(|token| token.place <= place).last();
        before.is_some_and(|token| token.denied && words[token.place].clause == words[place].clause)
    };
    let kept = words.iter().enumerate().filter(|(_, word)| !is_person(&word.text));
    kept.map(|(place, word)| Letters { text: word.text.clone(), denied: denied(place), segment: word.segment })
        .collect()
}

/// For each word the place where its clause ends; "no dents, cracks or leaks" is one clause.
fn clause_ends(words: &[Word]) -> Vec<usize> {
    let end_of = |from: usize| {
        let clause = words[from].clause;
        words[from..].iter().position(|word| word.clause != clause).map_or(words.len(), |more| from + more)
    };
    let joined = |from: usize, to: usize| words[from..to].iter().any(|word| word.or);
    let ends = (0..words.len()).map(|place| {
        let mut end = end_of(place);
        let mut reach = end;
        while end < words.len() {
            let next = end_of(end);
            if joined(end, next) {
                reach = next;
            }
            end = next;
        }
        reach
    });
    ends.collect()
}
