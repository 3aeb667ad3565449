//! What the tests of this room share: records built by code, and random ones.

use std::sync::LazyLock;

use jiff::civil::{Date, date};

use crate::answers::{Context, Record, Said, Value, parse_answer};
use crate::judge::{Judgement, judge};
use crate::knowledge::{Kind, Knowledge, Question, QuestionIx};
use crate::measure::load_shipped;
use crate::path::{walk, wanted_entries};
use crate::units::Quantity;

use super::{Audience, Format, Meta, render};

pub static KNOWLEDGE: LazyLock<Knowledge> = LazyLock::new(load_shipped);

pub const TODAY: Date = date(2026, 5, 3);

pub const AUDIENCES: [Audience; 3] = [Audience::Buyer, Audience::Mechanic, Audience::Seller];

/// A four-stroke with its facts, sound as far as it goes.
pub const SOUND: &[(&str, &str)] = &[
    ("boat-kind", "monohull"),
    ("transom-height", "20 1/4 in"),
    ("transom-measured", "straight-down"),
    ("capacity-plate", "readable"),
    ("plate-power", "60 hp"),
    ("claimed-power", "40 hp"),
    ("claimed-year", "2017"),
    ("strokes", "four"),
    ("fuel-system", "injection"),
    ("cylinders", "3"),
    ("shaft-length", "20.5 in"),
    ("start", "electric"),
    ("currency", "EUR"),
    ("asking-price", "4137"),
    ("seller-refuses", "none"),
    ("ownership", "papers-shown"),
    ("serial-plate", "intact"),
    ("gear-oil", "dark"),
    ("dipstick", "dark"),
    ("turns-over", "free"),
    ("fuel-leak", "dry"),
    ("plugs", "tan"),
    ("compression", "13 13.1 12.9 bar"),
    ("bracket", "sound"),
    ("throttle-returns", "snaps-back"),
    ("run-where", "tank"),
    ("starts-in-gear", "no"),
    ("cold-start", "at-once"),
    ("telltale", "strong"),
    ("lanyard", "stops-every-time"),
    ("labour-rate", "97"),
    ("parts-scale", "1.1"),
    ("comparables", "4311 4019 4457"),
    ("inspection-fee", "163"),
    ("altitude", "not done: no map at hand"),
    ("leakdown", "can't tell"),
];

/// Records that between them bring out every part of the papers.
pub fn samples() -> Vec<(&'static str, Record)> {
    let with = |more: &[(&str, &str)]| record(&[SOUND, more].concat());
    let mut settled = with(&[("gear-oil", "milky"), ("gear-seals", "never")]);
    settled.settled = vec![settle("gearcase-seals", crate::answers::Outcome::Faulty, Some(533.0), "torn lip")];
    let mut noted = with(&[]);
    for id in ["gear-oil", "cowl"] {
        let answer = noted.answer_mut(KNOWLEDGE.find(id).expect("a question"));
        answer.note = Some("looked at it twice".into());
        answer.photos = vec!["photos/a 1.jpg".into(), "/else where/b.jpg".into()];
    }
    vec![
        ("empty", Record::new(&KNOWLEDGE)),
        ("sound", with(&[])),
        ("milky", with(&[("gear-oil", "milky"), ("line-on-shaft", "yes"), ("anodes", "under-half")])),
        ("stopped", with(&[("plugs", "tan, oily, oily"), ("plug-oil-story", "none-of-these")])),
        ("uneven", with(&[("compression", "170 140 168 psi"), ("compression-again", "171 150 168 psi")])),
        (
            "leaking",
            with(&[
                ("fuel-leak", "leaks"),
                ("throttle-returns", "sticks"),
                ("dipstick", "empty"),
                ("dipstick-again", "can't tell"),
            ]),
        ),
        ("misfit", with(&[("shaft-length", "15 in")])),
        ("other-money", record(&[("currency", "kr"), ("asking-price", "41000")])),
        ("settled", settled),
        ("noted", noted),
    ]
}

