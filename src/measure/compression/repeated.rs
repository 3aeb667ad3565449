//! Readings taken more than once: twice dry, and again with oil.

use super::{Psi, count};
use crate::measure::worked::SLACK;
use crate::measure::{Measured, Worked};
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

impl Wet {
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Rises => "rises",
            Self::DoesNot => "does-not",
        }
    }
}

/// What the oil changed: by cylinder, on the mean, and in a word.
#[derive(Clone, Debug, PartialEq)]
pub struct WetRise {
    pub wet: Wet,
    pub mean: Fraction,
    pub by_cylinder: Vec<(usize, Fraction)>,
}

/// One value a cylinder: the mean of its two readings; one reading alone counts as it is.
#[must_use]
pub fn cylinders(first: &[Option<Psi>], second: &[Option<Psi>]) -> Vec<Option<Psi>> {
    let at = |list: &[Option<Psi>], place: usize| list.get(place).copied().flatten();
    (0..first.len().max(second.len()))
        .map(|place| match (at(first, place), at(second, place)) {
            (Some(one), Some(two)) => Some(Psi(f64::midpoint(one.0, two.0))),
            (one, two) => one.or(two),
        })
        .collect()
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
                let how = format!(
                    "cylinder {}: {} and then {}, {} apart",
                    place + 1,
                    figure(one, 1),
                    figure(two, 1),
                    Psi(apart)
                );
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
    let mut by_cylinder = Vec::new();
    let mut words = Vec::new();
    for pair in pairs {
        let (Some(wet), true) = (pair.wet, pair.dry.0 > 0.0) else {
            words.push(format!("cylinder {} not told", pair.cylinder));
            continue;
        };
        let rise = Fraction(wet.0 / pair.dry.0 - 1.0);
        words.push(format!(
            "cylinder {}: {} to {}, {rise}",
            pair.cylinder,
            figure(pair.dry.0, 1),
            figure(wet.0, 1)
        ));
        by_cylinder.push((pair.cylinder, rise));
    }
    if by_cylinder.is_empty() {
        return Err("no low cylinder was read with oil in it".to_owned());
    }
    let sum: f64 = by_cylinder.iter().map(|(_, rise)| rise.0).sum();
    let mean = sum / count(by_cylinder.len());
    if !mean.is_finite() {
        return Err("the readings with oil can't be compared".to_owned());
    }
    let wet = if mean >= RISES - SLACK { Wet::Rises } else { Wet::DoesNot };
    let how = format!("{}; mean rise {}", words.join("; "), Fraction(mean));
    let value = WetRise { wet, mean: Fraction(mean), by_cylinder };
    Ok(Worked::new(value, how))
}
