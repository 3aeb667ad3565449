//! The engine family name on the emission label: twelve characters, the first of them the model year.

use super::{Absent, Measured, Worked, Years};

const LENGTH: usize = 12;
/// Letters of 2010 to 2030; I, O, Q, U and Z are not used.
const LETTERS: &str = "ABCDEFGHJKLMNPRSTVWXY";

/// Years until the letters come round again.
const TURN: i16 = 30;
/// Before this year no marine engine carried such a label.
const FIRST_LABELS: i16 = 1998;

/// What the label tells.
#[derive(Clone, Debug, PartialEq)]
pub struct Label {
    pub year: i16,
    /// Displacement in litres, where the label gives it as a number.
    pub litres: Option<f64>,
}

/// Reads an engine family name (EPA, read): 1 model year, 2 to 4 maker, 5 the letter M for marine with
/// spark ignition, 6 to 9 displacement, 10 to 12 free. Blanks and capitals make no difference.
///
/// The letters W, X and Y came round a second time: a year that lies further ahead of `today`'s year than the next
/// one is 1998, 1999 or 2000 (from memory: marine engines carry such labels from 1998 on).
///
/// # Errors
/// A text that is not such a name, or has no such year.
pub fn label(text: &str, today: i16) -> Measured<Label> {
    let signs: Vec<char> =
        text.chars().filter(|sign| !sign.is_whitespace()).map(|sign| sign.to_ascii_uppercase()).collect();
    if signs.len() != LENGTH {
        return Err(Absent::LabelLength(signs.len()));
    }
    if signs[4] != 'M' {
        return Err(Absent::LabelNotMarine);
    }
    let first = signs[0];
    let printed = model_year(first).ok_or(Absent::LabelYear(first))?;
    let before = printed - TURN;
    let year = if printed > today + 1 && before >= FIRST_LABELS { before } else { printed };
    let litres = litres(&signs[5..9]);
    let size = move || litres.map_or_else(String::new, |litres| format!(", {litres} L"));
    let how = move || format!("first character {first} = {year}{}", size());
    Ok(Worked::new(Label { year, litres }, how))
}

/// 1 to 9 are 2001 to 2009, the letters 2010 to 2030.
fn model_year(sign: char) -> Option<i16> {
    if let Some(digit) = sign.to_digit(10) {
        return i16::try_from(digit).ok().filter(|digit| *digit > 0).map(|digit| 2000 + digit);
    }
    let place = LETTERS.find(sign)?;
    i16::try_from(place).ok().map(|place| 2010 + place)
}

/// Four characters such as `02.1`; a label without a point there writes something else.
fn litres(signs: &[char]) -> Option<f64> {
    let plain = signs.iter().all(|sign| sign.is_ascii_digit() || *sign == '.');
    if !plain || !signs.contains(&'.') {
        return None;
    }
    let text: String = signs.iter().collect();
    text.parse::<f64>().ok().filter(|litres| *litres > 0.0)
}

/// Years between the label and the claim, without sign; the working says which is the later.
#[must_use]
pub fn label_gap(label_year: i16, claimed: i16) -> Worked<Years> {
    let ahead = i32::from(label_year) - i32::from(claimed);
    let years = Years(f64::from(ahead.abs()));
    let how = move || match ahead {
        0 => format!("the label says {label_year}, as claimed"),
        ..0 => format!("the label says {label_year}, {years} older than the claimed {claimed}"),
        _ => format!("the label says {label_year}, {years} younger than the claimed {claimed}"),
    };
    Worked::new(years, how)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn year(text: &str) -> Option<i16> {
        label(text, 2031).ok().map(|found| found.value.year)
    }

    // EPA engine family names, read.
    #[test]
    fn the_first_character_is_the_model_year() {
        let found = label("BXXXM02.1XXX", 2031).expect("a label");
        assert_eq!(found.value.year, 2011);
        assert_eq!(found.value.litres, Some(2.1));
        assert_eq!(found.how(), "first character B = 2011, 2.1 L");
        assert_eq!(year("9XXXM02.1XXX"), Some(2009));
        assert_eq!(year("1XXXM02.1XXX"), Some(2001));
        assert_eq!(year("JXXXM02.1XXX"), Some(2018));
        assert_eq!(year("AXXXM02.1XXX"), Some(2010));
        assert_eq!(year("NXXXM02.1XXX"), Some(2022));
        assert_eq!(year("PXXXM02.1XXX"), Some(2023));
        assert_eq!(year("SXXXM02.1XXX"), Some(2025));
        assert_eq!(year("YXXXM02.1XXX"), Some(2030));
    }

    // From memory: the letters of 1998 to 2000 are those of 2028 to 2030.
    #[test]
    fn a_year_still_to_come_is_the_one_before_the_letters_came_round() {
        let year = |text: &str, today| label(text, today).ok().map(|found| found.value.year);
        assert_eq!(year("XXXXM02.1XXX", 2026), Some(1999));
        assert_eq!(year("WXXXM02.1XXX", 2026), Some(1998));
        assert_eq!(year("WXXXM02.1XXX", 2027), Some(2028));
        // Next year's model is sold this year; before 1998 there was no such label.
        assert_eq!(year("VXXXM02.1XXX", 2026), Some(2027));
        assert_eq!(year("VXXXM02.1XXX", 2025), Some(2027));
    }

    // EPA engine family names, read: letters that are never a year.
    #[test]
    fn some_letters_stand_for_no_year() {
        for letter in ["I", "O", "Q", "U", "Z", "0", "é"] {
            assert_eq!(year(&format!("{letter}XXXM02.1XXX")), None, "{letter}");
        }
    }

    #[test]
    fn other_labels_are_told_apart() {
        let told = label("BXXXT02.1XXX", 2031).expect_err("not marine").to_string();
        assert!(told.contains("fifth character is not M"));
        assert!(label("BXXXM02.1XX", 2031).expect_err("too short").to_string().contains("this has 11"));
    }

    #[test]
    fn blanks_and_small_letters_make_no_difference() {
        assert_eq!(year("bxxx m02.1 xxx"), Some(2011));
    }

    #[test]
    fn a_displacement_that_is_no_number_is_left_out() {
        assert_eq!(label("BXXXM0747XXX", 2031).expect("a label").value.litres, None);
        assert_eq!(label("BXXXM0.0.XXX", 2031).expect("a label").value.litres, None);
    }

    #[test]
    fn the_gap_has_no_sign() {
        assert_eq!(label_gap(2011, 2014).value, Years(3.0));
        assert_eq!(label_gap(2014, 2011).value, Years(3.0));
        assert_eq!(label_gap(2011, 2014).how(), "the label says 2011, 3 years older than the claimed 2014");
        assert_eq!(label_gap(2014, 2014).value, Years(0.0));
    }
}
