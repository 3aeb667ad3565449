//! The units, their spellings, and their size measured in the house unit of their dimension.
//!
//! Every factor comes from an exact definition (NIST Special Publication 811, appendix B): the inch
//! is 25.4 mm, the pound 0.45359237 kg, standard gravity 9.80665 m/s², the mile 1609.344 m, the
//! nautical mile 1852 m, the horsepower 550 ft·lbf/s, the metric horsepower 75 m·kgf/s.

use std::fmt;

use super::Dimension;

const INCH_M: f64 = 0.0254;
const POUND_KG: f64 = 0.453_592_37;
const GRAVITY: f64 = 9.806_65;
/// One pound-force in newtons: 4.448 221 615 260 5.
const POUND_FORCE_N: f64 = POUND_KG * GRAVITY;
/// One pound-force a square inch in kilopascals: 6.894 757 293 168 361.
const PSI_KPA: f64 = POUND_FORCE_N / (INCH_M * INCH_M) / 1000.0;
/// One mechanical horsepower in watts: 745.699 871 582 270 22.
const HORSEPOWER_W: f64 = 550.0 * 12.0 * INCH_M * POUND_FORCE_N;
/// One metric horsepower in watts: 735.498 75.
const METRIC_HORSEPOWER_W: f64 = 75.0 * GRAVITY;
const MILE_KM: f64 = 1.609_344;
const NAUTICAL_MILE_KM: f64 = 1.852;

/// A unit of one dimension.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Unit {
    Inch,
    Foot,
    Centimetre,
    Millimetre,
    Metre,
    Psi,
    Kilopascal,
    Bar,
    KilogramPerSquareCentimetre,
    Horsepower,
    Kilowatt,
    MetricHorsepower,
    Pound,
    Kilogram,
    MilePerHour,
    Knot,
    KilometrePerHour,
    RevPerMinute,
    /// The unit of a ratio: none.
    One,
    Percent,
    Fahrenheit,
    Celsius,
    Volt,
    Degree,
    Hour,
    Minute,
    Second,
}

impl Unit {
    pub const ALL: [Self; 27] = [
        Self::Inch,
        Self::Foot,
        Self::Centimetre,
        Self::Millimetre,
        Self::Metre,
        Self::Psi,
        Self::Kilopascal,
        Self::Bar,
        Self::KilogramPerSquareCentimetre,
        Self::Horsepower,
        Self::Kilowatt,
        Self::MetricHorsepower,
        Self::Pound,
        Self::Kilogram,
        Self::MilePerHour,
        Self::Knot,
        Self::KilometrePerHour,
        Self::RevPerMinute,
        Self::One,
        Self::Percent,
        Self::Fahrenheit,
        Self::Celsius,
        Self::Volt,
        Self::Degree,
        Self::Hour,
        Self::Minute,
        Self::Second,
    ];

    /// The unit spelled so. Capitals, blanks inside, a closing full stop and raised figures make no
    /// difference; no two units share a spelling.
    #[must_use]
    pub fn from_symbol(text: &str) -> Option<Self> {
        let spelled: String = text
            .trim()
            .trim_end_matches('.')
            .chars()
            .filter(|letter| !letter.is_whitespace())
            .flat_map(char::to_lowercase)
            .map(plain_letter)
            .collect();
        Self::ALL.into_iter().find(|unit| unit.spellings().contains(&spelled.as_str()))
    }

