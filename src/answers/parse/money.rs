//! Sums of money as people write them in any country.
//!
//! A comma, point, blank or apostrophe before exactly three digits is a thousands mark; otherwise a lone comma or
//! point is the decimal mark.

use crate::answers::value::Value;

use super::doubt::{Market, odd_price, price_doubt, times_off};
use super::spoken::without_hedge;
use super::{Context, Refusal, Typed, sentence};

const SIGNS: [&str; 10] = ["us$", "a$", "c$", "nz$", "$", "\u{20ac}", "\u{a3}", "\u{a5}", "kr", "fr."];

/// Names of money as they are said, with the sign or name that stands for them.
const NAMES: [(&str, &str); 9] = [
    ("bucks", "$"),
    ("dollars", "$"),
    ("dollar", "$"),
    ("euros", "eur"),
    ("euro", "eur"),
    ("pounds", "gbp"),
    ("quid", "gbp"),
    ("kronor", "kr"),
    ("kroner", "kr"),
];

/// Reads a sum; currency marks are looked at by the callers that know the currency.
///
/// # Errors
/// A sentence that says what was read.
pub fn parse_money(typed: &str) -> Result<f64, Refusal> {
    let told = || Refusal::new(format!("I can't read {typed:?} as money. A sum such as 4200, 4,200 or 4200.50."));
    let (bare, _) = without_currency(typed);
    if bare.starts_with('-') {
        return Err(Refusal::new(format!("I read {typed:?}: money here is never under zero. A sum such as 4200.")));
    }
    let digits = bare.trim_end_matches(".-").trim_end_matches(",-");
    if digits.is_empty() || !digits.starts_with(|c: char| c.is_ascii_digit()) {
        return Err(told());
    }
    let mut whole = String::new();
    let mut rest = digits;
    let mut mark_before: Option<char> = None;
    loop {
        let run = rest.find(|c: char| !c.is_ascii_digit()).unwrap_or(rest.len());
        let (group, tail) = rest.split_at(run);
        let thousands = mark_before.is_none()
            || (group.len() == 3 && !whole.trim_start_matches('0').is_empty() && whole.len() <= 12);
        if thousands {
            whole.push_str(group);
        } else if tail.is_empty() && matches!(mark_before, Some(',' | '.')) && (1..=2).contains(&group.len()) {
            return format!("{whole}.{group}").parse().map_err(|_| told());
        } else {
            return Err(told());
        }
        let mut letters = tail.chars();
        match letters.next() {
            None => return whole.parse().map_err(|_| told()),
            Some(mark) if [',', '.', ' ', '\'', '\u{2019}', '\u{a0}', '\u{202f}'].contains(&mark) => {
                mark_before = Some(mark);
                rest = letters.as_str();
            }
            Some(_) => return Err(told()),
        }
    }
}

/// The text without a currency sign or code before or behind, and that sign.
fn without_currency(typed: &str) -> (String, Option<String>) {
    let text = without_hedge(typed);
    for (name, sign) in NAMES {
        let split = text.len().saturating_sub(name.len());
        if text.get(split..).is_some_and(|part| part.eq_ignore_ascii_case(name)) {
            return (text[..split].trim().to_owned(), Some(sign.to_owned()));
        }
    }
    for sign in SIGNS {
        // Never by the length of a lower-case copy: some letters take fewer bytes there.
        let is = |part: Option<&str>| part.is_some_and(|part| part.eq_ignore_ascii_case(sign));
        if is(text.get(..sign.len())) {
            return (text[sign.len()..].trim().to_owned(), Some(sign.to_owned()));
        }
        let split = text.len().saturating_sub(sign.len());
        if is(text.get(split..)) {
            return (text[..split].trim().to_owned(), Some(sign.to_owned()));
        }
    }
    let code = |word: &str| word.len() == 3 && word.chars().all(|c| c.is_ascii_alphabetic());
    if let Some((head, tail)) = text.split_once(' ')
        && code(head)
    {
        return (tail.trim().to_owned(), Some(head.to_lowercase()));
    }
    let split = text.len().saturating_sub(3);
    match (text.get(..split), text.get(split..)) {
        (Some(head), Some(tail)) if code(tail) && head.trim_end().ends_with(|c: char| c.is_ascii_digit()) => {
            (head.trim().to_owned(), Some(tail.to_lowercase()))
        }
        _ => (text.to_owned(), None),
    }
}

