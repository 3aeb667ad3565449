//! The spread of the total cost as a small picture: rows of equal width in money, in plain characters or as shares.

use serde::Serialize;

use crate::judge::Distribution;

use super::words::{Purse, grouped, percent, thousandths};

/// At most so many rows for the middle part, as far as steps of 1, 2 and 5 allow.
const ROWS: f64 = 10.0;
/// What lies below the middle part is counted to the first row.
const LOW: f64 = 0.005;
/// What lies above it has a row of its own.
const HIGH: f64 = 0.96;

/// One row of the picture: a stretch of money and the chance that the total lies in it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Row {
    /// "400 to 600", without the sign of the currency.
    pub stretch: String,
    /// "12 %".
    pub chance: String,
    /// Of the likeliest row, in thousandths.
    pub share: u32,
}

/// The rows of a distribution, from the lowest cost up.
#[must_use]
pub fn rows(cost: &Distribution) -> Vec<Row> {
    let (low, high) = (cost.quantile(LOW), cost.quantile(HIGH));
    let width = width_for(high - low);
    let start = (low / width + 1e-9).floor() * width;
    let count = row_of(high, start, width, usize::MAX) + 2;
    let mut chances = vec![0.0; count];
    for (size, chance) in cost.nodes() {
        chances[row_of(size, start, width, count)] += chance;
    }
    // A trace that comes of rounding is no row.
    if chances.last().is_some_and(|last| *last < 1e-6) {
        chances.pop();
    }
    let most = chances.iter().copied().fold(0.0, f64::max);
    let row = |(place, chance): (usize, &f64)| Row {
        stretch: stretch(place, start, width, place + 1 == count),
        chance: percent(*chance),
        share: thousandths(*chance, most),
    };
    chances.iter().enumerate().map(row).collect()
}

/// The rows as lines of plain characters, none longer than `width` if that leaves four signs for a bar.
#[must_use]
pub fn lines(rows: &[Row], width: usize) -> Vec<String> {
    let longest = |of: &dyn Fn(&Row) -> usize| rows.iter().map(of).max().unwrap_or(0);
    let (stretch, chance) = (longest(&|row| row.stretch.len()), longest(&|row| row.chance.len()));
    let room = width.saturating_sub(stretch + chance + 4).clamp(4, 40);
    let line = |row: &Row| {
        let signs = (row.share as usize * room).div_ceil(1000);
        format!("{:>stretch$}  {:<room$}  {:>chance$}", row.stretch, "#".repeat(signs), row.chance)
    };
    rows.iter().map(line).collect()
}

/// "half of all cases cost at most $900": the points a reader can hold on to.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Points {
    pub tenth: String,
    pub half: String,
    pub nine_tenths: String,
    pub mean: String,
}

/// The 10, 50 and 90 % points and the mean.
#[must_use]
pub fn points(cost: &Distribution, purse: &Purse) -> Points {
    let at = |chance: f64| purse.about(cost.quantile(chance));
    Points { tenth: at(0.1), half: at(0.5), nine_tenths: at(0.9), mean: purse.about(cost.mean()) }
}

#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, clippy::cast_precision_loss)] // few rows
fn row_of(size: f64, start: f64, width: f64, count: usize) -> usize {
    (((size - start) / width + 1e-9).floor().max(0.0) as usize).min(count.saturating_sub(1))
}

#[allow(clippy::cast_precision_loss)] // few rows
fn stretch(place: usize, start: f64, width: f64, last: bool) -> String {
    let from = start + place as f64 * width;
    if last { format!("over {}", grouped(from)) } else { format!("{} to {}", grouped(from), grouped(from + width)) }
}

/// The smallest step of 1, 2 or 5 times a power of ten that needs no more than the rows there are.
fn width_for(span: f64) -> f64 {
    if span <= 0.0 || !span.is_finite() {
        return 1.0;
    }
    let decade = 10f64.powf((span / ROWS).log10().floor());
    [1.0, 2.0, 5.0, 10.0].into_iter().map(|step| step * decade).find(|width| span / width <= ROWS).unwrap_or(decade)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::judge::{Pert, Summing};

    fn some_cost() -> Distribution {
        let sizes =
            [Pert { low: 200.0, likely: 350.0, high: 700.0 }, Pert { low: 100.0, likely: 400.0, high: 1500.0 }];
        Summing::new(&sizes).sum(&[1.0, 0.4])
    }

    #[test]
    fn the_rows_hold_all_of_it() {
        let rows = rows(&some_cost());
        assert!((3..=12).contains(&rows.len()), "{rows:?}");
        let whole: f64 = rows.iter().filter_map(|row| row.chance.strip_suffix(" %")?.parse::<f64>().ok()).sum();
        assert!((whole - 100.0).abs() < 6.0, "{rows:?}");
        assert_eq!(rows.iter().map(|row| row.share).max(), Some(1000));
    }

    #[test]
    fn a_cost_that_is_sure_is_one_row() {
        let rows = rows(&Summing::new(&[Pert::fixed(450.0)]).sum(&[1.0]));
        assert_eq!(rows.len(), 1);
        assert_eq!(rows[0].chance, "100 %");
    }

    #[test]
    fn lines_keep_to_the_page() {
        let rows = rows(&some_cost());
        for width in [30, 40, 78] {
            assert!(lines(&rows, width).iter().all(|line| line.len() <= width && line.contains('#')));
        }
    }
}
