//! A point called fine beside a reading of the same look that says otherwise: asked about, never taken as it stands.

use crate::answers::{Outcome, Settled};
use crate::judge::{Fired, look};
use crate::knowledge::{FindingIx, Grade, Knowledge, QuestionIx, Story};
use crate::path::walk;
use crate::report::paper::name;
use crate::store::Saved;
use crate::talk::{Leave, Talk, Words};

use super::super::Bench;
use super::taken::Taken;

/// Goes through the points called fine. Where nobody is there to say, the point stays open and the reading is kept.
pub fn settle(
    bench: &Bench,
    saved: &Saved,
    talk: &mut dyn Talk,
    taken: &mut Taken,
    unasked: bool,
) -> Result<(), Leave> {
    let knowledge = &bench.knowledge;
    let mut record = saved.record.clone();
    record.settled.clear();
    taken.put_readings_into(&mut record);
    let path = walk(knowledge, &record, saved.date);
    let read: Vec<QuestionIx> = taken.answers.iter().map(|(ix, _)| *ix).collect();
    let bad: Vec<Fired> =
        look(&path).fired.into_iter().filter(|fired| speaks_against(knowledge, fired, &read)).collect();
    let mut kept = Vec::new();
    for mut point in std::mem::take(&mut taken.settled) {
        let against = bad.iter().find(|fired| is_of(knowledge, &point, fired));
        let Some(fired) = against.filter(|_| point.outcome == Outcome::Fine && !agreed(saved, &point)) else {
            kept.push(point);
            continue;
        };
        let brief =
            knowledge.story_by_id(&point.point).map_or(point.point.as_str(), |story| knowledge.story_title(story));
        let told = format!(
            "{brief}: fine is ticked, and yet by the readings beside it {}.",
            knowledge.findings[fired.finding.0].title
        );
        talk.tell(&Words::Plain(told));
        match which(talk, brief, unasked)? {
            Some(outcome) => {
                point.outcome = outcome;
                talk.tell(&Words::Plain(format!("{brief}: {}", name(outcome))));
                kept.push(point);
            }
            None => talk.tell(&Words::Plain(format!("{brief}: stays open; the readings are kept."))),
        }
    }
    taken.settled = kept;
    Ok(())
}

/// A finding that is no good sign and rests on a reading of this look.
fn speaks_against(knowledge: &Knowledge, fired: &Fired, read: &[QuestionIx]) -> bool {
    knowledge.findings[fired.finding.0].grade != Grade::Good && fired.answers.iter().any(|ix| read.contains(ix))
}

/// Whether a finding is told in the story of a point, speaks for its fault, or rests on the check it stands for.
fn is_of(knowledge: &Knowledge, point: &Settled, fired: &Fired) -> bool {
    let finding = &knowledge.findings[fired.finding.0];
    let Some(story) = knowledge.story_by_id(&point.point) else {
        return finding.check.is_some() && finding.check == knowledge.find(&point.point);
    };
    let fault = |fault: &crate::knowledge::FaultIx| story == Story::Fault(*fault);
    knowledge.story_of(FindingIx(fired.finding.0)) == story || finding.speaks_for.iter().any(|(ix, _)| fault(ix))
}

/// Somebody said so before: the same paper again.
fn agreed(saved: &Saved, point: &Settled) -> bool {
    saved.record.settled.iter().any(|old| old.says_the_same(point))
}

fn which(talk: &mut dyn Talk, brief: &str, unasked: bool) -> Result<Option<Outcome>, Leave> {
    if unasked {
        return Ok(None);
    }
    let items = ["fine all the same", "faulty", "can't say", "leave it open"].map(str::to_owned);
    match talk.pick(&format!("Which of the two holds for this point: {brief}?"), &items) {
        Ok(0) => Ok(Some(Outcome::Fine)),
        Ok(1) => Ok(Some(Outcome::Faulty)),
        Ok(2) => Ok(Some(Outcome::CantSay)),
        Ok(_) | Err(Leave::EndOfInput) => Ok(None),
        Err(leave) => Err(leave),
    }
}
