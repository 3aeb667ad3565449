//! Propeller: the speed its pitch promises, slip, and revs against the rated band.
//!
//! The speed follows from the definition of pitch (computed). What slip is usual and what an inch of
//! pitch is worth in revs is practice and memory.

use super::definition::{measure, words};
use super::worked::{SLACK, above_nought, from_nought};
use super::{Absent, Figure, Figured, Measured, Worked};
use crate::knowledge::roles::{
    FULL_REVS, GEAR_RATIO, GPS_SPEED, GPS_SPEED_AS_TYPED, PROP_PITCH, RATED_FROM, RATED_TO,
};
use crate::units::{Fraction, Inches, Mph, Quantity, Rpm, Unit, figure};

/// Inches a minute in one mile an hour: 63 360 / 60.
const INCHES_A_MINUTE: f64 = 1056.0;
/// Slip above this is more than hull and propeller explain; below the other, an input is wrong.
const HIGH: f64 = 0.30;
const FAR_UNDER: f64 = -0.05;
/// Revs that an inch of pitch is worth, least and most (practice).
const REVS_AN_INCH: (f64, f64) = (150.0, 200.0);

#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Slip {
    pub slip: Fraction,
    pub kind: SlipKind,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SlipKind {
    /// Nought to 30 %.
    Usual,
    /// Over 30 %.
    High,
    /// A little under nought: cupped blades can do it.
    LittleUnder,
    /// Under −5 %: a wrong input or another gear ratio.
    FarUnder,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Band {
    Under,
    Inside,
    Over,
}

words!(Band { Under = "under", Inside = "inside", Over = "over" });

/// Full-throttle revs against the rated band.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RevsInBand {
    pub band: Band,
    /// How far outside, nought inside.
    pub gap: Rpm,
}

/// The pitch that would bring the revs to the near edge of the band.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PitchWanted {
    /// If an inch is worth 150 revs: enough in either case.
    pub enough: Inches,
    /// If an inch is worth 200 revs.
    pub least: Inches,
}

/// Speed without slip: revs × pitch / (gear ratio × 1056), in mph with inches.
///
/// # Errors
/// Figures that are not above nought, and a ratio under 1: a gearcase only slows the propeller down.
pub fn speed(revs: Rpm, pitch: Inches, ratio: f64) -> Measured<Mph> {
    above_nought(revs.0, "the revs")?;
    above_nought(pitch.0, "the pitch")?;
    above_nought(ratio, "the gear ratio")?;
    if ratio < 1.0 - SLACK {
        return Err(Absent::RatioTurned(ratio));
    }
    let speed = Mph(revs.0 * pitch.0 / (ratio * INCHES_A_MINUTE));
    let how = move || format!("{revs} x {pitch} / ({} x 1056) = {} mph", figure(ratio, 3), figure(speed.0, 1));
    Ok(Worked::new(speed, how))
}

/// Slip = 1 − actual / theoretical.
///
/// # Errors
/// A theoretical speed that is not above nought, an actual one below.
pub fn slip(theoretical: Mph, actual: Mph) -> Measured<Slip> {
    above_nought(theoretical.0, "the speed without slip")?;
    from_nought(actual.0, "the speed")?;
    let slip = 1.0 - actual.0 / theoretical.0;
    let kind = if slip > HIGH + SLACK {
        SlipKind::High
    } else if slip >= 0.0 {
        SlipKind::Usual
    } else if slip >= FAR_UNDER - SLACK {
        SlipKind::LittleUnder
    } else {
        SlipKind::FarUnder
    };
    let words = match kind {
        SlipKind::Usual => "",
        SlipKind::High => "; more than 30 %: a slipping hub, a wrong propeller or a wrong figure",
        SlipKind::LittleUnder => "; a little under nought can be real with cupped blades",
        SlipKind::FarUnder => {
            "; that can't be: a wrong figure or another gear ratio, count the motor's turns for one \
             of the propeller"
        }
    };
    let how = move || {
        format!(
            "1 - {} / {} mph = {} %{words}",
            figure(actual.0, 1),
            figure(theoretical.0, 1),
            figure(slip * 100.0, 1)
        )
    };
    let value = Slip { slip: Fraction(slip), kind };
    Ok(Worked::new(value, how))
}

/// Whether the revs at full throttle lie in the band the maker rates the motor for.
///
/// # Errors
/// Revs that are not above nought, or a band that ends before it begins.
pub fn revs_in_band(revs: Rpm, from: Rpm, to: Rpm) -> Measured<RevsInBand> {
    above_nought(revs.0, "the revs")?;
    above_nought(from.0, "the rated band")?;
    if to.0 < from.0 || !to.0.is_finite() {
        return Err(Absent::BandEndsFirst);
    }
    let (band, gap) = if revs.0 < from.0 - SLACK {
        (Band::Under, from.0 - revs.0)
    } else if revs.0 > to.0 + SLACK {
        (Band::Over, revs.0 - to.0)
    } else {
        (Band::Inside, 0.0)
    };
    let how = move || {
        let rated = format!("the rated {} to {to}", figure(from.0, 0));
        match band {
            Band::Inside => format!("{revs} is inside {rated}"),
            Band::Under => format!("{revs} is {} under {rated}", figure(gap, 0)),
            Band::Over => format!("{revs} is {} over {rated}", figure(gap, 0)),
        }
    };
    let value = RevsInBand { band, gap: Rpm(gap) };
    Ok(Worked::new(value, how))
}

