//! What every measure hands back: the figure and its working, or the reason why there is none.

/// A figure with one line of working a buyer can follow: lower case, no full stop.
#[derive(Clone, Debug, PartialEq)]
pub struct Worked<T> {
    pub value: T,
    pub how: String,
}

/// A figure, or in plain words why it can't be worked out. Never nought for unknown.
pub type Measured<T> = Result<Worked<T>, String>;

impl<T> Worked<T> {
    #[must_use]
    pub fn new(value: T, how: impl Into<String>) -> Self {
        Self { value, how: how.into() }
    }

    /// The same working for a figure taken out of this one.
    #[must_use]
    pub fn map<U>(self, take: impl FnOnce(T) -> U) -> Worked<U> {
        Worked::new(take(self.value), self.how)
    }
}

/// How far a figure may be past a limit and still count as on it: amounts are converted on the way
/// here, and a reading typed in bar must not fall off a limit by its last bit.
pub(super) const SLACK: f64 = 1e-9;

/// The number, if it can be divided by and multiplied with in earnest.
pub(super) fn above_nought(number: f64, what: &str) -> Result<f64, String> {
    if number.is_finite() && number > 0.0 { Ok(number) } else { Err(format!("{what} has to be above nought")) }
}

/// The number, if it is nought or more.
pub(super) fn from_nought(number: f64, what: &str) -> Result<f64, String> {
    if number.is_finite() && number >= 0.0 { Ok(number) } else { Err(format!("{what} can't be below nought")) }
}
