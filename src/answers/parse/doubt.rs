//! Prices that can be read but are a unit off: a thousand for a one, a digit too many or too few.
//!
//! Nothing is refused here; whoever asks reads the sum back and lets the person say.

/// What a price can be held against.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Market {
    /// Other prices of such motors.
    pub prices: Vec<f64>,
    /// Power in hp.
    pub power: Option<f64>,
    /// What a US dollar costs in this money, roughly; `None` where nobody knows.
    pub dollar: Option<f64>,
}

/// Roughly what a US dollar costs in the money people named: enough to see a price that is a thousand times off.
#[must_use]
pub fn dollar_in(currency: Option<&str>, parts_scale: Option<f64>) -> Option<f64> {
    let Some(named) = currency else { return Some(1.0) };
    if let Some(scale) = parts_scale {
        return Some(if scale >= SCALE_IS_PRICE { scale / 100.0 } else { scale });
    }
    let bare = named.trim().to_lowercase();
    // Worth between half a dollar and two for as long as anybody remembers (the US Federal Reserve's H.10 tables).
    ALIKE.contains(&bare.as_str()).then_some(1.0)
}

/// From this on what parts cost was said as a price for 100 dollars' worth, not as a factor.
const SCALE_IS_PRICE: f64 = 10.0;
const ALIKE: [&str; 20] = [
    "$", "us$", "usd", "dollar", "dollars", "a$", "aud", "c$", "cad", "nz$", "nzd", "\u{20ac}", "eur", "euro",
    "euros", "\u{a3}", "gbp", "pound", "pounds", "chf",
];

/// Over this factor from the others a price is a digit off rather than a bargain.
const DIGIT_OFF: f64 = 5.0;
/// No motor is sold for less: under it thousands were meant.
const LEAST: f64 = 20.0;
/// Dollars a hp that used motors are asked for, generously (from memory).
const A_HORSEPOWER: (f64, f64) = (4.0, 500.0);
/// The smallest motors cost this much more than their power tells.
const BESIDES: f64 = 700.0;

/// A question to ask before a price of a motor is kept, or nothing.
#[must_use]
pub fn price_doubt(sum: f64, market: &Market) -> Option<String> {
    if sum <= 0.0 {
        return None;
    }
    if sum < LEAST && market.dollar.is_none_or(|dollar| dollar < 10.0) {
        return Some(format!("I read {sum}. Is the price {} in full?", said(sum * 1000.0)));
    }
    if let Some(middle) = middle(&market.prices)
        && (sum > DIGIT_OFF * middle || sum < middle / DIGIT_OFF)
    {
        let side = if sum > middle { "many times" } else { "a fraction of" };
        return Some(format!(
            "I read {}, {side} the others around {}. Is it typed right?",
            said(sum),
            said(middle)
        ));
    }
    let (power, dollar) = market.power.zip(market.dollar)?;
    let (low, high) = (A_HORSEPOWER.0 * power * dollar, (A_HORSEPOWER.1 * power + BESIDES) * dollar);
    let far = if sum > high { "a lot" } else { "very little" };
    (sum > high || sum < low)
        .then(|| format!("I read {}: {far} for a motor of {power} hp. Is it typed right?", said(sum)))
}

/// The price of a part that costs 100 dollars in the US, as typed: from 10 on a price, under it a factor.
#[must_use]
pub fn scale_doubt(typed: f64) -> Option<String> {
    let odd = if typed >= 10.0 { !(50.0..=300.0).contains(&typed) } else { !(0.5..=3.0).contains(&typed) };
    let price = if typed >= 10.0 { typed } else { typed * 100.0 };
    odd.then(|| format!("Then a part of 100 US dollars costs you {}. Is that so?", said(price)))
}

/// A price over twice or under half the middle of several, to be asked about.
#[must_use]
pub fn odd_price(prices: &[f64]) -> Option<f64> {
    let middle = middle(prices)?;
    prices.iter().copied().find(|price| *price > 2.0 * middle || *price < middle / 2.0)
}

/// How many times over or under the middle of several prices one is.
#[must_use]
pub fn times_off(price: f64, prices: &[f64]) -> f64 {
    middle(prices).map_or(1.0, |middle| (price / middle).max(middle / price))
}

