//! From typed text to an answer; [`parse_answer`] is the one door.
//!
//! Choices are read in [`choice`], lists of readings in [`readings`], money in [`money`], shaped texts in
//! [`text`]. What can't be read comes back as a [`Refusal`] that says what was read and what would be accepted;
//! what is readable but odd comes back as a doubt, to be asked about.

mod choice;
mod doubt;
mod money;
mod readings;
mod said;
mod spoken;
mod text;

pub use doubt::{Market, dollar_in, price_doubt, scale_doubt};
pub use money::parse_money;
pub use said::{SELLER_SAYS, in_words};
pub use text::{cylinder_groups, plain_text};

use std::sync::Arc;

use crate::knowledge::roles::{ASKING_PRICE, PARTS_SCALE};
use crate::knowledge::{Amount, Kind, Question};
use crate::units::{Dimension, Quantity, Unit, UnitError, figure, parse_quantity};

use super::late::LateReader;
use super::record::Said;
use super::special::{Special, special};
use super::value::Value;

/// What reading may depend on besides the text.
#[derive(Clone, Debug, Default)]
pub struct Context {
    /// How many entries a list should have, where it is known.
    pub wanted: Option<usize>,
    /// The year of the interview.
    pub year: i16,
    /// The currency the buyer named.
    pub currency: Option<String>,
    /// What a price of such a motor can be held against.
    pub market: Market,
    /// Reads free words; without it only numbers, ids, labels and listed words name a choice.
    pub reader: Option<Arc<LateReader>>,
}

/// Text that was understood.
#[derive(Clone, Debug, PartialEq)]
pub struct Typed {
    pub said: Said,
    /// A question to ask before it is kept: readable, but odd.
    pub doubt: Option<String>,
    /// What is to stand beside it: the seller's own words, where nobody looked.
    pub note: Option<String>,
}

impl From<Value> for Typed {
    fn from(value: Value) -> Self {
        Self { said: Said::Value(value), doubt: None, note: None }
    }
}

/// Text that was not understood: what was wrong and what would be accepted, in plain sentences.
#[derive(Clone, Debug, PartialEq)]
pub struct Refusal {
    pub message: String,
    /// What it may have meant, the likeliest first and at most three, when it is only unclear which.
    pub readings: Vec<Proposal>,
    /// Words that no choice lists: they may still be read.
    strange: bool,
}

/// An answer a text may mean, with the note that would stand beside it.
#[derive(Clone, Debug, PartialEq)]
pub struct Proposal {
    pub said: Said,
    pub note: Option<String>,
}

impl From<Said> for Proposal {
    fn from(said: Said) -> Self {
        Self { said, note: None }
    }
}

impl Refusal {
    fn new(message: impl Into<String>) -> Self {
        Self { message: message.into(), readings: Vec::new(), strange: false }
    }
}

/// Nobody answers at greater length: what is longer was pasted by mistake, and is not read back in full.
const LONGEST: usize = 400;

/// Reads what was typed for a question.
///
/// `can't tell` (or `-`) and `not done` with a reason behind a colon are understood for every question; a leading
/// `=` takes the rest as it stands, for a text that happens to be such a word.
///
/// # Errors
/// A [`Refusal`] in plain words.
pub fn parse_answer(question: &Question, typed: &str, context: &Context) -> Result<Typed, Refusal> {
    let typed = plain_text(typed);
    if let Some(literal) = typed.strip_prefix('=') {
        return parse_value(question, literal.trim(), context);
    }
    let said = special(&typed).map(|words| match words {
        Special::CantTell => Said::CantTell,
        Special::NotDone(reason) => Said::NotDone(reason.to_owned()),
    });
    if let Some(said) = said {
        return Ok(Typed { said, doubt: None, note: None });
    }
    parse_value(question, &typed, context)
}