pub fn settle(
    point: &str,
    outcome: crate::answers::Outcome,
    price: Option<f64>,
    words: &str,
) -> crate::answers::Settled {
    crate::answers::Settled { price, words: words.into(), ..crate::answers::Settled::new(point, outcome) }
}

/// A record from typed texts; the last of several for one question counts.
pub fn record(typed: &[(&str, &str)]) -> Record {
    let mut record = Record::new(&KNOWLEDGE);
    for ix in KNOWLEDGE.places() {
        let question = KNOWLEDGE.question(ix);
        if let Some((_, text)) = typed.iter().rev().find(|(id, _)| question.id == *id) {
            let path = walk(&KNOWLEDGE, &record, TODAY);
            let context = Context {
                wanted: wanted_entries(&KNOWLEDGE, ix, &path.live, TODAY),
                year: 2026,
                ..Context::default()
            };
            let said = parse_answer(question, text, &context)
                .unwrap_or_else(|refusal| panic!("{}: {}", question.id, refusal.message))
                .said;
            record.say(ix, said);
        }
    }
    record
}

/// Something said to every question, picked by the numbers; what a person types is `words`.
pub fn random_record(picks: &[u16], words: &str) -> Record {
    let mut record = Record::new(&KNOWLEDGE);
    for ix in KNOWLEDGE.places() {
        let pick = usize::from(picks[ix.0 % picks.len()]) + ix.0;
        if let Some(said) = random_said(KNOWLEDGE.question(ix), pick, words) {
            record.say(ix, said);
        }
        note_at(&mut record, ix, pick, words);
    }
    record
}

fn note_at(record: &mut Record, ix: QuestionIx, pick: usize, words: &str) {
    if pick.is_multiple_of(23) {
        record.answer_mut(ix).note = Some(words.to_owned());
        record.answer_mut(ix).photos = vec![words.to_owned()];
    }
}

fn random_said(question: &Question, pick: usize, words: &str) -> Option<Said> {
    match pick % 13 {
        0 => return None,
        1 => return Some(Said::CantTell),
        2 => return Some(Said::NotDone(words.to_owned())),
        _ => {}
    }
    let choices = question.choices();
    let at = |place: usize| choices[place % choices.len()].id.clone();
    #[allow(clippy::cast_precision_loss)] // small numbers
    let between = |least: f64, most: f64| least + (most - least) * ((pick % 7) as f64 / 7.0);
    let value = match &question.kind {
        Kind::One(_) => Value::One(at(pick / 13)),
        Kind::Many(_) => Value::Many(vec![at(pick / 13)]),
        Kind::Each(_) => Value::Each(crate::answers::Each::All(at(pick / 13))),
        Kind::Amount(amount) => {
            let house = amount.dimension.house_unit();
            Value::Amount(Quantity::new(between(amount.least, amount.most.min(400.0)), house).to(amount.unit))
        }
        Kind::Readings(amount, _) => {
            let reading =
                |place: usize| Some(Quantity::new(120.0 + ((pick + place * 11) % 40) as f64, amount.unit));
            Value::Readings((0..3).map(reading).collect())
        }
        Kind::Count { .. } => Value::Count(3),
        Kind::Year { .. } => Value::Year(2009),
        Kind::Money { .. } => Value::Money(2711.0),
        Kind::Prices { .. } => Value::Prices(vec![3023.0, 3119.0]),
        Kind::Text(_) => Value::Text(words.to_owned()),
    };
    Some(Said::Value(value))
}

pub fn judged(record: &Record) -> Judgement<'_> {
    judge(&KNOWLEDGE, record, TODAY)
}

/// The paper of a judgement; a template that does not fit fails the test.
pub fn paper(judgement: &Judgement<'_>, name: &str, audience: Audience, format: Format) -> String {
    let meta = Meta { name, date: TODAY, photos_base: None, photos: None };
    render(judgement, &meta, audience, format).unwrap_or_else(|problem| panic!("{audience:?}: {problem}"))
}
