//! `skeg questions read`: how lines of typed words would be read.

use std::fs;
use std::io::{Read, stdin};
use std::path::Path;
use std::sync::Arc;

use crate::answers::LateReader;
use crate::answers::{Context, Proposal, Said, Value, parse_answer};
use crate::knowledge::{ChoiceId, Kind, Knowledge, Question};

use super::Surroundings;

/// Cylinders reckoned with where a choice is wanted for each: a line by itself says nothing of them.
const CYLINDERS: usize = 4;

/// Each line with what becomes of it.
///
/// # Errors
/// The lines can't be read, or one names no question.
pub fn lines(knowledge: &Arc<Knowledge>, file: Option<&Path>, around: &Surroundings) -> Result<String, String> {
    let text = match file {
        Some(file) => {
            fs::read_to_string(file).map_err(|error| format!("can't read {}: {error}", file.display()))?
        }
        None => {
            let mut text = String::new();
            stdin().read_to_string(&mut text).map_err(|error| format!("can't read the lines: {error}"))?;
            text
        }
    };
    let reader = Some(Arc::new(LateReader::new(Arc::clone(knowledge))));
    let context = Context { year: around.today.year(), reader, ..Context::default() };
    let mut out = String::new();
    for (place, line) in text.lines().enumerate().filter(|(_, line)| !line.trim().is_empty()) {
        let told = |why: String| format!("line {}: {why}", place + 1);
        let (id, typed) =
            line.split_once('\t').ok_or_else(|| told("a question, a tab and the words are wanted".into()))?;
        let ix = knowledge.find(id).ok_or_else(|| {
            let known = knowledge.questions.iter().map(|question| question.id.as_str());
            told(format!("there is no question {id:?}{}", crate::knowledge::near(id, known)))
        })?;
        let question = knowledge.question(ix);
        let wanted = matches!(question.kind, Kind::Each(_)).then_some(CYLINDERS);
        let context = Context { wanted, ..context.clone() };
        out.push_str(&format!("{id}\t{typed}\t{}\n", read(question, typed, &context)));
    }
    Ok(out)
}

/// `taken`, `asks` or `unread`, a tab, and the readings.
fn read(question: &Question, typed: &str, context: &Context) -> String {
    match parse_answer(question, typed, context) {
        Ok(typed) => {
            let asks = typed.doubt.is_some() || ends(question, &typed.said);
            format!("{}\t{}", if asks { "asks" } else { "taken" }, ids(&typed.said))
        }
        Err(refusal) if refusal.readings.is_empty() => "unread\t".into(),
        Err(refusal) => {
            let all: Vec<String> = refusal.readings.iter().map(|Proposal { said, .. }| ids(said)).collect();
            format!("asks\t{}", all.join("|"))
        }
    }
}

/// Whether an answer is asked about before it is taken from a person.
fn ends(question: &Question, said: &Said) -> bool {
    said.ending(question).is_some()
}

fn ids(said: &Said) -> String {
    let joined = |ids: &[ChoiceId]| ids.iter().map(ChoiceId::as_str).collect::<Vec<_>>().join("+");
    match said {
        Said::CantTell => "cant-tell".into(),
        Said::NotDone(_) => "not-done".into(),
        Said::Value(Value::One(id)) => id.to_string(),
        Said::Value(Value::Many(ids)) => joined(ids),
        Said::Value(Value::Each(each)) => {
            let mut different: Vec<ChoiceId> = Vec::new();
            for id in each.choices() {
                if !different.contains(id) {
                    different.push(id.clone());
                }
            }
            joined(&different)
        }
        Said::Value(value) => value.to_text(),
    }
}
