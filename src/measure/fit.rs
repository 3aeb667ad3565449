//! Does the leg reach the right depth: transom height, shaft classes, where the plate ends up.
//!
//! Classes of 15, 20, 25 and 30 in are common practice; no standard's text was read for them, and the
//! cut of 2.5 in is the program's own.

use super::definition::{measure, words};
use super::worked::{SLACK, above_nought, from_nought};
use super::{Absent, Figure, Figured, Measured, Worked};
use crate::knowledge::roles::{
    SETBACK, SHAFT_LENGTH, TRANSOM_HEIGHT, TRANSOM_MEASURED, TRANSOM_RAKE, TransomMeasured,
};
use crate::units::{Degrees, Inches, figure};

const CLASSES: [f64; 4] = [15.0, 20.0, 25.0, 30.0];
/// How far a length may lie from its class.
const WITHIN: f64 = 2.5;
/// How near the middle between two classes a length is worth a second look.
const BETWEEN: f64 = 0.75;
/// Inches of setback that lift the plate by one inch (practice).
const SETBACK_PER_INCH: f64 = 12.0;
/// How far below the bottom the plate may sit (practice).
const DEEPEST: f64 = 1.0;

/// A class of shaft or transom, and whether the length lies near the middle between two classes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LegClass {
    pub class: Inches,
    pub between: bool,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fit {
    Fits,
    Misfit,
}

words!(Fit { Fits = "fits", Misfit = "misfit" });

/// Where the anti-ventilation plate sits.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlatePosition {
    /// Below the hull's bottom at the transom; less than nought is above it.
    pub below: Inches,
    pub place: Place,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Place {
    High,
    Right,
    Deep,
}

/// Transom height measured straight down: as it is.
///
/// # Errors
/// A height that is not above nought.
pub fn straight_down(measured: Inches) -> Measured<Inches> {
    above_nought(measured.0, "the transom height")?;
    Ok(Worked::new(measured, move || format!("{measured} measured straight down")))
}

/// Transom height from a length along the raked transom: height = length × cos(rake).
///
/// # Errors
/// A length that is not above nought, a rake of a right angle or more.
pub fn along_transom(measured: Inches, rake: Degrees) -> Measured<Inches> {
    above_nought(measured.0, "the length along the transom")?;
    let angle = from_nought(rake.0, "the rake")?;
    if angle >= 90.0 {
        return Err(Absent::LeansTooFar);
    }
    let height = Inches(measured.0 * angle.to_radians().cos());
    Ok(Worked::new(height, move || format!("{measured} along the transom x cos({rake}) = {height} straight down")))
}

/// Rakes between which a transom whose own was not measured will lie (practice).
pub const USUAL_RAKES: [Degrees; 2] = [Degrees(8.0), Degrees(18.0)];

/// The class of a raked transom whose rake is not known: that of both usual rakes, where they agree.
///
/// # Errors
/// A length that is not above nought, or two rakes that do not agree.
pub fn class_by_usual_rakes(measured: Inches) -> Measured<LegClass> {
    let [flat, steep] = heights_by_usual_rakes(measured)?;
    let (high, low) = (leg_class(flat), leg_class(steep));
    match (high, low) {
        (Ok(high), Ok(low)) if (high.value.class.0 - low.value.class.0).abs() < SLACK => {
            let between = high.value.between || low.value.between;
            let doubt =
                if between { ", but close to the middle between two classes: read the model code" } else { "" };
            let class = high.value.class;
            let how = move || {
                let (flat, steep) = (rounded(flat), rounded(steep));
                format!(
                    "rake not known: {flat} at 8 degrees, {steep} at 18; both are nearest to the class of {class}{doubt}"
                )
            };
            Ok(Worked::new(LegClass { class, between }, how))
        }
        _ => Err(Absent::RakesDisagree { flat: rounded(flat), steep: rounded(steep) }),
    }
}

/// Height straight down at the flattest and the steepest usual rake.
///
/// # Errors
/// A length that is not above nought.
pub fn heights_by_usual_rakes(measured: Inches) -> Result<[Inches; 2], Absent> {
    let [flat, steep] = USUAL_RAKES;
    Ok([along_transom(measured, flat)?.value, along_transom(measured, steep)?.value])
}

fn rounded(height: Inches) -> Inches {
    Inches((height.0 * 100.0).round() / 100.0)
}

