//! Years and hours: how old, how many hours are usual, how long such motors last, and what year the
//! emission label tells.
//!
//! Survey figures of the 1990s (NONROAD model defaults, read): a reason to ask, never a verdict.

use super::definition::measure;
use super::worked::{SLACK, above_nought, from_nought};
use super::{Absent, Figure, Figured, Measured, Worked};
use crate::knowledge::roles::{CLAIMED_POWER, CLAIMED_YEAR, HOURS, LABEL_FAMILY};
use crate::units::{Fraction, Horsepower, Hours, Years, figure};

mod label;
mod wear;

pub use label::{label, label_gap};
pub use wear::{Wear, wear};

/// Hours an outboard runs in a year, two- and four-strokes together (NONROAD, read).
const HOURS_A_YEAR: f64 = 34.8;
/// Up to and including this power, median life in years (NONROAD, read).
const MEDIAN_LIFE: [(f64, f64); 9] = [
    (6.0, 26.55),
    (11.0, 26.14),
    (16.0, 24.22),
    (25.0, 22.17),
    (40.0, 20.25),
    (50.0, 19.16),
    (100.0, 17.24),
    (175.0, 14.78),
    (300.0, 13.27),
];
/// Age over median life, share of motors scrapped by then (NONROAD, read).
const SCRAPPED: [(f64, f64); 15] = [
    (0.0, 0.0),
    (0.271, 0.05),
    (0.488, 0.10),
    (0.657, 0.15),
    (0.784, 0.20),
    (0.875, 0.25),
    (0.936, 0.30),
    (0.992, 0.40),
    (1.0, 0.50),
    (1.125, 0.75),
    (1.216, 0.80),
    (1.343, 0.85),
    (1.512, 0.90),
    (1.729, 0.95),
    (2.0, 1.0),
];
/// Useful life in the sense of 40 CFR 1045.103(e) (from memory): how long emissions have to hold.
const DURABLE_YEARS: f64 = 10.0;
const DURABLE_HOURS: f64 = 350.0;

/// How long motors of this power last.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Life {
    pub median: Years,
    /// Share of such motors that is scrapped by this age.
    pub scrapped: Fraction,
}

/// Whether the motor is past the years and hours its emissions have to hold for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Yardstick {
    pub past_years: bool,
    /// `None` while the hours are not known.
    pub past_hours: Option<bool>,
}

/// Age = year of the interview − claimed year. A model year may run one ahead of the calendar.
///
/// # Errors
/// A claimed year further ahead than that.
pub fn age(claimed: i16, today: i16) -> Measured<Years> {
    let years = i32::from(today) - i32::from(claimed);
    match years {
        ..-1 => Err(Absent::AfterToday { claimed, today }),
        -1 => {
            let how = move || format!("claimed {claimed}, next year's model: counted as new");
            Ok(Worked::new(Years(0.0), how))
        }
        _ => {
            let value = Years(f64::from(years));
            Ok(Worked::new(value, move || format!("{today} - {claimed} = {value}")))
        }
    }
}

/// Hours usual for the age: 34.8 a year. Claimed hours, when known, are told beside.
///
/// # Errors
/// An age below nought.
pub fn hours_expected(age: Years, claimed: Option<Hours>) -> Measured<Hours> {
    let hours = Hours(from_nought(age.0, "the age")? * HOURS_A_YEAR);
    let beside = move || match claimed {
        Some(claimed) if hours.0 > 0.0 => {
            let percent = figure(claimed.0 / hours.0 * 100.0, 0);
            format!("; the {claimed} claimed are {percent} % of it")
        }
        _ => String::new(),
    };
    let how = move || format!("{age} x 34.8 h a year = {} h{}", figure(hours.0, 0), beside());
    Ok(Worked::new(hours, how))
}

/// Hours claimed over the hours usual for the age.
///
/// # Errors
/// An age without a usual figure to hold them against.
pub fn hours_over(hours: Hours, expected: Hours) -> Measured<Fraction> {
    above_nought(expected.0, "the hours usual for the age")?;
    let over = Fraction(hours.0 / expected.0);
    Ok(Worked::new(over, move || format!("{hours} / {} h usual = {}", figure(expected.0, 0), figure(over.0, 2))))
}

