//! Amounts as they are said: "bit over 20 inches", "twelve and a half", "310 on the meter", "1,250 h".

use crate::units::Dimension;

/// Words before a number that only say it is not to the hair.
const BEFORE: [&str; 34] = [
    "about",
    "around",
    "roughly",
    "approximately",
    "approx",
    "nearly",
    "almost",
    "just",
    "over",
    "under",
    "above",
    "below",
    "bit",
    "little",
    "shy",
    "short",
    "of",
    "a",
    "the",
    "it",
    "its",
    "it's",
    "is",
    "was",
    "reads",
    "read",
    "says",
    "shows",
    "showed",
    "say",
    "some",
    "maybe",
    "near",
    "close",
];

/// Those of them that say nothing else, before a year or a sum.
const HEDGES: [&str; 9] =
    ["about", "around", "roughly", "approximately", "approx", "approx.", "nearly", "maybe", "circa"];

/// Words behind it that say where it was read or that it is not to the hair.
const BEHIND: [&str; 24] = [
    "on",
    "the",
    "meter",
    "gauge",
    "tape",
    "dial",
    "dash",
    "clock",
    "display",
    "multimeter",
    "so",
    "or",
    "ish",
    "i",
    "think",
    "roughly",
    "about",
    "there",
    "thereabouts",
    "exactly",
    "plate",
    "sheet",
    "of",
    "it",
];

const ONES: [&str; 20] = [
    "zero",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
];
const TENS: [&str; 8] = ["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"];

/// Parts of one and one itself, as they stand before a unit.
const PARTS: [(&str, &str); 7] = [
    ("three quarters of an ", "0.75 "),
    ("a quarter of an ", "0.25 "),
    ("quarter of an ", "0.25 "),
    ("half an ", "0.5 "),
    ("half a ", "0.5 "),
    ("half hour", "0.5 hour"),
    ("an hour", "1 hour"),
];

/// The text without a first word that only says it is not to the hair: "about 1998".
#[must_use]
pub fn without_hedge(text: &str) -> &str {
    let text = text.trim();
    let hedged = text.split_once(' ').filter(|(first, _)| HEDGES.contains(&first.to_lowercase().as_str()));
    hedged.map_or(text, |(_, rest)| rest.trim())
}

/// The amount without what is said around it, number words as digits; `None` where nothing of that is there.
#[must_use]
pub fn plain_amount(text: &str) -> Option<String> {
    let lower = text.to_lowercase().replace('\u{2019}', "'");
    let said = PARTS.iter().fold(lower.clone(), |said, (part, number)| said.replace(part, number));
    let words: Vec<&str> = said.split([' ', ';']).filter(|word| !word.is_empty()).collect();
    let begin = words.iter().position(|word| !BEFORE.contains(word))?;
    let end = words.iter().rposition(|word| !BEHIND.contains(&word.trim_end_matches(['.', '!'])))?;
    let core = words.get(begin..=end)?;
    let numbers = in_digits(core);
    (numbers.join(" ") != lower).then(|| numbers.join(" "))
}

/// Number words as digits: `twelve and a half`, `two hundred and ten`.
fn in_digits(words: &[&str]) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    let mut at = 0;
    while at < words.len() {
        match spelled(&words[at..]) {
            Some((number, used)) => {
                out.push(number.to_string());
                at += used;
            }
            None => {
                let half = words[at..].starts_with(&["and", "a", "half"]);
                // "Twelve and a half", "one hour and a half".
                let number = |place: usize| Some((place, out.get(place)?.parse::<f64>().ok()?));
                let before = (1..=2).find_map(|back| number(out.len().checked_sub(back)?));
                match (half, before) {
                    (true, Some((place, number))) => {
                        out[place] = (number + 0.5).to_string();
                        at += 3;
                    }
                    _ => {
                        out.push(words[at].to_owned());
                        at += 1;
                    }
                }
            }
        }
    }
    out
}

