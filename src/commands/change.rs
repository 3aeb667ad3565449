//! `skeg change`: one question again.

use crate::knowledge::near;
use crate::path::walk;

use super::interview::Interview;
use super::start::ending;
use super::{Bench, Ending, open};

/// Asks the question again and saves.
pub fn run(bench: &Bench, name: &str, id: &str) -> Result<Ending, String> {
    let mut talk = bench.around.talk();
    let saved = match open::asked(bench, name, &mut *talk)? {
        Ok(saved) => saved,
        Err(leave) => return Ok(ending(Some(leave))),
    };
    let knowledge = &bench.knowledge;
    let ix = knowledge.find(id).ok_or_else(|| {
        let known = knowledge.questions.iter().map(|question| question.id.as_str());
        format!("there is no question {id:?}{}", near(id, known))
    })?;
    if walk(knowledge, &saved.record, saved.date).step(ix).is_none() {
        return Err(format!("{id} is not asked as things stand: another answer has to change first"));
    }
    Ok(ending(Interview::open(bench, saved, talk)?.change(ix)?))
}
