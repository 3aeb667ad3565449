//! What is kept of a mechanic's look: points, readings, words.

use crate::answers::{Record, Said, Settled, Value};
use crate::knowledge::QuestionIx;

/// What came of a paper or a talk on the telephone.
#[derive(Debug, Default)]
pub struct Taken {
    pub settled: Vec<Settled>,
    /// Readings that answer a question, whatever is shut on the path.
    pub answers: Vec<(QuestionIx, Value)>,
    /// Words that answer nothing: a cold block, the minutes a pressure was held, when the price ends.
    pub words: Vec<String>,
}

impl Taken {
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.settled.is_empty() && self.answers.is_empty() && self.words.is_empty()
    }

    /// The readings alone.
    pub fn put_readings_into(&self, record: &mut Record) {
        for (ix, value) in &self.answers {
            record.say_for_mechanic(*ix, Said::Value(value.clone()));
        }
    }

    /// A point said anew takes the place of what was said of it before, as the latest word; the same again changes
    /// nothing.
    pub fn put_into(&self, record: &mut Record) {
        self.put_readings_into(record);
        self.settled.iter().cloned().for_each(|point| put(&mut record.settled, point));
        let before = record.settled.iter().find(|old| old.is_only_words()).map_or("", |old| old.words.as_str());
        let mut words: Vec<&str> = before.split("; ").filter(|part| !part.is_empty()).collect();
        for part in &self.words {
            if !before.contains(part.as_str()) {
                words.push(part);
            }
        }
        if !words.is_empty() {
            let words = words.join("; ");
            put(&mut record.settled, Settled::only_words(words));
        }
    }
}

/// What was found besides goes by its words: another paper's first line of them is another thing.
fn beside(all: &[Settled], mut point: Settled) -> Settled {
    let others: Vec<&Settled> = all.iter().filter(|old| old.is_besides()).collect();
    if let Some(same) = others.iter().find(|old| old.words == point.words) {
        point.point.clone_from(&same.point);
    } else {
        let taken = |key: &String| others.iter().any(|old| old.point == *key);
        let free = (1..=others.len() + 1).map(Settled::besides).find(|key| !taken(key));
        point.point = free.unwrap_or(point.point);
    }
    point
}

fn put(all: &mut Vec<Settled>, point: Settled) {
    let point = if point.is_besides() { beside(all, point) } else { point };
    if all.iter().any(|old| old.says_the_same(&point)) {
        return;
    }
    all.retain(|old| old.point != point.point);
    all.push(point);
}
