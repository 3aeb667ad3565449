//! Compression by cylinder: how even, who is low, and how that compares with what is expected.
//!
//! Start with [`cylinders`], which makes one value of two readings; everything else takes its list,
//! `None` for a cylinder that was not read. The 75 % limit is the US Army's (TM 5-4210-230-14&P-1,
//! read), the limits of 5 and 10 psi, 90 and 92 % are practice. Cylinders are numbered from 1.

use super::air::{Air, AirRatio};
use super::definition::{YesNo, measure, words};
use super::worked::{SLACK, above_nought};
use super::{Absent, Figure, Figured, Measured, Worked};
use crate::answers::parse::cylinder_groups;
use crate::knowledge::roles::{
    BLOCK_COLD, BlockCold, CLAIMED_POWER, COMPRESSION, COMPRESSION_AGAIN, COMPRESSION_FACTORY, COMPRESSION_WET,
    CYLINDERS, LEAKDOWN, PLUGS, Plug, SHARED_HEAD, START, STROKES, Start, Strokes, THROTTLE_RETURNS,
    ThrottleReturns,
};
use crate::units::{Fraction, Horsepower, Psi, figure};

mod all_low;
mod bars;
mod heads;
mod leakdown;
mod repeated;

pub use all_low::{AllLow, Bench, all_low};
pub use bars::bars;
pub use heads::low_together;
pub use leakdown::{Leakdown, leakdown};
pub use repeated::{Rounds, WetRise, cylinders, repeats, wet, wet_pairs};

const FAILED: f64 = 0.75;
const POOR: f64 = 0.85;
const UNEVEN: f64 = 0.90;
const WATCH: f64 = 0.92;
/// Four-strokes on a rope up to this power may have a decompressor (practice).
const DECOMPRESSOR_TO_HP: f64 = 20.0;
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

words!(State { Even = "even", Watch = "watch", Uneven = "uneven", Poor = "poor", Failed = "failed" });

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
fn compared(values: &[Option<Psi>]) -> Result<Read, Absent> {
    let mut read: Vec<f64> = values.iter().flatten().map(|value| value.0).collect();
    if let Some(bad) = read.iter().find(|value| !value.is_finite() || **value < 0.0) {
        return Err(Absent::ImpossibleReading(*bad));
    }
    if read.len() < 2 {
        return Err(match (values.len(), read.len()) {
            (1, 1) => Absent::OneCylinder,
            (_, 0) => Absent::NothingRead,
            _ => Absent::OneRead,
        });
    }
    read.sort_by(f64::total_cmp);
    let (lowest, highest) = (read[0], read[read.len() - 1]);
    if highest <= 0.0 {
        return Err(Absent::AllNought);
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
pub(super) fn cylinder_list(cylinders: &[usize]) -> String {
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
    let spread = Psi(read.spread());
    let how = move || {
        format!(
            "highest {} - lowest {} = {}{}",
            figure(read.highest, 1),
            figure(read.lowest, 1),
            Psi(read.spread()),
            not_read(&read.unread)
        )
    };
    Ok(Worked::new(spread, how))
}

/// Share = lowest / highest of those read.
///
/// # Errors
/// Fewer than two cylinders read.
pub fn share(values: &[Option<Psi>]) -> Measured<Fraction> {
    let read = compared(values)?;
    let share = Fraction(read.share());
    let how = move || {
        format!(
            "lowest {} / highest {} = {share}{}",
            figure(read.lowest, 1),
            figure(read.highest, 1),
            not_read(&read.unread)
        )
    };
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
        return Err(Absent::OthersEven(read.unread));
    }
    let how = move || {
        format!(
            "lowest {} / highest {} = {}, {} apart: {words}{}",
            figure(read.lowest, 1),
            figure(read.highest, 1),
            Fraction(read.share()),
            Psi(read.spread()),
            not_read(&read.unread)
        )
    };
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
    let how = move || {
        format!(
            "lowest {} is {} under the average of {}, {word} 20 %{}",
            figure(read.lowest, 1),
            Fraction(under),
            Psi(read.mean),
            not_read(&read.unread)
        )
    };
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
    let Some(air) = air.copied() else {
        let how = move || format!("factory {factory}; the height is not known, taken as sea level");
        return Ok(Worked::new(Expected { expected: factory, chart: factory }, how));
    };
    let value = Expected { expected: Psi(factory.0 * air.ratio.0), chart: Psi(factory.0 * air.chart.0) };
    let how = move || {
        format!(
            "factory {factory} x {} = {} psi here (by a density chart {})",
            figure(air.ratio.0, 3),
            figure(value.expected.0, 0),
            figure(value.chart.0, 0)
        )
    };
    Ok(Worked::new(value, how))
}

impl Figured for Expected {
    const WORDS: &'static [&'static str] = &[];

    fn figure(&self) -> Figure {
        Figure::Number(self.expected.0)
    }
}