/// A number in words, and how many words it takes.
fn spelled(words: &[&str]) -> Option<(f64, usize)> {
    let (mut sum, mut used) = (0.0, 0);
    for word in words.iter().flat_map(|word| word.split('-')) {
        let one = ONES.iter().position(|known| *known == word).map(|place| place as f64);
        let ten = TENS.iter().position(|known| *known == word).map(|place| 20.0 + 10.0 * place as f64);
        match (one.or(ten), word) {
            (Some(number), _) => sum += number,
            (None, "hundred") if used > 0 => sum *= 100.0,
            (None, "thousand") if used > 0 => sum *= 1000.0,
            (None, "and") if used > 0 && sum >= 100.0 => {}
            _ => break,
        }
        used += 1;
    }
    // Words with a hyphen hold two.
    let mut whole = 0;
    let mut left = used;
    for word in words {
        let parts = word.split('-').count();
        if left < parts {
            break;
        }
        left -= parts;
        whole += 1;
    }
    (whole > 0).then_some((sum, whole))
}

/// A comma before exactly three digits is a thousands mark where nobody counts thousandths: hours and revs.
#[must_use]
pub fn without_thousands(text: &str, dimension: Dimension) -> String {
    if !matches!(dimension, Dimension::Time | Dimension::Revs) {
        return text.to_owned();
    }
    let letters: Vec<char> = text.chars().collect();
    let digit = |place: Option<usize>| place.and_then(|place| letters.get(place)).is_some_and(char::is_ascii_digit);
    let thousands = |place: usize| {
        digit(place.checked_sub(1)) && (1..=3).all(|more| digit(Some(place + more))) && !digit(Some(place + 4))
    };
    let kept = letters.iter().enumerate().filter(|(place, letter)| **letter != ',' || !thousands(*place));
    kept.map(|(_, letter)| *letter).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn amounts_are_taken_out_of_what_is_said_around_them() {
        for (said, plain) in [
            ("bit over 20 inches", "20 inches"),
            ("just short of 13 volts", "13 volts"),
            ("310 on the meter", "310"),
            ("twelve and a half", "12.5"),
            ("it's about 200", "200"),
            ("two hundred and ten", "210"),
            ("twenty-one inches", "21 inches"),
            ("15 or so", "15"),
            ("about an hour", "1 hour"),
            ("half an hour", "0.5 hour"),
            ("an hour and a half", "1.5 hour"),
            ("three quarters of an hour", "0.75 hour"),
        ] {
            assert_eq!(plain_amount(said).as_deref(), Some(plain), "{said}");
        }
        assert_eq!(plain_amount("20 in"), None);
        assert_eq!(plain_amount("about"), None);
    }

    #[test]
    fn every_ten_and_thousands_are_read_in_words() {
        for (said, plain) in [
            ("twenty psi", "20 psi"),
            ("thirty psi", "30 psi"),
            ("forty psi", "40 psi"),
            ("fifty psi", "50 psi"),
            ("sixty psi", "60 psi"),
            ("seventy psi", "70 psi"),
            ("eighty psi", "80 psi"),
            ("ninety psi", "90 psi"),
            ("ninety-nine psi", "99 psi"),
            ("three thousand rpm", "3000 rpm"),
            ("thirty-five hundred rpm", "3500 rpm"),
            ("five thousand and fifty rpm", "5050 rpm"),
        ] {
            assert_eq!(plain_amount(said).as_deref(), Some(plain), "{said}");
        }
    }

    #[test]
    fn thousands_are_marked_only_where_no_thousandths_are_meant() {
        assert_eq!(without_thousands("1,250 h", Dimension::Time), "1250 h");
        assert_eq!(without_thousands("5,500", Dimension::Revs), "5500");
        assert_eq!(without_thousands("12,5 h", Dimension::Time), "12,5 h");
        assert_eq!(without_thousands("1,250", Dimension::Length), "1,250");
    }
}