/// Median life for the power and the share scrapped by this age, read off between the survey's points.
///
/// # Errors
/// A power outside the survey, 1 to 300 hp; an age below nought.
pub fn life(age: Years, power: Horsepower) -> Measured<Life> {
    from_nought(age.0, "the age")?;
    above_nought(power.0, "the power")?;
    let outside = || Absent::OutsideSurvey(power);
    if power.0 < 1.0 - SLACK {
        return Err(outside());
    }
    let (_, median) = MEDIAN_LIFE.iter().find(|(up_to, _)| power.0 <= up_to + SLACK).ok_or_else(outside)?;
    let scrapped = Fraction(share_scrapped(age.0 / median));
    let how = move || {
        format!(
            "half of the motors around {power} last {} years; at {age} about {} % are scrapped (survey of the 1990s)",
            figure(*median, 1),
            figure(scrapped.0 * 100.0, 0)
        )
    };
    let value = Life { median: Years(*median), scrapped };
    Ok(Worked::new(value, how))
}

/// Straight lines between the points of [`SCRAPPED`]; everything is scrapped at twice the median.
fn share_scrapped(part_of_median: f64) -> f64 {
    for pair in SCRAPPED.windows(2) {
        let ((from, low), (to, high)) = (pair[0], pair[1]);
        if part_of_median <= to {
            return low + (high - low) * (part_of_median - from) / (to - from);
        }
    }
    1.0
}

/// Against 10 years or 350 hours, 40 CFR 1045.103(e) (from memory): the period for which emissions
/// have to hold, not an expected life.
#[must_use]
pub fn yardstick(age: Years, hours: Option<Hours>) -> Worked<Yardstick> {
    let value =
        Yardstick { past_years: age.0 > DURABLE_YEARS, past_hours: hours.map(|hours| hours.0 > DURABLE_HOURS) };
    let hours = move || hours.map_or_else(|| "hours not known".to_owned(), |hours| hours.to_string());
    let how = move || {
        format!(
            "{age} and {} against the 10 years or 350 hours for which emissions have to hold; that is \
         no expected life",
            hours()
        )
    };
    Worked::new(value, how)
}

measure! {
    /// The age, with how long motors of this power last where that is known.
    Age -> Years, "age", "age by the claimed year", "years";
    needs { claimed: CLAIMED_YEAR }
    may { power: CLAIMED_POWER, hours: HOURS }
    |around| {
        let age = age(claimed, around.date.year())?;
        let years = age.value;
        Ok(age.retold(move |how| {
            let life = power.and_then(|power| life(years, power).ok());
            let beside = life.map_or_else(String::new, |life| format!("; {}", life.how()));
            format!("{how}{beside}; {}", yardstick(years, hours).how())
        }))
    }
}

measure! {
    HoursExpected -> Hours, "hours-expected", "hours usual for the age", "h";
    may { hours: HOURS }
    from { age: Age }
    |_| hours_expected(age.value, hours)
}

measure! {
    HoursOver -> Fraction, "hours-over", "hours claimed against the usual", "";
    needs { hours: HOURS }
    from { expected: HoursExpected }
    |_| hours_over(hours, expected.value)
}

measure! {
    /// Wear by years and hours, 1 where nothing is known.
    WearAll -> Wear;
    may { hours: HOURS, power: CLAIMED_POWER }
    perhaps { age: Age }
    |_| Ok(wear(age.ok().map(|age| age.value), hours, power))
}

measure! {
    /// Wear by years alone.
    WearOfAge -> Wear;
    may { power: CLAIMED_POWER }
    perhaps { age: Age }
    |_| Ok(wear(age.ok().map(|age| age.value), None, power))
}

measure! {
    Worn -> Years, "worn", "worn like a motor of so many years", "years";
    from { wear: WearAll }
    |_| match wear.value.years {
        Some(years) => Ok(wear.map(|_| years)),
        None => Err(Absent::WearUnknown("how long such motors last, or how old and how used this one is, is not known")),
    }
}

