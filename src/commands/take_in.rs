//! `skeg take-in`: a mechanic's filled-in paper back into the interview.
//!
//! It shows what it understood, asks where it is not sure, and changes nothing when the paper is of another
//! interview or of older answers. Taking the same paper in twice changes nothing.

use std::fs;
use std::path::Path;

use crate::answers::{Outcome, Record, Settled};
use crate::judge::{is_dollar, judge};
use crate::path::walk;
use crate::report::open_points;
use crate::report::paper::{Filled, FilledPoint, Price, Reading, read_paper, state_code};
use crate::store::Saved;
use crate::talk::{Talk, Words};

use super::said::count;
use super::{Bench, Ending};

/// Takes a paper in.
pub fn run(bench: &Bench, name: &str, file: &Path) -> Result<Ending, String> {
    let mut saved = bench.store.load(name, &bench.knowledge)?;
    let told = |error: &dyn std::fmt::Display| format!("{}: {error}; nothing was changed", file.display());
    let bytes = fs::read(file).map_err(|error| told(&error))?;
    let text = String::from_utf8(bytes).map_err(|_| told(&"this is not text"))?;
    let filled = read_paper(&text).map_err(|error| told(&error))?;
    belongs(bench, &saved, &filled).map_err(|problem| told(&problem))?;
    let held = bench.store.hold(name)?;
    let mut talk = bench.around.talk();
    let titles = titles(bench, &saved.record, &saved);
    let path = walk(&bench.knowledge, &saved.record, saved.date);
    let currency = path.live.text("currency").map(str::to_owned);
    let settled = gather(&mut *talk, &filled, &titles, currency.as_deref());
    let before = saved.record.settled.clone();
    for point in settled {
        put(&mut saved.record.settled, point);
    }
    if saved.record.settled == before {
        talk.tell(&Words::Plain(
            "Nothing new in it: all of this was taken in before, or nothing was ticked.".into(),
        ));
        return Ok(Ending::Done);
    }
    bench.store.save(&held, &saved, &bench.knowledge)?;
    let new = saved.record.settled.iter().filter(|point| !before.contains(point)).count();
    talk.tell(&Words::Plain(format!(
        "{} taken in. Chances, costs and offers follow: skeg report {name}",
        count(new, "point")
    )));
    Ok(Ending::Done)
}

/// Refuses a paper of another interview or of other answers.
fn belongs(bench: &Bench, saved: &Saved, filled: &Filled) -> Result<(), String> {
    if filled.name != saved.name {
        return Err(format!("this paper belongs to {:?}, not to {:?}", filled.name, saved.name));
    }
    if filled.state != state_code(&bench.knowledge, &saved.record) {
        return Err(format!(
            "this paper was written before answers of {:?} changed: print a new one with skeg report {} --for mechanic",
            saved.name, saved.name
        ));
    }
    Ok(())
}

/// Codes and titles of the points, as the paper had them: what is settled already does not take a point away.
fn titles(bench: &Bench, record: &Record, saved: &Saved) -> Vec<(String, String)> {
    let mut unsettled = record.clone();
    unsettled.settled.clear();
    open_points(&judge(&bench.knowledge, &unsettled, saved.date))
}

/// What the paper settles; shown line by line, asked about where it is not clear.
fn gather(
    talk: &mut dyn Talk,
    filled: &Filled,
    titles: &[(String, String)],
    currency: Option<&str>,
) -> Vec<Settled> {
    let mut settled = Vec::new();
    talk.tell(&Words::Heading("What I read in the paper".into()));
    for point in filled.points.iter().filter(|point| !point.is_blank()) {
        let Some((_, title)) = titles.iter().find(|(code, _)| *code == point.code) else {
            talk.tell(&Words::Plain(format!(
                "[{}]: there is no such point in this interview; left out.",
                point.code
            )));
            continue;
        };
        if let Some(clear) = cleared_up(talk, point, title, currency) {
            talk.tell(&Words::Plain(format!("{title}: {}", told(&clear))));
            settled.push(clear);
        }
    }
    for loose in &filled.loose {
        talk.tell(&Words::Plain(loose.clone()));
    }
    settled
}

/// One point; what is not clear is asked, and stays open when nobody answers.
fn cleared_up(talk: &mut dyn Talk, point: &FilledPoint, title: &str, currency: Option<&str>) -> Option<Settled> {
    let outcome = match &point.outcome {
        Reading::Said(outcome) => *outcome,
        Reading::Blank => {
            talk.tell(&Words::Plain(format!("{title}: no box is ticked.")));
            asked_outcome(talk, title, &point.words)?
        }
        Reading::Unclear(why) => {
            talk.tell(&Words::Plain(format!("{title}: {why}")));
            asked_outcome(talk, title, &point.words)?
        }
    };
    let price = match &point.price {
        Reading::Said(price) => in_buyers_money(talk, price, currency, title),
        Reading::Blank => None,
        Reading::Unclear(why) => {
            talk.tell(&Words::Plain(format!("{title}: {why} The point is taken in without a price.")));
            None
        }
    };
    Some(Settled { point: point.code.clone(), outcome, price, words: point.words.clone() })
}

/// The price, when it is in the buyer's own money; a price with another mark of currency is asked about.
fn in_buyers_money(talk: &mut dyn Talk, price: &Price, currency: Option<&str>, title: &str) -> Option<f64> {
    let mark: String =
        price.written.chars().filter(|c| c.is_alphabetic() || "$\u{20ac}\u{a3}\u{a5}".contains(*c)).collect();
    let own = currency.unwrap_or("$");
    let same = mark.is_empty() || mark.eq_ignore_ascii_case(own) || (is_dollar(&mark) && is_dollar(own));
    let question = format!(
        "{title}: the price is written {:?}, and prices here are in {own}. Is it in {own} all the same?",
        price.written
    );
    if same || talk.confirm(&question) == Ok(true) {
        return Some(price.sum);
    }
    talk.tell(&Words::Plain(format!("{title}: taken in without a price.")));
    None
}

fn asked_outcome(talk: &mut dyn Talk, title: &str, words: &str) -> Option<Outcome> {
    let items = ["fine", "faulty", "can't say", "leave it open"].map(str::to_owned);
    let said = if words.is_empty() { String::new() } else { format!(" They wrote: \"{words}\".") };
    match talk.pick(&format!("What does the paper mean for this point: {title}?{said}"), &items) {
        Ok(0) => Some(Outcome::Fine),
        Ok(1) => Some(Outcome::Faulty),
        Ok(2) => Some(Outcome::CantSay),
        Ok(_) | Err(_) => {
            talk.tell(&Words::Plain(format!("{title}: stays open.")));
            None
        }
    }
}

fn told(settled: &Settled) -> String {
    let outcome = match settled.outcome {
        Outcome::Fine => "fine",
        Outcome::Faulty => "faulty",
        Outcome::CantSay => "can't say",
    };
    let price = settled.price.map_or_else(String::new, |price| format!(", {price}"));
    let words = if settled.words.is_empty() { String::new() } else { format!(", \"{}\"", settled.words) };
    format!("{outcome}{price}{words}")
}

/// A point settled again replaces what was said of it before.
fn put(all: &mut Vec<Settled>, point: Settled) {
    match all.iter_mut().find(|old| old.point == point.point) {
        Some(old) => *old = point,
        None => all.push(point),
    }
}
