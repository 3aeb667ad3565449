//! `skeg take-in`: a mechanic's filled-in paper back into the interview.
//!
//! It shows what it understood, asks where it is not sure, and changes nothing when the paper is of another
//! interview or of older answers. Taking the same paper in twice changes nothing.

use std::path::Path;

use crate::answers::{Outcome, Record, Settled};
use crate::edge;
use crate::judge::{is_dollar, judge};
use crate::knowledge::roles;
use crate::path::walk;
use crate::report::open_points;
use crate::report::paper::{Filled, FilledPoint, Price, Reading, read_paper, state_code};
use crate::report::words::Purse;
use crate::store::Saved;
use crate::talk::{Leave, Talk, Words};

use super::said::count;
use super::start::ending;
use super::{Bench, Ending, open};

/// Takes a paper in.
pub fn run(bench: &Bench, name: &str, file: &Path) -> Result<Ending, String> {
    // A name nobody knows is told before a lock is made for it.
    open::whole(bench, name)?;
    let told = |problem: String| format!("{}: {problem}; nothing was changed", edge::path(file));
    let filled = read(file).map_err(told)?;
    let held = bench.store.hold(name)?;
    let mut saved = bench.store.load(name, &bench.knowledge)?;
    belongs(bench, &saved, &filled).map_err(told)?;
    let mut talk = bench.around.talk();
    let settled = match understood(bench, &saved, &filled, &mut *talk) {
        Ok(settled) => settled,
        Err(leave) => return Ok(left(&mut *talk, leave)),
    };
    let before = saved.record.settled.clone();
    let any = !settled.is_empty();
    for point in settled {
        put(&mut saved.record.settled, point);
    }
    let new = saved.record.settled.iter().filter(|point| !before.contains(point)).count();
    if new == 0 {
        let why = if any { "All of this was taken in before." } else { "No point is filled in that I could read." };
        talk.tell(&Words::Plain(format!("{why} Nothing was changed.")));
        return Ok(Ending::Done);
    }
    if bench.around.can_ask() {
        match talk.confirm(&format!("Is that what the paper says? Then I keep {}.", count(new, "point"))) {
            Ok(true) => {}
            Ok(false) => return Ok(left(&mut *talk, Leave::Stop)),
            Err(leave) => return Ok(left(&mut *talk, leave)),
        }
    }
    bench.store.save(&held, &saved, &bench.knowledge)?;
    talk.tell(&Words::Plain(format!(
        "{} taken in. Chances, costs and offers follow: skeg report {name}",
        count(new, "point")
    )));
    Ok(Ending::Done)
}

fn read(file: &Path) -> Result<Filled, String> {
    let text = edge::read_text(file).map_err(|error| format!("can't read it: {error}"))?;
    read_paper(&text).map_err(|error| error.to_string())
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

fn left(talk: &mut dyn Talk, leave: Leave) -> Ending {
    talk.tell(&Words::Plain("Nothing was changed.".into()));
    ending(Some(leave))
}

/// What the paper settles; shown line by line, asked about where it is not clear.
fn understood(bench: &Bench, saved: &Saved, filled: &Filled, talk: &mut dyn Talk) -> Result<Vec<Settled>, Leave> {
    let titles = titles(bench, &saved.record, saved);
    let path = walk(&bench.knowledge, &saved.record, saved.date);
    let currency = path.live.get(roles::CURRENCY);
    talk.tell(&Words::Heading("What I read in the paper".into()));
    let mut reader = Reader { talk, before: &saved.record.settled, purse: Purse::new(currency), currency };
    let mut settled = Vec::new();
    for point in filled.points.iter().filter(|point| !point.is_blank()) {
        match titles.iter().find(|(code, _)| *code == point.code) {
            Some((_, title)) => settled.extend(reader.point(point, title)?),
            None => {
                reader.tell(format!("[{}]: there is no such point in this interview; left out.", point.code));
            }
        }
    }
    filled.loose.iter().for_each(|loose| reader.tell(loose.clone()));
    Ok(settled)
}

/// Codes and titles of the points, as the paper had them: what is settled already does not take a point away.
fn titles(bench: &Bench, record: &Record, saved: &Saved) -> Vec<(String, String)> {
    let mut unsettled = record.clone();
    unsettled.settled.clear();
    open_points(&judge(&bench.knowledge, &unsettled, saved.date))
}

/// Goes through the points with whoever is there.
struct Reader<'r> {
    talk: &'r mut dyn Talk,
    /// What was settled before this paper.
    before: &'r [Settled],
    purse: Purse,
    currency: Option<&'r str>,
}