measure! {
    LabelYear -> ModelYear, "label-year", "year on the emission label", "year";
    needs { text: LABEL_FAMILY }
    |around| Ok(label(text, around.date.year())?.map(|label| ModelYear(label.year)))
}

measure! {
    LabelGap -> Years, "label-gap", "label year against claimed year", "years";
    needs { claimed: CLAIMED_YEAR }
    from { label: LabelYear }
    |_| Ok(label_gap(label.value.0, claimed))
}

/// A year of the calendar.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ModelYear(pub i16);

impl Figured for ModelYear {
    const WORDS: &'static [&'static str] = &[];

    fn figure(&self) -> Figure {
        Figure::Number(f64::from(self.0))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn age_is_counted_from_the_claimed_year() {
        let years = |claimed| age(claimed, 2026).map(|found| found.value);
        assert_eq!(years(2014), Ok(Years(12.0)));
        assert_eq!(years(2027), Ok(Years(0.0)));
        assert!(years(2028).is_err());
        assert_eq!(age(2025, 2026).expect("an age").how(), "2026 - 2025 = 1 year");
    }

    // NONROAD defaults, read: 34.8 hours a year.
    #[test]
    fn twelve_years_are_about_418_hours() {
        let told = hours_expected(Years(12.0), Some(Hours(209.0))).expect("hours");
        assert!((told.value.0 - 417.6).abs() < 1e-9);
        assert_eq!(told.how(), "12 years x 34.8 h a year = 418 h; the 209 h claimed are 50 % of it");
        let new = hours_expected(Years(0.0), Some(Hours(3.0))).expect("hours");
        assert_eq!(new.how(), "0 years x 34.8 h a year = 0 h");
    }

    // NONROAD defaults, read: ten years of a 200 hp motor are 0.7536 of its median life.
    #[test]
    fn about_a_fifth_of_ten_year_old_200_hp_motors_is_gone() {
        let found = life(Years(10.0), Horsepower(200.0)).expect("a life").value;
        assert!((10.0 / found.median.0 - 0.7536).abs() < 5e-5);
        assert!((found.scrapped.0 - 0.19).abs() < 0.005);
    }

    // NONROAD defaults, read.
    #[test]
    fn the_median_life_follows_the_power() {
        let median = |power| life(Years(1.0), Horsepower(power)).expect("a life").value.median.0;
        for (power, years) in [
            (1.0, 26.55),
            (6.0, 26.55),
            (9.9, 26.14),
            (15.0, 24.22),
            (25.0, 22.17),
            (40.0, 20.25),
            (50.0, 19.16),
            (90.0, 17.24),
            (150.0, 14.78),
            (300.0, 13.27),
        ] {
            assert!((median(power) - years).abs() < 1e-9, "{power} hp");
        }
        assert!(life(Years(1.0), Horsepower(301.0)).is_err());
        assert!(life(Years(1.0), Horsepower(0.5)).is_err());
    }

    // NONROAD scrappage curve, read: its own points.
    #[test]
    fn the_scrappage_curve_goes_through_its_points() {
        for (part, share) in SCRAPPED {
            assert!((share_scrapped(part) - share).abs() < 1e-12);
        }
        assert!((share_scrapped(3.0) - 1.0).abs() < 1e-12);
    }

    // 40 CFR 1045.103(e), from memory.
    #[test]
    fn the_yardstick_is_ten_years_or_350_hours() {
        let past = |years, hours: Option<f64>| yardstick(Years(years), hours.map(Hours)).value;
        assert!(!past(10.0, None).past_years && past(11.0, None).past_years);
        assert_eq!(past(1.0, Some(350.0)).past_hours, Some(false));
        assert_eq!(past(1.0, Some(351.0)).past_hours, Some(true));
        assert_eq!(past(1.0, None).past_hours, None);
    }

    proptest! {
        #[test]
        fn no_motor_comes_back_from_the_scrapyard(young in 0.0..60.0_f64, more in 0.0..20.0_f64, power in 1.0..300.0_f64) {
            let scrapped = |age| life(Years(age), Horsepower(power)).expect("a life").value.scrapped.0;
            prop_assert!(scrapped(young) <= scrapped(young + more));
            prop_assert!((0.0..=1.0).contains(&scrapped(young)));
        }
    }
}
