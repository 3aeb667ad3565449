//! What is said after an answer: the reply, a margin note when something weighs, an early end, what a change does.

use crate::answers::{Answer, Record, Said, Value};
use crate::judge;
use crate::knowledge::{Grade, Knowledge, QuestionIx};
use crate::measure::compression;
use crate::path::{Ended, Path, State, Truth, walk};
use crate::report::sentence;
use crate::talk::{Talk, Words};
use crate::units::{Dimension, Psi, Quantity};

/// Says what an answer means; the path is the one after the answer.
pub fn reply(talk: &mut dyn Talk, path: &Path<'_>, ix: QuestionIx) {
    let question = path.knowledge.question(ix);
    let words = match &path.record.answer(ix).said {
        Some(Said::CantTell) => Some(
            "Fine, nobody has to know everything. It goes on the list of things that were not looked at."
                .to_owned(),
        ),
        Some(Said::NotDone(_)) => Some("All right, it stays on the list as not done.".to_owned()),
        Some(Said::Value(value)) => {
            let by_condition = question.replies.iter().find(|reply| path.view().holds(&reply.when) == Truth::Yes);
            by_condition.map(|reply| reply.text.to_string()).or_else(|| by_choice(path, ix, value))
        }
        None => None,
    };
    newer_than_a_look(talk, path, ix);
    if let Some(Said::Value(Value::Readings(readings))) = &path.record.answer(ix).said {
        bars(talk, readings);
    }
    if let Some(words) = words {
        talk.tell(&Words::Reply(words));
    }
}

/// Says that an answer is newer than a mechanic's look at the same thing, and counts again.
fn newer_than_a_look(talk: &mut dyn Talk, path: &Path<'_>, ix: QuestionIx) {
    for (settled, _) in judge::overtaken(path).iter().filter(|(_, answers)| answers.contains(&ix)) {
        let title =
            path.knowledge.story_by_id(&settled.point).map_or("", |story| path.knowledge.story_title(story));
        talk.tell(&Words::Margin(format!(
            "A mechanic called this fine before: {title}. Your answer is newer than that look, so it counts again."
        )));
    }
}

/// Readings of pressure as a small picture.
fn bars(talk: &mut dyn Talk, readings: &[Option<Quantity>]) {
    let values: Vec<Option<Psi>> =
        readings.iter().map(|reading| reading.and_then(|quantity| Psi::try_from(quantity).ok())).collect();
    let Some(unit) = readings.iter().flatten().map(|quantity| quantity.unit).next() else { return };
    if values.len() > 1 && unit.dimension() == Dimension::Pressure {
        talk.tell(&Words::Picture(compression::bars(&values, unit, talk.columns().min(60))));
    }
}

/// The replies of the choices that were picked.
fn by_choice(path: &Path<'_>, ix: QuestionIx, value: &Value) -> Option<String> {
    let picked = match value {
        Value::One(choice) => std::slice::from_ref(choice),
        Value::Many(choices) => choices,
        Value::Each(each) => each.choices(),
        _ => return None,
    };
    let mut replies: Vec<&str> = Vec::new();
    for choice in picked {
        if let Some(reply) = path.knowledge.question(ix).choice(choice).and_then(|choice| choice.reply.as_deref())
            && !replies.contains(&reply)
        {
            replies.push(reply);
        }
    }
    (!replies.is_empty()).then(|| replies.join(" "))
}

/// A quiet aside when the answer is one more sign of something.
pub fn margin(talk: &mut dyn Talk, before: &Path<'_>, after: &Path<'_>) {
    let (was, is) = (judge::look(before), judge::look(after));
    let knowledge = after.knowledge;
    let points_to = |found: &judge::Findings| -> Vec<(crate::knowledge::FindingIx, &str)> {
        let weighing = found.places().filter(|ix| knowledge.findings[ix.0].grade != Grade::Good);
        weighing.filter_map(|ix| Some((ix, knowledge.findings[ix.0].points_to.as_deref()?))).collect()
    };
    let (was, is) = (points_to(&was), points_to(&is));
    let mut told = Vec::new();
    for (ix, about) in is.iter().filter(|(ix, _)| !was.iter().any(|(old, _)| old == ix)) {
        let count = is.iter().filter(|(_, other)| other == about).count();
        if count >= 2 && !told.contains(about) {
            told.push(*about);
            let nth = ["second", "third", "fourth", "fifth"].get(count - 2).copied().unwrap_or("next");
            talk.tell(&Words::Margin(format!("That is the {nth} sign of {about}.")));
            let _ = ix;
        }
    }
}

