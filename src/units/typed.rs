//! A figure in a fixed unit, one type a unit: what the arithmetic takes, so that no two inputs of
//! a formula can be swapped unseen. The number is public; the type is the label.

use std::fmt;

use super::{Dimension, Quantity, Unit, UnitError, figure};

/// A figure in a fixed unit, of which the dimension is known without a value.
pub trait Dimensioned: TryFrom<Quantity> + Copy + 'static {
    fn dimension() -> Dimension;
}

macro_rules! typed_figure {
    ($(#[$doc:meta])* $name:ident, $unit:expr) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
        pub struct $name(pub f64);

        impl TryFrom<Quantity> for $name {
            type Error = UnitError;

            fn try_from(amount: Quantity) -> Result<Self, UnitError> {
                let wanted: Dimension = $unit.dimension();
                if amount.dimension() == wanted {
                    Ok(Self(amount.to($unit).number))
                } else {
                    Err(UnitError::OtherDimension {
                        read: amount.to_string(),
                        found: amount.dimension(),
                        wanted,
                    })
                }
            }
        }

        impl Dimensioned for $name {
            fn dimension() -> Dimension {
                $unit.dimension()
            }
        }

        impl From<$name> for Quantity {
            fn from(amount: $name) -> Self {
                Self::new(amount.0, $unit)
            }
        }

        /// For a sentence: at most two places, and the unit.
        impl fmt::Display for $name {
            fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
                write!(out, "{} {}", figure(self.0, 2), $unit)
            }
        }
    };
}

typed_figure!(Inches, Unit::Inch);
typed_figure!(
    /// Used for heights above the sea only.
    Metres,
    Unit::Metre
);
typed_figure!(
    /// Gauge pressure, pounds-force a square inch.
    Psi,
    Unit::Psi
);
typed_figure!(
    /// Mechanical horsepower, 745.7 W.
    Horsepower,
    Unit::Horsepower
);
typed_figure!(Pounds, Unit::Pound);
typed_figure!(Mph, Unit::MilePerHour);
typed_figure!(Rpm, Unit::RevPerMinute);
typed_figure!(Volts, Unit::Volt);
typed_figure!(Degrees, Unit::Degree);
typed_figure!(Hours, Unit::Hour);

/// A share of one: 25 % is `Fraction(0.25)`.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Fraction(pub f64);

impl TryFrom<Quantity> for Fraction {
    type Error = UnitError;

    fn try_from(amount: Quantity) -> Result<Self, UnitError> {
        if amount.dimension() == Dimension::Percent {
            return Ok(Self(amount.house()));
        }
        Err(UnitError::OtherDimension {
            read: amount.to_string(),
            found: amount.dimension(),
            wanted: Dimension::Percent,
        })
    }
}

impl Dimensioned for Fraction {
    fn dimension() -> Dimension {
        Dimension::Percent
    }
}

/// For a sentence: as a percentage with at most one place.
impl fmt::Display for Fraction {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{} %", figure(self.0 * 100.0, 1))
    }
}

/// Calendar years; no question asks for them as an amount.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Years(pub f64);

/// For a sentence: "1 year", "12 years", "19.2 years".
impl fmt::Display for Years {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let number = figure(self.0, 1);
        let word = if number == "1" { "year" } else { "years" };
        write!(out, "{number} {word}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_typed_figure_takes_any_unit_of_its_dimension() {
        let height = Quantity::new(508.0, Unit::Millimetre);
        assert_eq!(Inches::try_from(height), Ok(Inches(20.0)));
        let share = Quantity::new(25.0, Unit::Percent);
        assert_eq!(Fraction::try_from(share), Ok(Fraction(0.25)));
    }

    #[test]
    fn a_typed_figure_refuses_another_dimension() {
        let height = Quantity::new(20.0, Unit::Inch);
        assert_eq!(
            Psi::try_from(height).map_err(|error| error.to_string()),
            Err("\"20 in\" is a length; wanted is a pressure (psi, kPa, bar or kg/cm2)".to_owned())
        );
    }

    #[test]
    fn typed_figures_print_for_a_sentence() {
        assert_eq!(Inches(16.5643).to_string(), "16.56 in");
        assert_eq!(Fraction(0.7333).to_string(), "73.3 %");
        assert_eq!(Years(1.0).to_string(), "1 year");
    }
}
