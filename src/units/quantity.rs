//! A number with its unit, kept as the buyer gave it.

use std::fmt;

use super::{Dimension, Unit};

/// An amount in the buyer's own unit.
///
/// Printed and read again by [`parse_quantity`](super::parse_quantity) it is the same to the last
/// bit: the shortest decimal form of the number, a blank, the unit's symbol.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Quantity {
    pub number: f64,
    pub unit: Unit,
}

impl Quantity {
    #[must_use]
    pub fn new(number: f64, unit: Unit) -> Self {
        Self { number, unit }
    }

    #[must_use]
    pub fn dimension(self) -> Dimension {
        self.unit.dimension()
    }

    /// The figure the arithmetic and the JSON use: in, psi, hp, lb, mph, rpm, V, F, degrees, h. A
    /// percentage becomes a fraction, so 25 % is 0.25.
    #[must_use]
    pub fn house(self) -> f64 {
        match self.unit {
            Unit::Percent => self.number / 100.0,
            unit => unit.number_in_house(self.number),
        }
    }

    /// The same amount in another unit of its dimension; in its own unit where the other is of
    /// another dimension, since there is no such amount.
    #[must_use]
    pub fn to(self, unit: Unit) -> Self {
        if unit == self.unit || unit.dimension() != self.dimension() {
            return self;
        }
        let number = unit.number_from_house(self.unit.number_in_house(self.number));
        Self { number, unit }
    }
}

impl fmt::Display for Quantity {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.unit == Unit::One {
            return write!(out, "{}", self.number);
        }
        write!(out, "{} {}", self.number, self.unit)
    }
}

/// A figure for a sentence: rounded to at most so many places, without closing noughts, never "-0".
#[must_use]
pub fn figure(number: f64, places: usize) -> String {
    let mut text = format!("{number:.places$}");
    if text.contains('.') {
        text.truncate(text.trim_end_matches('0').trim_end_matches('.').len());
    }
    if text == "-0" {
        text.remove(0);
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    fn close(one: f64, other: f64) -> bool {
        (one - other).abs() <= 5e-5 * other.abs().max(1.0)
    }

    // Check values from NIST SP 811 factors, computed with two other libraries.
    #[test]
    fn conversions_agree_with_the_published_factors() {
        let compression = Quantity::new(150.0, Unit::Psi);
        assert!(close(compression.to(Unit::Kilopascal).number, 1034.2136));
        assert!(close(compression.to(Unit::Bar).number, 10.342_136));
        let power = Quantity::new(115.0, Unit::Horsepower).to(Unit::Kilowatt);
        assert!(close(power.number, 85.7555));
        let knot = Quantity::new(1.0, Unit::Knot);
        assert!((knot.house() - 1.150_779_45).abs() < 1e-8);
        assert!((knot.to(Unit::KilometrePerHour).number - 1.852).abs() < 1e-15);
    }

    #[test]
    fn a_defined_length_is_exact_both_ways() {
        let height = Quantity::new(508.0, Unit::Millimetre);
        assert_eq!(height.house().to_bits(), 20.0_f64.to_bits());
        assert_eq!(Quantity::new(20.0, Unit::Inch).to(Unit::Millimetre), height);
    }

    #[test]
    fn a_percentage_is_worked_with_as_a_fraction() {
        assert_eq!(Quantity::new(25.0, Unit::Percent).house().to_bits(), 0.25_f64.to_bits());
    }

    #[test]
    fn water_boils_at_212() {
        let boiling = Quantity::new(100.0, Unit::Celsius);
        assert!((boiling.house() - 212.0).abs() < 1e-12);
        assert!((boiling.to(Unit::Fahrenheit).to(Unit::Celsius).number - 100.0).abs() < 1e-12);
    }

    #[test]
    fn there_is_no_length_in_psi() {
        let height = Quantity::new(20.0, Unit::Inch);
        assert_eq!(height.to(Unit::Psi), height);
    }

    #[test]
    fn the_buyers_own_number_and_unit_are_printed() {
        assert_eq!(Quantity::new(20.5, Unit::Inch).to_string(), "20.5 in");
        assert_eq!(Quantity::new(2.08, Unit::One).to_string(), "2.08");
        assert_eq!(Quantity::new(1200.0, Unit::Kilopascal).to_string(), "1200 kPa");
    }

    #[test]
    fn figures_carry_no_closing_noughts() {
        assert_eq!(figure(20.0, 2), "20");
        assert_eq!(figure(16.564, 2), "16.56");
        assert_eq!(figure(100.0, 0), "100");
        assert_eq!(figure(-0.001, 1), "0");
    }
}
