//! How much thinner the air is up here: what a cranking gauge loses with height.
//!
//! US Standard Atmosphere 1976 below 11 km (computed; two independent libraries agree). The air in a
//! cylinder starts at the pressure around it and the gauge reads nought there, so a reading scales by
//! the same ratio, and two cylinders of one motor keep theirs.

use super::definition::measure;
use super::worked::from_nought;
use super::{Absent, Figure, Figured, Measured, Worked};
use crate::knowledge::roles::ALTITUDE;
use crate::units::{Fraction, Metres, figure};

/// Kelvin a metre the air cools by, and the temperature it starts from.
const LAPSE: f64 = 0.0065;
const SEA_LEVEL_K: f64 = 288.15;
const EXPONENT: f64 = 5.255_88;
const HIGHEST_M: f64 = 11_000.0;
/// Some workshops correct by a chart of air density, which takes off less: it has 0.867 where the
/// pressure ratio is 0.832, at 5000 ft. That one point fixes this power of the ratio: ln 0.867 / ln 0.832.
const CHART_POWER: f64 = 0.776;

/// Air pressure here over that at sea level.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AirRatio {
    pub ratio: Fraction,
    /// What the density chart would say: nothing between the two is held against a motor.
    pub chart: Fraction,
}

/// P / P0 = (1 − 0.0065 h / 288.15)^5.25588, h in metres up to 11 km.
///
/// # Errors
/// A height below the sea or above 11 km.
pub fn air_ratio(height: Metres) -> Measured<AirRatio> {
    let metres = from_nought(height.0, "the height above the sea")?;
    if metres > HIGHEST_M {
        return Err(Absent::AboveTheAir);
    }
    let ratio = (1.0 - LAPSE * metres / SEA_LEVEL_K).powf(EXPONENT);
    let chart = ratio.powf(CHART_POWER);
    let how = move || {
        format!(
            "at {} m the air has {} of its pressure at sea level (a density chart would say {})",
            figure(metres, 0),
            figure(ratio, 3),
            figure(chart, 3)
        )
    };
    let value = AirRatio { ratio: Fraction(ratio), chart: Fraction(chart) };
    Ok(Worked::new(value, how))
}

impl Figured for AirRatio {
    const WORDS: &'static [&'static str] = &[];

    fn figure(&self) -> Figure {
        Figure::Number(self.ratio.0)
    }
}

measure! {
    Air -> AirRatio, "air-ratio", "air pressure against sea level", "";
    needs { height: ALTITUDE }
    |_| air_ratio(height)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn ratio(metres: f64) -> f64 {
        air_ratio(Metres(metres)).expect("a ratio").value.ratio.0
    }

    // US Standard Atmosphere 1976, computed with two independent libraries.
    #[test]
    fn the_ratio_follows_the_standard_atmosphere() {
        for (metres, printed) in [
            (0.0, 1.0),
            (500.0, 0.94213),
            (1000.0, 0.88699),
            (1500.0, 0.83450),
            (2000.0, 0.78456),
            (2500.0, 0.73706),
            (3000.0, 0.69192),
        ] {
            assert!((ratio(metres) - printed).abs() < 1e-5, "{metres} m");
        }
    }

    // Computed from the same ratios.
    #[test]
    fn a_gauge_reads_less_higher_up() {
        assert!((120.0 * ratio(1000.0) - 106.44).abs() < 0.005);
        assert!((120.0 * ratio(2000.0) - 94.15).abs() < 0.005);
        assert!((100.0 / ratio(1500.0) - 119.83).abs() < 0.005);
    }

    // The chart's one known point, from memory: 0.867 against 0.832 at 5000 ft.
    #[test]
    fn the_density_chart_is_shown_beside() {
        let told = air_ratio(Metres(1524.0)).expect("a ratio");
        assert!((told.value.ratio.0 - 0.832).abs() < 5e-4);
        assert!((told.value.chart.0 - 0.867).abs() < 5e-4);
        assert_eq!(
            told.how(),
            "at 1524 m the air has 0.832 of its pressure at sea level (a density chart would say 0.867)"
        );
    }

    #[test]
    fn beyond_the_formula_there_is_no_ratio() {
        assert!(air_ratio(Metres(11_000.0)).is_ok());
        assert!(air_ratio(Metres(11_001.0)).is_err());
        assert!(air_ratio(Metres(-1.0)).is_err());
        assert!(air_ratio(Metres(f64::NAN)).is_err());
    }

    proptest! {
        #[test]
        fn higher_is_thinner(low in 0.0..10_000.0_f64, more in 1.0..1000.0_f64) {
            prop_assert!(ratio(low + more) < ratio(low));
        }
    }
}
