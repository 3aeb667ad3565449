//! Whether a check was seen: has a value that counts as having looked.

use crate::answers::{Standing, Value};
use crate::knowledge::{ChoiceId, Question, QuestionIx};

use super::truth::Truth;
use super::walk::Path;

/// Whether the answer to a question counts as having seen the thing.
///
/// A choice marked unseen does not count, on any cylinder; the question data may narrow (`seen-only`) or widen
/// (`seen-also`) what counts.
#[must_use]
pub fn is_seen(path: &Path<'_>, ix: QuestionIx) -> bool {
    let question = path.knowledge.question(ix);
    let view = path.view();
    if question.seen_also.as_ref().is_some_and(|also| view.holds(also) == Truth::Yes) {
        return true;
    }
    let Standing::Value(value) = path.live.standing(ix) else { return false };
    value_counts(question, value) && question.seen_only.as_ref().is_none_or(|only| view.holds(only) == Truth::Yes)
}

fn value_counts(question: &Question, value: &Value) -> bool {
    let counts = |id: &ChoiceId| question.choice(id).is_some_and(|choice| !choice.unseen);
    match value {
        Value::One(choice) => counts(choice),
        Value::Many(choices) => choices.iter().all(counts),
        Value::Each(each) => each.choices().iter().all(counts),
        _ => true,
    }
}

/// The core checks nobody has seen, in asking order, those not on the path included.
#[must_use]
pub fn core_unseen(path: &Path<'_>) -> Vec<QuestionIx> {
    let core = path.knowledge.places().filter(|ix| path.knowledge.question(*ix).core);
    core.filter(|ix| path.live.standing(*ix) != Standing::DoesNotApply && !is_seen(path, *ix)).collect()
}