fn parse_value(question: &Question, typed: &str, context: &Context) -> Result<Typed, Refusal> {
    if typed.is_empty() {
        return Err(Refusal::new(format!("Nothing was typed. {}", accepted(question, context))));
    }
    let letters = typed.chars().count();
    if letters > LONGEST && !matches!(question.kind, Kind::Text(_)) {
        return Err(Refusal::new(format!(
            "That is {letters} letters, more than one answer has. A few words will do; a note takes the rest. {}",
            accepted(question, context)
        )));
    }
    if !question.choices().is_empty() {
        return match named(question, typed, context) {
            Err(refusal) if refusal.strange => said::read_words(question, typed, context, refusal),
            done => done.map(Typed::from),
        };
    }
    match &question.kind {
        Kind::One(_) | Kind::Many(_) | Kind::Each(_) => Err(Refusal::new("No choices.")),
        Kind::Amount(amount) => {
            let read = parse_amount(amount, typed)?;
            let doubt = match &read.said {
                Said::Value(Value::Amount(scale)) if question.id == PARTS_SCALE.any.id() => {
                    scale_doubt(scale.house())
                }
                _ => None,
            };
            Ok(Typed { doubt: doubt.or(read.doubt), ..read })
        }
        Kind::Readings(amount, _) => {
            let all = readings::parse_readings(amount, typed, context.wanted)?;
            let read: Vec<Quantity> = all.iter().flatten().copied().collect();
            let named = typed.chars().any(char::is_alphabetic);
            let doubt = unusual(amount, &read).filter(|_| !named);
            Ok(Typed { doubt, ..Value::Readings(all).into() })
        }
        Kind::Count { least, most, beyond } => parse_count(typed, *least, *most, beyond),
        Kind::Year { least, beyond } => parse_year(typed, *least, beyond, context.year),
        Kind::Money { most, beyond } => {
            let sum = money::parse_bounded(typed, *most, beyond, context.currency.as_deref())?;
            let of_motor = question.id == ASKING_PRICE.any.id();
            let doubt = if of_motor { price_doubt(sum, &context.market) } else { None };
            Ok(Typed { doubt, ..Value::Money(sum).into() })
        }
        Kind::Prices { most, beyond } => money::parse_prices(typed, *most, beyond, context),
        Kind::Text(form) => {
            let doubt = text::no_number(*form, typed);
            text::parse_text(*form, typed, context).map(|text| Typed { doubt, ..Value::Text(text).into() })
        }
    }
}

/// Choices by their names.
fn named(question: &Question, typed: &str, context: &Context) -> Result<Value, Refusal> {
    match &question.kind {
        Kind::One(choices) => choice::parse_one(choices, typed).map(Value::One),
        Kind::Many(choices) => choice::parse_many(choices, typed).map(Value::Many),
        Kind::Each(choices) => choice::parse_each(choices, typed, context.wanted).map(Value::Each),
        _ => Err(Refusal::new(accepted(question, context))),
    }
}

/// An amount; one that is said at greater length is looked for in what was said.
fn parse_amount(amount: &Amount, typed: &str) -> Result<Typed, Refusal> {
    let quantity = quantity_said(typed, amount.dimension, amount.unit);
    let quantity = quantity.map_err(|problem| Refusal::new(sentence(&problem.to_string())))?;
    let quantity = within(amount, quantity)?;
    let named = typed.chars().any(char::is_alphabetic);
    let doubt = unusual(amount, &[quantity]).filter(|_| !named);
    Ok(Typed { doubt, ..Value::Amount(quantity).into() })
}

/// An amount by its own rules, else as it is said in passing: "about an hour and a half".
///
/// # Errors
/// What was wrong with it as an amount.
pub fn quantity_said(typed: &str, dimension: Dimension, usual: Unit) -> Result<Quantity, UnitError> {
    let bare = spoken::without_thousands(typed, dimension);
    let read = |text: &str| parse_quantity(text, dimension, usual);
    read(&bare).or_else(|problem| {
        let plain = spoken::plain_amount(&bare).map(|plain| read(&plain));
        plain.and_then(Result::ok).ok_or(problem)
    })
}

/// A bare number far from what is usual may be meant in another unit.
fn unusual(amount: &Amount, all: &[Quantity]) -> Option<String> {
    let (least, most) = amount.usual?;
    let odd = all.iter().find(|quantity| !(least..=most).contains(&quantity.house()))?;
    let in_its_unit = |house: f64| {
        let bound = Quantity::new(house, amount.dimension.house_unit()).to(odd.unit);
        format!("{} {}", figure(bound.number, usize::from(bound.number < 100.0)), bound.unit).trim().to_owned()
    };
    Some(format!("I read {odd}. Usually it is {} to {}. Is it {odd}?", in_its_unit(least), in_its_unit(most)))
}