measure! {
    /// One value a cylinder of both rounds.
    Cylinders -> Rounds;
    needs { first: COMPRESSION }
    may { second: COMPRESSION_AGAIN, count: CYLINDERS }
    |_| {
        // The count is read so that a change of it is a change of the readings: they stand only while they fit it.
        let _ = count;
        let rounds = cylinders(&first, &second.unwrap_or_default())?;
        let note = rounds.note;
        Ok(Worked::new(rounds, move || note.unwrap_or_default().to_owned()))
    }
}

measure! {
    Spread -> Psi, "compression-spread", "compression, highest less lowest", "psi";
    from { rounds: Cylinders }
    |_| spread(&rounds.value.values)
}

measure! {
    Share -> Fraction, "compression-share", "compression, lowest over highest", "";
    from { rounds: Cylinders }
    |_| share(&rounds.value.values)
}

measure! {
    Evenness -> State, "compression-state", "compression, how even", "";
    from { rounds: Cylinders }
    |_| {
        let state = state(&rounds.value.values)?;
        let rule = average_rule(&rounds.value.values)?;
        Ok(state.retold(move |how| {
            let note = rounds.value.note.map_or_else(String::new, |note| format!("; {note}"));
            format!("{how}; second rule: {}{note}", rule.how())
        }))
    }
}

measure! {
    ExpectedHere -> Expected, "compression-expected", "compression to be expected at this height", "psi";
    needs { factory: COMPRESSION_FACTORY }
    perhaps { air: Air }
    |_| expected(factory, air.ok().map(|air| air.value).as_ref())
}

measure! {
    /// The two low cylinders that stand next to each other in one head.
    LowPair -> Option<[usize; 2]>;
    may { heads: SHARED_HEAD }
    from { rounds: Cylinders }
    |_| {
        let values = &rounds.value.values;
        let heads = heads.and_then(|text| cylinder_groups(text, Some(values.len())).ok());
        low_together(values, heads.as_deref())
    }
}

measure! {
    LowTogether -> YesNo, "low-together", "low cylinders that share a head", "";
    from { pair: LowPair }
    |_| Ok(pair.map(|pair| pair.is_some().into()))
}

measure! {
    LowSteam -> YesNo, "low-steam", "steam-clean plugs on the two low cylinders", "";
    may { plugs: PLUGS }
    from { pair: LowPair }
    |_| {
        let Some(low) = pair.value else { return Ok(pair.map(|_| YesNo::No)) };
        let plugs = plugs.ok_or(Absent::Answer { role: PLUGS.any, asked: true })?;
        let both = low.iter().all(|cylinder| plugs.at(*cylinder) == Some(&Plug::SteamClean));
        let word = if both { "both" } else { "not both" };
        Ok(pair.map(|_| both.into()).retold(move |how| format!("{how}; their plugs are {word} steam-clean")))
    }
}

measure! {
    LowBlistered -> YesNo, "low-blistered", "a blistered plug on a low cylinder", "";
    may { plugs: PLUGS }
    from { rounds: Cylinders }
    |_| {
        let low = low_cylinders(&rounds.value.values);
        if low.is_empty() {
            return Ok(Worked::new(YesNo::No, || "no cylinder is low".to_owned()));
        }
        let plugs = plugs.ok_or(Absent::Answer { role: PLUGS.any, asked: true })?;
        let burnt = low.iter().any(|cylinder| plugs.at(*cylinder) == Some(&Plug::Blistered));
        let how = move || {
            let word = if burnt { "a" } else { "no" };
            format!("{}: low, with {word} blistered plug", cylinder_list(&low))
        };
        Ok(Worked::new(burnt.into(), how))
    }
}

measure! {
    LowAll -> AllLow, "all-low", "all cylinders low alike", "";
    may {
        power: CLAIMED_POWER,
        strokes: STROKES,
        start: START,
        block: BLOCK_COLD,
        throttle: THROTTLE_RETURNS,
    }
    from { rounds: Cylinders }
    perhaps { expected: ExpectedHere, air: Air }
    |_| {
        if throttle == Some(ThrottleReturns::ByWire) {
            return Err(Absent::ThrottleByWire);
        }
        let bench = Bench {
            expected: expected.ok().map(|expected| expected.value),
            air: air.ok().map(|air| air.value.ratio),
            cold_block: block == Some(BlockCold::Cold),
            decompressor: decompressor(start, strokes, power),
        };
        all_low(&rounds.value.values, &bench)
    }
}

/// A small four-stroke on a rope may have a decompressor.
fn decompressor(start: Option<Start>, strokes: Option<Strokes>, power: Option<Horsepower>) -> bool {
    let small = power.is_some_and(|power| power.0 <= DECOMPRESSOR_TO_HP);
    start == Some(Start::Rope) && strokes == Some(Strokes::Four) && small
}

measure! {
    WetReadings -> WetRise, "wet", "readings with oil in the low cylinders", "";
    needs { wet_readings: COMPRESSION_WET }
    from { rounds: Cylinders }
    |_| {
        let dry = &rounds.value.values;
        wet(&wet_pairs(dry, &low_cylinders(dry), &wet_readings)?)
    }
}

measure! {
    Leak -> Leakdown, "leakdown", "worst leak-down", "";
    needs { losses: LEAKDOWN }
    |_| leakdown(&losses)
}

#[cfg(test)]
mod tests;
