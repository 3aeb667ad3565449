//! What the buyer said, question by question: values, "can't tell", "not done"; notes and photos beside them.

use crate::knowledge::{Choice, Knowledge, Question, QuestionIx};

use super::value::Value;

/// What was said to a question that was dealt with.
#[derive(Clone, Debug, PartialEq)]
pub enum Said {
    Value(Value),
    CantTell,
    /// With the reason, which may be empty.
    NotDone(String),
}

impl Said {
    /// As text, to tell one answer from another.
    fn brief(&self) -> String {
        match self {
            Self::Value(value) => value.to_text(),
            Self::CantTell => "?".to_owned(),
            Self::NotDone(_) => "-".to_owned(),
        }
    }

    /// The first choice in it that closes something or brings a stop.
    #[must_use]
    pub fn ending<'q>(&self, question: &'q Question) -> Option<&'q Choice> {
        let ids = match self {
            Self::Value(Value::One(id)) => std::slice::from_ref(id),
            Self::Value(Value::Many(ids)) => ids,
            Self::Value(Value::Each(each)) => each.choices(),
            _ => return None,
        };
        ids.iter().filter_map(|id| question.choice(id)).find(|choice| choice.ends)
    }
}

/// One answer with what stands beside it. A note or photo can stand before anything was said.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Answer {
    pub said: Option<Said>,
    pub note: Option<String>,
    /// A mechanic read it: it stands on the path whatever is shut.
    pub by_mechanic: bool,
    pub photos: Vec<String>,
}

impl Answer {
    /// An answer without note or photo.
    #[must_use]
    pub fn new(said: Said) -> Self {
        Self { said: Some(said), ..Self::default() }
    }

    fn is_empty(&self) -> bool {
        self.said.is_none() && self.note.is_none() && self.photos.is_empty()
    }
}

/// What a mechanic settled about one open point.
#[derive(Clone, Debug, PartialEq)]
pub struct Settled {
    /// The point's code in the paper: a finding's or a fault's id.
    pub point: String,
    pub outcome: Outcome,
    /// The price the mechanic named, in the buyer's currency.
    pub price: Option<f64>,
    /// The mechanic's own words.
    pub words: String,
    /// Answers that changed after it was called fine: they are newer than the mechanic's look, and count again.
    pub changed: Vec<Changed>,
}

/// An answer that changed after a mechanic's look.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Changed {
    pub question: QuestionIx,
    /// What stood there when the mechanic looked, as text; the same again takes the change back.
    pub was: String,
}

/// The key under which a mechanic's words that answer no question are kept.
const WORDS: &str = "notes";
/// Keys of what was found besides the points that were asked, with this before their number.
const BESIDES: &str = "also-";

impl Settled {
    #[must_use]
    pub fn new(point: impl Into<String>, outcome: Outcome) -> Self {
        Self { point: point.into(), outcome, price: None, words: String::new(), changed: Vec::new() }
    }

    /// A mechanic's words that answer no question: how it was tested, what it costs in all, until when.
    #[must_use]
    pub fn only_words(words: String) -> Self {
        Self { words, ..Self::new(WORDS, Outcome::CantSay) }
    }

    /// Whether it is nothing but such words.
    #[must_use]
    pub fn is_only_words(&self) -> bool {
        self.point == WORDS
    }

    /// Whether it was found besides the points that were asked.
    #[must_use]
    pub fn is_besides(&self) -> bool {
        Self::names_besides(&self.point)
    }

    /// Whether it is the key of something found besides.
    #[must_use]
    pub fn names_besides(point: &str) -> bool {
        point.starts_with(BESIDES)
    }

    /// The key of what was found besides, by its number from 1.
    #[must_use]
    pub fn besides(number: usize) -> String {
        format!("{BESIDES}{number}")
    }

    /// Whether the same was said, whatever was answered since.
    #[must_use]
    pub fn says_the_same(&self, other: &Self) -> bool {
        (&self.point, self.outcome, self.price, &self.words)
            == (&other.point, other.outcome, other.price, &other.words)
    }

    fn note_change(&mut self, question: QuestionIx, was: &str, is: &str) {
        match self.changed.iter().position(|changed| changed.question == question) {
            Some(place) if self.changed[place].was == is => {
                self.changed.remove(place);
            }
            Some(_) => {}
            None => self.changed.push(Changed { question, was: was.to_owned() }),
        }
    }
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Outcome {
    Fine,
    Faulty,
    /// Looked at, and it can't be said without more.
    CantSay,
}

/// All answers of one interview, sleeping ones included, in the order of the question data.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Record {
    answers: Vec<Answer>,
    pub settled: Vec<Settled>,
}

impl Record {
    /// An empty record for this question data.
    #[must_use]
    pub fn new(knowledge: &Knowledge) -> Self {
        let answers = knowledge.places().map(|_| Answer::default()).collect();
        Self { answers, settled: Vec::new() }
    }

    /// What stands at a question.
    #[must_use]
    pub fn answer(&self, ix: QuestionIx) -> &Answer {
        &self.answers[ix.0]
    }

    /// The same, to write a note or a photo beside it.
    pub fn answer_mut(&mut self, ix: QuestionIx) -> &mut Answer {
        &mut self.answers[ix.0]
    }

    /// Sets what was said, keeping note and photos.
    pub fn say(&mut self, ix: QuestionIx, said: Said) {
        let answer = &mut self.answers[ix.0];
        if self.settled.iter().any(|settled| settled.outcome == Outcome::Fine)
            && answer.said.as_ref() != Some(&said)
        {
            let (was, is) = (answer.said.as_ref().map_or_else(String::new, Said::brief), said.brief());
            let fine = self.settled.iter_mut().filter(|settled| settled.outcome == Outcome::Fine);
            fine.for_each(|settled| settled.note_change(ix, &was, &is));
        }
        answer.said = Some(said);
        answer.by_mechanic = false;
    }

    /// Sets what a mechanic read: it stands on the path whatever is shut, until the buyer says otherwise.
    pub fn say_for_mechanic(&mut self, ix: QuestionIx, said: Said) {
        self.say(ix, said);
        self.answers[ix.0].by_mechanic = true;
    }

    /// The questions that have anything at all, in order.
    pub fn entries(&self) -> impl Iterator<Item = (QuestionIx, &Answer)> {
        let all = self.answers.iter().enumerate();
        all.filter(|(_, answer)| !answer.is_empty()).map(|(place, answer)| (QuestionIx(place), answer))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::load_shipped;

    /// Changed twice it is still another answer than the one the mechanic had before him; the same again is not.
    #[test]
    fn a_change_counts_until_the_answer_is_the_same_again() {
        let knowledge = load_shipped();
        let oil = knowledge.find("gear-oil").expect("a question");
        let said = |choice: &str| Said::Value(Value::One(choice.into()));
        let mut record = Record::new(&knowledge);
        record.say(oil, said("milky"));
        record.settled.push(Settled::new("gearcase-seals", Outcome::Fine));
        record.settled.push(Settled::new("anodes", Outcome::Faulty));
        let changed = |record: &Record| record.settled[0].changed.clone();
        let was = vec![Changed { question: oil, was: "milky".into() }];
        for other in [said("dark"), said("hazy"), Said::CantTell, Said::NotDone("no time".into())] {
            record.say(oil, other);
            assert_eq!(changed(&record), was);
        }
        record.say(oil, said("milky"));
        assert_eq!(changed(&record), []);
        assert_eq!(record.settled[1].changed, [], "what was found faulty goes on speaking");
    }
}
