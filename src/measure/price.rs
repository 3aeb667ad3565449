//! The asking price beside those of comparable motors.

use super::definition::measure;
use super::worked::above_nought;
use super::{Absent, Measured, Worked};
use crate::knowledge::roles::{ASKING_PRICE, COMPARABLES};
use crate::units::{Fraction, figure};

/// Asked over the median of the comparables, less 1.
///
/// # Errors
/// No comparable, or a price that is not above nought.
pub fn price_gap(asked: f64, comparables: &[f64]) -> Measured<Fraction> {
    above_nought(asked, "the asking price")?;
    let mut sorted: Vec<f64> = comparables.iter().copied().filter(|price| price.is_finite()).collect();
    sorted.sort_by(f64::total_cmp);
    let middle = sorted.len() / 2;
    let median = match sorted.len() {
        0 => return Err(Absent::NoComparable),
        count if count % 2 == 0 => f64::midpoint(sorted[middle - 1], sorted[middle]),
        _ => sorted[middle],
    };
    above_nought(median, "the median of the comparables")?;
    let gap = Fraction(asked / median - 1.0);
    let count = sorted.len();
    let how = move || format!("{asked} / {median}, the middle of {count} comparables, - 1 = {}", figure(gap.0, 3));
    Ok(Worked::new(gap, how))
}

measure! {
    PriceGap -> Fraction, "price-gap", "asking price against the others", "";
    needs { asked: ASKING_PRICE, others: COMPARABLES }
    |_| price_gap(asked, others)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn gap(asked: f64, comparables: &[f64]) -> Option<f64> {
        price_gap(asked, comparables).ok().map(|gap| gap.value.0)
    }

    #[test]
    fn the_gap_is_counted_from_the_median() {
        assert!((gap(2000.0, &[4000.0, 3000.0, 2500.0]).expect("a gap") + 1.0 / 3.0).abs() < 1e-12);
        assert!((gap(3500.0, &[3000.0, 4000.0]).expect("a gap")).abs() < 1e-12);
        assert_eq!(gap(3500.0, &[]), None);
        assert_eq!(gap(3500.0, &[0.0]), None, "a price of nought is no price");
        assert_eq!(gap(0.0, &[3000.0]), None);
    }
}
