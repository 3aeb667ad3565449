//! Reading a typed amount.
//!
//! Understood: `20`, `20 in`, `20.5"`, `15,5 hp`, `20 1/2 in`, `20-1/2"`, `20½`, `1 ft 8 in`, `1'8"`,
//! `5'`, `1 h 30 min`, `about 12 V`, `~12`, and for a ratio `2.08`, `2.08:1`, `27/13`, `13:27`.
//! A bare number takes the usual unit. A comma is a decimal mark. What can be read in two ways is
//! refused: nothing here guesses, and bounds are the question's business.

use super::{Dimension, Quantity, Unit, UnitError};

/// Units that are said together; the amount becomes one number of the second.
const PAIRS: [(Unit, Unit, f64); 3] =
    [(Unit::Foot, Unit::Inch, 12.0), (Unit::Metre, Unit::Centimetre, 100.0), (Unit::Hour, Unit::Minute, 60.0)];

const ABOUT: [&str; 9] = ["about", "around", "roughly", "approx.", "approx", "circa", "ca.", "ca", "c."];

/// What a fraction that is not a ratio may be over: the marks on a tape, and thirds.
const PARTS: [f64; 7] = [2.0, 3.0, 4.0, 8.0, 16.0, 32.0, 64.0];

/// Reads one amount of `dimension`; a bare number is taken in the `usual` unit.
///
/// A fraction such as `1/2` must be smaller than one and of halves, thirds, quarters, eighths and so on,
/// so that "150/160" is told rather than divided; for a ratio any `a/b` is divided. A ratio with a colon (`2.08:1`, `1:2.08`,
/// `13:27`) is the larger over the smaller, except that beside a 1 the other number is taken as it
/// stands: gear ratios are printed either way round.
///
/// # Errors
/// [`UnitError`] says what was read and what would be taken.
pub fn parse_quantity(text: &str, dimension: Dimension, usual: Unit) -> Result<Quantity, UnitError> {
    let typed = Typed { read: text.trim(), dimension, usual };
    let plain = plain_text(typed.read);
    let plain = without_about(&plain);
    if plain.is_empty() {
        return Err(UnitError::Empty { wanted: dimension });
    }
    let (below, plain) = match plain.strip_prefix('-') {
        Some(rest) => (true, rest.trim_start()),
        None => (false, plain.strip_prefix('+').unwrap_or(plain)),
    };
    let (number, rest) = typed.number(plain)?;
    if below && !dimension.may_be_negative() {
        return Err(UnitError::Negative { read: typed.read.to_owned(), wanted: dimension });
    }
    let amount = typed.with_unit(number, rest.trim())?;
    if !amount.house().is_finite() {
        return Err(typed.too_large());
    }
    let number = if below { -amount.number } else { amount.number };
    Ok(Quantity { number, ..amount })
}

/// What was typed, and what for: carried along so that every refusal can say both.
#[derive(Clone, Copy)]
struct Typed<'a> {
    read: &'a str,
    dimension: Dimension,
    usual: Unit,
}

