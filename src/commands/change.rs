//! `skeg change`: one question again.

use crate::knowledge::near;
use crate::path::walk;

use super::interview::Interview;
use super::start::ending;
use super::{Bench, Ending};

/// Asks the question again and saves.
pub fn run(bench: &Bench, name: &str, id: &str) -> Result<Ending, String> {
    let saved = bench.store.load(name, &bench.knowledge)?;
    let knowledge = &bench.knowledge;
    let ix = knowledge.find(id).ok_or_else(|| {
        let known = knowledge.questions.iter().map(|question| question.id.as_str());
        format!("there is no question {id:?}{}", near(id, known))
    })?;
    if walk(knowledge, &saved.record, saved.date).step(ix).is_none() {
        return Err(format!("{id} is not asked as things stand: another answer has to change first"));
    }
    Ok(ending(Interview::open(bench, saved, bench.around.talk())?.change(ix)?))
}