/// The nearest of the classes 15, 20, 25 and 30 in within 2.5 in; exactly between two, the larger.
///
/// # Errors
/// A length that lies within 2.5 in of no class.
pub fn leg_class(length: Inches) -> Measured<LegClass> {
    above_nought(length.0, "the length")?;
    let (class, off) = nearest_class(length.0);
    if off > WITHIN + SLACK {
        return Err(Absent::NoClass(length));
    }
    let middle =
        CLASSES.windows(2).find(|pair| (length.0 - f64::midpoint(pair[0], pair[1])).abs() <= BETWEEN + SLACK);
    let middle = middle.map(|pair| (pair[0], pair[1]));
    let how = move || {
        let doubt = middle.map_or_else(String::new, |(low, high)| {
            let (low, high) = (figure(low, 0), figure(high, 0));
            format!(", but close to the middle between {low} and {high} in: read the model code")
        });
        format!("{length} is nearest to the class of {} in{doubt}", figure(class, 0))
    };
    let value = LegClass { class: Inches(class), between: middle.is_some() };
    Ok(Worked::new(value, how))
}

/// The nearest class and the distance to it; of two as near, the larger.
fn nearest_class(length: f64) -> (f64, f64) {
    let mut nearest = (CLASSES[0], (length - CLASSES[0]).abs());
    for class in CLASSES {
        let off = (length - class).abs();
        if off <= nearest.1 + SLACK {
            nearest = (class, off);
        }
    }
    nearest
}

/// A shaft fits a transom of its own class.
#[must_use]
pub fn fit(transom: &LegClass, shaft: &LegClass) -> Worked<Fit> {
    let longer = shaft.class.0 - transom.class.0;
    let value = if longer.abs() < SLACK { Fit::Fits } else { Fit::Misfit };
    let doubt = if transom.between || shaft.between {
        ", and one of the two lies close to the middle between classes"
    } else {
        ""
    };
    let (shaft, transom) = (shaft.class, transom.class);
    let how = move || {
        let off = match value {
            Fit::Fits => String::new(),
            Fit::Misfit if longer > 0.0 => format!(": {} too long", Inches(longer)),
            Fit::Misfit => format!(": {} too short", Inches(-longer)),
        };
        format!("a {shaft} shaft on a {transom} transom{off}{doubt}")
    };
    Worked::new(value, how)
}

/// Where the plate sits: shaft less transom height, in inches below the bottom. Right is level to 1 in
/// below; every 12 in of setback want it about 1 in higher (practice). No setback given counts as none.
///
/// # Errors
/// A length that is not above nought.
pub fn plate_position(transom_height: Inches, shaft: Inches, setback: Option<Inches>) -> Measured<PlatePosition> {
    above_nought(transom_height.0, "the transom height")?;
    above_nought(shaft.0, "the shaft length")?;
    let back = from_nought(setback.map_or(0.0, |length| length.0), "the setback")?;
    let below = shaft.0 - transom_height.0;
    let lift = back / SETBACK_PER_INCH;
    let place = if below < -lift - SLACK {
        Place::High
    } else if below > DEEPEST - lift + SLACK {
        Place::Deep
    } else {
        Place::Right
    };
    let where_it_is = if below < 0.0 { "above" } else { "below" };
    let wanted = move || match setback {
        None => "no setback given, taken as none: level to about 1 in below is wanted".to_owned(),
        Some(length) => {
            format!("a setback of {length} wants it about {} in higher than level to 1 in below", figure(lift, 2))
        }
    };
    let verdict = match place {
        Place::High => "it sits high",
        Place::Right => "it sits right",
        Place::Deep => "it sits deep",
    };
    let how = move || {
        format!(
            "shaft {shaft} - transom {transom_height}: the plate is {} {where_it_is} the bottom; {}; {verdict}",
            Inches(below.abs()),
            wanted()
        )
    };
    let value = PlatePosition { below: Inches(below), place };
    Ok(Worked::new(value, how))
}

impl Figured for LegClass {
    const WORDS: &'static [&'static str] = &[];

    fn figure(&self) -> Figure {
        Figure::Number(self.class.0)
    }
}

impl Figured for PlatePosition {
    const WORDS: &'static [&'static str] = &[];

    fn figure(&self) -> Figure {
        Figure::Number(self.below.0)
    }
}

