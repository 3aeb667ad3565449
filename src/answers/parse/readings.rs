//! Lists of readings: `178 180 176 psi`, `12,4 bar; 12,1 bar`, `178,180,176`, `150 ? 148`.
//!
//! Blanks, `;`, `/` and a comma with a blank separate. A comma between digits is a decimal mark or separates,
//! whichever gives the number of values that is wanted; when that does not decide, it is refused.

use crate::knowledge::Amount;
use crate::units::{Quantity, parse_quantity};

use super::{Refusal, sentence, within};

/// Reads one entry a cylinder, `None` for `?`.
pub fn parse_readings(
    amount: &Amount,
    typed: &str,
    wanted: Option<usize>,
) -> Result<Vec<Option<Quantity>>, Refusal> {
    let words = split_words(typed);
    let entries = choose_commas(entries_of(&words), wanted)?;
    let last_unit = entries.iter().rev().find_map(|entry| entry.unit.clone());
    let trailing = entries.last().and_then(|entry| entry.unit.clone());
    let shared = if entries.iter().filter(|entry| entry.unit.is_some()).count() == 1 { trailing } else { None };
    if last_unit.is_some()
        && shared.is_none()
        && entries.iter().any(|entry| entry.unit.is_none() && entry.number != "?")
    {
        return Err(Refusal::new(
            "Some readings have a unit and some have none. Put the unit behind each, or once at the end.",
        ));
    }
    let read = |entry: &Entry| {
        if entry.number == "?" {
            return Ok(None);
        }
        let unit = entry.unit.as_ref().or(shared.as_ref()).map_or("", String::as_str);
        let quantity = parse_quantity(&format!("{} {unit}", entry.number), amount.dimension, amount.unit)
            .map_err(|problem| Refusal::new(sentence(&problem.to_string())))?;
        within(amount, quantity).map(Some)
    };
    let all: Vec<Option<Quantity>> = entries.iter().map(read).collect::<Result<_, _>>()?;
    if let Some(wanted) = wanted.filter(|wanted| *wanted != entries.len()) {
        return Err(Refusal::new(format!(
            "I read {} for {wanted}. One reading for each, with blanks between; ? for one that was not read.",
            entries.len()
        )));
    }
    if all.iter().all(Option::is_none) {
        return Err(Refusal::new("Not one reading in it. When none was taken, say can't tell or not done."));
    }
    Ok(all)
}

#[derive(Clone, Debug)]
struct Entry {
    number: String,
    unit: Option<String>,
}

/// Words between blanks, `;`, `/` and a comma with a blank; the slash of a unit such as kg/cm2 stays.
fn split_words(typed: &str) -> Vec<String> {
    let kept = typed.to_lowercase().replace("kg/cm", "kg\u{1}cm").replace("lbf/in", "lbf\u{1}in");
    let spaced = kept.replace([';', '/', '|'], " ").replace(", ", " ").replace(" and ", " ");
    spaced.split_whitespace().map(|word| word.trim_end_matches(',').replace('\u{1}', "/")).collect()
}

/// A word that begins with a digit or `?` begins an entry; any other word is the unit of the one before.
fn entries_of(words: &[String]) -> Vec<Entry> {
    let mut entries: Vec<Entry> = Vec::new();
    for word in words.iter().filter(|word| !word.is_empty()) {
        let numeric =
            word.len() - word.trim_start_matches(|c: char| c.is_ascii_digit() || ".,?-".contains(c)).len();
        let (number, unit) = word.split_at(numeric);
        let unit = (!unit.is_empty()).then(|| unit.to_owned());
        match entries.last_mut() {
            Some(last) if number.is_empty() && last.unit.is_none() => last.unit = unit,
            _ => entries.push(Entry { number: number.to_owned(), unit }),
        }
    }
    entries
}

/// Decides what commas between digits mean.
fn choose_commas(entries: Vec<Entry>, wanted: Option<usize>) -> Result<Vec<Entry>, Refusal> {
    let commas: Vec<usize> = entries.iter().map(|entry| entry.number.matches(',').count()).collect();
    let separated: usize = commas.iter().map(|count| count + 1).sum();
    let could_be_decimal = commas.iter().all(|count| *count <= 1);
    if separated == entries.len() {
        return Ok(entries);
    }
    match (wanted, could_be_decimal) {
        (Some(wanted), true) if wanted == entries.len() => Ok(entries),
        (Some(wanted), _) if wanted == separated => Ok(split_at_commas(&entries)),
        (None, false) if entries.len() == 1 => Ok(split_at_commas(&entries)),
        _ => Err(Refusal::new(
            "I can't tell whether the comma is a decimal mark or stands between two readings. Put blanks between the readings.",
        )),
    }
}

fn split_at_commas(entries: &[Entry]) -> Vec<Entry> {
    let mut all = Vec::new();
    for entry in entries {
        let parts: Vec<&str> = entry.number.split(',').collect();
        let last = parts.len() - 1;
        for (place, part) in parts.iter().enumerate() {
            let unit = if place == last { entry.unit.clone() } else { None };
            all.push(Entry { number: (*part).to_owned(), unit });
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::knowledge::Text;
    use crate::units::{Dimension, Unit};

    fn psi(typed: &str, wanted: Option<usize>) -> Option<Vec<f64>> {
        let amount = Amount {
            dimension: Dimension::Pressure,
            unit: Unit::Psi,
            least: 0.0,
            most: 1000.0,
            bounds: ("0 psi".into(), "1000 psi".into()),
            usual: None,
            beyond: Text::default(),
        };
        let read = parse_readings(&amount, typed, wanted).ok()?;
        Some(read.into_iter().map(|one| one.map_or(-1.0, |one| one.to(Unit::Psi).number)).collect())
    }

    /// With two commas in it a number is a list, whether or not it is known how many cylinders there are.
    #[test]
    fn commas_without_blanks_separate_where_no_number_has_two() {
        for wanted in [None, Some(3)] {
            assert_eq!(psi("120,118,121 psi", wanted), Some(vec![120.0, 118.0, 121.0]), "{wanted:?}");
        }
        assert_eq!(psi("120,118,121", None), Some(vec![120.0, 118.0, 121.0]));
        assert_eq!(psi("120,118,?", None), Some(vec![120.0, 118.0, -1.0]));
    }

    /// A unit stands behind each, or once at the end; what was not read needs none.
    #[test]
    fn a_unit_stands_behind_each_reading_or_once() {
        for text in ["150 148 150 psi", "150 psi 148 psi 150 psi", "150 148 150"] {
            assert_eq!(psi(text, Some(3)), Some(vec![150.0, 148.0, 150.0]), "{text}");
        }
        assert_eq!(psi("150 psi ? 148 psi", Some(3)), Some(vec![150.0, -1.0, 148.0]));
        assert_eq!(psi("150 psi 148 150 psi", Some(3)), None);
        assert_eq!(psi("150 psi 148 150", Some(3)), None, "nobody knows of which the others are");
    }

    /// One comma in a number may be either: the number of cylinders decides, and nothing else.
    #[test]
    fn a_comma_that_may_be_either_is_refused() {
        assert_eq!(psi("120,5 118", None), None);
        assert_eq!(psi("120,5 118,5", Some(2)), Some(vec![120.5, 118.5]));
        assert_eq!(psi("120,5 118,5", Some(4)), Some(vec![120.0, 5.0, 118.0, 5.0]));
        assert_eq!(psi("120,5,3 118", None), None, "a list beside a number is no list of its own");
    }
}
