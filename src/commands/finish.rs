//! The end of an interview: the verdict on one screen, where the report lies, what next.

use crate::edge;
use crate::judge::{self, Judgement, judge};
use crate::knowledge::roles::{ASKING_PRICE, COMPARABLES};
use crate::knowledge::{FindingIx, Grade};
use crate::path::Path;
use crate::report::words::Purse;
use crate::report::{self, Audience, Format, Meta};
use crate::store::{Saved, Store};
use crate::talk::{Leave, Talk, Words};

use super::Bench;
use super::stage::go_on;

/// What is done once a stop has come up.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AtStop {
    GoOn,
    Change,
    LeaveIt,
}

/// What comes after an answer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ahead {
    Questions,
    /// Nothing more is asked: where it stands.
    Verdict,
    /// One answer was to be changed, and that is all.
    Nothing,
}

/// Moves of the ceiling, as shares of it, that are worth a word and worth turning away from the seller for.
const LOSS_WORTH_SAYING: f64 = 0.03;
const GAIN_WORTH_SAYING: f64 = 0.1;

/// Tells how it came out and writes the report beside the interview; out of the seller's sight.
///
/// # Errors
/// How the person left before it was told.
pub fn tell(talk: &mut dyn Talk, bench: &Bench, store: &Store, saved: &Saved, beside: bool) -> Result<(), Leave> {
    if beside {
        turn_away(talk)?;
    }
    let judgement = judge(&bench.knowledge, &saved.record, saved.date);
    show(talk, &judgement)?;
    let meta = Meta { name: &saved.name, date: saved.date, photos_base: None, photos: None };
    let folder = store.folder().join("reports");
    let path = folder.join(format!("{}.md", saved.name));
    let written = report::render(&judgement, &meta, Audience::Buyer, Format::Markdown).and_then(|text| {
        let told = |error: std::io::Error| format!("the report could not be written: {error}");
        edge::system::make_private_folder(&folder).map_err(told)?;
        edge::write_whole(&path, text.as_bytes()).map_err(told)
    });
    let name = &saved.name;
    match written {
        Ok(()) => talk.tell(&Words::Plain(format!("The report lies at {}", edge::path(&path)))),
        Err(problem) => talk.tell(&Words::Plain(format!("{problem}. Print it with: skeg report {name}"))),
    }
    talk.tell(&Words::Plain(format!(
        "For the mechanic: skeg report {name} --for mechanic. For the seller: skeg report {name} --for seller. What to check next: skeg next {name}."
    )));
    Ok(())
}

/// The decision, the money, the next three steps and what nobody looked at; the rest of the page behind a key.
fn show(talk: &mut dyn Talk, judgement: &Judgement<'_>) -> Result<(), Leave> {
    let screen = report::verdict_screen(judgement);
    talk.tell(&Words::Heading("Where it stands".into()));
    talk.tell(&Words::Plain(screen.decision));
    for line in screen.money.into_iter().chain(screen.unseen) {
        talk.tell(&Words::Plain(line));
    }
    talk.tell(&Words::Points(screen.next));
    if !go_on(talk, "Enter goes on; m shows the rest.", Some("m"))? {
        return Ok(());
    }
    for line in screen.rest {
        talk.tell(&Words::Plain(line));
    }
    let picture = report::cost_picture(judgement, talk.columns().min(78));
    if !picture.is_empty() {
        talk.tell(&Words::Heading("What it may still cost".into()));
        talk.tell(&Words::Picture(picture));
    }
    go_on(talk, "Enter goes on.", None).map(|_| ())
}

/// Sums, verdicts and the names of stops are not for the seller's eyes.
///
/// # Errors
/// How the person left.
pub fn turn_away(talk: &mut dyn Talk) -> Result<(), Leave> {
    talk.line("Turn away from the seller, then Enter.").map(|_| ())
}

/// A stop that an answer has just brought up.
#[must_use]
pub fn new_stop(before: &Path<'_>, after: &Path<'_>) -> Option<FindingIx> {
    let stops = |path: &Path<'_>| -> Vec<FindingIx> {
        let found = judge::look(path);
        let fired = found.fired.iter().filter(|fired| !fired.cleared).map(|fired| fired.finding);
        fired.filter(|ix| path.knowledge.findings[ix.0].grade == Grade::Stop).collect()
    };
    let known = stops(before);
    stops(after).into_iter().find(|ix| !known.contains(ix))
}

/// A stop that has just come up: said once, with who could clear it, and the ways on there are.
///
/// # Errors
/// How the person left.
pub fn at_a_stop(talk: &mut dyn Talk, path: &Path<'_>, stop: FindingIx, ahead: Ahead) -> Result<AtStop, Leave> {
    let finding = &path.knowledge.findings[stop.0];
    talk.tell(&Words::Ended(format!("This ends it for now: {}.", finding.title)));
    if let Some(clears) = &finding.clears {
        talk.tell(&Words::Plain(clears.to_string()));
    }
    let on = match ahead {
        Ahead::Questions => Some("look on: the rest still counts"),
        Ahead::Verdict => Some("see where it stands"),
        Ahead::Nothing => None,
    };
    let mut ways: Vec<(AtStop, &str)> = on.into_iter().map(|words| (AtStop::GoOn, words)).collect();
    ways.extend([(AtStop::Change, "change that answer"), (AtStop::LeaveIt, "leave it here, all is kept")]);
    let words: Vec<String> = ways.iter().map(|(_, words)| (*words).to_owned()).collect();
    let picked = talk.pick("What now?", &words)?;
    Ok(ways.get(picked).map_or(AtStop::LeaveIt, |(way, _)| *way))
}

/// Whether the last answer is to be changed after all.
///
/// # Errors
/// How the person left.
pub fn undo(talk: &mut dyn Talk) -> Result<bool, Leave> {
    let typed = talk.line("Enter ends it here; u changes the last answer.")?;
    Ok(matches!(typed.trim().to_lowercase().as_str(), "u" | "undo"))
}

/// Says in half a line what the looks since then did to what it is worth; gives the ceiling that was told.
///
/// What takes off is told soon. Good signs add up little by little, and whoever looks at a sound motor need not turn
/// away at every station to hear it.
pub fn money_moved(talk: &mut dyn Talk, path: &Path<'_>, told: Option<f64>, in_sight: bool) -> Option<f64> {
    if path.live.get(ASKING_PRICE).is_none() || path.live.get(COMPARABLES).is_none() {
        return told;
    }
    let judgement = judge(path.knowledge, path.record, path.date);
    let ceiling = judgement.money.offers.as_ref().map(|offers| offers.ceiling)?;
    let Some(was) = told else { return Some(ceiling) };
    let (lost, gained) = (was - ceiling, ceiling - was);
    if lost <= LOSS_WORTH_SAYING * was && gained <= GAIN_WORTH_SAYING * was {
        // A small gain is remembered, so that a loss counts from the best that was known.
        return Some(was.max(ceiling));
    }
    if in_sight && turn_away(talk).is_err() {
        return Some(was);
    }
    let sum = Purse::of(path).about(lost.abs());
    let way = if lost > 0.0 { "off" } else { "on top of" };
    talk.tell(&Words::Margin(format!("About {sum} {way} its worth, by what was seen.")));
    Some(ceiling)
}
