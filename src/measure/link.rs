//! Whether the law of the United States wants an engine cut-off switch link worn aboard.

use super::definition::{measure, words};
use super::worked::{SLACK, above_nought};
use super::{Measured, Worked};
use crate::knowledge::roles::{BOAT_LENGTH, CLAIMED_POWER};
use crate::units::{Horsepower, Inches, figure};

const UNDER_FT: f64 = 26.0;
/// 115 lb of static thrust, the statute's own measure, is about this much power.
const FROM_HP: f64 = 3.0;

/// By 46 USC 4312 (read; since 1 April 2021): a pleasure boat shorter than 26 ft whose motor can push
/// with 115 lb standing still. The link is then worn when planing or faster than displacement speed,
/// unless the helm is inside a cabin.
///
/// # Errors
/// A length or a power that is not above nought.
pub fn link_required(boat: Inches, power: Horsepower) -> Measured<bool> {
    let feet = above_nought(boat.0, "the boat's length")? / 12.0;
    above_nought(power.0, "the power")?;
    Ok(if feet >= UNDER_FT - SLACK {
        let how = move || format!("46 USC 4312 is for boats under 26 ft, this one has {} ft", figure(feet, 1));
        Worked::new(false, how)
    } else if power.0 < FROM_HP - SLACK {
        let how = move || format!("46 USC 4312 begins at 115 lb of thrust, about 3 hp; this is {power}");
        Worked::new(false, how)
    } else {
        let how = move || {
            format!(
                "{} ft and {power}: 46 USC 4312 wants the link worn on plane or above displacement \
             speed, unless the helm is in a closed cabin",
                figure(feet, 1)
            )
        };
        Worked::new(true, how)
    })
}

/// Whether the statute speaks of this boat.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Link {
    Required,
    NotCovered,
}
words!(Link { Required = "required", NotCovered = "not-covered" });

measure! {
    StopLink -> Link, "stop-link", "engine cut-off switch link", "";
    needs { boat: BOAT_LENGTH, power: CLAIMED_POWER }
    |_| Ok(link_required(boat, power)?.map(|required| if required { Link::Required } else { Link::NotCovered }))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn required(feet: f64, power: f64) -> bool {
        link_required(Inches(feet * 12.0), Horsepower(power)).expect("an answer").value
    }

    // 46 USC 4312, read; about 3 hp for 115 lb of thrust.
    #[test]
    fn the_statute_covers_what_it_says() {
        assert!(required(18.0, 40.0));
        assert!(!required(27.0, 40.0));
        assert!(!required(12.0, 2.5));
        assert!(required(25.99, 3.0));
        assert!(!required(26.0, 40.0));
    }

    #[test]
    fn a_boat_without_length_is_told() {
        assert!(link_required(Inches(0.0), Horsepower(40.0)).is_err());
        assert!(link_required(Inches(200.0), Horsepower(f64::NAN)).is_err());
    }
}
