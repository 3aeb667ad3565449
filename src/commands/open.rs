//! Opening a saved interview: whole as it is, edited by hand or damaged only after a person has looked at it.
//!
//! [`whole`] is for commands that print; [`asked`] for those that talk. Nothing is written before a yes.

use crate::edge;
use crate::path::{State, walk};
use crate::store::{Condition, Found, Saved, differences};
use crate::talk::{Leave, Talk, Words};

use super::said::count;
use super::{Bench, out};

/// Lines of one list before the rest is only counted.
const MOST_LINES: usize = 20;

/// An interview that is whole, with an aside about what of it is not used.
///
/// # Errors
/// There is none, or it is not whole.
pub fn whole(bench: &Bench, name: &str) -> Result<Saved, String> {
    let saved = bench.store.load(name, &bench.knowledge)?;
    for line in remarks(&saved) {
        out::aside(&line);
    }
    Ok(saved)
}

/// What a person should know of an interview that is whole: another name in it, answers that can't be read.
fn remarks(saved: &Saved) -> Vec<String> {
    let mut lines = Vec::new();
    if let Some(old) = &saved.was_called {
        lines.push(format!("This file was written as {old:?}; it goes by its file name now: {}.", saved.name));
    }
    if !saved.unread.is_empty() {
        let unread = saved.unread_lines();
        lines.push(format!(
            "{} in {} can't be read with these question files, kept and not used: {}.",
            count(unread.len(), "answer"),
            saved.name,
            some_of(&unread).join("; ")
        ));
    }
    lines
}

/// An interview to talk about: what is not whole is shown and offered, what the question files have changed is
/// shown. `None` when the person would rather leave it as it is.
///
/// # Errors
/// There is none, or what was chosen can't be saved.
pub fn asked(bench: &Bench, name: &str, talk: &mut dyn Talk) -> Result<Result<Saved, Leave>, String> {
    let found = bench.store.find(name, &bench.knowledge)?;
    let saved = match (&found.condition, found.saved.clone()) {
        (Condition::Whole, Some(saved)) => saved,
        _ => match offered(bench, name, &found, talk)? {
            Ok(saved) => saved,
            Err(leave) => return Ok(Err(leave)),
        },
    };
    if let Some(old) = &saved.was_called {
        talk.tell(&Words::Plain(format!(
            "This file was written as {old:?}; it goes by its file name now: {name}."
        )));
    }
    if saved.other_questions && !moved(bench, &saved, talk) {
        return Ok(Err(Leave::Stop));
    }
    Ok(Ok(saved))
}

/// Shows what is not whole beside the version before, and lets the person choose.
fn offered(bench: &Bench, name: &str, found: &Found, talk: &mut dyn Talk) -> Result<Result<Saved, Leave>, String> {
    let edited = found.condition == Condition::Edited;
    let why = match &found.condition {
        Condition::Damaged(why) => format!("{name} is damaged: {why}."),
        Condition::Gone => format!("The file of {name} is gone. The version before its last answer is there."),
        Condition::Edited | Condition::Whole => {
            format!("{name} was edited by hand: it is not as skeg wrote it. (If nobody did, it is damaged.)")
        }
    };
    talk.tell(&Words::Plain(why));
    show_difference(bench, found, talk);
    let mut choices: Vec<(String, &Saved)> = Vec::new();
    if let Some(saved) = &found.saved {
        let what = if edited { "take it as it stands now" } else { "take what can be read" };
        choices.push((format!("{what}, {}", extent(saved)), saved));
    }
    if let Some(before) = &found.before {
        choices.push((format!("take the version before the last answer, {}", extent(before)), before));
    }
    if choices.is_empty() {
        let path = edge::path(&bench.store.file_of(name));
        let why = match &found.condition {
            Condition::Damaged(why) => why.as_str(),
            _ => "damaged",
        };
        return Err(format!(
            "{path}: {why}; nothing of it can be read, and there is no version before; the file is left as it is"
        ));
    }
    let mut items: Vec<String> = choices.iter().map(|(words, _)| words.clone()).collect();
    items.push("leave everything as it is".into());
    let picked = match talk.pick("What shall I do?", &items) {
        Ok(picked) => picked,
        Err(leave) => return Ok(Err(leave)),
    };
    let Some((_, chosen)) = choices.get(picked) else { return Ok(Err(Leave::Stop)) };
    let held = bench.store.hold(name)?;
    if edited && picked == 0 {
        bench.store.seal_edits(&held, chosen, &bench.knowledge)?;
    } else {
        bench.store.save(&held, chosen, &bench.knowledge)?;
    }
    talk.tell(&Words::Plain("Taken, and saved so.".into()));
    Ok(Ok((*chosen).clone()))
}

fn show_difference(bench: &Bench, found: &Found, talk: &mut dyn Talk) {
    let (Some(saved), Some(before)) = (&found.saved, &found.before) else { return };
    let lines = differences(&bench.knowledge, before, saved);
    if lines.is_empty() {
        talk.tell(&Words::Plain("It says the same as the version before.".into()));
        return;
    }
    talk.tell(&Words::Heading("What differs from the version before the last answer".into()));
    talk.tell(&Words::Points(some_of(&lines)));
}

fn extent(saved: &Saved) -> String {
    let said = saved.record.entries().filter(|(_, answer)| answer.said.is_some()).count();
    format!("{} from {}", count(said, "answer"), saved.date)
}

/// Shows what other question files make of an interview, before anything is written; whether to go on.
fn moved(bench: &Bench, saved: &Saved, talk: &mut dyn Talk) -> bool {
    let path = walk(&bench.knowledge, &saved.record, saved.date);
    let said = |ix| saved.record.answer(ix).said.is_some();
    let brief = |ix| bench.knowledge.question(ix).brief.to_string();
    let carried = bench.knowledge.places().filter(|ix| said(*ix) && path.step(*ix).is_some()).count();
    let asleep: Vec<String> =
        bench.knowledge.places().filter(|ix| said(*ix) && path.step(*ix).is_none()).map(brief).collect();
    let unfit = path.steps.iter().filter(|step| step.state == State::Open && said(step.question));
    let mut again: Vec<String> = unfit.map(|step| brief(step.question)).collect();
    again.extend(saved.unread.iter().filter(|unread| unread.asked_again).map(crate::store::Unread::words));
    let gone: Vec<String> =
        saved.unread.iter().filter(|unread| !unread.asked_again).map(crate::store::Unread::words).collect();
    talk.tell(&Words::Heading("The question files have changed since this was saved".into()));
    let mut lines = vec![format!("carried over: {}", count(carried, "answer"))];
    for (what, which) in [
        ("asleep, back when their question is asked again", &asleep),
        ("to be asked again, the old words no longer fit", &again),
        ("of questions that are no more, kept and not used", &gone),
    ] {
        lines.push(match which.len() {
            0 => format!("{what}: none"),
            number => format!("{what}: {number} ({})", some_of(which).join("; ")),
        });
    }
    talk.tell(&Words::Points(lines));
    if asleep.is_empty() && again.is_empty() && gone.is_empty() {
        return true;
    }
    talk.confirm("Nothing is written yet. Go on with these question files?").unwrap_or(false)
}

/// The first lines, and how many more there are.
fn some_of(lines: &[String]) -> Vec<String> {
    let mut some: Vec<String> = lines.iter().take(MOST_LINES).cloned().collect();
    if lines.len() > MOST_LINES {
        some.push(format!("and {} more", lines.len() - MOST_LINES));
    }
    some
}