/// Refuses an amount outside the bounds of its question.
fn within(amount: &Amount, quantity: Quantity) -> Result<Quantity, Refusal> {
    let house = quantity.house();
    let slack = 1e-9 * amount.most.abs().max(1.0);
    if house < amount.least - slack || house > amount.most + slack {
        let (least, most) = &amount.bounds;
        return Err(Refusal::new(format!(
            "I read {quantity}. {} I take {least} to {most}.",
            sentence(&amount.beyond)
        )));
    }
    Ok(quantity)
}

fn parse_count(typed: &str, least: u32, most: u32, beyond: &str) -> Result<Typed, Refusal> {
    const WORDS: [&str; 13] =
        ["none", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"];
    let lower = typed.to_lowercase();
    let word = WORDS.iter().position(|word| *word == lower).and_then(|place| u32::try_from(place).ok());
    let Some(count) = word.or_else(|| typed.parse().ok()) else {
        return Err(Refusal::new(format!(
            "I can't read {typed:?} as a count. A whole number from {least} to {most} is what I need."
        )));
    };
    if !(least..=most).contains(&count) {
        return Err(Refusal::new(format!("I read {count}. {} I take {least} to {most}.", sentence(beyond))));
    }
    Ok(Value::Count(count).into())
}

fn parse_year(typed: &str, least: i16, beyond: &str, this_year: i16) -> Result<Typed, Refusal> {
    let most = this_year.saturating_add(1);
    let Ok(year) = spoken::without_hedge(typed).parse::<i16>() else {
        return Err(Refusal::new(format!("I can't read {typed:?} as a year. Four digits, {least} to {most}.")));
    };
    if !(least..=most).contains(&year) {
        return Err(Refusal::new(format!(
            "I read the year {year}. {} I take {least} to {most}.",
            sentence(beyond)
        )));
    }
    Ok(Value::Year(year).into())
}

/// What a question takes, in one sentence.
#[must_use]
pub fn accepted(question: &Question, context: &Context) -> String {
    match &question.kind {
        Kind::One(choices) => format!("I take a number from 1 to {}, or words.", choices.len()),
        Kind::Many(choices) => {
            format!("I take one or more numbers from 1 to {}, or words, commas between.", choices.len())
        }
        Kind::Each(_) => match context.wanted {
            Some(1) => "I take one word.".into(),
            Some(count) => format!("I take one word for each of the {count} cylinders, or one for all."),
            None => "I take one word for each cylinder, or one for all.".into(),
        },
        Kind::Amount(amount) => {
            let bounds = format!("{} to {}", amount.bounds.0, amount.bounds.1);
            match amount.unit.symbol() {
                "" => format!("I take a plain number, {bounds}."),
                symbol => format!("I take an amount, {bounds}; a bare number is {symbol}."),
            }
        }
        Kind::Readings(amount, _) => {
            let count = match context.wanted {
                None => "a reading for each cylinder, blanks between".to_owned(),
                Some(1) => "one reading".to_owned(),
                Some(count) => format!("{count} readings with blanks between"),
            };
            format!("I take {count}, in {}; ? for one that was not read.", unit_words(amount))
        }
        Kind::Count { least, most, .. } => format!("I take a whole number from {least} to {most}."),
        Kind::Year { least, .. } => format!("I take a year from {least} to {}.", context.year.saturating_add(1)),
        Kind::Money { .. } => "I take a sum of money, such as 4200.".into(),
        Kind::Prices { .. } => "I take one or more prices with blanks between, such as 4200 3900.".into(),
        Kind::Text(_) => "I take words.".into(),
    }
}

fn unit_words(amount: &Amount) -> String {
    match amount.unit.symbol() {
        "" => "a plain number".into(),
        symbol => symbol.to_owned(),
    }
}

/// The text with a capital first letter and a full stop.
pub(super) fn sentence(text: &str) -> String {
    let text = text.trim();
    let mut letters = text.chars();
    let Some(first) = letters.next() else { return String::new() };
    let end = if text.ends_with(['.', '?', '!']) { "" } else { "." };
    format!("{}{}{end}", first.to_uppercase(), letters.as_str())
}
