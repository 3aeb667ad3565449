//! Reading what people say: a typed text to the choices it means, with how sure that is.
//!
//! Start at [`Reader::read`]. A text becomes a [`sentence`] of tokens (stems, concepts, denied or not), is weighed
//! against every choice of the question in [`score`], and is *taken* only when one reading fits the whole of it;
//! else it is asked back, or is unread ([`decide`], [`lists`]). Pure functions of the data and the text: nothing
//! here asks, and nothing here knows what was answered before.

mod amounts;
mod decide;
mod frame;
mod letters;
mod lexicon;
mod likeness;
mod lists;
mod score;
mod sentence;

use std::collections::HashMap;
use std::sync::OnceLock;

use crate::knowledge::{self, Knowledge, Problem, Question, QuestionId, QuestionIx, synonyms};

use frame::Frame;
use lexicon::Lexicon;

/// What a text may mean at a question with choices.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Meant {
    /// Places of choices; several in a list.
    Choices(Vec<usize>),
    CantTell,
    NotDone,
    /// Nobody looked: the seller says so.
    SellersWord,
}

/// How a text is read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Reading {
    /// One reading fits the whole of it.
    Taken(Meant),
    /// At most three, the likeliest first.
    Asks(Vec<Meant>),
    Unread,
}

/// The synonyms, made ready once, and each question when it is first read for.
#[derive(Debug)]
pub struct Reader {
    knowledge: Knowledge,
    lexicon: Lexicon,
    frames: HashMap<QuestionId, (QuestionIx, OnceLock<Frame>)>,
}

impl Reader {
    /// Makes the synonyms ready.
    #[must_use]
    pub fn new(knowledge: &Knowledge) -> Self {
        let knowledge = synonyms::with_phrases(knowledge);
        let lexicon = Lexicon::new(&knowledge);
        let frames = knowledge.places().filter(|ix| !knowledge.question(*ix).choices().is_empty());
        let frames = frames.map(|ix| (knowledge.question(ix).id.clone(), (ix, OnceLock::new()))).collect();
        Self { knowledge, lexicon, frames }
    }

    /// The question of that id, with everything that is listed among the words of its choices.
    #[must_use]
    pub fn question(&self, id: &str) -> Option<&Question> {
        self.knowledge.find(id).map(|ix| self.knowledge.question(ix))
    }

    /// Reads a text at the question of that id; a question without choices is not for this. `year` is this year,
    /// `wanted` how many cylinders there are, where that is known.
    #[must_use]
    pub fn read(&self, question: &str, text: &str, year: i16, wanted: Option<usize>) -> Reading {
        let Some((ix, frame)) = self.frames.get(question) else { return Reading::Unread };
        let frame = frame.get_or_init(|| Frame::new(&self.knowledge, &self.lexicon, *ix));
        let text: String = text.chars().take(LONGEST).collect();
        let read = sentence::sentence(&self.lexicon, &text, &frame.own, year);
        if frame.each {
            lists::read_each(&self.lexicon, frame, &read, &text, year, wanted)
        } else if frame.many {
            lists::read_many(&self.lexicon, frame, &read, &text)
        } else {
            decide::read_one(&self.lexicon, frame, &read, &text)
        }
    }
}

/// Every label and word of a choice that reads as another choice of its question: what its own data would mislead to.
#[must_use]
pub fn misread(knowledge: &Knowledge) -> Vec<Problem> {
    let reader = Reader::new(knowledge);
    let mut found = Vec::new();
    for ix in knowledge.places() {
        let question = reader.knowledge.question(ix);
        for (place, choice) in question.choices().iter().enumerate() {
            for name in [&choice.label].into_iter().chain(&choice.words) {
                if let Reading::Taken(Meant::Choices(places)) = reader.read(question.id.as_str(), name, 0, None)
                    && !places.contains(&place)
                {
                    let others = places.iter().filter_map(|other| question.choices().get(*other));
                    let others: Vec<&str> = others.map(|other| other.id.as_str()).collect();
                    found.push(knowledge::misread(knowledge, ix, name, &others.join(" and ")));
                }
            }
        }
    }
    found
}

/// Nobody answers at greater length; what stands behind it is not looked at.
const LONGEST: usize = 400;
