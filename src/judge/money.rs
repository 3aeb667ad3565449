//! The money of one interview: costs, their distribution, value, offers, and what a second opinion is worth.
//!
//! Start at [`count`]. Every figure rests on chances and costs that are typical, from memory; get a quote.

use crate::knowledge::roles::{ASKING_PRICE, INSPECTION, INSPECTION_FEE};
use crate::path::Path;

use super::books::{self, Books, Sums};
use super::chances::{Chance, Spoken};
use super::costs::{self, Line, NoTerms, Terms};
use super::distribution::Distribution;
use super::hinge::{self, Hinge};
use super::mechanic::{Mechanic, Named};
use super::offers::{self, FOR_PARTS, Net, Offers, Value};
use super::open_looks;
use super::sureness::{self, HowSure};
use super::verdict::{Call, Verdict};
use super::waterfall::{self, End, Step};
use super::workshop;

/// A workshop's fee for looking at the motor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fee {
    pub sum: f64,
    /// Nobody named one: typical, from the cost table.
    pub typical: bool,
}

/// All that is known of the money; what can't be known is absent.
#[derive(Clone, Debug, PartialEq)]
pub struct Money {
    /// What costs rest on, or why there are none.
    pub terms: Result<Terms, NoTerms>,
    pub value: Option<Value>,
    pub asking: Option<f64>,
    /// Ordinary upkeep, already in the price.
    pub ordinary: Option<f64>,
    pub lines: Vec<Line>,
    /// Travel, registration, tax, as typed.
    pub other: f64,
    /// What a mechanic priced that no repair stands for.
    pub named: Vec<Named>,
    pub cost: Option<Distribution>,
    /// None while a stop stands, and none at a hinge.
    pub offers: Option<Offers>,
    /// The ceiling before rounding, a hinge or not: to compare by, never to be printed.
    pub reckoned: Option<f64>,
    /// What it may turn out to be worth: the 10 and 90 % points of the net.
    pub net: Option<(f64, f64)>,
    /// It is worth its parts more likely than not, and something serious stands: not worth repairing.
    pub write_off: bool,
    /// The one fault the price hangs on, with the ceiling either way.
    pub hinge: Option<Hinge>,
    /// From adverts to the ceiling, adding up to the dollar; empty without a ceiling.
    pub waterfall: Vec<Step>,
    /// What knowing every fault would be worth, at the aim.
    pub know_all: Option<f64>,
    /// What a workshop's look would be worth, at the aim.
    pub look: Option<f64>,
    pub fee: Option<Fee>,
    pub how_sure: Option<HowSure>,
}

impl Money {
    /// Whether a workshop's look is worth its fee; `None` where nobody can say.
    #[must_use]
    pub fn look_pays(&self) -> Option<bool> {
        self.look.zip(self.fee).map(|(worth, fee)| worth > fee.sum)
    }
}

/// Counts the money. While a stop stands there are costs and chances, no offers.
#[must_use]
pub fn count<'p, 'a>(
    path: &'p Path<'a>,
    mechanic: &'p Mechanic,
    spoken: &'p [Spoken<'a>],
    chances: &[Chance],
    verdict: &Verdict,
) -> (Money, Option<(Books<'p, 'a>, Sums)>) {
    let books = Books::open(path, mechanic, spoken, None);
    let mut money = Money {
        terms: books.as_ref().map(|books| books.terms.clone()).map_err(Clone::clone),
        value: books::value_of(path, path.knowledge.settings.asking_gap),
        asking: path.live.get(ASKING_PRICE),
        ordinary: None,
        lines: Vec::new(),
        other: books::other_costs(path),
        named: mechanic.named.clone(),
        cost: None,
        offers: None,
        reckoned: None,
        net: None,
        write_off: false,
        hinge: None,
        waterfall: Vec::new(),
        know_all: None,
        look: None,
        fee: None,
        how_sure: None,
    };
    let Ok(books) = books else { return (money, None) };
    let sums = count_costs(&books, chances, &mut money);
    if verdict.stops.is_empty() {
        count_offers(&books, &sums, chances, verdict, &mut money);
    }
    (money, Some((books, sums)))
}

fn count_costs(books: &Books<'_, '_>, chances: &[Chance], money: &mut Money) -> Sums {
    money.lines = books.lines(chances);
    let sums = Sums::new(&money.lines, books.fixed);
    money.cost = Some(sums.total(&money.lines, books.fixed));
    money.ordinary = Some(books.ordinary(1.0));
    money.fee = Some(fee_under(books.path, &books.terms));
    sums
}

/// What a workshop asks for looking at the motor; none where a sum can't be had in the buyer's currency.
#[must_use]
pub fn fee(path: &Path<'_>) -> Option<Fee> {
    costs::terms(&path.view()).ok().map(|terms| fee_under(path, &terms))
}

fn fee_under(path: &Path<'_>, terms: &Terms) -> Fee {
    let typed = path.live.get(INSPECTION_FEE).map(|sum| Fee { sum, typical: false });
    typed.unwrap_or_else(|| {
        let item = path.knowledge.bought(INSPECTION);
        Fee { sum: costs::size(path.knowledge, item, terms).likely, typical: true }
    })
}

fn count_offers(books: &Books<'_, '_>, sums: &Sums, chances: &[Chance], verdict: &Verdict, money: &mut Money) {
    let (Some(value), Some(cost), Some(ordinary)) = (&money.value, &money.cost, money.ordinary) else { return };
    let net = Net { value, cost, ordinary };
    let reckoned = reckon(books, sums, chances, net, verdict);
    let offers = offers::offers(reckoned.ceiling, net.quantile(0.25));
    money.net = Some((net.quantile(0.1), net.quantile(0.9)));
    let everything = workshop::know_all(net, offers.aim);
    money.know_all = Some(everything);
    // The look is summed on a coarser grid; it can never tell more than everything.
    money.look = Some(workshop::look(books, chances, &money.lines, net, offers.aim).min(everything));
    if reckoned.hinge.is_none() {
        let after_looks = open_looks::after_all(books.path, chances, &money.lines, books.fixed);
        money.how_sure = Some(sureness::how_sure(books, sums, net, reckoned.ceiling, &after_looks));
        let end = End {
            fixed: books.fixed,
            write_off: reckoned.write_off,
            asking: books.asking,
            ceiling: offers.ceiling,
        };
        money.waterfall = waterfall::waterfall(&money.lines, net, end);
        money.offers = Some(offers);
    }
    money.reckoned = Some(reckoned.ceiling);
    money.write_off = reckoned.write_off;
    money.hinge = reckoned.hinge;
}

/// The ceiling before rounding, and what stands against a single one.
#[derive(Clone, Copy, Debug)]
pub struct Reckoned {
    pub ceiling: f64,
    pub write_off: bool,
    pub hinge: Option<Hinge>,
}

/// Reckons the ceiling: the mean of the net, at most the value and the asking price; the parts alone where it is not
/// worth repairing.
#[must_use]
pub fn reckon(books: &Books<'_, '_>, sums: &Sums, chances: &[Chance], net: Net<'_>, verdict: &Verdict) -> Reckoned {
    let write_off = !verdict.serious.is_empty() && net.at_floor() > 0.5;
    let worth = if write_off { FOR_PARTS * net.value.mean() } else { net.worth() };
    // A motor that may be bought as it stands hangs on nothing: what is left to chance is in its range.
    let hangs = !write_off && verdict.call != Call::Fair;
    let hinge = if hangs { hinge::hinge(books, sums, chances, net) } else { None };
    Reckoned { ceiling: worth.min(books.asking.unwrap_or(f64::INFINITY)), write_off, hinge }
}