impl Typed<'_> {
    fn not_one_number(self) -> UnitError {
        UnitError::NotOneNumber { read: self.read.to_owned(), wanted: self.dimension }
    }

    fn too_large(self) -> UnitError {
        UnitError::TooLarge { read: self.read.to_owned(), wanted: self.dimension }
    }

    /// A decimal number, a fraction, a mixed number, or for a ratio two numbers with a colon.
    fn number(self, text: &str) -> Result<(f64, &str), UnitError> {
        let (first, rest) = self.decimal(text)?;
        if let Some(second) = rest.trim_start().strip_prefix('/')
            && second.trim_start().starts_with(|c: char| c.is_ascii_digit())
        {
            let (second, rest) = self.decimal(second.trim_start())?;
            return Ok((self.divided(first, second)?, rest));
        }
        if self.dimension == Dimension::Ratio
            && let Some(second) = rest.trim_start().strip_prefix(':')
        {
            let (second, rest) = self.decimal(second.trim_start())?;
            return Ok((self.geared(first, second)?, rest));
        }
        if let Some((upper, lower, rest)) = trailing_fraction(rest) {
            let (upper, _) = self.decimal(upper)?;
            let (lower, _) = self.decimal(lower)?;
            if first.fract() != 0.0 || upper >= lower && lower != 0.0 {
                return Err(self.not_one_number());
            }
            return Ok((first + self.divided(upper, lower)?, rest));
        }
        Ok((first, rest))
    }

    /// Digits with at most one decimal mark, point or comma.
    fn decimal(self, text: &str) -> Result<(f64, &str), UnitError> {
        let whole = digits(text);
        let rest = &text[whole..];
        let part = match rest.strip_prefix(['.', ',']) {
            Some(after) => digits(after),
            None => 0,
        };
        let pointed = rest.starts_with('.') && whole > 0;
        let length = match part {
            0 if whole == 0 => {
                return Err(UnitError::NoNumber { read: self.read.to_owned(), wanted: self.dimension });
            }
            // "5." is five; "5," is left to be told.
            0 => whole + usize::from(pointed),
            _ => whole + 1 + part,
        };
        let (number, rest) = text.split_at(length);
        let again = rest.trim_start_matches(['.', ',']);
        if again.len() < rest.len() && digits(again) > 0 {
            return Err(self.not_one_number());
        }
        match number.replace(',', ".").parse::<f64>() {
            Ok(number) if number.is_finite() => Ok((number, rest)),
            _ => Err(self.too_large()),
        }
    }

    fn divided(self, upper: f64, lower: f64) -> Result<f64, UnitError> {
        if lower == 0.0 {
            return Err(UnitError::OverNought { read: self.read.to_owned(), wanted: self.dimension });
        }
        let part_of_one = upper < lower && upper.fract() == 0.0 && PARTS.contains(&lower);
        if part_of_one || self.dimension == Dimension::Ratio {
            return Ok(upper / lower);
        }
        Err(self.not_one_number())
    }

    fn geared(self, first: f64, second: f64) -> Result<f64, UnitError> {
        let one = |number: f64| (number - 1.0).abs() < f64::EPSILON;
        if one(second) {
            Ok(first)
        } else if one(first) {
            Ok(second)
        } else {
            self.divided(first.max(second), first.min(second))
        }
    }

    /// The unit after the number: none, one, or a second number of the smaller unit of a pair.
    fn with_unit(self, number: f64, rest: &str) -> Result<Quantity, UnitError> {
        if rest.is_empty() {
            return Ok(Quantity::new(number, self.usual));
        }
        if let Some(unit) = Unit::from_symbol(rest) {
            return Ok(Quantity::new(number, self.own(unit)?));
        }
        let Some(start) = rest.find(|c: char| c.is_ascii_digit()) else {
            return Err(self.unknown(rest));
        };
        let (head, tail) = rest.split_at(start);
        match Unit::from_symbol(head).and_then(pair_of) {
            Some((larger, smaller, size)) => {
                self.own(larger)?;
                let more = self.second_number(tail, smaller)?;
                Ok(Quantity::new(number * size + more, smaller))
            }
            None if known_or_mark(head) => Err(self.not_one_number()),
            None => Err(self.unknown(rest)),
        }
    }

    fn second_number(self, tail: &str, smaller: Unit) -> Result<f64, UnitError> {
        let (more, rest) = self.number(tail)?;
        let rest = rest.trim();
        if rest.is_empty() || Unit::from_symbol(rest) == Some(smaller) {
            return Ok(more);
        }
        Err(self.not_one_number())
    }

    /// The unit if it belongs to the dimension. "60 degrees" of temperature are the usual ones.
    fn own(self, unit: Unit) -> Result<Unit, UnitError> {
        if unit.dimension() == self.dimension {
            Ok(unit)
        } else if unit == Unit::Degree && self.dimension == Dimension::Temperature {
            Ok(self.usual)
        } else {
            Err(UnitError::OtherDimension {
                read: self.read.to_owned(),
                found: unit.dimension(),
                wanted: self.dimension,
            })
        }
    }

    fn unknown(self, symbol: &str) -> UnitError {
        UnitError::UnknownUnit { read: self.read.to_owned(), symbol: symbol.to_owned(), wanted: self.dimension }
    }
}

/// Typographic signs as a keyboard has them; a fraction sign as blank, number, stroke, number.
fn plain_text(text: &str) -> String {
    let mut plain = String::with_capacity(text.len());
    for sign in text.chars() {
        match sign {
            '½' => plain.push_str(" 1/2"),
            '¼' => plain.push_str(" 1/4"),
            '¾' => plain.push_str(" 3/4"),
            '⅓' => plain.push_str(" 1/3"),
            '⅔' => plain.push_str(" 2/3"),
            '⅛' => plain.push_str(" 1/8"),
            '⅜' => plain.push_str(" 3/8"),
            '⅝' => plain.push_str(" 5/8"),
            '⅞' => plain.push_str(" 7/8"),
            '⁄' => plain.push('/'),
            '−' | '–' => plain.push('-'),
            '″' | '”' | '“' => plain.push('"'),
            '′' | '’' | '‘' => plain.push('\''),
            blank if blank.is_whitespace() => plain.push(' '),
            other => plain.push(other),
        }
    }
    plain.replace("''", "\"").trim().to_owned()
}

/// The text without a leading "about": the amount is taken at its word either way.
fn without_about(text: &str) -> &str {
    let text = text.trim_start_matches(['~', '≈']).trim_start();
    for word in ABOUT {
        if let Some(head) = text.get(..word.len())
            && head.eq_ignore_ascii_case(word)
            && !text[word.len()..].starts_with(char::is_alphabetic)
        {
            return text[word.len()..].trim_start();
        }
    }
    text
}

/// How many leading bytes are digits.
fn digits(text: &str) -> usize {
    text.bytes().take_while(u8::is_ascii_digit).count()
}

/// The fraction of a mixed number: ` 1/2 in` or `-1/2"` gives 1, 2 and what follows.
fn trailing_fraction(text: &str) -> Option<(&str, &str, &str)> {
    let inner = text.trim_start();
    let inner = match inner.strip_prefix('-') {
        Some(after) => after.trim_start(),
        None if inner.len() < text.len() => inner,
        None => return None,
    };
    let upper = digits(inner);
    let lower_text = inner.get(upper..)?.strip_prefix('/')?;
    let lower = digits(lower_text);
    if upper == 0 || lower == 0 {
        return None;
    }
    Some((&inner[..upper], &lower_text[..lower], &lower_text[lower..]))
}

fn pair_of(unit: Unit) -> Option<(Unit, Unit, f64)> {
    PAIRS.into_iter().find(|(larger, _, _)| *larger == unit)
}

/// Whether what stands between two numbers is a unit or a mere mark, so that it is the second number
/// that is too many.
fn known_or_mark(between: &str) -> bool {
    let word = between.trim_end_matches([' ', '-', ',', ';', '/']);
    word.chars().all(|c| !c.is_alphanumeric()) || Unit::from_symbol(word).is_some()
}

#[cfg(test)]
mod tests;