/// How far the revs fall short of the rated band, as a share of its near edge; over the band below nought, inside nought.
#[must_use]
pub fn revs_short(revs: Rpm, from: Rpm, to: Rpm, band: &RevsInBand) -> Worked<Fraction> {
    let (edge, name) = match band.band {
        Band::Under => (from, "rated from"),
        Band::Over => (to, "rated to"),
        Band::Inside => return Worked::new(Fraction(0.0), move || format!("{revs} is inside the rated band")),
    };
    let short = Fraction((edge.0 - revs.0) / edge.0);
    Worked::new(short, move || format!("({name} {edge} - {revs}) / {edge} = {} %", figure(short.0 * 100.0, 1)))
}

/// Less pitch lets a motor rev higher: an inch is worth about 150 to 200 revs (practice).
///
/// # Errors
/// A pitch that is not above nought, or a gap no propeller could close.
pub fn pitch_wanted(revs: &RevsInBand, pitch: Inches) -> Measured<PitchWanted> {
    above_nought(pitch.0, "the pitch")?;
    let sign = match revs.band {
        Band::Inside => {
            let value = PitchWanted { enough: pitch, least: pitch };
            return Ok(Worked::new(value, move || format!("the revs are in the band with {pitch}")));
        }
        Band::Under => -1.0,
        Band::Over => 1.0,
    };
    let most = revs.gap.0 / REVS_AN_INCH.0;
    let fewest = revs.gap.0 / REVS_AN_INCH.1;
    let value = PitchWanted { enough: Inches(pitch.0 + sign * most), least: Inches(pitch.0 + sign * fewest) };
    let word = if sign < 0.0 { "less" } else { "more" };
    if value.enough.0 <= 0.0 {
        return Err(Absent::NoPitchHelps);
    }
    let gap = revs.gap.0;
    let how = move || {
        format!(
            "{} revs / 200 to 150 an inch = {} to {} in {word}, so about {} to {} instead of {pitch}",
            figure(gap, 0),
            figure(fewest, 1),
            figure(most, 1),
            figure(value.least.0, 1),
            Inches((value.enough.0 * 10.0).round() / 10.0),
        )
    };
    Ok(Worked::new(value, how))
}

macro_rules! number {
    ($type:ty: $field:ident) => {
        impl Figured for $type {
            const WORDS: &'static [&'static str] = &[];

            fn figure(&self) -> Figure {
                Figure::Number(self.$field.0)
            }
        }
    };
}
number!(Slip: slip);
number!(PitchWanted: enough);

impl Figured for RevsInBand {
    const WORDS: &'static [&'static str] = Band::WORDS;

    fn figure(&self) -> Figure {
        self.band.figure()
    }
}

measure! {
    /// The buyer's own unit of speed stands beside the mph.
    PropSpeed -> Mph, "prop-speed", "speed without slip", "mph";
    needs { revs: FULL_REVS, ratio: GEAR_RATIO, pitch: PROP_PITCH }
    may { actual: GPS_SPEED_AS_TYPED }
    |_| {
        let speed = speed(revs, pitch, ratio)?;
        let mph = speed.value;
        Ok(match actual.map(|actual| actual.unit).filter(|unit| *unit != Unit::MilePerHour) {
            Some(unit) => speed.retold(move |how| {
                let own = Quantity::from(mph).to(unit);
                format!("{how} ({:.1} {})", own.number, unit.symbol())
            }),
            None => speed,
        })
    }
}

measure! {
    PropSlip -> Slip, "prop-slip", "propeller slip", "";
    needs { actual: GPS_SPEED }
    from { speed: PropSpeed }
    |_| slip(speed.value, actual)
}

measure! {
    Revs -> RevsInBand, "revs-in-band", "full-throttle revs against the rated band", "";
    needs { revs: FULL_REVS, from: RATED_FROM, to: RATED_TO }
    |_| revs_in_band(revs, from, to)
}

measure! {
    RevsShort -> Fraction, "revs-short", "full-throttle revs short of the rated band", "";
    needs { revs: FULL_REVS, from: RATED_FROM, to: RATED_TO }
    from { band: Revs }
    |_| Ok(revs_short(revs, from, to, &band.value))
}

