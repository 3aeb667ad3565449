//! `skeg take-in`: what a mechanic found back into the interview, from a filled-in paper or asked on the telephone.
//!
//! Start at [`run`]. [`paper`] goes through a file and asks where it is not clear, [`asked`] goes through the points
//! one by one, [`conflict`] asks where a tick and a reading contradict each other, [`taken`] holds what came of it. Nothing is written before it was shown with what it changes and
//! confirmed. Taking the same paper in twice changes nothing.

mod asked;
mod conflict;
mod paper;
mod taken;
mod usual;

use std::path::Path;

use crate::answers::Record;
use crate::edge;
use crate::judge::judge;
use crate::report::words::{self, Purse};
use crate::report::{self, Audience, Format, Meta};
use crate::store::Saved;
use crate::talk::{Leave, Talk, Words};

use super::start::ending;
use super::{Bench, Ending, open};

/// Takes a paper in, or asks point by point where there is none.
pub fn run(bench: &Bench, name: &str, file: Option<&Path>, unasked: bool) -> Result<Ending, String> {
    // A name nobody knows is told before a lock is made for it.
    open::whole(bench, name)?;
    let text = file.map(|file| paper::text(file).map_err(|problem| with_file(file, name, &problem))).transpose()?;
    let held = bench.store.hold(name)?;
    let mut saved = bench.store.load(name, &bench.knowledge)?;
    let printed = printed(bench, &saved)?;
    let filled = match (&text, file) {
        (Some(text), Some(file)) => {
            Some(paper::filled(bench, &saved, &printed, text).map_err(|problem| with_file(file, name, &problem))?)
        }
        _ => None,
    };
    let mut talk = bench.around.talk();
    let taken = match &filled {
        Some(filled) => paper::understood(bench, &saved, filled, &mut *talk, unasked),
        None => asked::all(bench, &saved, &mut *talk),
    };
    let clear = |mut taken| conflict::settle(bench, &saved, &mut *talk, &mut taken, unasked).map(|()| taken);
    let taken = match taken.and_then(clear) {
        Ok(taken) => taken,
        Err(leave) => return Ok(left(&mut *talk, leave)),
    };
    let before = saved.record.clone();
    taken.put_into(&mut saved.record);
    if saved.record == before {
        let why = if taken.is_empty() {
            "Nothing is filled in that I could read."
        } else {
            "All of this was taken in before."
        };
        talk.tell(&Words::Plain(format!("{why} Nothing was changed.")));
        return Ok(Ending::Done);
    }
    talk.tell(&Words::Plain(change_told(bench, &saved, &before)));
    if !unasked {
        match talk.confirm("Is that right, and may I keep it?") {
            Ok(true) => {}
            Ok(false) => return Ok(left(&mut *talk, Leave::Stop)),
            Err(Leave::EndOfInput) => {
                talk.tell(&Words::Plain(
                    "Nobody is here to confirm it, so nothing was changed; --yes takes it in without asking."
                        .into(),
                ));
                return Ok(Ending::Done);
            }
            Err(leave) => return Ok(left(&mut *talk, leave)),
        }
    }
    bench.store.save(&held, &saved, &bench.knowledge)?;
    talk.tell(&Words::Plain(format!("Taken in. The papers follow: skeg report {name}")));
    Ok(Ending::Done)
}

fn with_file(file: &Path, name: &str, problem: &str) -> String {
    format!("{}: {}; nothing was changed", edge::path(file), problem.replace("NAME", name))
}

/// The mechanic's paper as it would be printed today, nothing settled.
fn printed(bench: &Bench, saved: &Saved) -> Result<String, String> {
    let mut record = saved.record.clone();
    record.settled.clear();
    let judgement = judge(&bench.knowledge, &record, saved.date);
    let meta = Meta { name: &saved.name, date: saved.date, photos_base: None, photos: None };
    report::render(&judgement, &meta, Audience::Mechanic, Format::Markdown)
}

fn left(talk: &mut dyn Talk, leave: Leave) -> Ending {
    talk.tell(&Words::Plain("Nothing was changed.".into()));
    ending(Some(leave))
}

/// Verdict and ceiling before and after.
fn change_told(bench: &Bench, saved: &Saved, before: &Record) -> String {
    let said = |record: &Record| {
        let judgement = judge(&bench.knowledge, record, saved.date);
        let purse = Purse::of(&judgement.path);
        let ceiling = judgement.money.offers.map(|offers| purse.exact(offers.ceiling));
        (words::call(judgement.verdict.call), ceiling.unwrap_or_else(|| "none".to_owned()))
    };
    let ((call_was, ceiling_was), (call_is, ceiling_is)) = (said(before), said(&saved.record));
    let call = if call_was == call_is {
        format!("Verdict: {call_is}, as before")
    } else {
        format!("Verdict: {call_was} -> {call_is}")
    };
    let ceiling = if ceiling_was == ceiling_is {
        format!("Ceiling: {ceiling_is}, as before")
    } else {
        format!("Ceiling: {ceiling_was} -> {ceiling_is}")
    };
    format!("{call}. {ceiling}.")
}
