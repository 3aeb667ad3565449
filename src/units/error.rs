//! What can be wrong with a typed amount: data first, the sentence in one place.

use std::fmt;

use super::Dimension;

/// Why a text is not the amount that was asked for. `read` is what was typed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum UnitError {
    /// Nothing but blanks.
    Empty { wanted: Dimension },
    /// No number where one should begin ("nan", "psi 150").
    NoNumber { read: String, wanted: Dimension },
    /// More than one number ("150 160", "1,2,3", "20-25").
    NotOneNumber { read: String, wanted: Dimension },
    /// A minus sign before an amount that can't go below nought.
    Negative { read: String, wanted: Dimension },
    /// A number that no machine number can hold.
    TooLarge { read: String, wanted: Dimension },
    /// A fraction over nought.
    OverNought { read: String, wanted: Dimension },
    /// A word after the number that is no unit.
    UnknownUnit { read: String, symbol: String, wanted: Dimension },
    /// A unit of something else.
    OtherDimension { read: String, found: Dimension, wanted: Dimension },
}

impl UnitError {
    /// The dimension that was asked for.
    #[must_use]
    pub fn wanted(&self) -> Dimension {
        match self {
            Self::Empty { wanted }
            | Self::NoNumber { wanted, .. }
            | Self::NotOneNumber { wanted, .. }
            | Self::Negative { wanted, .. }
            | Self::TooLarge { wanted, .. }
            | Self::OverNought { wanted, .. }
            | Self::UnknownUnit { wanted, .. }
            | Self::OtherDimension { wanted, .. } => *wanted,
        }
    }
}

impl fmt::Display for UnitError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Empty { .. } => write!(out, "nothing was typed")?,
            Self::NoNumber { read, .. } => write!(out, "\"{read}\" does not begin with a number")?,
            Self::NotOneNumber { read, .. } => write!(out, "\"{read}\" is not one number")?,
            Self::Negative { read, .. } => write!(out, "\"{read}\" is below nought")?,
            Self::TooLarge { read, .. } => write!(out, "\"{read}\" is too large to work with")?,
            Self::OverNought { read, .. } => write!(out, "\"{read}\" divides by nought")?,
            Self::UnknownUnit { read, symbol, .. } => {
                write!(out, "\"{symbol}\" in \"{read}\" is no unit known here")?;
            }
            Self::OtherDimension { read, found, .. } => {
                let kind = found.wanted();
                let kind = kind.split(" (").next().unwrap_or_default();
                write!(out, "\"{read}\" is {kind}")?;
            }
        }
        write!(out, "; wanted is {}", self.wanted().wanted())
    }
}

impl std::error::Error for UnitError {}
