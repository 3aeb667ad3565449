//! Battery and charging from a voltmeter: at rest, while cranking, while running.
//!
//! Figures for a 12 V lead-acid battery, from memory. Small rectifier-only motors may read 15 to 16 V
//! in good health.

use super::definition::{measure, words};
use super::worked::{SLACK, from_nought};
use super::{Absent, Measured, Worked};
use crate::knowledge::roles::{CLAIMED_POWER, VOLTS_REST, VOLTS_REVS, VOLTS_RUNNING};
use crate::units::{Rpm, Volts};

const FULL: f64 = 12.65;
const HALF: f64 = 12.24;
const EMPTY: f64 = 11.89;
const CHARGING_FROM: f64 = 13.5;
const CHARGING_TO: f64 = 14.7;
const TOO_HIGH: f64 = 15.0;
const RISE: f64 = 0.3;
/// From these revs on a charging system has to lift the voltage.
const RISE_REVS: f64 = 1500.0;

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rest {
    Full,
    /// Half charged or better.
    Half,
    /// Under half.
    Low,
    Empty,
}

words!(Rest { Full = "full", Half = "half", Low = "low", Empty = "empty" });

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Charge {
    Sound,
    Between,
    Fault,
}

words!(Charge { Sound = "sound", Between = "between", Fault = "fault" });

/// How full the battery is from its voltage at rest: 12.65 V full, 12.24 half, 11.89 empty.
///
/// # Errors
/// A voltage below nought.
pub fn rest(volts: Volts) -> Measured<Rest> {
    let reading = from_nought(volts.0, "the voltage")?;
    let (value, words) = if reading >= FULL - SLACK {
        (Rest::Full, "full from 12.65 V")
    } else if reading >= HALF - SLACK {
        (Rest::Half, "half charged or better from 12.24 V")
    } else if reading > EMPTY + SLACK {
        (Rest::Low, "under half below 12.24 V")
    } else {
        (Rest::Empty, "empty at 11.89 V and below")
    };
    Ok(Worked::new(value, move || format!("{volts} at rest: {words}")))
}

/// What running adds: running less rest.
#[must_use]
pub fn charge_rise(running: Volts, rest: Volts) -> Worked<Volts> {
    let rise = Volts(running.0 - rest.0);
    Worked::new(rise, move || format!("{running} running - {rest} at rest = {rise}"))
}

/// Fault: over 15 V (on a small motor only between: rectifiers alone may give that), or a rise under 0.3 V at 1500 revs or more. Sound: 13.5 to 14.7 V and no fault.
/// Else between. Without the rest voltage or the revs the second fault may be beyond telling; then
/// there is no figure rather than a kind one.
///
/// # Errors
/// A voltage below nought, or a fault that what is missing could still show.
pub fn charge(running: Volts, rest: Option<Volts>, revs: Option<Rpm>, small: bool) -> Measured<Charge> {
    let volts = from_nought(running.0, "the voltage")?;
    if volts > TOO_HIGH + SLACK {
        return Ok(if small {
            let how = move || {
                format!("{running} running, over 15 V: a small motor's rectifier may do that in good health")
            };
            Worked::new(Charge::Between, how)
        } else {
            Worked::new(Charge::Fault, move || format!("{running} running, over 15 V"))
        });
    }
    let flat = rest.map(|rest| volts - rest.0 < RISE - SLACK);
    let fast = revs.map(|revs| revs.0 >= RISE_REVS - SLACK);
    match (flat, fast) {
        (Some(true), Some(true)) => {
            let how = move || format!("{running} running: a rise of less than 0.3 V at 1500 revs or more");
            return Ok(Worked::new(Charge::Fault, how));
        }
        (Some(false), _) | (_, Some(false)) => {}
        (None, _) => {
            return Err(Absent::RiseUnknown);
        }
        (_, None) => {
            return Err(Absent::RevsOfRiseUnknown);
        }
    }
    let sound = (CHARGING_FROM - SLACK..=CHARGING_TO + SLACK).contains(&volts);
    Ok(if sound {
        Worked::new(Charge::Sound, move || format!("{running} running, inside 13.5 to 14.7 V"))
    } else {
        let how = move || format!("{running} running, outside 13.5 to 14.7 V but no plain fault");
        Worked::new(Charge::Between, how)
    })
}