/// A sum within its bound, in the buyer's own currency.
pub fn parse_bounded(typed: &str, most: f64, beyond: &str, currency: Option<&str>) -> Result<f64, Refusal> {
    let lower = typed.to_lowercase();
    let lower =
        ["an hour", "/hour", "per hour", "/h", "/hr"].iter().fold(lower, |text, tail| text.replace(tail, ""));
    if let (Some(named), (_, Some(sign))) = (currency, without_currency(&lower))
        && !same_currency(named, &sign)
    {
        return Err(Refusal::new(format!(
            "I read {sign:?}, and the prices so far are in {named}. Give it in {named}."
        )));
    }
    let sum = parse_money(&lower)?;
    if sum > most {
        return Err(Refusal::new(format!("I read {sum}. {}", sentence(beyond))));
    }
    Ok(sum)
}

/// Whether two ways to write a currency may mean the same; signs that several countries use are not held against anybody.
fn same_currency(named: &str, sign: &str) -> bool {
    let kin: [&[&str]; 4] = [
        &["$", "us$", "usd", "dollar", "dollars", "a$", "c$", "nz$", "aud", "cad", "nzd"],
        &["\u{20ac}", "eur", "euro", "euros"],
        &["\u{a3}", "gbp", "pound", "pounds"],
        &["kr", "sek", "nok", "dkk"],
    ];
    let named = named.to_lowercase();
    named == sign
        || !kin.iter().any(|family| family.contains(&sign))
        || !kin.iter().any(|family| family.contains(&named.as_str()))
        || kin.iter().any(|family| family.contains(&sign) && family.contains(&named.as_str()))
}

