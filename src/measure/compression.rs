//! Compression by cylinder: how even, who is low, and how that compares with what is expected.
//!
//! Start with [`cylinders`], which makes one value of two readings; everything else takes its list,
//! `None` for a cylinder that was not read. The 75 % limit is the US Army's (TM 5-4210-230-14&P-1,
//! read), the limits of 5 and 10 psi, 90 and 92 % are practice. Cylinders are numbered from 1.

use super::air::AirRatio;
use super::worked::{SLACK, above_nought};
use super::{Measured, Worked};
use crate::units::{Fraction, Psi, figure};

mod all_low;
mod bars;
mod heads;
mod leakdown;
mod repeated;

pub use all_low::{AllLow, Bench, all_low};
pub use bars::bars;
pub use heads::low_together;
pub use leakdown::{Leakdown, leakdown, leakdown_from_gauge};
pub use repeated::{Repeat, Rounds, Wet, WetPair, WetRise, cylinders, repeats, wet};

const FAILED: f64 = 0.75;
const POOR: f64 = 0.85;
const UNEVEN: f64 = 0.90;
const WATCH: f64 = 0.92;
/// Below this highest reading the limits are a distance in psi, from it on a share.
const HIGH_PSI: f64 = 150.0;
const UNEVEN_PSI: f64 = 10.0;
const WATCH_PSI: f64 = 5.0;
/// No cylinder may be this share under the average (TM 1-1500-204-23-1, read).
const UNDER_AVERAGE: f64 = 0.20;

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum State {
    Even,
    Watch,
    Uneven,
    Poor,
    Failed,
}

impl State {
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Even => "even",
            Self::Watch => "watch",
            Self::Uneven => "uneven",
            Self::Poor => "poor",
            Self::Failed => "failed",
        }
    }
}

/// The second published rule: how far the lowest is under the average of all.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AverageRule {
    pub mean: Psi,
    pub under: Fraction,
    pub passes: bool,
}

/// What a sound motor would read here.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Expected {
    pub expected: Psi,
    /// By the density chart: readings between the two are held against nobody.
    pub chart: Psi,
}

/// Lowest, highest and mean of what was read.
struct Read {
    lowest: f64,
    highest: f64,
    mean: f64,
    unread: Vec<usize>,
}

/// What can be compared: two cylinders at least, one of them above nought.
fn compared(values: &[Option<Psi>]) -> Result<Read, String> {
    let mut read: Vec<f64> = values.iter().flatten().map(|value| value.0).collect();
    if let Some(bad) = read.iter().find(|value| !value.is_finite() || **value < 0.0) {
        return Err(format!("a reading of {bad} psi can't be"));
    }
    if read.len() < 2 {
        return Err(match (values.len(), read.len()) {
            (1, 1) => "one cylinder alone has no other to be compared with".to_owned(),
            (_, 0) => "no cylinder was read".to_owned(),
            _ => "only one cylinder was read, and evenness takes two".to_owned(),
        });
    }
    read.sort_by(f64::total_cmp);
    let (lowest, highest) = (read[0], read[read.len() - 1]);
    if highest <= 0.0 {
        return Err("every reading is nought: look at the test before the motor".to_owned());
    }
    let unread =
        values.iter().enumerate().filter(|(_, value)| value.is_none()).map(|(place, _)| place + 1).collect();
    // Summed in order of size, so that the order of the cylinders can't change the last bit.
    let mean = read.iter().sum::<f64>() / count(read.len());
    Ok(Read { lowest, highest, mean, unread })
}

#[allow(clippy::cast_precision_loss)] // cylinders
fn count(cylinders: usize) -> f64 {
    cylinders as f64
}

impl Read {
    fn share(&self) -> f64 {
        self.lowest / self.highest
    }

    fn spread(&self) -> f64 {
        self.highest - self.lowest
    }
}

/// The end of a working that leaves cylinders out.
fn not_read(unread: &[usize]) -> String {
    if unread.is_empty() {
        return String::new();
    }
    format!("; {} not read", cylinder_list(unread))
}

/// "cylinder 3", "cylinders 1 and 3".
fn cylinder_list(cylinders: &[usize]) -> String {
    let numbers: Vec<String> = cylinders.iter().map(usize::to_string).collect();
    match numbers.split_last() {
        Some((only, [])) => format!("cylinder {only}"),
        Some((last, others)) => format!("cylinders {} and {last}", others.join(", ")),
        None => "no cylinder".to_owned(),
    }
}

/// Spread = highest − lowest of those read.
///
/// # Errors
/// Fewer than two cylinders read.
pub fn spread(values: &[Option<Psi>]) -> Measured<Psi> {
    let read = compared(values)?;
    let how = format!(
        "highest {} - lowest {} = {}{}",
        figure(read.highest, 1),
        figure(read.lowest, 1),
        Psi(read.spread()),
        not_read(&read.unread)
    );
    Ok(Worked::new(Psi(read.spread()), how))
}

