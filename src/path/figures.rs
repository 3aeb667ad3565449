//! Figures of measures, each worked out once for as long as the answers it reads stand.

use std::sync::OnceLock;

use jiff::civil::Date;

use crate::answers::Live;
use crate::knowledge::{Knowledge, MeasureId, QuestionIx};
use crate::measure::{self, Figure};

/// What was worked out so far, by measure.
#[derive(Clone, Debug)]
pub struct Figures(Vec<OnceLock<Option<Figure>>>);

impl Figures {
    /// Nothing worked out yet.
    #[must_use]
    pub fn new(knowledge: &Knowledge) -> Self {
        Self(knowledge.measures.iter().map(|_| OnceLock::new()).collect())
    }

    /// The figure of a measure.
    #[must_use]
    pub fn of(&self, id: MeasureId, live: &Live<'_>, date: Date) -> Option<Figure> {
        *self.0[id.0].get_or_init(|| measure::figure_of(id, live, date))
    }

    /// A question got another standing: what reads it has to be worked out anew.
    pub fn forget(&mut self, knowledge: &Knowledge, ix: QuestionIx) {
        for id in knowledge.read_by(ix) {
            self.0[id.0].take();
        }
    }
}