/// Says which part ended early, once its last follow-up is answered.
pub fn ends(talk: &mut dyn Talk, path: &Path<'_>, told: &mut Vec<(QuestionIx, String)>) {
    let open: Vec<QuestionIx> =
        path.steps.iter().filter(|step| step.state == State::Open).map(|step| step.question).collect();
    for ended in &path.ended {
        let key = key_of(ended);
        let belongs = |ix: &QuestionIx| *ix == ended.after || path.knowledge.stands_below(*ix, ended.after);
        if open.iter().any(belongs) || told.contains(&key) {
            continue;
        }
        told.push(key);
        let closed: Vec<&str> = ended.closes.iter().map(|id| stage_title(path.knowledge, id.as_str())).collect();
        let briefs = || ended.shut.iter().map(|ix| path.knowledge.question(*ix).brief.as_str()).collect::<Vec<_>>();
        let what = if ended.choice.is_none() {
            format!("Not to be tried now: {}", briefs().join("; "))
        } else if closed.contains(&"") {
            "The interview ends here".to_owned()
        } else {
            format!("Here this part ends: {}", closed.join("; "))
        };
        talk.tell(&Words::Ended(format!(
            "{what}. {} What was left out goes on the mechanic's list.",
            sentence(&ended.because)
        )));
    }
}

/// The early ends of a path that need not be told again.
pub fn told_already(path: &Path<'_>) -> Vec<(QuestionIx, String)> {
    path.ended.iter().map(key_of).collect()
}

fn key_of(ended: &Ended) -> (QuestionIx, String) {
    (ended.after, ended.choice.as_ref().map_or_else(|| ended.because.clone(), ToString::to_string))
}

fn stage_title<'a>(knowledge: &'a Knowledge, id: &str) -> &'a str {
    knowledge.stages.iter().find(|stage| stage.id == id).map_or("", |stage| stage.title.as_str())
}

/// What a changed answer would do to the others, in a sentence; none when it changes nothing but itself.
#[must_use]
pub fn effects(before: &Path<'_>, ix: QuestionIx, said: &Said) -> Option<String> {
    let knowledge = before.knowledge;
    let mut record: Record = before.record.clone();
    *record.answer_mut(ix) = Answer { said: Some(said.clone()), ..before.record.answer(ix).clone() };
    let after = walk(knowledge, &record, before.date);
    let briefs = |all: Vec<QuestionIx>| {
        all.iter().map(|ix| knowledge.question(*ix).brief.as_str()).collect::<Vec<_>>().join(", ")
    };
    let answered = |path: &Path<'_>, ix: QuestionIx| path.step(ix).is_some_and(|step| step.state != State::Open);
    let asked = knowledge.places().filter(|other| *other != ix);
    let (mut sleep, mut wake, mut open) = (Vec::new(), Vec::new(), 0);
    for other in asked {
        match (answered(before, other), answered(&after, other)) {
            (true, false) => sleep.push(other),
            (false, true) => wake.push(other),
            _ if before.step(other).is_none() && after.step(other).is_some() => open += 1,
            _ => {}
        }
    }
    let mut parts = Vec::new();
    if !sleep.is_empty() {
        let back = if sleep.len() == 1 { "it comes" } else { "they come" };
        parts.push(format!(
            "puts {} to sleep ({}); {back} back if you change it again",
            count(sleep.len(), "answer"),
            briefs(sleep)
        ));
    }
    if !wake.is_empty() {
        parts.push(format!("wakes {} ({})", count(wake.len(), "answer"), briefs(wake)));
    }
    if open > 0 {
        parts.push(format!("opens {}", count(open, "question")));
    }
    (!parts.is_empty()).then(|| format!("Changing this {}.", parts.join(", and ")))
}

/// A count with its noun.
#[must_use]
pub fn count(number: usize, noun: &str) -> String {
    match number {
        1 => format!("one {noun}"),
        number => format!("{number} {noun}s"),
    }
}
