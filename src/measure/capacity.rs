//! How much power the boat may carry: its plate, or else the United States rule where it applies.
//!
//! The rule is 33 CFR 183.51 and 183.53(a) (read, edition 2001). Paragraph (b) allows some boats of
//! up to 13 ft another figure after a driving test: that can't be worked out, so it is named only.

use super::definition::{measure, words};
use super::fit::{Measurement, Transom, heights_by_usual_rakes};
use super::worked::{SLACK, above_nought};
use super::{Absent, Figure, Figured, Measured, Worked};
use crate::knowledge::roles::{
    BOAT_KIND, BOAT_LENGTH, BoatKind, CAPACITY_PLATE, CLAIMED_POWER, CapacityPlate, HULL_BOTTOM, HullBottom,
    PLATE_POWER, STEERING, Steering, TRANSOM_WIDTH,
};
use crate::units::{Horsepower, Inches, figure};

/// Factor up to and including, and the power it allows: the table of 183.53(a).
const TABLE: [(f64, f64); 5] = [(35.0, 3.0), (39.0, 5.0), (42.0, 7.5), (45.0, 10.0), (52.0, 15.0)];
/// Over this factor the formulas hold; at or under it the table.
const TABLE_ENDS: f64 = 52.5;
const SCOPE_FT: f64 = 20.0;
const REMOTE_TRANSOM_IN: f64 = 20.0;
const DRIVING_TEST_FT: f64 = 13.0;
/// Power is over the limit only by more than this share of it: makers round their figures.
const OVER: f64 = 0.02;

/// Whether a transom counts as tall in the rule.
#[must_use]
pub fn tall_transom(height: Inches) -> bool {
    height.0 >= REMOTE_TRANSOM_IN - SLACK
}

/// Why the rule does not speak of such a boat.
fn outside(kind: BoatKind) -> Option<&'static str> {
    match kind {
        BoatKind::Monohull => None,
        BoatKind::Multihull => Some("the rule leaves out boats with more than one hull"),
        BoatKind::Inflatable => Some("the rule leaves out inflatables"),
        BoatKind::CanoeOrSail => Some("the rule leaves out canoes, kayaks and sailing boats"),
        BoatKind::Jet => Some("the rule does not speak of jet drives"),
        BoatKind::NoneYet => Some("there is no boat yet"),
        BoatKind::Other => Some("the rule does not speak of such a boat"),
    }
}

/// What the rule asks about a boat; `None` for what nobody has measured or said.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Boat {
    pub kind: Option<BoatKind>,
    /// Straight length overall.
    pub length: Option<Inches>,
    /// Greatest width of the transom, or without a full transom the beam of the aftermost quarter.
    pub width: Option<Inches>,
    pub bottom: Option<HullBottom>,
    /// Steered by a wheel.
    pub wheel: Option<bool>,
    pub transom_height: Option<Inches>,
}

/// Which part of the rule gave the figure.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {
    Table,
    Remote,
    FlatBottom,
    OtherBottom,
}

/// What the rule allows.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RuleLimit {
    /// Length × width, in square feet.
    pub factor: f64,
    pub part: Part,
    pub computed: Horsepower,
    /// The computed figure after the raise to the next multiple of 5 that the formulas allow.
    pub limit: Horsepower,
}

/// The limit that holds for this boat.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PowerLimit {
    pub limit: Horsepower,
    pub from_plate: bool,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Power {
    Within,
    Over,
}

words!(Power { Within = "within", Over = "over" });

/// The most power by 33 CFR 183.53(a): from the factor F = length × width in feet, by the table up to
/// F 52.5 and by one of three formulas above it.
///
/// # Errors
/// A boat the rule leaves out, a flat bottom too small for the table, or an input that is missing;
/// only what the boat's own case needs is asked for.
pub fn rule_limit(boat: &Boat) -> Measured<RuleLimit> {
    let (length, width) = measured_in_scope(boat)?;
    let factor = length * width;
    let found = if factor <= TABLE_ENDS + SLACK { by_table(factor, boat)? } else { by_formula(factor, boat)? };
    let beside = if length <= DRIVING_TEST_FT + SLACK {
        "; paragraph (b) of the rule, a driving test for boats up to 13 ft, can give another figure \
         and is not worked out here"
    } else {
        ""
    };
    Ok(found.retold(move |how| {
        let (length, width, factor) = (figure(length, 2), figure(width, 2), figure(factor, 2));
        format!("length {length} ft x width {width} ft = factor {factor}; {how}{beside}")
    }))
}