/// Share = lowest / highest of those read.
///
/// # Errors
/// Fewer than two cylinders read.
pub fn share(values: &[Option<Psi>]) -> Measured<Fraction> {
    let read = compared(values)?;
    let share = Fraction(read.share());
    let how = format!(
        "lowest {} / highest {} = {share}{}",
        figure(read.lowest, 1),
        figure(read.highest, 1),
        not_read(&read.unread)
    );
    Ok(Worked::new(share, how))
}

/// Failed: share under 0.75. Poor: under 0.85. Uneven: share under 0.90, or more than 10 psi apart with the highest under
/// 150. Watch: more than 5 psi apart with the highest under 150, else a share under 0.92. Else even.
/// Failed, poor and uneven are told from two readings on: one more can't mend a share. (It can move the
/// highest from just under 150 psi to above, where 10 psi count for less; that is left to the retest.)
/// Even and watch take every cylinder.
///
/// # Errors
/// Fewer than two cylinders read, or some unread that could still change an even or a watch.
pub fn state(values: &[Option<Psi>]) -> Measured<State> {
    let read = compared(values)?;
    let (state, words) = sorted(&read);
    if state <= State::Watch && !read.unread.is_empty() {
        return Err(format!(
            "{} not read: the others look even enough, but that is not the whole motor",
            cylinder_list(&read.unread)
        ));
    }
    let how = format!(
        "lowest {} / highest {} = {}, {} apart: {words}{}",
        figure(read.lowest, 1),
        figure(read.highest, 1),
        Fraction(read.share()),
        Psi(read.spread()),
        not_read(&read.unread)
    );
    Ok(Worked::new(state, how))
}

fn sorted(read: &Read) -> (State, &'static str) {
    let in_psi = read.highest < HIGH_PSI - SLACK;
    let (share, spread) = (read.share(), read.spread());
    if share < FAILED - SLACK {
        (State::Failed, "under 75 %")
    } else if share < POOR - SLACK {
        (State::Poor, "under 85 %")
    } else if share < UNEVEN - SLACK {
        (State::Uneven, "under 90 %")
    } else if in_psi && spread > UNEVEN_PSI + SLACK {
        (State::Uneven, "more than 10 psi with the highest under 150")
    } else if in_psi && spread > WATCH_PSI + SLACK {
        (State::Watch, "more than 5 psi with the highest under 150")
    } else if !in_psi && share < WATCH - SLACK {
        (State::Watch, "under 92 % with the highest from 150 psi up")
    } else {
        (State::Even, "even")
    }
}

/// The low cylinders: under 0.90 of the highest, or more than 10 psi under it when that is under 150.
/// None while fewer than two were read.
#[must_use]
pub fn low_cylinders(values: &[Option<Psi>]) -> Vec<usize> {
    let Ok(read) = compared(values) else {
        return Vec::new();
    };
    let in_psi = read.highest < HIGH_PSI - SLACK;
    let is_low =
        |value: f64| value / read.highest < UNEVEN - SLACK || (in_psi && read.highest - value > UNEVEN_PSI + SLACK);
    values
        .iter()
        .enumerate()
        .filter(|(_, value)| value.is_some_and(|value| is_low(value.0)))
        .map(|(place, _)| place + 1)
        .collect()
}

/// No cylinder 20 % under the average (TM 1-1500-204-23-1, read): one line beside the first rule, which
/// it may contradict.
///
/// # Errors
/// Fewer than two cylinders read.
pub fn average_rule(values: &[Option<Psi>]) -> Measured<AverageRule> {
    let read = compared(values)?;
    let under = 1.0 - read.lowest / read.mean;
    let passes = under < UNDER_AVERAGE - SLACK;
    let word = if passes { "less than" } else { "not less than" };
    let how = format!(
        "lowest {} is {} under the average of {}, {word} 20 %{}",
        figure(read.lowest, 1),
        Fraction(under),
        Psi(read.mean),
        not_read(&read.unread)
    );
    let value = AverageRule { mean: Psi(read.mean), under: Fraction(under), passes };
    Ok(Worked::new(value, how))
}

/// Expected here = factory figure × air ratio, the ratio being 1 while the height is unknown; the density chart's
/// figure is told beside.
///
/// # Errors
/// A factory figure that is not above nought.
pub fn expected(factory: Psi, air: Option<&AirRatio>) -> Measured<Expected> {
    above_nought(factory.0, "the factory figure")?;
    let Some(air) = air else {
        let how = format!("factory {factory}; the height is not known, taken as sea level");
        return Ok(Worked::new(Expected { expected: factory, chart: factory }, how));
    };
    let value = Expected { expected: Psi(factory.0 * air.ratio.0), chart: Psi(factory.0 * air.chart.0) };
    let how = format!(
        "factory {factory} x {} = {} psi here (by a density chart {})",
        figure(air.ratio.0, 3),
        figure(value.expected.0, 0),
        figure(value.chart.0, 0)
    );
    Ok(Worked::new(value, how))
}

#[cfg(test)]
mod tests;