fn middle(prices: &[f64]) -> Option<f64> {
    let mut sorted = prices.to_vec();
    sorted.sort_by(f64::total_cmp);
    let place = sorted.len() / 2;
    let upper = *sorted.get(place)?;
    Some(if sorted.len() % 2 == 1 { upper } else { f64::midpoint(sorted[place - 1], upper) })
}

fn said(sum: f64) -> String {
    format!("{}", (sum * 100.0).round() / 100.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn doubted(sum: f64, prices: &[f64], power: Option<f64>) -> bool {
        price_doubt(sum, &Market { prices: prices.to_vec(), power, dollar: Some(1.0) }).is_some()
    }

    #[test]
    fn a_price_a_unit_off_is_asked_about() {
        assert!(doubted(39_000.0, &[], Some(40.0)), "a digit too many");
        assert!(doubted(4.1, &[], None), "4,10 for 4100");
        assert!(doubted(450_120.0, &[], Some(40.0)), "two prices stuck together");
        assert!(doubted(39_000.0, &[4200.0, 3900.0], None) && doubted(390.0, &[4200.0, 3900.0], None));
    }

    #[test]
    fn usual_prices_are_not() {
        for (sum, power) in [(150.0, 2.0), (900.0, 4.0), (3900.0, 40.0), (24_000.0, 250.0), (45_000.0, 350.0)] {
            assert!(!doubted(sum, &[], Some(power)), "{sum} for {power} hp");
        }
        assert!(!doubted(2000.0, &[4200.0, 3900.0], Some(40.0)), "cheap, and asked about elsewhere");
        let crowns = Market { power: Some(40.0), dollar: Some(10.5), ..Market::default() };
        assert_eq!(price_doubt(41_000.0, &crowns), None);
        assert_eq!(price_doubt(41_000.0, &Market { power: Some(40.0), ..Market::default() }), None);
    }

    /// Krona and the like: what the motor may cost there is as many times more, at both ends.
    #[test]
    fn in_other_money_both_ends_move() {
        let crowns = Market { power: Some(50.0), dollar: Some(100.0), ..Market::default() };
        assert!(price_doubt(3000.0, &crowns).is_some_and(|told| told.contains("very little")));
        assert_eq!(price_doubt(300_000.0, &crowns), None);
        assert!(price_doubt(30_000_000.0, &crowns).is_some_and(|told| told.contains("a lot")));
    }

    /// The price of parts tells what a dollar costs, whether it was said as a factor or for 100 dollars' worth.
    #[test]
    fn a_dollar_costs_what_the_parts_tell() {
        assert_eq!(dollar_in(None, None), Some(1.0));
        assert_eq!(dollar_in(Some("EUR"), Some(150.0)), Some(1.5));
        assert_eq!(dollar_in(Some("EUR"), Some(1.5)), Some(1.5));
        assert_eq!(dollar_in(Some("SEK"), Some(10.0)), Some(0.1), "from 10 on it is a price");
        assert_eq!(dollar_in(Some(" Euros "), None), Some(1.0));
        assert_eq!(dollar_in(Some("SEK"), None), None);
    }

    #[test]
    fn the_middle_of_two_prices_lies_between_them() {
        assert_eq!(odd_price(&[1000.0, 3000.0]), None, "neither is twice or half of 2000");
        assert!((times_off(1000.0, &[1000.0, 3000.0]) - 2.0).abs() < 1e-12);
        assert!((times_off(6000.0, &[1000.0, 3000.0]) - 3.0).abs() < 1e-12);
        assert_eq!(odd_price(&[1000.0, 2000.0, 2000.0]), None, "half of the middle is no odd price yet");
    }

    #[test]
    fn odd_ones_are_seen_at_both_ends() {
        assert_eq!(odd_price(&[4200.0, 3900.0, 420.0]), Some(420.0));
        assert_eq!(odd_price(&[4200.0, 3900.0, 42_000.0]), Some(42_000.0));
        assert_eq!(odd_price(&[4200.0, 3900.0, 2500.0]), None);
    }

    #[test]
    fn a_scale_far_off_is_read_back() {
        for odd in [400.0, 20.0, 4.0, 0.2] {
            assert!(scale_doubt(odd).is_some(), "{odd}");
        }
        for usual in [110.0, 1.1, 0.9, 250.0] {
            assert_eq!(scale_doubt(usual), None);
        }
    }
}
