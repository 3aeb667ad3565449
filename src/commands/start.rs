//! `skeg start`, `skeg resume`: beginning and carrying on.

use jiff::civil::Date;

use crate::answers::{Context, parse_answer};
use crate::store::Saved;
use crate::talk::{Leave, Talk, Words};

use super::interview::Interview;
use super::{Bench, Ending, list, open, out};

/// `skeg start`.
pub fn start(
    bench: &Bench,
    name: Option<String>,
    minutes: Option<f64>,
    boat_from: Option<&str>,
) -> Result<Ending, String> {
    let name = name.unwrap_or_else(|| bench.store.free_name());
    bench.store.check_new(&name)?;
    let mut saved = Saved::new(&name, bench.around.today, &bench.knowledge);
    note_minutes(bench, &mut saved, minutes);
    if let Some(other) = boat_from {
        take_boat_over(bench, &mut saved, other)?;
    }
    begin(bench, saved, bench.around.talk())
}

/// Minutes named for the visit are not asked for again.
fn note_minutes(bench: &Bench, saved: &mut Saved, minutes: Option<f64>) {
    saved.minutes = minutes;
    if let (Some(ix), Some(minutes)) = (bench.knowledge.visit.minutes, minutes) {
        let typed = parse_answer(bench.knowledge.question(ix), &format!("{minutes} min"), &Context::default());
        if let Ok(typed) = typed {
            saved.record.say(ix, typed.said);
        }
    }
}

/// Copies the answers of the first stage, the boat, from another interview.
fn take_boat_over(bench: &Bench, saved: &mut Saved, other: &str) -> Result<(), String> {
    let other = open::whole(bench, other)?;
    for ix in bench.knowledge.places().filter(|ix| bench.knowledge.question(*ix).stage == 0) {
        *saved.record.answer_mut(ix) = other.record.answer(ix).clone();
    }
    Ok(())
}

/// `skeg resume`.
pub fn resume(bench: &Bench, name: Option<String>) -> Result<Ending, String> {
    let name = match name {
        Some(name) => name,
        None => {
            let entries = bench.store.list(&bench.knowledge)?;
            let latest = entries.iter().max_by_key(|entry| entry.changed);
            let latest = latest.ok_or("there is no interview to carry on with: skeg start begins one")?;
            for other in entries.iter().filter(|entry| entry.whole().is_none() && entry.name != latest.name) {
                out::aside(&format!("{}: {}", other.name, list::one_line(bench, other)));
            }
            latest.name.clone()
        }
    };
    carry_on_with(bench, &name, bench.around.talk())
}

/// Begins an interview that is not saved yet.
pub fn begin(bench: &Bench, mut saved: Saved, mut talk: Box<dyn Talk>) -> Result<Ending, String> {
    if bench.around.clock_is_off {
        match asked_day(saved.date, &mut *talk) {
            Ok(day) => saved.date = day,
            Err(leave) => return Ok(ending(Some(leave))),
        }
    }
    talk.tell(&Words::Plain(format!(
        "Welcome. I ask what you see on the motor, one thing at a time, and tell you what it means. Every answer is kept at once, under the name {}.",
        saved.name
    )));
    run(bench, saved, talk)
}

/// The day it is, from the person: everything is judged by it, and the clock can't be right.
fn asked_day(clock: Date, talk: &mut dyn Talk) -> Result<Date, Leave> {
    if talk.confirm(&format!("The clock here says {clock}, and that can't be: is it that day all the same?"))? {
        return Ok(clock);
    }
    loop {
        let typed = talk.line("Which day is it today? Such as 2026-05-01.")?;
        match typed.parse() {
            Ok(day) => return Ok(day),
            Err(_) => talk.tell(&Words::Plain(format!("I can't read {typed:?} as a day: year, month, day."))),
        }
    }
}

/// Opens a saved interview, whatever state its file is in, and goes on with it.
pub fn carry_on_with(bench: &Bench, name: &str, mut talk: Box<dyn Talk>) -> Result<Ending, String> {
    match open::asked(bench, name, &mut *talk)? {
        Ok(saved) => {
            talk.tell(&Words::Plain(format!("Back with {}, begun on {}.", saved.name, saved.date)));
            run(bench, saved, talk)
        }
        Err(leave) => {
            talk.tell(&Words::Plain(format!("{name} is left as it is.")));
            Ok(ending(Some(leave)))
        }
    }
}

fn run(bench: &Bench, saved: Saved, talk: Box<dyn Talk>) -> Result<Ending, String> {
    Ok(ending(Interview::open(bench, saved, talk)?.run()?))
}

/// The exit status of how a person left.
#[must_use]
pub fn ending(leave: Option<Leave>) -> Ending {
    match leave {
        None | Some(Leave::Stop | Leave::EndOfInput) => Ending::Done,
        Some(Leave::Interrupt) => Ending::Interrupted,
        Some(Leave::Unheard) => Ending::Unheard,
        Some(Leave::HangUp) => Ending::Signalled(1),
        Some(Leave::Terminate) => Ending::Signalled(15),
    }
}