/// A transom as it was measured: its height, or the length along one whose rake nobody knows.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Measurement {
    Height(Inches),
    AlongUnknownRake(Inches),
}

measure! {
    Transom -> Measurement;
    needs { measured: TRANSOM_HEIGHT, how: TRANSOM_MEASURED }
    may { rake: TRANSOM_RAKE }
    |_| match (how, rake) {
        (TransomMeasured::StraightDown, _) => Ok(straight_down(measured)?.map(Measurement::Height)),
        (TransomMeasured::Along, Some(rake)) => Ok(along_transom(measured, rake)?.map(Measurement::Height)),
        (TransomMeasured::Along, None) => {
            Ok(Worked::new(Measurement::AlongUnknownRake(measured), move || format!("{measured} along the transom")))
        }
        (TransomMeasured::Other, _) => Err(Absent::NotKnown("how the transom was measured")),
    }
}

measure! {
    TransomHeight -> Inches, "transom-drop", "transom height straight down", "in";
    from { transom: Transom }
    |_| match transom.value {
        Measurement::Height(height) => Ok(transom.map(|_| height)),
        Measurement::AlongUnknownRake(_) => Err(Absent::NotKnown("the rake of the transom")),
    }
}

measure! {
    TransomClass -> LegClass, "transom-class", "transom class", "in";
    from { transom: Transom }
    |_| match transom.value {
        Measurement::AlongUnknownRake(along) => class_by_usual_rakes(along),
        Measurement::Height(height) => {
            let class = leg_class(height)?;
            Ok(class.retold(move |class| {
                // A height worked out from a rake is worth its own line.
                let along = transom.how();
                if along.contains(" x ") { format!("{along}; {class}") } else { class }
            }))
        }
    }
}

measure! {
    ShaftClass -> LegClass, "shaft-class", "shaft class", "in";
    needs { length: SHAFT_LENGTH }
    |_| leg_class(length)
}

measure! {
    FitOfShaft -> Fit, "fit", "fit of shaft and transom", "";
    may { setback: SETBACK }
    from { transom: TransomClass, shaft: ShaftClass }
    |_| {
        let beside = if setback.is_some() { "" } else { "; no setback given, taken as none" };
        Ok(fit(&transom.value, &shaft.value).retold(move |how| how + beside))
    }
}