    /// The short form that is printed after a number; empty for a ratio.
    #[must_use]
    pub fn symbol(self) -> &'static str {
        match self {
            Self::Inch => "in",
            Self::Foot => "ft",
            Self::Centimetre => "cm",
            Self::Millimetre => "mm",
            Self::Metre => "m",
            Self::Psi => "psi",
            Self::Kilopascal => "kPa",
            Self::Bar => "bar",
            Self::KilogramPerSquareCentimetre => "kg/cm2",
            Self::Horsepower => "hp",
            Self::Kilowatt => "kW",
            Self::MetricHorsepower => "PS",
            Self::Pound => "lb",
            Self::Kilogram => "kg",
            Self::MilePerHour => "mph",
            Self::Knot => "kn",
            Self::KilometrePerHour => "km/h",
            Self::RevPerMinute => "rpm",
            Self::One => "",
            Self::Percent => "%",
            Self::Fahrenheit => "F",
            Self::Celsius => "C",
            Self::Volt => "V",
            Self::Degree => "deg",
            Self::Hour => "h",
            Self::Minute => "min",
            Self::Second => "s",
        }
    }

    /// Every spelling that is understood, in lower case, without blanks.
    fn spellings(self) -> &'static [&'static str] {
        match self {
            Self::Inch => &["in", "inch", "inches", "ins", "\""],
            Self::Foot => &["ft", "foot", "feet", "'"],
            Self::Centimetre => &["cm", "centimetre", "centimetres", "centimeter", "centimeters"],
            Self::Millimetre => &["mm", "millimetre", "millimetres", "millimeter", "millimeters"],
            Self::Metre => &["m", "metre", "metres", "meter", "meters"],
            Self::Psi => &["psi", "psig", "lbf/in2", "lb/in2", "lbs/in2", "lb/sqin", "lbs/sqin"],
            Self::Kilopascal => &["kpa", "kilopascal", "kilopascals"],
            Self::Bar => &["bar", "bars"],
            Self::KilogramPerSquareCentimetre => &["kg/cm2", "kgf/cm2", "kp/cm2", "kg/sqcm", "kg/cm^2", "kgf/cm^2"],
            Self::Horsepower => &["hp", "bhp", "horsepower", "horse", "horses"],
            Self::Kilowatt => &["kw", "kilowatt", "kilowatts"],
            Self::MetricHorsepower => &["ps", "cv", "ch", "pk", "hk", "metrichp", "metrichorsepower", "hp(metric)"],
            Self::Pound => &["lb", "lbs", "pound", "pounds"],
            Self::Kilogram => &["kg", "kgs", "kilo", "kilos", "kilogram", "kilograms"],
            Self::MilePerHour => &["mph", "mi/h", "milesperhour", "milesanhour"],
            Self::Knot => &["kn", "kt", "kts", "knot", "knots"],
            Self::KilometrePerHour => &["km/h", "kmh", "kph", "kmph"],
            Self::RevPerMinute => &["rpm", "rev", "revs", "r/min", "rev/min", "1/min"],
            Self::One => &[],
            Self::Percent => &["%", "percent", "percents", "pct"],
            Self::Fahrenheit => &["f", "°f", "degf", "fahrenheit", "degreesf"],
            Self::Celsius => &["c", "°c", "degc", "celsius", "degreesc", "centigrade"],
            Self::Volt => &["v", "volt", "volts", "vdc"],
            Self::Degree => &["deg", "degs", "°", "degree", "degrees"],
            Self::Hour => &["h", "hr", "hrs", "hour", "hours"],
            Self::Minute => &["min", "mins", "minute", "minutes"],
            Self::Second => &["s", "sec", "secs", "second", "seconds"],
        }
    }

    #[must_use]
    pub fn dimension(self) -> Dimension {
        match self {
            Self::Inch | Self::Foot | Self::Centimetre | Self::Millimetre | Self::Metre => Dimension::Length,
            Self::Psi | Self::Kilopascal | Self::Bar | Self::KilogramPerSquareCentimetre => Dimension::Pressure,
            Self::Horsepower | Self::Kilowatt | Self::MetricHorsepower => Dimension::Power,
            Self::Pound | Self::Kilogram => Dimension::Mass,
            Self::MilePerHour | Self::Knot | Self::KilometrePerHour => Dimension::Speed,
            Self::RevPerMinute => Dimension::Revs,
            Self::One => Dimension::Ratio,
            Self::Percent => Dimension::Percent,
            Self::Fahrenheit | Self::Celsius => Dimension::Temperature,
            Self::Volt => Dimension::Voltage,
            Self::Degree => Dimension::Angle,
            Self::Hour | Self::Minute | Self::Second => Dimension::Time,
        }
    }

    /// The size of the unit in house units as multiplier and divisor. Two numbers, so that a defined
    /// factor is used once and 508 mm is 20 in to the last bit.
    fn scale(self) -> (f64, f64) {
        match self {
            Self::Foot => (12.0, 1.0),
            Self::Centimetre => (1.0, 2.54),
            Self::Millimetre => (1.0, 25.4),
            Self::Metre => (1.0, INCH_M),
            Self::Kilopascal => (1.0, PSI_KPA),
            Self::Bar => (100.0, PSI_KPA),
            Self::KilogramPerSquareCentimetre => (10.0 * GRAVITY, PSI_KPA),
            Self::Kilowatt => (1000.0, HORSEPOWER_W),
            Self::MetricHorsepower => (METRIC_HORSEPOWER_W, HORSEPOWER_W),
            Self::Kilogram => (1.0, POUND_KG),
            Self::Knot => (NAUTICAL_MILE_KM, MILE_KM),
            Self::KilometrePerHour => (1.0, MILE_KM),
            Self::Minute => (1.0, 60.0),
            Self::Second => (1.0, 3600.0),
            Self::Inch
            | Self::Psi
            | Self::Horsepower
            | Self::Pound
            | Self::MilePerHour
            | Self::RevPerMinute
            | Self::One
            | Self::Percent
            | Self::Fahrenheit
            | Self::Celsius
            | Self::Volt
            | Self::Degree
            | Self::Hour => (1.0, 1.0),
        }
    }

    /// A number of this unit as a number of the dimension's house unit.
    pub(super) fn number_in_house(self, number: f64) -> f64 {
        if self == Self::Celsius {
            return number * 9.0 / 5.0 + 32.0;
        }
        let (multiplier, divisor) = self.scale();
        number * multiplier / divisor
    }

    /// The reverse of [`Unit::number_in_house`].
    pub(super) fn number_from_house(self, number: f64) -> f64 {
        if self == Self::Celsius {
            return (number - 32.0) * 5.0 / 9.0;
        }
        let (multiplier, divisor) = self.scale();
        number * divisor / multiplier
    }
}

