//! Leak-down by cylinder, as a workshop measures it: the share of the air fed in that is lost.
//!
//! After FAA AC 43.13-1B, paragraph 8-14 (read). That is written for aircraft; for an outboard it is a
//! comparison, nothing more.

use super::{cylinder_list, not_read};
use crate::measure::worked::SLACK;
use crate::measure::{Absent, Figure, Figured, Measured, Worked};
use crate::units::Fraction;

/// A loss over this is suspect.
const SUSPECT: f64 = 0.25;

/// The worst loss, and every cylinder over the limit.
#[derive(Clone, Debug, PartialEq)]
pub struct Leakdown {
    pub worst: Fraction,
    pub cylinder: usize,
    /// Cylinders that lose more than 25 %.
    pub over: Vec<usize>,
    pub all_read: bool,
}

impl Figured for Leakdown {
    const WORDS: &'static [&'static str] = &[];

    fn figure(&self) -> Figure {
        Figure::Number(self.worst.0)
    }
}

/// The worst loss of the cylinders. A bad one is bad whatever the unread ones show; a good worst takes
/// every cylinder.
///
/// # Errors
/// Nothing read, a loss outside 0 to 100 %, or unread cylinders beside good ones.
pub fn leakdown(losses: &[Option<Fraction>]) -> Measured<Leakdown> {
    let numbered = losses.iter().enumerate();
    let read: Vec<(usize, Fraction)> =
        numbered.filter_map(|(place, loss)| loss.map(|loss| (place + 1, loss))).collect();
    if let Some((cylinder, loss)) = read.iter().find(|(_, loss)| !(0.0..=1.0).contains(&loss.0)) {
        return Err(Absent::ImpossibleLoss { cylinder: *cylinder, loss: *loss });
    }
    let (cylinder, worst) = read
        .iter()
        .copied()
        .reduce(|worst, next| if next.1 > worst.1 { next } else { worst })
        .ok_or(Absent::NothingRead)?;
    let over: Vec<usize> =
        read.iter().filter(|(_, loss)| loss.0 > SUSPECT + SLACK).map(|(cylinder, _)| *cylinder).collect();
    let unread: Vec<usize> = (1..=losses.len()).filter(|cylinder| losses[cylinder - 1].is_none()).collect();
    if over.is_empty() && !unread.is_empty() {
        return Err(Absent::Unread(unread));
    }
    let value = Leakdown { worst, cylinder, over: over.clone(), all_read: unread.is_empty() };
    let how = move || {
        let others = match over.as_slice() {
            [] | [_] => String::new(),
            over => format!("; {} lose more than 25 %", cylinder_list(over)),
        };
        format!("cylinder {cylinder} loses most, {worst}{others}{}", not_read(&unread))
    };
    Ok(Worked::new(value, how))
}