measure! {
    Pitch -> PitchWanted, "pitch-wanted", "pitch that would bring the revs into the band", "in";
    needs { pitch: PROP_PITCH }
    from { band: Revs }
    |_| pitch_wanted(&band.value, pitch)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{Quantity, Unit};
    use proptest::prelude::*;

    fn both(revs: f64, pitch: f64, ratio: f64, actual: f64) -> (f64, f64) {
        let promised = speed(Rpm(revs), Inches(pitch), ratio).expect("a speed").value;
        let slip = slip(promised, Mph(actual)).expect("a slip").value;
        (promised.0, slip.slip.0)
    }

    // The first is a row of a published table; the others were computed from the definitions.
    #[test]
    fn speed_and_slip_agree_with_the_check_values() {
        for (revs, pitch, ratio, actual, promised, slip) in [
            (6000.0, 25.0, 1.86, 68.0, 76.3685, 0.1096),
            (5500.0, 19.0, 1.75, 50.0, 56.5476, 0.1158),
            (5200.0, 21.0, 1.87, 52.0, 55.2990, 0.0597),
            (5800.0, 15.0, 2.33, 32.0, 35.3590, 0.0950),
        ] {
            let found = both(revs, pitch, ratio, actual);
            assert!((found.0 - promised).abs() < 5e-5, "{found:?}");
            assert!((found.1 - slip).abs() < 5e-5, "{found:?}");
        }
    }

    // Constants 1215.2231 for knots and 656.168 for km/h, computed from the unit definitions.
    #[test]
    fn the_constants_for_other_units_follow_from_the_first() {
        let one = Quantity::new(1.0, Unit::MilePerHour);
        let knots = INCHES_A_MINUTE / one.to(Unit::Knot).number;
        let kilometres = INCHES_A_MINUTE / one.to(Unit::KilometrePerHour).number;
        assert!((knots - 1215.2231).abs() < 5e-5);
        assert!((kilometres - 656.168).abs() < 5e-4);
    }

    #[test]
    fn impossible_figures_are_told() {
        let told = speed(Rpm(5000.0), Inches(19.0), 0.5).expect_err("a ratio under one").to_string();
        assert!(told.ends_with("the other way round it is 2"), "{told}");
        assert!(speed(Rpm(0.0), Inches(19.0), 2.0).is_err());
        assert!(speed(Rpm(5000.0), Inches(f64::NAN), 2.0).is_err());
        assert!(slip(Mph(50.0), Mph(-1.0)).is_err());
    }

    #[test]
    fn slip_is_sorted_into_kinds() {
        let kind = |actual| slip(Mph(100.0), Mph(actual)).expect("a slip").value.kind;
        assert_eq!(kind(90.0), SlipKind::Usual);
        assert_eq!(kind(100.0), SlipKind::Usual);
        assert_eq!(kind(70.0), SlipKind::Usual);
        assert_eq!(kind(69.9), SlipKind::High);
        assert_eq!(kind(104.9), SlipKind::LittleUnder);
        assert_eq!(kind(105.0), SlipKind::LittleUnder);
        assert_eq!(kind(105.1), SlipKind::FarUnder);
    }

    fn band(revs: f64) -> RevsInBand {
        revs_in_band(Rpm(revs), Rpm(5000.0), Rpm(6000.0)).expect("a band").value
    }

    #[test]
    fn revs_are_under_inside_or_over_the_band() {
        assert_eq!(band(4999.0).band, Band::Under);
        assert_eq!(band(5000.0).band, Band::Inside);
        assert_eq!(band(6000.0).band, Band::Inside);
        assert_eq!(band(6200.0).band.name(), "over");
        assert!(revs_in_band(Rpm(5000.0), Rpm(6000.0), Rpm(5000.0)).is_err());
    }

    // 150 to 200 revs an inch: practice.
    #[test]
    fn too_few_revs_want_less_pitch() {
        let told = pitch_wanted(&band(4400.0), Inches(19.0)).expect("a pitch");
        assert!((told.value.enough.0 - 15.0).abs() < 1e-9);
        assert!((told.value.least.0 - 16.0).abs() < 1e-9);
        assert_eq!(
            told.how(),
            "600 revs / 200 to 150 an inch = 3 to 4 in less, so about 16 to 15 in instead of 19 in"
        );
        let more = pitch_wanted(&band(6300.0), Inches(19.0)).expect("a pitch");
        assert!((more.value.enough.0 - 21.0).abs() < 1e-9);
        let same = pitch_wanted(&band(5500.0), Inches(19.0)).expect("a pitch");
        assert_eq!(same.value.enough, Inches(19.0));
        assert!(pitch_wanted(&band(1000.0), Inches(19.0)).is_err());
    }

    proptest! {
        #[test]
        fn slip_falls_when_speed_rises(promised in 1.0..100.0_f64, actual in 0.0..100.0_f64, more in 0.01..20.0_f64) {
            let found = |actual| slip(Mph(promised), Mph(actual)).expect("a slip").value.slip.0;
            prop_assert!(found(actual + more) < found(actual));
        }

        #[test]
        fn a_boat_at_the_promised_speed_does_not_slip(revs in 500.0..7000.0_f64, pitch in 5.0..30.0_f64, ratio in 1.0..3.0_f64) {
            let promised = speed(Rpm(revs), Inches(pitch), ratio).expect("a speed").value;
            prop_assert!(slip(promised, promised).expect("a slip").value.slip.0.abs() < 1e-12);
        }
    }
}
