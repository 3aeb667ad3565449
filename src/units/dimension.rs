//! The kinds of amount a question can ask for.

use std::fmt;

use super::Unit;

/// What an amount is an amount of. The question data names it in lower case ("length").
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Dimension {
    Length,
    Pressure,
    Power,
    Mass,
    Speed,
    Revs,
    Ratio,
    Percent,
    Temperature,
    Voltage,
    Angle,
    Time,
}

impl Dimension {
    pub const ALL: [Self; 12] = [
        Self::Length,
        Self::Pressure,
        Self::Power,
        Self::Mass,
        Self::Speed,
        Self::Revs,
        Self::Ratio,
        Self::Percent,
        Self::Temperature,
        Self::Voltage,
        Self::Angle,
        Self::Time,
    ];

    /// The dimension of that name in the question data, spelled exactly.
    #[must_use]
    pub fn from_name(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|dimension| dimension.name() == name)
    }

    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Length => "length",
            Self::Pressure => "pressure",
            Self::Power => "power",
            Self::Mass => "mass",
            Self::Speed => "speed",
            Self::Revs => "revs",
            Self::Ratio => "ratio",
            Self::Percent => "percent",
            Self::Temperature => "temperature",
            Self::Voltage => "voltage",
            Self::Angle => "angle",
            Self::Time => "time",
        }
    }

    /// Its units, the house unit first.
    #[must_use]
    pub fn units(self) -> &'static [Unit] {
        match self {
            Self::Length => &[Unit::Inch, Unit::Foot, Unit::Centimetre, Unit::Millimetre, Unit::Metre],
            Self::Pressure => &[Unit::Psi, Unit::Kilopascal, Unit::Bar, Unit::KilogramPerSquareCentimetre],
            Self::Power => &[Unit::Horsepower, Unit::Kilowatt, Unit::MetricHorsepower],
            Self::Mass => &[Unit::Pound, Unit::Kilogram],
            Self::Speed => &[Unit::MilePerHour, Unit::Knot, Unit::KilometrePerHour],
            Self::Revs => &[Unit::RevPerMinute],
            Self::Ratio => &[Unit::One],
            Self::Percent => &[Unit::Percent],
            Self::Temperature => &[Unit::Fahrenheit, Unit::Celsius],
            Self::Voltage => &[Unit::Volt],
            Self::Angle => &[Unit::Degree],
            Self::Time => &[Unit::Hour, Unit::Minute, Unit::Second],
        }
    }

    /// The unit every figure of this dimension is worked with and given in as JSON. A percentage is
    /// worked with as a fraction: see [`Quantity::house`](super::Quantity::house).
    #[must_use]
    pub fn house_unit(self) -> Unit {
        self.units()[0]
    }

    /// Only a temperature goes below nought.
    #[must_use]
    pub fn may_be_negative(self) -> bool {
        self == Self::Temperature
    }

    /// What would be taken, in words: "a length (in, ft, cm, mm or m)".
    #[must_use]
    pub fn wanted(self) -> String {
        let kind = match self {
            Self::Length => "a length",
            Self::Pressure => "a pressure",
            Self::Power => "a power",
            Self::Mass => "a weight",
            Self::Speed => "a speed",
            Self::Revs => "a number of revs",
            Self::Ratio => return "a plain number such as 2.08 or 27/13".to_owned(),
            Self::Percent => "a percentage",
            Self::Temperature => "a temperature",
            Self::Voltage => "a voltage",
            Self::Angle => "an angle",
            Self::Time => "a time",
        };
        let symbols: Vec<&str> = self.units().iter().map(|unit| unit.symbol()).collect();
        let listed = match symbols.split_last() {
            Some((last, [])) => (*last).to_owned(),
            Some((last, others)) => format!("{} or {last}", others.join(", ")),
            None => String::new(),
        };
        format!("{kind} ({listed})")
    }
}

impl fmt::Display for Dimension {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(self.name())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_name_leads_back_to_its_dimension() {
        for dimension in Dimension::ALL {
            assert_eq!(Dimension::from_name(dimension.name()), Some(dimension));
        }
        assert_eq!(Dimension::from_name("Length"), None);
    }

    #[test]
    fn every_unit_listed_belongs_to_the_dimension_that_lists_it() {
        for dimension in Dimension::ALL {
            for unit in dimension.units() {
                assert_eq!(unit.dimension(), dimension, "{unit:?}");
            }
        }
    }

    #[test]
    fn what_is_wanted_names_every_unit() {
        assert_eq!(Dimension::Length.wanted(), "a length (in, ft, cm, mm or m)");
        assert_eq!(Dimension::Revs.wanted(), "a number of revs (rpm)");
    }
}
