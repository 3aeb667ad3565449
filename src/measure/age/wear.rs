//! Wear: how far along in its life the motor is, by years and by hours.

use super::{Horsepower, Hours, MEDIAN_LIFE, SLACK, Worked, Years, figure};

/// Hours a year of half the median life (from memory): what a motor is run where it is run much.
const HOURS_A_YEAR: f64 = 100.0;
/// Wear is held between these: neither youth nor age settles anything by itself.
const HELD: (f64, f64) = (0.5, 2.0);

/// Wear against a motor halfway through the median life of its power.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wear {
    /// 1 is halfway; held between a half and two.
    pub ratio: f64,
    /// Worn like a motor of so many years, where the power is known.
    pub years: Option<Years>,
}

/// The larger of age / half the median life and hours / (100 × half the median life), whichever is known, held
/// between 1/2 and 2. With nothing known it is 1. Over 300 hp the last row of the survey serves.
#[must_use]
pub fn wear(age: Option<Years>, hours: Option<Hours>, power: Option<Horsepower>) -> Worked<Wear> {
    let Some(power) = power else {
        return nothing("the power is not known, so neither is how long such motors last");
    };
    let row = MEDIAN_LIFE.iter().find(|(up_to, _)| power.0 <= up_to + SLACK).or(MEDIAN_LIFE.last());
    let half = row.map_or(f64::NAN, |(_, life)| life / 2.0);
    let by_age = age.map(|age| age.0 / half);
    let by_hours = hours.map(|hours| hours.0 / (HOURS_A_YEAR * half));
    let Some(larger) = by_age.into_iter().chain(by_hours).filter(|ratio| ratio.is_finite()).reduce(f64::max) else {
        return nothing("neither age nor hours are known");
    };
    let ratio = larger.clamp(HELD.0, HELD.1);
    let years = Years(ratio * half);
    let how = move || {
        let told = |name: &str, ratio: Option<f64>| ratio.map(|ratio| format!("{name} {}", figure(ratio, 2)));
        let parts: Vec<String> = told("by age", by_age).into_iter().chain(told("by hours", by_hours)).collect();
        let held = if (ratio - larger).abs() > SLACK { ", held between 0.5 and 2" } else { "" };
        format!(
            "half the median life is {} years; {}{held}: worn like a motor of {} years",
            figure(half, 1),
            parts.join(", "),
            figure(years.0, 0)
        )
    };
    Worked::new(Wear { ratio, years: Some(years) }, how)
}

fn nothing(why: &'static str) -> Worked<Wear> {
    Worked::new(Wear { ratio: 1.0, years: None }, move || format!("{why}: taken as halfway through its life"))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ratio(age: Option<f64>, hours: Option<f64>, power: Option<f64>) -> f64 {
        wear(age.map(Years), hours.map(Hours), power.map(Horsepower)).value.ratio
    }

    // NONROAD median lives, read: 40 hp 20.25 years, 200 hp 13.27, 9.9 hp 26.14.
    #[test]
    fn wear_is_counted_in_halves_of_the_median_life() {
        assert!((ratio(Some(10.125), None, Some(40.0)) - 1.0).abs() < 1e-12);
        assert!((ratio(None, Some(1012.5), Some(40.0)) - 1.0).abs() < 1e-12);
        assert!((ratio(Some(12.0), Some(300.0), Some(200.0)) - 12.0 / 6.635).abs() < 1e-12);
        assert!((ratio(Some(3.0), Some(900.0), Some(200.0)) - 900.0 / 663.5).abs() < 1e-12, "the larger counts");
        let years = wear(Some(Years(12.0)), None, Some(Horsepower(9.9))).value.years.expect("years");
        assert!((years.0 - 12.0).abs() < 1e-12, "age alone gives itself back");
    }

    #[test]
    fn wear_is_held_and_never_missing() {
        assert_eq!(ratio(Some(0.0), None, Some(40.0)), 0.5);
        assert_eq!(ratio(Some(40.0), Some(5000.0), Some(40.0)), 2.0);
        assert_eq!(ratio(Some(13.27), None, Some(400.0)), 2.0, "over 300 hp the last row serves");
        assert_eq!(ratio(None, None, Some(40.0)), 1.0);
        assert_eq!(ratio(Some(12.0), None, None), 1.0);
        let told = wear(None, None, None);
        assert_eq!(told.value.years, None);
        assert!(told.how().contains("not known"));
    }
}