impl Reader<'_> {
    fn tell(&mut self, words: String) {
        self.talk.tell(&Words::Plain(words));
    }

    /// One point; `None` when it stays open. `Err` when the person leaves.
    fn point(&mut self, point: &FilledPoint, title: &str) -> Result<Option<Settled>, Leave> {
        let Some(outcome) = self.outcome(point, title)? else {
            let earlier = self.before.iter().any(|old| old.point == point.code);
            let how = if earlier { "stays as it was taken in before" } else { "stays open" };
            self.tell(format!("{title}: {how}."));
            return Ok(None);
        };
        let mut settled = Settled { point: point.code.clone(), outcome, price: None, words: point.words.clone() };
        let clear = match &point.price {
            Reading::Blank => true,
            Reading::Said(price) => self.price(&mut settled, price, title)?,
            Reading::Unclear(why) => self.without_price(&mut settled, why, title)?,
        };
        if !clear {
            self.tell(format!("{title}: stays open."));
            return Ok(None);
        }
        let line = format!("{title}: {}", self.line(&settled));
        self.tell(line);
        Ok(Some(settled))
    }

    /// Fine, faulty or can't say; asked where the paper leaves it open, `None` when nobody says.
    fn outcome(&mut self, point: &FilledPoint, title: &str) -> Result<Option<Outcome>, Leave> {
        let why = match &point.outcome {
            Reading::Said(outcome) => return Ok(Some(*outcome)),
            Reading::Blank => "no box is ticked",
            Reading::Unclear(why) => why,
        };
        self.tell(format!("{title}: {why}."));
        let said =
            if point.words.is_empty() { String::new() } else { format!(" They wrote: \"{}\".", point.words) };
        let items = ["fine", "faulty", "can't say", "leave it open"].map(str::to_owned);
        match self.talk.pick(&format!("What does the paper mean for this point: {title}?{said}"), &items) {
            Ok(0) => Ok(Some(Outcome::Fine)),
            Ok(1) => Ok(Some(Outcome::Faulty)),
            Ok(2) => Ok(Some(Outcome::CantSay)),
            Ok(_) | Err(Leave::EndOfInput) => Ok(None),
            Err(leave) => Err(leave),
        }
    }

    /// Takes the price when it is in the buyer's own money; asks when it carries another mark.
    fn price(&mut self, settled: &mut Settled, price: &Price, title: &str) -> Result<bool, Leave> {
        let money = |sign: &char| sign.is_alphabetic() || "$\u{20ac}\u{a3}\u{a5}".contains(*sign);
        let mark: String = price.written.chars().filter(money).collect();
        let own = self.currency.unwrap_or("$");
        if mark.is_empty() || mark.eq_ignore_ascii_case(own) || (is_dollar(&mark) && is_dollar(own)) {
            settled.price = Some(price.sum);
            return Ok(true);
        }
        if self.agreed_before(settled) {
            return Ok(true);
        }
        let written = &price.written;
        let question = format!(
            "{title}: the price is written {written:?}, and prices here are in {own}. Is it in {own} all the same?"
        );
        match self.talk.confirm(&question) {
            Ok(true) => settled.price = Some(price.sum),
            Ok(false) | Err(Leave::EndOfInput) => self.tell(format!("{title}: taken in without a price.")),
            Err(leave) => return Err(leave),
        }
        Ok(true)
    }

    /// A price nobody can read: the rest counts when the person says so. Where nobody is there to ask, what is
    /// clear is kept; only fine stays open then, since fine with a price contradicts itself.
    fn without_price(&mut self, settled: &mut Settled, why: &str, title: &str) -> Result<bool, Leave> {
        self.tell(format!("{title}: {why}."));
        if self.agreed_before(settled) {
            return Ok(true);
        }
        let question = format!("{title}: may I take it in as {}, without a price?", name(settled.outcome));
        match self.talk.confirm(&question) {
            Ok(agreed) => Ok(agreed),
            Err(Leave::EndOfInput) => Ok(settled.outcome != Outcome::Fine),
            Err(leave) => Err(leave),
        }
    }

    /// Whether a price for the very same words was agreed on earlier; it is kept then, and not asked about again.
    fn agreed_before(&self, settled: &mut Settled) -> bool {
        let same = |old: &&Settled| {
            old.point == settled.point && old.outcome == settled.outcome && old.words == settled.words
        };
        settled.price = self.before.iter().find(same).and_then(|old| old.price);
        settled.price.is_some()
    }

    fn line(&self, settled: &Settled) -> String {
        let price = settled.price.map_or_else(String::new, |price| format!(", {}", self.purse.exact(price)));
        let words = if settled.words.is_empty() { String::new() } else { format!(", \"{}\"", settled.words) };
        format!("{}{price}{words}", name(settled.outcome))
    }
}

fn name(outcome: Outcome) -> &'static str {
    match outcome {
        Outcome::Fine => "fine",
        Outcome::Faulty => "faulty",
        Outcome::CantSay => "can't say",
    }
}

/// A point said anew takes the place of what was said of it before, as the latest word; the same again changes nothing.
fn put(all: &mut Vec<Settled>, point: Settled) {
    if all.contains(&point) {
        return;
    }
    all.retain(|old| old.point != point.point);
    all.push(point);
}
