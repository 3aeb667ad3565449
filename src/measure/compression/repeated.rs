//! Readings taken more than once: twice dry, and again with oil.

use super::{Psi, count};
use crate::measure::definition::words;
use crate::measure::worked::SLACK;
use crate::measure::{Absent, Figure, Figured, Measured, Worked};
use crate::units::{Fraction, figure};

/// Two readings of one cylinder may differ by this much in psi and by this share of the higher.
const APART_PSI: f64 = 5.0;
const APART_SHARE: f64 = 0.04;
/// Oil lifts a reading clearly from here on.
const RISES: f64 = 0.10;

/// A cylinder whose two readings disagree.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Repeat {
    pub cylinder: usize,
    pub apart: Psi,
}

/// A low cylinder's readings, dry and with oil.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WetPair {
    pub cylinder: usize,
    pub dry: Psi,
    pub wet: Option<Psi>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wet {
    Rises,
    DoesNot,
}

words!(Wet { Rises = "rises", DoesNot = "does-not" });

/// What the oil changed: by cylinder, on the mean, and in a word.
#[derive(Clone, Debug, PartialEq)]
pub struct WetRise {
    pub wet: Wet,
    pub mean: Fraction,
    pub by_cylinder: Vec<(usize, Fraction)>,
}

/// One value a cylinder, and what has to be said about how the rounds were used.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Rounds {
    pub values: Vec<Option<Psi>>,
    pub note: Option<&'static str>,
}

/// The means of two rounds that read the same cylinders; else the fuller round alone, since a mean of some
/// cylinders beside a single reading of others would make an even motor look uneven.
///
/// # Errors
/// Rounds of unequal length.
pub fn cylinders(first: &[Option<Psi>], second: &[Option<Psi>]) -> Result<Rounds, Absent> {
    if second.is_empty() {
        return Ok(Rounds { values: first.to_vec(), note: None });
    }
    if first.len() != second.len() {
        return Err(Absent::UnequalRounds(first.len(), second.len()));
    }
    let read = |round: &[Option<Psi>]| round.iter().flatten().count();
    let same = first.iter().zip(second).all(|(one, two)| one.is_some() == two.is_some());
    Ok(if same {
        let mean = |(one, two): (&Option<Psi>, &Option<Psi>)| Some(Psi(f64::midpoint((*one)?.0, (*two)?.0)));
        Rounds { values: first.iter().zip(second).map(mean).collect(), note: None }
    } else if read(second) > read(first) {
        let note = Some("the rounds read different cylinders: the second, which is fuller, alone");
        Rounds { values: second.to_vec(), note }
    } else {
        let note = Some("the rounds read different cylinders: the first alone");
        Rounds { values: first.to_vec(), note }
    })
}

/// Cylinders whose two readings are more than 5 psi or 4 % of the higher apart.
#[must_use]
pub fn repeats(first: &[Option<Psi>], second: &[Option<Psi>]) -> Vec<Worked<Repeat>> {
    let pairs = first.iter().zip(second).enumerate();
    pairs
        .filter_map(|(place, pair)| {
            let (one, two) = ((*pair.0)?.0, (*pair.1)?.0);
            let apart = (one - two).abs();
            let far = apart > APART_PSI + SLACK || apart > APART_SHARE * one.max(two) + SLACK;
            far.then(|| {
                let value = Repeat { cylinder: place + 1, apart: Psi(apart) };
                let how = move || {
                    format!(
                        "cylinder {}: {} and then {}, {} apart",
                        place + 1,
                        figure(one, 1),
                        figure(two, 1),
                        Psi(apart)
                    )
                };
                Worked::new(value, how)
            })
        })
        .collect()
}

/// Rise of each low cylinder = wet / dry − 1; it rises when the mean of those is 10 % or more. Cylinders
/// lie flat in an outboard, so a rise only hints at rings and no rise proves nothing.
///
/// # Errors
/// No low cylinder was read with oil, or none of them above nought when dry.
pub fn wet(pairs: &[WetPair]) -> Measured<WetRise> {
    let rise = |pair: &WetPair| {
        let wet = pair.wet.filter(|_| pair.dry.0 > 0.0)?;
        Some((pair.cylinder, Fraction(wet.0 / pair.dry.0 - 1.0)))
    };
    let by_cylinder: Vec<(usize, Fraction)> = pairs.iter().filter_map(rise).collect();
    if by_cylinder.is_empty() {
        return Err(Absent::NoWetReading);
    }
    let sum: f64 = by_cylinder.iter().map(|(_, rise)| rise.0).sum();
    let mean = sum / count(by_cylinder.len());
    if !mean.is_finite() {
        return Err(Absent::WetBeyondComparing);
    }
    let wet = if mean >= RISES - SLACK { Wet::Rises } else { Wet::DoesNot };
    let pairs = pairs.to_vec();
    let told = move |pair: &WetPair| match (pair.wet, rise(pair)) {
        (Some(wet), Some((cylinder, rise))) => {
            format!("cylinder {cylinder}: {} to {}, {rise}", figure(pair.dry.0, 1), figure(wet.0, 1))
        }
        _ => format!("cylinder {} not told", pair.cylinder),
    };
    let how = move || {
        let words: Vec<String> = pairs.iter().map(&told).collect();
        format!("{}; mean rise {}", words.join("; "), Fraction(mean))
    };
    let value = WetRise { wet, mean: Fraction(mean), by_cylinder };
    Ok(Worked::new(value, how))
}

/// The low cylinders' dry readings beside those with oil, which stand in the same order.
///
/// # Errors
/// Another number of readings than of low cylinders.
pub fn wet_pairs(dry: &[Option<Psi>], low: &[usize], wet: &[Option<Psi>]) -> Result<Vec<WetPair>, Absent> {
    if low.len() != wet.len() {
        return Err(Absent::WetCount { wet: wet.len(), low: low.len() });
    }
    let pair = |(cylinder, wet): (&usize, &Option<Psi>)| {
        let dry = dry.get(cylinder.checked_sub(1)?).copied().flatten()?;
        Some(WetPair { cylinder: *cylinder, dry, wet: *wet })
    };
    Ok(low.iter().zip(wet).filter_map(pair).collect())
}

impl Figured for WetRise {
    const WORDS: &'static [&'static str] = Wet::WORDS;

    fn figure(&self) -> Figure {
        self.wet.figure()
    }
}
