//! Amounts said in passing: "two years ago", "6 pulls", "about 40 % left".

use crate::knowledge::synonyms::Said;

/// An amount with the places of its words.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Amount {
    pub of: Said,
    pub number: f64,
    pub from: usize,
    pub to: usize,
}

/// What a number may count that is no answer by itself.
const COUNTED: [&str; 20] = [
    "hp",
    "horse",
    "horses",
    "horsepower",
    "ps",
    "kw",
    "cylinder",
    "cylinders",
    "cyl",
    "pot",
    "cc",
    "litre",
    "liter",
    "ft",
    "feet",
    "inch",
    "in",
    "blade",
    "hours",
    "h",
];

/// The amounts in a row of words; `year` is this year.
pub fn amounts(words: &[&str], year: i16) -> Vec<Amount> {
    let mut found = Vec::new();
    for (place, word) in words.iter().enumerate() {
        let Some(number) = number(word) else { continue };
        let unit = words.get(place + 1).copied().unwrap_or("");
        let later = |wanted: &[&str]| words[place + 1..].iter().any(|word| wanted.contains(word));
        let this_year = f64::from(year);
        let (of, number, length) = match unit {
            "year" | "years" | "yr" | "yrs" => (Said::YearsAgo, number, 2),
            "month" | "months" => (Said::YearsAgo, number / 12.0, 2),
            "week" | "weeks" | "wk" | "wks" => (Said::YearsAgo, number / 52.0, 2),
            "day" | "days" => (Said::YearsAgo, number / 365.0, 2),
            "pull" | "pulls" | "try" | "tries" | "goes" | "go" | "attempt" | "attempts" | "cranks" | "yanks" => {
                (Said::Tries, number, 2)
            }
            "second" | "seconds" | "sec" | "secs" | "s" => (Said::Seconds, number, 2),
            "minute" | "minutes" | "min" | "mins" => (Said::Seconds, number * 60.0, 2),
            "percent" if later(&["gone", "worn", "eaten", "used", "missing", "away"]) => {
                (Said::PercentGone, number, 2)
            }
            "percent" => (Said::PercentLeft, number, 2),
            "degrees" | "c" | "celsius" if later(&["f", "fahrenheit"]) => (Said::Degrees, (number - 32.0) / 1.8, 2),
            "f" | "fahrenheit" => (Said::Degrees, (number - 32.0) / 1.8, 2),
            "degrees" | "c" | "celsius" => (Said::Degrees, number, 2),
            _ if (1950.0..=this_year).contains(&number) && number.fract() == 0.0 => {
                (Said::YearsAgo, this_year - number, 1)
            }
            // Of something else: "the 4 hp one".
            _ if COUNTED.contains(&unit) => continue,
            _ => (Said::Number, number, 1),
        };
        found.push(Amount { of, number, from: place, to: place + length });
    }
    found
}

fn number(word: &str) -> Option<f64> {
    let ordinal = match word {
        "first" => Some(1.0),
        "second" => Some(2.0),
        "third" | "few" => Some(3.0),
        "fourth" => Some(4.0),
        "fifth" => Some(5.0),
        "sixth" => Some(6.0),
        "half" => Some(0.5),
        _ => None,
    };
    ordinal.or_else(|| {
        let digits = word.trim_end_matches(|c: char| c.is_alphabetic());
        digits.replace(',', ".").parse::<f64>().ok().filter(|number| number.is_finite())
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn only(text: &str) -> (Said, f64) {
        let words: Vec<&str> = text.split(' ').collect();
        let all = amounts(&words, 2026);
        assert_eq!(all.len(), 1, "{text}: {all:?}");
        (all[0].of, all[0].number)
    }

    /// What is said in weeks or Fahrenheit is meant in years and Celsius.
    #[test]
    fn amounts_come_in_the_units_of_the_data() {
        for (text, of, number) in [
            ("2 years", Said::YearsAgo, 2.0),
            ("6 months", Said::YearsAgo, 0.5),
            ("26 weeks", Said::YearsAgo, 0.5),
            ("730 days", Said::YearsAgo, 2.0),
            ("2019", Said::YearsAgo, 7.0),
            ("2026", Said::YearsAgo, 0.0),
            ("1950", Said::YearsAgo, 76.0),
            ("2027", Said::Number, 2027.0),
            ("first pull", Said::Tries, 1.0),
            ("second pull", Said::Tries, 2.0),
            ("third pull", Said::Tries, 3.0),
            ("few pulls", Said::Tries, 3.0),
            ("fourth pull", Said::Tries, 4.0),
            ("fifth pull", Said::Tries, 5.0),
            ("sixth pull", Said::Tries, 6.0),
            ("half minutes", Said::Seconds, 30.0),
            ("6 pulls", Said::Tries, 6.0),
            ("90 seconds", Said::Seconds, 90.0),
            ("1,5 minutes", Said::Seconds, 90.0),
            ("40 percent", Said::PercentLeft, 40.0),
            ("40 percent of it gone", Said::PercentGone, 40.0),
            ("180 f", Said::Degrees, 82.222_222),
            ("212 degrees f", Said::Degrees, 100.0),
            ("65 degrees", Said::Degrees, 65.0),
        ] {
            let (is, found) = only(text);
            assert!(is == of && (found - number).abs() < 1e-4, "{text}: {is:?} {found}");
        }
        assert!(amounts(&["the", "4", "hp", "one"], 2026).is_empty(), "it counts something else");
    }
}