/// Length and width in feet of a boat the rule speaks of.
fn measured_in_scope(boat: &Boat) -> Result<(f64, f64), Absent> {
    let kind = boat.kind.ok_or(Absent::NotKnown("what kind of boat it is,"))?;
    if let Some(reason) = outside(kind) {
        return Err(Absent::LeftOut(reason));
    }
    let length = boat.length.ok_or(Absent::NotKnown("the boat's length"))?;
    let width = boat.width.ok_or(Absent::NotKnown("the transom's width"))?;
    let length = above_nought(length.0, "the boat's length")? / 12.0;
    let width = above_nought(width.0, "the transom's width")? / 12.0;
    if length >= SCOPE_FT - SLACK {
        return Err(Absent::LeftOut("the rule is for boats under 20 ft"));
    }
    Ok((length, width))
}

/// The row of the factor's nearest whole number; one row lower for a flat bottom with hard chines.
fn by_table(factor: f64, boat: &Boat) -> Measured<RuleLimit> {
    let bottom = boat.bottom.ok_or(Absent::NotKnown("the shape of the bottom"))?;
    // Exactly 52.5 would round to 53, which no row has: it belongs to the last one.
    let rounded = (factor + SLACK).round().min(52.0);
    let row = TABLE.iter().filter(|(up_to, _)| *up_to < rounded).count();
    let row = match bottom {
        HullBottom::Other => row,
        HullBottom::FlatHardChine if row == 0 => {
            return Err(Absent::LeftOut(
                "a flat bottom takes one row less than the table's first: it gives no figure",
            ));
        }
        HullBottom::FlatHardChine => row - 1,
    };
    let power = Horsepower(TABLE[row].1);
    let step = match bottom {
        HullBottom::FlatHardChine => ", one row lower for a flat bottom",
        HullBottom::Other => "",
    };
    let value = RuleLimit { factor, part: Part::Table, computed: power, limit: power };
    let how = move || format!("table of 33 CFR 183.53{step}: {power}");
    Ok(Worked::new(value, how))
}

/// Remote: 2 F - 90. Flat bottom with hard chines: 0.5 F - 15. Other bottoms: 0.8 F - 25.
fn by_formula(factor: f64, boat: &Boat) -> Measured<RuleLimit> {
    let (part, times, less, words) = if is_remote(boat)? {
        let words = "wheel steering and a transom of 20 in or more";
        (Part::Remote, 2.0, 90.0, words)
    } else {
        match boat.bottom.ok_or(Absent::NotKnown("the shape of the bottom"))? {
            HullBottom::FlatHardChine => (Part::FlatBottom, 0.5, 15.0, "flat bottom, hard chines"),
            HullBottom::Other => (Part::OtherBottom, 0.8, 25.0, "not remote, other bottom"),
        }
    };
    let computed = times * factor - less;
    let limit = ((computed - SLACK) / 5.0).ceil() * 5.0;
    let how = move || {
        let raise = if limit > computed + SLACK {
            format!(", may be raised to {} hp", figure(limit, 0))
        } else {
            String::new()
        };
        let (factor, computed) = (figure(factor, 2), figure(computed, 2));
        format!("{words}: {times} x {factor} - {less} = {computed} hp by 33 CFR 183.53{raise}")
    };
    let value = RuleLimit { factor, part, computed: Horsepower(computed), limit: Horsepower(limit) };
    Ok(Worked::new(value, how))
}

