//! What the question data has to know of the measures: what each is called, its unit, its words, what it reads.
//!
//! The measures are defined in the room above, which hands their facts down when the data is loaded; the data only
//! names them.

use super::ids::QuestionIx;
use super::roles::AnyRole;

/// Place of a measure in the list its room keeps, which is the order of reports.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct MeasureId(pub usize);

/// What is fixed about a measure.
#[derive(Clone, Debug)]
pub struct MeasureFacts {
    /// The name in the data and in JSON.
    pub name: &'static str,
    /// What people call it in a report.
    pub title: &'static str,
    /// Unit of the number, empty for words and plain ratios.
    pub unit: &'static str,
    /// The words it can be; none for a number.
    pub words: &'static [&'static str],
    /// Every question it may read.
    pub reads: Vec<AnyRole>,
    /// The questions it can't do without: when one of them does not apply, neither does the measure.
    pub needs: Vec<AnyRole>,
}

/// The same with its questions found in the data, in asking order.
#[derive(Clone, Debug)]
pub struct KnownMeasure {
    pub name: &'static str,
    pub title: &'static str,
    pub unit: &'static str,
    pub words: &'static [&'static str],
    pub reads: Vec<QuestionIx>,
    pub needs: Vec<QuestionIx>,
}

impl KnownMeasure {
    /// Looks up the questions of a measure; what is missing is told where roles are resolved.
    #[must_use]
    pub fn found(facts: &MeasureFacts, places: &[Option<QuestionIx>]) -> Self {
        let found = |roles: &[AnyRole]| {
            let mut all: Vec<QuestionIx> = roles.iter().filter_map(|role| places[role.place()]).collect();
            all.sort_unstable();
            all.dedup();
            all
        };
        Self {
            name: facts.name,
            title: facts.title,
            unit: facts.unit,
            words: facts.words,
            reads: found(&facts.reads),
            needs: found(&facts.needs),
        }
    }
}
