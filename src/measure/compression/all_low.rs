//! Whether the whole motor reads low: an engine can be even and worn out.
//!
//! Makers' figures differ widely, so the manual's comes first; the figures without it are from memory.

use super::{Expected, Psi};
use crate::measure::definition::words;
use crate::measure::worked::SLACK;
use crate::measure::{Absent, Measured, Worked};
use crate::units::{Fraction, figure};

/// Under this share of what is expected a motor is far off.
const FAR: f64 = 0.75;
/// Under this share it is low; a cold block reads a little less.
const LOW: f64 = 0.90;
const LOW_COLD: f64 = 0.85;
/// Without a factory figure: far and low under so many psi at sea level.
const BARE: (f64, f64) = (60.0, 90.0);
/// The same where a decompressor may lift a valve while the rope is pulled.
const DECOMPRESSED: (f64, f64) = (30.0, 60.0);

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AllLow {
    No,
    Low,
    Far,
}

words!(AllLow { No = "no", Low = "low", Far = "far" });

/// What the readings are held against.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bench {
    /// By the factory figure, where there is one.
    pub expected: Option<Expected>,
    /// Air pressure here over that at sea level; none while the height is unknown.
    pub air: Option<Fraction>,
    pub cold_block: bool,
    /// A small four-stroke on a rope: it may have a decompressor.
    pub decompressor: bool,
}

/// How the highest reading stands against what such a motor should give; one cylinder can be low too.
///
/// # Errors
/// Nothing read, or the highest read is low and a cylinder that was not read could still be higher.
pub fn all_low(values: &[Option<Psi>], bench: &Bench) -> Measured<AllLow> {
    let read = values.iter().flatten().map(|value| value.0);
    let highest = read.reduce(f64::max).ok_or(Absent::NothingRead)?;
    if !highest.is_finite() || highest < 0.0 {
        return Err(Absent::ImpossibleReading(highest));
    }
    let worked = match bench.expected {
        Some(expected) => against_factory(highest, expected, bench.cold_block),
        None => against_memory(highest, *bench),
    };
    let unread: Vec<usize> = (1..=values.len()).filter(|cylinder| values[cylinder - 1].is_none()).collect();
    if worked.value != AllLow::No && !unread.is_empty() {
        return Err(Absent::OthersLow(unread));
    }
    Ok(worked)
}

fn against_factory(highest: f64, expected: Expected, cold_block: bool) -> Worked<AllLow> {
    let part = highest / expected.expected.0;
    let low = if cold_block { LOW_COLD } else { LOW };
    let value = if part < FAR - SLACK {
        AllLow::Far
    } else if part < low - SLACK {
        AllLow::Low
    } else {
        AllLow::No
    };
    Worked::new(value, move || {
        let low = figure(low * 100.0, 0);
        let words = match value {
            AllLow::Far => "under 75 %".to_owned(),
            AllLow::Low => format!("under {low} %"),
            AllLow::No => format!("not under {low} %"),
        };
        let block = if cold_block { " on a cold block" } else { "" };
        let (highest, expected) = (figure(highest, 1), figure(expected.expected.0, 0));
        format!("highest {highest} / expected {expected} = {}, {words}{block}", Fraction(part))
    })
}

fn against_memory(highest: f64, bench: Bench) -> Worked<AllLow> {
    let (far, low) = if bench.decompressor { DECOMPRESSED } else { BARE };
    let at_sea = highest / bench.air.map_or(1.0, |air| air.0);
    let value = if at_sea < far - SLACK {
        AllLow::Far
    } else if at_sea < low - SLACK {
        AllLow::Low
    } else {
        AllLow::No
    };
    Worked::new(value, move || {
        let words = match value {
            AllLow::Far => format!("under {far} psi"),
            AllLow::Low => format!("under {low} psi"),
            AllLow::No => format!("not under {low} psi"),
        };
        let height = match bench.air {
            Some(_) => format!("highest {} is {} at sea level", figure(highest, 1), figure(at_sea, 1)),
            None => format!("highest {}, the height not known and taken as sea level", figure(highest, 1)),
        };
        let decompressor =
            if bench.decompressor { "; a rope-started four-stroke may have a decompressor" } else { "" };
        format!("{height}: {words}, without the manual's figure{decompressor}")
    })
}
