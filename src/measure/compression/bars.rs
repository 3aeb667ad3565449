//! The readings as a small picture of plain characters that survives being copied into a message.

use super::{Psi, low_cylinders};
use crate::units::{Quantity, Unit};

/// A bar of at least so many signs is drawn however narrow the page.
const SHORTEST: usize = 4;

/// One line a cylinder: number, bar, reading in `unit`, and "low" beside a low one. Bars start at
/// nought and the highest fills the room, so lengths compare as the readings do. A cylinder that was
/// not read has a `?`. Lines are at most `width` long, if that leaves four signs for the bar.
///
/// `unit` is one of pressure; the readings stay in psi where it is not.
#[must_use]
pub fn bars(values: &[Option<Psi>], unit: Unit, width: usize) -> Vec<String> {
    let numbers = printed(values, unit);
    let number_width = numbers.iter().map(String::len).max().unwrap_or(0);
    let label_width = values.len().to_string().len();
    let symbol = Quantity::new(0.0, Unit::Psi).to(unit).unit.symbol();
    let low = low_cylinders(values);
    let mark = if low.is_empty() { 0 } else { " low".len() };
    let taken = label_width + 1 + 1 + number_width + 1 + symbol.len() + mark;
    let room = width.saturating_sub(taken).max(SHORTEST);
    let highest = values.iter().flatten().map(|value| value.0).fold(0.0, f64::max);
    let lines = values.iter().zip(&numbers).enumerate();
    lines
        .map(|(place, (value, number))| {
            let cylinder = place + 1;
            let bar = value.map_or_else(String::new, |value| "#".repeat(signs(value.0, highest, room)));
            let unit = if value.is_some() { symbol } else { "" };
            let mark = if low.contains(&cylinder) { "low" } else { "" };
            format!("{cylinder:>label_width$} {bar:<room$} {number:>number_width$} {unit} {mark}")
                .trim_end()
                .to_owned()
        })
        .collect()
}

/// The readings in `unit`, all with the same number of places, `?` for none.
fn printed(values: &[Option<Psi>], unit: Unit) -> Vec<String> {
    let converted: Vec<Option<f64>> =
        values.iter().map(|value| value.map(|value| Quantity::from(value).to(unit).number)).collect();
    let fine = matches!(unit, Unit::Bar | Unit::KilogramPerSquareCentimetre);
    let whole = converted.iter().flatten().all(|number| (number - number.round()).abs() < 0.05);
    let places = usize::from(fine || !whole);
    converted
        .iter()
        .map(|number| number.map_or_else(|| "?".to_owned(), |number| format!("{number:.places$}")))
        .collect()
}

#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, clippy::cast_precision_loss)] // 0 to room
fn signs(value: f64, highest: f64, room: usize) -> usize {
    if highest <= 0.0 {
        return 0;
    }
    (value / highest * room as f64).round().max(0.0) as usize
}