/// Remote in the rule's sense: steered by a wheel, and a transom of 20 in or more. One no settles it.
fn is_remote(boat: &Boat) -> Result<bool, Absent> {
    let high = boat.transom_height.map(tall_transom);
    match (boat.wheel, high) {
        (Some(false), _) | (_, Some(false)) => Ok(false),
        (Some(true), Some(true)) => Ok(true),
        (None, _) => Err(Absent::NotKnown("how the boat is steered")),
        (_, None) => Err(Absent::NotKnown("the transom height")),
    }
}

/// The plate's figure when there is one, else the rule's.
///
/// # Errors
/// Without a plate's figure, whatever keeps the rule from giving one.
pub fn power_limit(plate: Option<Horsepower>, rule: Measured<RuleLimit>) -> Measured<PowerLimit> {
    if let Some(limit) = plate {
        above_nought(limit.0, "the power on the plate")?;
        let value = PowerLimit { limit, from_plate: true };
        return Ok(Worked::new(value, move || format!("{limit} on the boat's plate")));
    }
    let rule = rule.map_err(|reason| Absent::NoPlate(Box::new(reason)))?;
    Ok(rule.map(|found| PowerLimit { limit: found.limit, from_plate: false }))
}

/// Over is a claimed power more than 2 % above the limit.
///
/// # Errors
/// A claimed power that is not above nought.
pub fn power(claimed: Horsepower, limit: &PowerLimit) -> Measured<Power> {
    above_nought(claimed.0, "the claimed power")?;
    let most = limit.limit;
    Ok(if claimed.0 > most.0 * (1.0 + OVER) + SLACK {
        Worked::new(Power::Over, move || format!("{claimed} claimed, more than the {most} allowed"))
    } else if claimed.0 > most.0 + SLACK {
        let how = move || format!("{claimed} claimed against {most} allowed: above it by no more than 2 %");
        Worked::new(Power::Within, how)
    } else {
        Worked::new(Power::Within, move || format!("{claimed} claimed, {most} allowed"))
    })
}

impl Figured for PowerLimit {
    const WORDS: &'static [&'static str] = &[];

    fn figure(&self) -> Figure {
        Figure::Number(self.limit.0)
    }
}

/// The height for the rule, which only asks whether it is 20 in or more: where the rake is not known, one of the
/// usual span when both its ends say the same.
fn height_for_the_rule(transom: Measurement) -> Option<Inches> {
    match transom {
        Measurement::Height(height) => Some(height),
        Measurement::AlongUnknownRake(along) => {
            let [flat, steep] = heights_by_usual_rakes(along).ok()?;
            (tall_transom(flat) == tall_transom(steep)).then_some(steep)
        }
    }
}

measure! {
    /// A plate that is there outranks the rule, even while its figure is not known.
    Limit -> PowerLimit, "power-limit", "most power for this boat", "hp";
    may {
        kind: BOAT_KIND,
        plate: CAPACITY_PLATE,
        plate_power: PLATE_POWER,
        length: BOAT_LENGTH,
        width: TRANSOM_WIDTH,
        bottom: HULL_BOTTOM,
        steering: STEERING,
    }
    perhaps { transom: Transom }
    |_| match plate {
        None => Err(Absent::Answer { role: CAPACITY_PLATE.any, asked: true }),
        Some(CapacityPlate::Readable) => {
            let plate = plate_power.ok_or(Absent::Answer { role: PLATE_POWER.any, asked: true })?;
            power_limit(Some(plate), Err(Absent::NotKnown("the plate's figure")))
        }
        Some(CapacityPlate::Missing | CapacityPlate::Other) => {
            let wheel = steering.map(|steering| steering != Steering::Other);
            let transom_height = transom.ok().and_then(|transom| height_for_the_rule(transom.value));
            power_limit(None, rule_limit(&Boat { kind, length, width, bottom, wheel, transom_height }))
        }
    }
}

measure! {
    ClaimedPower -> Power, "power", "claimed power against the boat's limit", "";
    needs { claimed: CLAIMED_POWER }
    from { limit: Limit }
    |_| power(claimed, &limit.value)
}

#[cfg(test)]
mod tests;
