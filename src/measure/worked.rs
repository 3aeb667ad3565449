//! What every measure hands back: the figure and its working, or the reason why there is none.

use std::fmt;
use std::rc::Rc;

use super::absent::Absent;

/// A figure with one line of working a buyer can follow: lower case, no full stop. The line is made only when it is
/// asked for, since conditions want the figure alone and are looked at thousands of times.
#[derive(Clone)]
pub struct Worked<T> {
    pub value: T,
    how: Rc<dyn Fn() -> String>,
}

/// A figure, or why it can't be worked out. Never nought for unknown.
pub type Measured<T> = Result<Worked<T>, Absent>;

impl<T> Worked<T> {
    #[must_use]
    pub fn new(value: T, how: impl Fn() -> String + 'static) -> Self {
        Self { value, how: Rc::new(how) }
    }

    /// The line of working.
    #[must_use]
    pub fn how(&self) -> String {
        (self.how)()
    }

    /// The same working for a figure taken out of this one.
    #[must_use]
    pub fn map<U>(self, take: impl FnOnce(T) -> U) -> Worked<U> {
        Worked { value: take(self.value), how: self.how }
    }

    /// The same figure with another line made of this one.
    #[must_use]
    pub fn retold(self, tell: impl Fn(String) -> String + 'static) -> Self {
        let how = self.how;
        Self { value: self.value, how: Rc::new(move || tell(how())) }
    }
}

impl<T: fmt::Debug> fmt::Debug for Worked<T> {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.debug_struct("Worked").field("value", &self.value).field("how", &self.how()).finish()
    }
}

impl<T: PartialEq> PartialEq for Worked<T> {
    fn eq(&self, other: &Self) -> bool {
        self.value == other.value && self.how() == other.how()
    }
}

/// How far a figure may be past a limit and still count as on it: amounts are converted on the way
/// here, and a reading typed in bar must not fall off a limit by its last bit.
pub(super) const SLACK: f64 = 1e-9;

/// The number, if it can be divided by and multiplied with in earnest.
pub(super) fn above_nought(number: f64, what: &'static str) -> Result<f64, Absent> {
    if number.is_finite() && number > 0.0 { Ok(number) } else { Err(Absent::NotAboveNought(what)) }
}

/// The number, if it is nought or more.
pub(super) fn from_nought(number: f64, what: &'static str) -> Result<f64, Absent> {
    if number.is_finite() && number >= 0.0 { Ok(number) } else { Err(Absent::BelowNought(what)) }
}
