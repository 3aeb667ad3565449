//! What hangs on the transom: the motor's weight and all that comes with it.

use super::definition::measure;
use super::worked::{SLACK, above_nought};
use super::{Absent, Figure, Figured, Measured, Worked};
use crate::knowledge::roles::{CLAIMED_POWER, MOTOR_WEIGHT, PLATE_WEIGHT};
use crate::units::{Horsepower, Pounds};

/// One row of 33 CFR 183.75: up to this power, and then in pounds dry, running, controls and rigging,
/// battery, full portable tank, total.
type Row = (f64, [f64; 6]);

/// In force since 1 June 2018 (read).
const TABLE: [Row; 14] = [
    (2.0, [30.0, 32.0, 0.0, 0.0, 0.0, 32.0]),
    (3.9, [42.0, 44.0, 0.0, 0.0, 0.0, 44.0]),
    (6.9, [66.0, 69.0, 0.0, 0.0, 25.0, 94.0]),
    (10.9, [105.0, 110.0, 5.0, 20.0, 50.0, 185.0]),
    (22.9, [127.0, 133.0, 6.0, 45.0, 50.0, 234.0]),
    (34.9, [187.0, 196.0, 9.0, 45.0, 100.0, 350.0]),
    (64.9, [286.0, 300.0, 14.0, 45.0, 100.0, 459.0]),
    (94.9, [439.0, 461.0, 22.0, 45.0, 100.0, 628.0]),
    (104.9, [458.0, 481.0, 23.0, 45.0, 100.0, 649.0]),
    (144.9, [526.0, 552.0, 26.0, 45.0, 100.0, 723.0]),
    (194.9, [561.0, 589.0, 28.0, 45.0, 100.0, 762.0]),
    (209.9, [652.0, 685.0, 33.0, 45.0, 100.0, 863.0]),
    (300.0, [699.0, 734.0, 35.0, 45.0, 100.0, 914.0]),
    (350.0, [884.0, 928.0, 44.0, 45.0, 100.0, 1117.0]),
];
const SMALLEST_HP: f64 = 0.1;
/// A motor ready to run weighs this much of its dry weight (33 CFR 183.75).
const RUNNING: f64 = 1.05;

/// The weights of a class of power. The rule means the heaviest motor of the class, so they are on the
/// high side for most.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ClassWeight {
    pub dry: Pounds,
    pub running: Pounds,
    pub controls: Pounds,
    pub battery: Pounds,
    pub tank: Pounds,
    pub total: Pounds,
}

/// The weight that comes aboard with the motor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TransomWeight {
    pub total: Pounds,
    /// What the boat's plate leaves for people and gear; under nought is too much already.
    pub left: Option<Pounds>,
}

/// The class of 33 CFR 183.75 for a power. A power between two printed ranges takes the higher row.
///
/// # Errors
/// A power outside the table, 0.1 to 350 hp.
pub fn class_weight(power: Horsepower) -> Measured<ClassWeight> {
    above_nought(power.0, "the power")?;
    let outside = || Absent::OutsideWeights(power);
    if power.0 < SMALLEST_HP - SLACK {
        return Err(outside());
    }
    let (_, pounds) = TABLE.iter().find(|(up_to, _)| power.0 <= up_to + SLACK).ok_or_else(outside)?;
    let [dry, running, controls, battery, tank, total] = pounds.map(Pounds);
    let value = ClassWeight { dry, running, controls, battery, tank, total };
    let how = move || {
        format!(
            "33 CFR 183.75, heaviest motor of its class at {power}: {dry} dry; {running} running + \
         controls {controls} + battery {battery} + tank {tank} = {total}"
        )
    };
    Ok(Worked::new(value, how))
}

/// Motor and all that belongs to it: running weight (105 % of dry) + controls + battery + full tank.
/// The motor's own dry weight is used when it is known, else the heaviest of its class.
///
/// # Errors
/// Neither the weight nor a power inside the table is known.
pub fn on_transom(
    motor: Option<Pounds>,
    power: Option<Horsepower>,
    plate: Option<Pounds>,
) -> Measured<TransomWeight> {
    let class = match power {
        Some(power) => class_weight(power),
        None => Err(Absent::NotKnown("the motor's power")),
    };
    let worked = match (motor, class) {
        (None, class) => {
            let class = class.map_err(|reason| Absent::NoWeight(Box::new(reason)))?;
            class.map(|class| class.total)
        }
        (Some(dry), class) => own_weight(dry, class.ok().map(|class| class.value))?,
    };
    let total = worked.value;
    let left = plate.map(|most| Pounds(most.0 - total.0));
    let beside = move || match (left, plate) {
        (Some(left), Some(most)) if left.0 < 0.0 => {
            format!("; {} more than the {most} on the plate", Pounds(-left.0))
        }
        (Some(left), Some(most)) => {
            format!("; the plate's {most} leaves {left} for people and gear")
        }
        _ => String::new(),
    };
    Ok(worked.map(|_| TransomWeight { total, left }).retold(move |how| how + &beside()))
}