/// Raised figures and typographic marks as the keys of a keyboard.
fn plain_letter(letter: char) -> char {
    match letter {
        '²' => '2',
        'º' | '˚' => '°',
        '″' | '”' | '“' => '"',
        '′' | '’' | '‘' => '\'',
        other => other,
    }
}

impl fmt::Display for Unit {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(self.symbol())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeMap;

    #[test]
    fn every_symbol_leads_back_to_its_unit() {
        for unit in Unit::ALL.into_iter().filter(|unit| *unit != Unit::One) {
            assert_eq!(Unit::from_symbol(unit.symbol()), Some(unit));
        }
    }

    #[test]
    fn no_spelling_belongs_to_two_units() {
        let mut owners = BTreeMap::new();
        for unit in Unit::ALL {
            for spelling in unit.spellings() {
                assert_eq!(owners.insert(spelling, unit), None, "{spelling}");
            }
        }
    }

    #[test]
    fn usual_spellings_are_understood() {
        let cases = [
            ("Inches", Unit::Inch),
            ("in.", Unit::Inch),
            ("”", Unit::Inch),
            ("′", Unit::Foot),
            ("kg/cm²", Unit::KilogramPerSquareCentimetre),
            ("KPA", Unit::Kilopascal),
            ("lbf/in²", Unit::Psi),
            ("metric hp", Unit::MetricHorsepower),
            ("kts", Unit::Knot),
            ("° C", Unit::Celsius),
            ("Volts", Unit::Volt),
            ("Hrs.", Unit::Hour),
        ];
        for (spelling, unit) in cases {
            assert_eq!(Unit::from_symbol(spelling), Some(unit), "{spelling}");
        }
        assert_eq!(Unit::from_symbol("furlong"), None);
        assert_eq!(Unit::from_symbol(""), None);
    }

    #[test]
    fn derived_factors_equal_the_published_ones() {
        // NIST SP 811, appendix B.8 (from memory; 735.49875 W and 4.4482216152605 N are exact).
        let published = [
            (POUND_FORCE_N, 4.448_221_615_260_5),
            (PSI_KPA, 6.894_757_293_168_361),
            (HORSEPOWER_W, 745.699_871_582_270_2),
            (METRIC_HORSEPOWER_W, 735.498_75),
        ];
        for (derived, printed) in published {
            assert!((derived / printed - 1.0).abs() < 1e-15, "{derived} {printed}");
        }
    }
}