/// One or more prices; a blank always separates. One far from the others, at either end, is asked about.
pub fn parse_prices(typed: &str, most: f64, beyond: &str, context: &Context) -> Result<Typed, Refusal> {
    let currency = context.currency.as_deref();
    let spaced = typed.replace([';', '/', '|'], " ").replace(", ", " ").replace(" and ", " ");
    let mut words: Vec<String> = Vec::new();
    let numeric = |word: &str| word.chars().any(|c| c.is_ascii_digit());
    let signs_lead = spaced.split_whitespace().next_back().is_some_and(numeric);
    for word in spaced.split_whitespace() {
        match words.last_mut() {
            // A sign or code alone belongs to the number before it where one stands at the end, else to the next.
            Some(last) if !numeric(last) || !numeric(word) && !signs_lead => {
                last.push(' ');
                last.push_str(word);
            }
            _ => words.push(word.to_owned()),
        }
    }
    let prices: Vec<f64> = words
        .iter()
        .map(|word| parse_bounded(word.trim_end_matches(','), most, beyond, currency))
        .collect::<Result<_, _>>()?;
    if prices.is_empty() || prices.contains(&0.0) {
        return Err(Refusal::new(
            "A price of nothing is no price to compare with. One or more prices, such as 4200 3900.",
        ));
    }
    let beside = |place: usize| {
        let others: Vec<f64> =
            prices.iter().enumerate().filter(|(at, _)| *at != place).map(|(_, price)| *price).collect();
        // One price alone is held against what is asked for this motor.
        let others = if others.is_empty() { context.market.prices.clone() } else { others };
        price_doubt(prices[place], &Market { prices: others, ..context.market.clone() })
    };
    // The one farthest from the middle is the odd one; beside it alone the others would look odd too.
    let far = |place: &usize| times_off(prices[*place], &prices);
    let mut places: Vec<usize> = (0..prices.len()).collect();
    places.sort_by(|one, other| far(other).total_cmp(&far(one)));
    let doubt = places.into_iter().find_map(beside).or_else(|| {
        odd_price(&prices).map(|odd| {
            format!("{odd} is far from the middle of these prices and will not count. Is it the same kind of motor, and typed right?")
        })
    });
    Ok(Typed { doubt, ..Value::Prices(prices).into() })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_most_is_taken_and_more_is_not() {
        assert_eq!(parse_bounded("500", 500.0, "too much", None), Ok(500.0));
        assert!(parse_bounded("501", 500.0, "too much", None).is_err());
    }

    /// Signs nobody sorted may mean anything; those of another country may not.
    #[test]
    fn another_currency_is_refused_and_an_unknown_sign_is_not() {
        for (typed, named, taken) in [
            ("900 CHF", "$", true),
            ("900 GBP", "$", false),
            ("900 $", "AUD", true),
            ("900 USD", "CHF", true),
            ("900 EUR", "euro", true),
            ("900 kr", "SEK", true),
            ("900 kr", "EUR", false),
            ("900 CHF", "chf", true),
        ] {
            assert_eq!(parse_bounded(typed, 1e6, "", Some(named)).is_ok(), taken, "{typed} beside {named}");
        }
    }

    #[test]
    fn thousands_marks_of_any_country() {
        for text in [
            "4200",
            "4,200",
            "4.200",
            "4 200",
            "4'200",
            "$4,200",
            "4200 EUR",
            "usd 4200",
            "4200.-",
            "4200 bucks",
            "about 4200 dollars",
            "around $4200",
            "4200euros",
        ] {
            assert_eq!(parse_money(text), Ok(4200.0), "{text}");
        }
        assert_eq!(parse_money("1,234,567.50"), Ok(1_234_567.5));
        assert_eq!(parse_money("1.234,5"), Ok(1234.5));
        assert_eq!(parse_money("4200,50"), Ok(4200.5));
        assert_eq!(parse_money("12.5"), Ok(12.5));
        assert_eq!(parse_money("0.50"), Ok(0.5));
    }

    #[test]
    fn what_is_no_sum_is_refused() {
        for text in ["", "cheap", "-5", "4200,3900", "1,23,456", "12..5", "nan", "inf", "4.2.0"] {
            assert!(parse_money(text).is_err(), "{text}");
        }
    }

    #[test]
    fn letters_that_shrink_in_lower_case_are_only_refused() {
        // The Kelvin sign takes three bytes, the k it becomes takes one; the dotted I grows instead.
        for text in ["\u{212a}r", "100 \u{212a}r", "\u{130}kr", "100 \u{130}\u{130}", "kr\u{212a}"] {
            assert!(parse_money(text).is_err(), "{text}");
            let euros = Context { currency: Some("EUR".to_owned()), ..Context::default() };
            assert!(parse_prices(text, 1e6, "", &euros).is_err(), "{text}");
        }
    }

    #[test]
    fn a_blank_separates_prices() {
        let plain = Context::default();
        for text in ["$ 4200 $ 3900", "usd 4200 usd 3900", "4200 usd 3900 usd", "4200 usd 3900"] {
            let typed = parse_prices(text, 1e6, "", &plain).unwrap();
            assert_eq!(typed.said, crate::answers::Said::Value(Value::Prices(vec![4200.0, 3900.0])), "{text}");
        }
        let typed = parse_prices("4,200 3900; 4.500, 4100", 1e6, "", &plain).unwrap();
        assert_eq!(typed.said, crate::answers::Said::Value(Value::Prices(vec![4200.0, 3900.0, 4500.0, 4100.0])));
        assert_eq!(typed.doubt, None);
        for odd in ["4200 3900 42000", "4200 3900 420", "4,10 4200", "450,120"] {
            let doubted = parse_prices(odd, 1e6, "", &plain).unwrap().doubt.is_some();
            assert_eq!(doubted, odd != "450,120", "{odd}: one price alone has only the power to be held against");
        }
    }

    #[test]
    fn one_price_alone_is_held_against_the_power() {
        let market = Market { power: Some(40.0), dollar: Some(1.0), ..Market::default() };
        let context = Context { market, ..Context::default() };
        for (typed, odd) in [("450,120", true), ("39000", true), ("4.1", true), ("3900", false), ("4,100", false)] {
            assert_eq!(parse_prices(typed, 1e6, "", &context).unwrap().doubt.is_some(), odd, "{typed}");
        }
    }

    #[test]
    fn another_currency_is_told() {
        assert!(parse_bounded("4200 EUR", 1e6, "", Some("USD")).is_err());
        assert!(parse_bounded("$4200", 1e6, "", Some("USD")).is_ok());
        assert!(parse_bounded("110 an hour", 1e6, "", None).is_ok());
    }
}