/// Own running weight and what belongs to its class less what the plate allows; under nought is to spare.
///
/// # Errors
/// A weight that is not above nought, a power outside the table.
pub fn over_plate(motor: Pounds, power: Horsepower, plate: Pounds) -> Measured<Pounds> {
    let own = own_weight(motor, Some(class_weight(power)?.value))?;
    let over = Pounds(own.value.0 - plate.0);
    let word = if over.0 > 0.0 { "more than the plate allows" } else { "to spare" };
    Ok(own.map(|_| over).retold(move |how| format!("{how}; plate {plate}: {} {word}", Pounds(over.0.abs()))))
}

/// From the motor's own dry weight, with the rest of its class where the class is known.
fn own_weight(dry: Pounds, class: Option<ClassWeight>) -> Measured<Pounds> {
    let running = above_nought(dry.0, "the motor's weight")? * RUNNING;
    let Some(class) = class else {
        let how = move || format!("{dry} x 1.05 to run = {}, without controls, battery and tank", Pounds(running));
        return Ok(Worked::new(Pounds(running), how));
    };
    let rest = class.controls.0 + class.battery.0 + class.tank.0;
    let total = Pounds(running + rest);
    let how = move || format!("{dry} x 1.05 to run + {} of controls, battery and tank = {total}", Pounds(rest));
    Ok(Worked::new(total, how))
}

impl Figured for TransomWeight {
    const WORDS: &'static [&'static str] = &[];

    fn figure(&self) -> Figure {
        Figure::Number(self.total.0)
    }
}

measure! {
    OnTransom -> TransomWeight, "transom-weight", "weight on the transom", "lb";
    may { plate: PLATE_WEIGHT, power: CLAIMED_POWER, motor: MOTOR_WEIGHT }
    |_| on_transom(motor, power, plate)
}

measure! {
    WeightOver -> Pounds, "weight-over", "motor and its gear over what the plate allows", "lb";
    needs { plate: PLATE_WEIGHT, power: CLAIMED_POWER, motor: MOTOR_WEIGHT }
    |_| over_plate(motor, power, plate)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn dry_and_total(power: f64) -> (f64, f64) {
        let class = class_weight(Horsepower(power)).expect("a class").value;
        (class.dry.0, class.total.0)
    }

    fn same(found: (f64, f64), wanted: (f64, f64)) {
        let off = (found.0 - wanted.0).abs() + (found.1 - wanted.1).abs();
        assert!(off < 1e-9, "{found:?} is not {wanted:?}");
    }

    // 33 CFR 183.75, in force 1 June 2018, read.
    #[test]
    fn the_weight_table_holds() {
        same(dry_and_total(9.9), (105.0, 185.0));
        same(dry_and_total(15.0), (127.0, 234.0));
        same(dry_and_total(40.0), (286.0, 459.0));
        same(dry_and_total(115.0), (526.0, 723.0));
        assert!(class_weight(Horsepower(351.0)).is_err());
        assert!(class_weight(Horsepower(0.05)).is_err());
    }

    // 33 CFR 183.75, read: running = 105 % of dry, total = running + controls + battery + tank.
    #[test]
    fn every_row_adds_up() {
        for (up_to, [dry, running, controls, battery, tank, total]) in TABLE {
            assert!((running - dry * RUNNING).abs() <= 1.0, "{up_to} hp");
            let sum: f64 = running + controls + battery + tank;
            assert!((sum - total).abs() < 1e-9, "{up_to} hp: {sum} {total}");
        }
    }

    #[test]
    fn a_power_between_two_rows_takes_the_higher() {
        same(dry_and_total(22.9), (127.0, 234.0));
        same(dry_and_total(22.95), (187.0, 350.0));
        same(dry_and_total(300.05), (884.0, 1117.0));
    }

    #[test]
    fn the_motors_own_weight_comes_before_its_class() {
        let found = on_transom(Some(Pounds(100.0)), Some(Horsepower(15.0)), Some(Pounds(600.0))).expect("a weight");
        assert!((found.value.total.0 - 206.0).abs() < 1e-9);
        assert!((found.value.left.expect("a rest").0 - 394.0).abs() < 1e-9);
        assert!(found.how().ends_with("the plate's 600 lb leaves 394 lb for people and gear"));
    }

    #[test]
    fn without_a_weight_the_class_speaks() {
        let found = on_transom(None, Some(Horsepower(40.0)), Some(Pounds(400.0))).expect("a weight");
        assert!((found.value.total.0 - 459.0).abs() < 1e-9);
        assert!(found.how().ends_with("59 lb more than the 400 lb on the plate"));
    }

    #[test]
    fn without_power_the_motors_own_weight_stands_alone() {
        let found = on_transom(Some(Pounds(100.0)), None, None).expect("a weight");
        assert!((found.value.total.0 - 105.0).abs() < 1e-9);
        assert_eq!(found.value.left, None);
        assert!(found.how().contains("without controls"));
    }

    #[test]
    fn with_neither_there_is_no_weight() {
        let reason = on_transom(None, None, Some(Pounds(400.0))).expect_err("no weight").to_string();
        assert_eq!(reason, "the motor's weight is not known, and the motor's power is not known");
    }
}
