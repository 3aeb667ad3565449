//! Answers as they would stand if one were another: to see what would follow without walking the path again.

use jiff::civil::Date;

use crate::answers::{Live, Standing};
use crate::knowledge::QuestionIx;

use super::conditions::View;
use super::figures::Figures;
use super::walk::Path;

/// Live answers, some of them only supposed.
#[derive(Clone, Debug)]
pub struct Supposed<'s> {
    live: Live<'s>,
    figures: Figures,
    date: Date,
}

impl Path<'_> {
    /// The answers as they stand, to be changed in thought.
    #[must_use]
    pub fn supposed(&self) -> Supposed<'_> {
        Supposed { live: self.live.clone(), figures: self.figures.clone(), date: self.date }
    }
}

impl<'s> Supposed<'s> {
    /// Supposes that a question stands so.
    pub fn set(&mut self, ix: QuestionIx, standing: Standing<'s>) {
        self.live.set(ix, standing);
        self.figures.forget(self.live.knowledge, ix);
    }

    /// To evaluate conditions on what is supposed.
    #[must_use]
    pub fn view(&self) -> View<'_, 's> {
        View { live: &self.live, date: self.date, figures: &self.figures }
    }
}
