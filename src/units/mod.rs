//! Amounts with their units: what a buyer types, what the arithmetic takes, what a report prints.
//!
//! Start with [`Quantity`] and [`parse_quantity`]; the dimension is a value, not a type, because the
//! question data names it at run time. The small types in `typed` ([`Inches`], [`Psi`], …) carry a
//! figure into the arithmetic, where two swapped lengths or pressures would be a silent mistake.
//! Nothing here knows a question, a bound, or what a figure means for a motor.

mod dimension;
mod error;
mod parse;
mod quantity;
mod typed;
mod unit;

pub use dimension::Dimension;
pub use error::UnitError;
pub use parse::parse_quantity;
pub use quantity::{Quantity, figure};
pub use typed::{
    Degrees, Dimensioned, Fraction, Horsepower, Hours, Inches, Metres, Mph, Pounds, Psi, Rpm, Volts, Years,
};
pub use unit::Unit;
