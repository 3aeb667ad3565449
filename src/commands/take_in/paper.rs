//! A filled-in paper: what is clear is taken, what is not is asked about, nothing is dropped unsaid.

use std::path::Path;
use std::sync::Arc;

use crate::answers::{Context, LateReader, Outcome, Refusal, Said, Settled, Typed, parse_answer};
use crate::edge;
use crate::judge::{Judgement, is_dollar, judge};
use crate::knowledge::roles::{self, AnyRole};
use crate::knowledge::{Question, QuestionIx};
use crate::path::wanted_entries;
use crate::report::paper::grid::{COMPRESSION, CYLINDERS, Goes, LEAK_DOWN, ROWS, by_cylinder};
use crate::report::paper::{
    Filled, FilledCell, FilledPoint, Known, Price, Reading, name, one_price, read_paper, state_code, text_of,
};
use crate::report::point_title;
use crate::report::words::Purse;
use crate::store::Saved;
use crate::talk::{Leave, Talk, Words};

use super::super::Bench;
use super::taken::Taken;
use super::usual::{far_from, usual};

/// The text of a file.
pub fn text(file: &Path) -> Result<String, String> {
    let bytes = edge::read_bytes(file).map_err(|error| format!("can't read it: {error}"))?;
    text_of(&bytes)
}

/// The paper, if it is one of this interview.
pub fn filled(bench: &Bench, saved: &Saved, printed: &str, text: &str) -> Result<Filled, String> {
    let judgement = judge(&bench.knowledge, &saved.record, saved.date);
    let known = Known::new(&bench.knowledge, printed, judgement.path.live.cylinders());
    let filled = read_paper(text, &known).map_err(|error| error.to_string())?;
    match &filled.of {
        Some((name, _)) if *name != saved.name => {
            Err(format!("this paper belongs to {name:?}, not to {:?}", saved.name))
        }
        _ => Ok(filled),
    }
}

/// What the paper says; shown line by line, asked about where it is not clear.
pub fn understood(
    bench: &Bench,
    saved: &Saved,
    filled: &Filled,
    talk: &mut dyn Talk,
    unasked: bool,
) -> Result<Taken, Leave> {
    let mut unsettled = saved.record.clone();
    unsettled.settled.clear();
    let judgement = judge(&bench.knowledge, &unsettled, saved.date);
    let currency = judgement.path.live.get(roles::CURRENCY).map(str::to_owned);
    talk.tell(&Words::Heading("What I read in the paper".into()));
    let purse = Purse::of(&judgement.path);
    let mut reader = Reader {
        talk,
        judgement: &judgement,
        before: &saved.record.settled,
        purse,
        currency,
        reader: Arc::new(LateReader::new(Arc::clone(&bench.knowledge))),
        unasked,
        taken: Taken::default(),
    };
    reader.of_which(filled, &state_code(&bench.knowledge, &saved.record));
    for point in filled.points.iter().filter(|point| !point.is_blank()) {
        let title = point_title(&judgement, &point.code);
        reader.point(point, &title)?;
    }
    reader.also(&filled.also)?;
    reader.cells(&filled.cells)?;
    reader.last(&filled.last);
    reader.loose(&filled.loose)?;
    Ok(reader.taken)
}

/// Goes through the paper with whoever is there.
struct Reader<'r, 'a> {
    talk: &'r mut dyn Talk,
    judgement: &'r Judgement<'a>,
    /// What was settled before this paper.
    before: &'r [Settled],
    purse: Purse,
    currency: Option<String>,
    reader: Arc<LateReader>,
    /// Nobody is asked: what is not clear stays open.
    unasked: bool,
    taken: Taken,
}

impl Reader<'_, '_> {
    fn tell(&mut self, words: String) {
        self.talk.tell(&Words::Plain(words));
    }

    fn of_which(&mut self, filled: &Filled, state: &str) {
        match &filled.of {
            None => self.tell("The line with the interview's name is gone; I take the paper to be of this one.".into()),
            Some((_, printed)) if printed != state => self.tell(
                "Answers were given or changed since this paper was printed. What the mechanic says counts for the motor all the same.".into(),
            ),
            Some(_) => {}
        }
    }