measure! {
    Plate -> PlatePosition, "plate-position", "anti-ventilation plate below the hull bottom", "in";
    needs { shaft: SHAFT_LENGTH }
    may { setback: SETBACK }
    from { height: TransomHeight }
    |_| plate_position(height.value, shaft, setback)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{Quantity, Unit};
    use proptest::prelude::*;

    /// A plate too deep drags, one too high sucks air: which of the two has to be read off the words.
    #[test]
    fn the_working_says_on_which_side_of_the_bottom_the_plate_is() {
        for (shaft, wanted) in [
            (21.0, "the plate is 1 in below the bottom"),
            (20.0, "the plate is 0 in below the bottom"),
            (19.0, "the plate is 1 in above the bottom"),
        ] {
            let how = plate_position(Inches(20.0), Inches(shaft), None).expect("a place").how();
            assert!(how.contains(wanted), "{how}");
        }
    }

    fn class(length: f64) -> Option<f64> {
        leg_class(Inches(length)).ok().map(|leg| leg.value.class.0)
    }

    fn between(length: f64) -> bool {
        leg_class(Inches(length)).expect("a class").value.between
    }

    fn leg(class: f64) -> LegClass {
        LegClass { class: Inches(class), between: false }
    }

    // Computed: 17 in at 13 degrees.
    #[test]
    fn a_raked_transom_is_lower_than_it_is_long() {
        let height = along_transom(Inches(17.0), Degrees(13.0)).expect("a height");
        assert!((height.value.0 - 16.56).abs() < 0.005);
        assert_eq!(height.how(), "17 in along the transom x cos(13 deg) = 16.56 in straight down");
    }

    #[test]
    fn a_rake_of_a_right_angle_is_told() {
        assert!(along_transom(Inches(17.0), Degrees(90.0)).is_err());
        assert!(along_transom(Inches(0.0), Degrees(10.0)).is_err());
        assert!(straight_down(Inches(f64::NAN)).is_err());
    }

    // Common practice, from memory: 381, 508, 635 and 762 mm are the four classes.
    #[test]
    fn metric_classes_are_the_same_four() {
        for (millimetres, inches) in [(381.0, 15.0), (508.0, 20.0), (635.0, 25.0), (762.0, 30.0)] {
            let length = Inches::try_from(Quantity::new(millimetres, Unit::Millimetre));
            assert_eq!(class(length.expect("a length").0), Some(inches));
        }
    }

    #[test]
    fn the_nearest_class_wins_and_a_tie_goes_to_the_larger() {
        assert_eq!(class(22.0), Some(20.0));
        assert_eq!(class(22.5), Some(25.0));
        assert_eq!(class(22.5 - 1e-10), Some(25.0));
        assert_eq!(class(22.499), Some(20.0));
        assert_eq!(class(17.5), Some(20.0));
        assert_eq!(class(12.5), Some(15.0));
        assert_eq!(class(32.5), Some(30.0));
    }

    #[test]
    fn outside_every_class_there_is_none() {
        assert_eq!(class(12.49), None);
        assert_eq!(class(32.51), None);
    }

    #[test]
    fn near_the_middle_the_model_code_decides() {
        assert!(between(16.75) && between(17.5) && between(18.25) && between(21.8));
        assert!(!between(16.74) && !between(18.26) && !between(20.0) && !between(12.5));
        let told = leg_class(Inches(22.0)).expect("a class");
        assert_eq!(
            told.how(),
            "22 in is nearest to the class of 20 in, but close to the middle between 20 and 25 in: \
             read the model code"
        );
    }

    #[test]
    fn only_like_classes_fit() {
        assert_eq!(fit(&leg(20.0), &leg(20.0)).value, Fit::Fits);
        let near = leg_class(Inches(22.0)).expect("a class").value;
        for (transom, shaft) in [(&leg(20.0), &near), (&near, &leg(20.0))] {
            assert!(fit(transom, shaft).how().ends_with("close to the middle between classes"));
        }
        let long = fit(&leg(15.0), &leg(20.0));
        assert_eq!(long.value, Fit::Misfit);
        assert_eq!(long.how(), "a 20 in shaft on a 15 in transom: 5 in too long");
        assert_eq!(fit(&leg(25.0), &leg(20.0)).value.name(), "misfit");
    }

    #[test]
    fn the_plate_belongs_level_to_an_inch_below() {
        let place = |height, shaft, setback: Option<f64>| {
            plate_position(Inches(height), Inches(shaft), setback.map(Inches)).expect("a position").value.place
        };
        assert_eq!(place(20.0, 20.0, None), Place::Right);
        assert_eq!(place(20.0, 21.0, None), Place::Right);
        assert_eq!(place(20.0, 21.1, None), Place::Deep);
        assert_eq!(place(20.0, 19.9, None), Place::High);
    }

    #[test]
    fn a_foot_of_setback_lifts_the_plate_by_an_inch() {
        let place = |shaft| {
            plate_position(Inches(20.0), Inches(shaft), Some(Inches(12.0))).expect("a position").value.place
        };
        assert_eq!(place(19.0), Place::Right);
        assert_eq!(place(20.0), Place::Right);
        assert_eq!(place(20.5), Place::Deep);
        assert_eq!(place(18.9), Place::High);
    }

    #[test]
    fn a_setback_that_was_not_given_is_said() {
        let told = plate_position(Inches(20.0), Inches(20.5), None).expect("a position");
        assert!(told.how().contains("no setback given, taken as none"));
        assert!((told.value.below.0 - 0.5).abs() < 1e-12);
    }

    proptest! {
        #[test]
        fn a_class_is_never_further_than_its_cut(length in 0.1..50.0_f64) {
            match class(length) {
                Some(class) => prop_assert!((class - length).abs() <= 2.5 + 1e-9),
                None => prop_assert!(!(12.5..=32.5).contains(&length)),
            }
        }

        #[test]
        fn more_rake_never_makes_it_higher(length in 1.0..50.0_f64, a in 0.0..89.0_f64, b in 0.0..89.0_f64) {
            let height = |rake| along_transom(Inches(length), Degrees(rake)).expect("a height").value.0;
            prop_assert!(height(a.max(b)) <= height(a.min(b)));
        }
    }
}