measure! {
    RestCharge -> Rest, "rest-charge", "battery at rest", "";
    needs { volts: VOLTS_REST }
    |_| rest(volts)
}

measure! {
    Charging -> Charge, "charge", "charging", "";
    needs { running: VOLTS_RUNNING }
    may { rest: VOLTS_REST, revs: VOLTS_REVS, power: CLAIMED_POWER }
    |around| {
        let small = power.is_some_and(|power| power.0 <= around.settings.power_small);
        charge(running, rest, revs, small)
    }
}

measure! {
    ChargeRise -> Volts, "charge-rise", "voltage gained by running", "V";
    needs { rest: VOLTS_REST, running: VOLTS_RUNNING }
    |_| Ok(charge_rise(running, rest))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn charged(running: f64, rest: Option<f64>, revs: Option<f64>) -> Option<Charge> {
        charge(Volts(running), rest.map(Volts), revs.map(Rpm), false).ok().map(|found| found.value)
    }

    // 12 V lead-acid at rest, from memory.
    #[test]
    fn a_battery_at_rest_shows_its_charge() {
        let cases = [
            (12.8, Rest::Full),
            (12.65, Rest::Full),
            (12.64, Rest::Half),
            (12.24, Rest::Half),
            (12.23, Rest::Low),
            (11.9, Rest::Low),
            (11.89, Rest::Empty),
            (0.0, Rest::Empty),
        ];
        for (volts, wanted) in cases {
            assert_eq!(rest(Volts(volts)).expect("a state").value, wanted, "{volts} V");
        }
        assert!(rest(Volts(f64::INFINITY)).is_err());
    }

    // Charging 13.5 to 14.7 V, over 15 suspect, from memory.
    #[test]
    fn charging_is_sound_between_or_at_fault() {
        assert_eq!(charged(14.2, Some(12.6), Some(1500.0)), Some(Charge::Sound));
        assert_eq!(charged(13.5, Some(12.6), Some(1500.0)), Some(Charge::Sound));
        assert_eq!(charged(14.7, Some(12.6), Some(1500.0)), Some(Charge::Sound));
        assert_eq!(charged(14.8, Some(12.6), Some(1500.0)), Some(Charge::Between));
        assert_eq!(charged(13.2, Some(12.6), Some(1500.0)), Some(Charge::Between));
        assert_eq!(charged(15.0, Some(12.6), Some(1500.0)), Some(Charge::Between));
        assert_eq!(charged(15.1, None, None), Some(Charge::Fault));
        assert_eq!(charged(12.7, Some(12.6), Some(1500.0)), Some(Charge::Fault));
        assert_eq!(charged(13.6, Some(13.4), Some(1600.0)), Some(Charge::Fault));
    }

    #[test]
    fn at_idle_a_small_rise_is_no_fault() {
        assert_eq!(charged(12.7, Some(12.6), Some(1499.0)), Some(Charge::Between));
    }

    #[test]
    fn a_rise_of_exactly_three_tenths_is_enough() {
        assert_eq!(charged(12.9, Some(12.6), Some(1500.0)), Some(Charge::Between));
        assert_eq!(charged(12.89, Some(12.6), Some(1500.0)), Some(Charge::Fault));
    }

    #[test]
    fn what_could_still_be_a_fault_is_not_called_sound() {
        assert_eq!(charged(14.0, None, Some(1500.0)), None);
        assert_eq!(charged(14.0, None, None), None);
        assert_eq!(charged(12.7, Some(12.6), None), None);
        assert_eq!(charged(14.0, Some(12.6), None), Some(Charge::Sound));
        assert_eq!(charged(14.0, None, Some(900.0)), Some(Charge::Sound));
    }

    #[test]
    fn the_rise_is_running_less_rest() {
        let rise = charge_rise(Volts(14.1), Volts(12.6));
        assert!((rise.value.0 - 1.5).abs() < 1e-9);
        assert_eq!(rise.how(), "14.1 V running - 12.6 V at rest = 1.5 V");
    }
}