    /// One point; left open where nobody says what it means. `Err` when the person leaves.
    fn point(&mut self, point: &FilledPoint, title: &str) -> Result<(), Leave> {
        let Some(outcome) = self.outcome(point, title)? else {
            let earlier = self.before.iter().any(|old| old.point == point.code);
            let how = if earlier { "stays as it was taken in before" } else { "stays open" };
            self.tell(format!("{title}: {how}."));
            return Ok(());
        };
        let mut settled = Settled { words: point.words.clone(), ..Settled::new(point.code.clone(), outcome) };
        if outcome != Outcome::Fine {
            match &point.price {
                Reading::Blank => {}
                Reading::Said(price) => self.price(&mut settled, price, title)?,
                Reading::Unclear(why) => self.unclear_price(&mut settled, why, title)?,
            }
        }
        if outcome == Outcome::Faulty && settled.price.is_none() && usual(self.judgement, &point.code).is_none() {
            self.ask_price(&mut settled, title)?;
        }
        let line = format!("{title}: {}", self.line(&settled));
        self.tell(line);
        self.taken.settled.push(settled);
        Ok(())
    }

    /// Fine, faulty or can't say; asked where the paper leaves it open, `None` when nobody says.
    fn outcome(&mut self, point: &FilledPoint, title: &str) -> Result<Option<Outcome>, Leave> {
        let why = match &point.outcome {
            Reading::Said(outcome) => return Ok(Some(*outcome)),
            Reading::Blank => "no box is ticked",
            Reading::Unclear(why) => why,
        };
        self.tell(format!("{title}: {why}."));
        let same = |old: &&Settled| old.point == point.code && old.words == point.words && !point.words.is_empty();
        if let Some(old) = self.before.iter().find(same) {
            return Ok(Some(old.outcome));
        }
        if self.unasked {
            return Ok(None);
        }
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

    /// Takes the price when it is in the buyer's own money and near what such work costs; else asks.
    fn price(&mut self, settled: &mut Settled, price: &Price, title: &str) -> Result<(), Leave> {
        if self.agreed_before(settled, Some(price.sum)) {
            return Ok(());
        }
        let money = |sign: &char| sign.is_alphabetic() || "$\u{20ac}\u{a3}\u{a5}".contains(*sign);
        let mark: String = price.written.chars().filter(money).collect();
        let own = self.currency.clone().unwrap_or_else(|| "$".to_owned());
        let other = !(mark.is_empty() || mark.eq_ignore_ascii_case(&own) || (is_dollar(&mark) && is_dollar(&own)));
        if other {
            let written = &price.written;
            let question = format!(
                "{title}: the price is written {written:?}, and prices here are in {own}. Is it in {own} all the same?"
            );
            return self.price_if(settled, price.sum, &question, title);
        }
        if let Some((low, high)) = far_from(self.judgement, &settled.point, price.sum) {
            let question = format!(
                "{title}: I read {}. Such work usually costs {}. Is the price right?",
                self.purse.exact(price.sum),
                self.purse.span(low, high)
            );
            return self.price_if(settled, price.sum, &question, title);
        }
        settled.price = Some(price.sum);
        Ok(())
    }

    fn price_if(&mut self, settled: &mut Settled, sum: f64, question: &str, title: &str) -> Result<(), Leave> {
        let agreed = if self.unasked {
            self.tell(question.to_owned());
            Err(Leave::EndOfInput)
        } else {
            self.talk.confirm(question)
        };
        match agreed {
            Ok(true) => settled.price = Some(sum),
            Ok(false) | Err(Leave::EndOfInput) => self.tell(format!("{title}: taken in without a price.")),
            Err(leave) => return Err(leave),
        }
        Ok(())
    }

    /// A price nobody can read: it is asked for; where nobody is there, what is clear is kept.
    fn unclear_price(&mut self, settled: &mut Settled, why: &str, title: &str) -> Result<(), Leave> {
        self.tell(format!("{title}: {why}."));
        if self.agreed_before(settled, None) { Ok(()) } else { self.ask_price(settled, title) }
    }

    fn ask_price(&mut self, settled: &mut Settled, title: &str) -> Result<(), Leave> {
        if self.unasked {
            self.tell(format!("{title}: taken in without a price."));
            return Ok(());
        }
        loop {
            let line = match self.talk.line(&format!("{title}: what does it cost to put right? (Enter: not known)"))
            {
                Ok(line) => line,
                Err(Leave::EndOfInput) => String::new(),
                Err(leave) => return Err(leave),
            };
            if line.trim().is_empty() {
                self.tell(format!("{title}: taken in without a price."));
                return Ok(());
            }
            match one_price(&line) {
                Reading::Said(price) => {
                    settled.price = Some(price.sum);
                    return Ok(());
                }
                Reading::Unclear(why) => self.tell(format!("{why}. A sum such as 450 or 1,250.50 is what I take.")),
                Reading::Blank => return Ok(()),
            }
        }
    }

    /// Whether this price, or one for the very same words, was agreed on earlier; it is kept then, and not asked
    /// about again.
    fn agreed_before(&self, settled: &mut Settled, sum: Option<f64>) -> bool {
        let same = |old: &&Settled| {
            old.point == settled.point
                && old.outcome == settled.outcome
                && old.words == settled.words
                && sum.is_none_or(|sum| old.price == Some(sum))
        };
        settled.price = self.before.iter().find(same).and_then(|old| old.price);
        settled.price.is_some()
    }

    fn line(&self, settled: &Settled) -> String {
        let price = settled.price.map_or_else(String::new, |price| format!(", {}", self.purse.exact(price)));
        let words = if settled.words.is_empty() { String::new() } else { format!(", \"{}\"", settled.words) };
        format!("{}{price}{words}", name(settled.outcome))
    }

    /// What was found besides: faulty at its price.
    fn also(&mut self, all: &[FilledPoint]) -> Result<(), Leave> {
        for point in all {
            let words = if point.words.is_empty() { "no words".to_owned() } else { point.words.clone() };
            let title = format!("Also found, {words}");
            let mut settled =
                Settled { words: point.words.clone(), ..Settled::new(point.code.clone(), Outcome::Faulty) };
            match &point.price {
                Reading::Said(price) => self.price(&mut settled, price, &title)?,
                Reading::Unclear(why) => self.unclear_price(&mut settled, why, &title)?,
                Reading::Blank => self.ask_price(&mut settled, &title)?,
            }
            let price = settled.price.map_or_else(|| "no price".to_owned(), |price| self.purse.exact(price));
            self.tell(format!("{title}: {price}"));
            self.taken.settled.push(settled);
        }
        Ok(())
    }

    /// The boxes of the numbers: readings by cylinder together, every other by itself.
    fn cells(&mut self, cells: &[FilledCell]) -> Result<(), Leave> {
        let by_name = |name: &str| cells.iter().find(|cell| cell.name == name).map(|cell| cell.text.as_str());
        if let Some(text) = by_name(CYLINDERS.name) {
            self.answer(roles::CYLINDERS.any, text)?;
        }
        for (row, role) in [(COMPRESSION, roles::COMPRESSION.any), (LEAK_DOWN, roles::LEAKDOWN.any)] {
            let count = self
                .judgement
                .path
                .live
                .cylinders()
                .or_else(|| cells.iter().filter(|cell| cell.row == row).count().into());
            let texts: Vec<Option<&str>> =
                by_cylinder(row, count.unwrap_or(0)).iter().map(|name| by_name(name)).collect();
            if texts.iter().any(Option::is_some) {
                self.answer(role, &joined(&texts))?;
            }
        }
        for row in ROWS {
            for cell in row.cells {
                let Some(text) = by_name(cell.name) else { continue };
                match cell.goes {
                    Goes::Answer(role) => self.answer(role, text)?,
                    Goes::Note => self.note(format!("{} {text}", cell.name)),
                }
            }
        }
        for cell in cells.iter().filter(|cell| cell.name.is_empty()) {
            self.ask_place(&format!("{}: {}", cell.row, cell.text))?;
        }
        Ok(())
    }

    fn note(&mut self, words: String) {
        self.tell(format!("Kept as the mechanic's words: {words}"));
        self.taken.words.push(words);
    }

    /// A reading as an answer, through the parser that everybody's answers go through.
    fn answer(&mut self, role: AnyRole, text: &str) -> Result<(), Leave> {
        let knowledge = self.judgement.knowledge();
        let ix = knowledge.ask(role);
        let codes = role == roles::UNIT_REPORT.any;
        let question = knowledge.question(ix);
        let brief = &question.brief;
        let context = self.context(ix);
        let mut text = text.to_owned();
        loop {
            match read_box(role, question, &text, &context).map(|read| read.said) {
                Ok(Said::Value(value)) => {
                    self.tell(format!("{brief}: {}", value.to_text()));
                    self.taken.answers.push((ix, value));
                    // Which code it is tells a mechanic more than the answer does.
                    if codes && text.contains(|sign: char| sign.is_ascii_digit()) {
                        self.note(format!("{brief}: {text}"));
                    }
                    return Ok(());
                }
                Ok(_) => {
                    // Nobody read it, and said so in words.
                    if text.contains(char::is_alphabetic) {
                        self.note(format!("{brief}: {text}"));
                    }
                    return Ok(());
                }
                Err(refusal) => self.tell(format!("{brief}: \"{text}\" can't be read. {}", refusal.message)),
            }
            match self.again(brief)? {
                Some(line) => text = line,
                None => {
                    self.note(format!("{brief}: {text}"));
                    return Ok(());
                }
            }
        }
    }

    fn context(&self, ix: QuestionIx) -> Context {
        let path = &self.judgement.path;
        Context {
            wanted: wanted_entries(path.knowledge, ix, &path.live, path.date),
            year: path.date.year(),
            currency: self.currency.clone(),
            reader: Some(Arc::clone(&self.reader)),
            ..Context::default()
        }
    }

    /// What was read, where the box did not tell; `None` when nobody says.
    fn again(&mut self, brief: &str) -> Result<Option<String>, Leave> {
        if self.unasked {
            return Ok(None);
        }
        match self.talk.line(&format!("{brief}: what was read? (Enter: keep the words only)")) {
            Ok(line) => Ok(Some(line).filter(|line| !line.trim().is_empty())),
            Err(Leave::EndOfInput) => Ok(None),
            Err(leave) => Err(leave),
        }
    }

    /// The last lines: what it costs in all, until when, what the mechanic thinks of it.
    fn last(&mut self, all: &[(String, String)]) {
        for (key, words) in all {
            self.note(format!("{key}: {words}"));
        }
    }

    /// Lines that say something and stand under no key.
    fn loose(&mut self, all: &[String]) -> Result<(), Leave> {
        for line in all {
            self.ask_place(line)?;
        }
        Ok(())
    }

    /// Something is written that belongs to no box: kept as words if the person says so, told in any case.
    fn ask_place(&mut self, line: &str) -> Result<(), Leave> {
        let question = format!("\"{line}\" stands in the paper, and I can't say what it belongs to.");
        if self.unasked {
            self.tell(question);
            return Ok(());
        }
        let items = ["keep it as the mechanic's words", "leave it out"].map(str::to_owned);
        match self.talk.pick(&question, &items) {
            Ok(0) => self.note(line.to_owned()),
            Ok(_) | Err(Leave::EndOfInput) => self.tell("Left out.".into()),
            Err(leave) => return Err(leave),
        }
        Ok(())
    }
}

/// What stands in a box. In the one for stored codes none is clean, words of heat or oil are that, a bare code is a
/// fault.
pub fn read_box(role: AnyRole, question: &Question, text: &str, context: &Context) -> Result<Typed, Refusal> {
    if role != roles::UNIT_REPORT.any {
        return parse_answer(question, text, context);
    }
    if ["none", "no", "0", "-"].contains(&text.to_lowercase().as_str()) {
        return parse_answer(question, "clean", context);
    }
    match parse_answer(question, text, context) {
        Err(refusal) if refusal.readings.is_empty() && text.contains(|sign: char| sign.is_ascii_digit()) => {
            parse_answer(question, "faults", context).map_err(|_| refusal)
        }
        read => read,
    }
}

/// Readings in a list, one for each cylinder; a unit that stands behind one of them alone counts for all.
fn joined(texts: &[Option<&str>]) -> String {
    let units: Vec<&str> =
        texts.iter().flatten().filter_map(|text| text.split_once(' ')).map(|(_, unit)| unit.trim()).collect();
    let shared = units.first().filter(|first| units.iter().all(|unit| unit == *first)).copied().unwrap_or("");
    let bare = |text: &&str| {
        if shared.is_empty() { (*text).replace(' ', "") } else { text.split(' ').next().unwrap_or("").to_owned() }
    };
    let all: Vec<String> = texts.iter().map(|text| text.as_ref().map_or_else(|| "?".to_owned(), bare)).collect();
    format!("{} {shared}", all.join(" ")).trim().to_owned()
}
