//! Without a paper: the same points, asked one by one, for whoever has the mechanic on the telephone.

use std::sync::Arc;

use crate::answers::{Context, LateReader, Outcome, Said, Settled};
use crate::judge::{Judgement, judge};
use crate::knowledge::roles::{self, AnyRole};
use crate::path::wanted_entries;
use crate::report::paper::grid::{Goes, ROWS};
use crate::report::paper::{ALSO, Reading, one_price};
use crate::report::words::Purse;
use crate::report::{may_be_read, open_points, point_question};
use crate::store::Saved;
use crate::talk::{Leave, Talk, Words};

use super::super::Bench;
use super::paper::read_box;
use super::taken::Taken;
use super::usual::far_from;

/// Goes through the points, then the readings, then what was found besides.
pub fn all(bench: &Bench, saved: &Saved, talk: &mut dyn Talk) -> Result<Taken, Leave> {
    let judgement = judge(&bench.knowledge, &saved.record, saved.date);
    let mut taken = Taken::default();
    let points = open_points(&judgement);
    talk.tell(&Words::Heading("What the mechanic says".into()));
    if points.is_empty() {
        talk.tell(&Words::Plain("No point is open.".into()));
    }
    for (place, (code, title)) in points.iter().enumerate() {
        let question = point_question(&judgement, code).map_or_else(String::new, |ask| format!(". {ask}"));
        let head = format!("{} of {}. {title}{question}", place + 1, points.len());
        taken.settled.extend(point(talk, &judgement, code, &head)?);
    }
    let reader = Arc::new(LateReader::new(Arc::clone(&bench.knowledge)));
    for role in readings().filter(|role| may_be_read(&judgement.path, *role)) {
        reading(talk, &judgement, role, &reader, &mut taken)?;
    }
    besides(talk, &judgement, &mut taken)?;
    Ok(taken)
}

/// The readings of the paper, by cylinder first.
fn readings() -> impl Iterator<Item = AnyRole> {
    let boxes = ROWS.iter().flat_map(|row| row.cells).filter_map(|cell| match cell.goes {
        Goes::Answer(role) => Some(role),
        Goes::Note => None,
    });
    [roles::COMPRESSION.any, roles::LEAKDOWN.any].into_iter().chain(boxes)
}

fn point(talk: &mut dyn Talk, judgement: &Judgement<'_>, code: &str, head: &str) -> Result<Option<Settled>, Leave> {
    let items = ["fine", "faulty", "can't say", "not looked at"].map(str::to_owned);
    let outcome = match talk.pick(head, &items)? {
        0 => Outcome::Fine,
        1 => Outcome::Faulty,
        2 => Outcome::CantSay,
        _ => return Ok(None),
    };
    let mut settled = Settled::new(code, outcome);
    if outcome == Outcome::Faulty {
        settled.price = price(talk, judgement, code, "What does it cost to put right? (Enter: not known)")?;
    }
    if outcome != Outcome::Fine {
        talk.line("Their words? (Enter: none)")?.trim().clone_into(&mut settled.words);
    }
    Ok(Some(settled))
}

fn price(talk: &mut dyn Talk, judgement: &Judgement<'_>, code: &str, question: &str) -> Result<Option<f64>, Leave> {
    let purse = Purse::of(&judgement.path);
    loop {
        let line = talk.line(question)?;
        if line.trim().is_empty() {
            return Ok(None);
        }
        match one_price(line.trim()) {
            Reading::Said(price) => match far_from(judgement, code, price.sum) {
                Some((low, high)) => {
                    let (sum, usual) = (purse.exact(price.sum), purse.span(low, high));
                    let asked = format!("I read {sum}. Such work usually costs {usual}. Is the price right?");
                    if talk.confirm(&asked)? {
                        return Ok(Some(price.sum));
                    }
                }
                None => return Ok(Some(price.sum)),
            },
            Reading::Unclear(why) => {
                talk.tell(&Words::Plain(format!("{why}. A sum such as 450 or 1,250.50 is what I take.")));
            }
            Reading::Blank => return Ok(None),
        }
    }
}

fn reading(
    talk: &mut dyn Talk,
    judgement: &Judgement<'_>,
    role: AnyRole,
    reader: &Arc<LateReader>,
    taken: &mut Taken,
) -> Result<(), Leave> {
    let ix = judgement.knowledge().ask(role);
    let question = judgement.knowledge().question(ix);
    let live = &judgement.path.live;
    loop {
        let line = talk.line(&format!("Did they read this: {}? (Enter: no)", question.brief))?;
        if line.trim().is_empty() {
            return Ok(());
        }
        let wanted = wanted_entries(judgement.knowledge(), ix, live, judgement.path.date);
        let context = Context {
            wanted,
            year: judgement.path.date.year(),
            currency: live.get(roles::CURRENCY).map(str::to_owned),
            reader: Some(Arc::clone(reader)),
            ..Context::default()
        };
        match read_box(role, question, &line, &context).map(|read| read.said) {
            Ok(Said::Value(value)) => {
                taken.answers.push((ix, value));
                return Ok(());
            }
            Ok(_) => return Ok(()),
            Err(refusal) => talk.tell(&Words::Plain(refusal.message)),
        }
    }
}

fn besides(talk: &mut dyn Talk, judgement: &Judgement<'_>, taken: &mut Taken) -> Result<(), Leave> {
    for code in ALSO {
        let words = talk.line("Was anything else found? In a few words (Enter: no)")?;
        if words.trim().is_empty() {
            return Ok(());
        }
        let price = price(talk, judgement, code, "And its price? (Enter: not known)")?;
        taken.settled.push(Settled {
            price,
            words: words.trim().to_owned(),
            ..Settled::new(code, Outcome::Faulty)
        });
    }
    Ok(())
}
