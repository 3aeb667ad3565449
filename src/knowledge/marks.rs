//! Where things stand in the files, for problems that show only once all is put together.

use std::sync::Arc;

use super::ids::{FindingIx, QuestionIx};
use super::model::Knowledge;
use super::read::{Placed, Problem};
use super::wrong::Wrong;

/// File and line of one element.
#[derive(Clone, Debug)]
pub struct Mark {
    file: Arc<str>,
    line: usize,
}

impl Mark {
    pub fn of<T>(placed: &Placed<T>) -> Self {
        Self { file: placed.file.clone(), line: placed.line }
    }

    fn problem(&self, id: &str, field: &str, wrong: Wrong) -> Problem {
        let (file, line) = (self.file.to_string(), self.line);
        Problem { file, line, id: Some(id.to_owned()), field: Some(field.to_owned()), wrong }
    }
}

/// The marks of all elements, each list in the order of the data.
#[derive(Clone, Debug, Default)]
pub struct Marks {
    pub stages: Vec<Mark>,
    pub questions: Vec<Mark>,
    pub findings: Vec<Mark>,
}

impl Marks {
    pub fn stage(&self, place: usize, knowledge: &Knowledge, field: &str, wrong: Wrong) -> Problem {
        self.stages[place].problem(knowledge.stages[place].id.as_str(), field, wrong)
    }

    pub fn question(&self, ix: QuestionIx, knowledge: &Knowledge, field: &str, wrong: Wrong) -> Problem {
        self.questions[ix.0].problem(knowledge.question(ix).id.as_str(), field, wrong)
    }

    pub fn finding(&self, ix: FindingIx, knowledge: &Knowledge, field: &str, wrong: Wrong) -> Problem {
        self.findings[ix.0].problem(knowledge.findings[ix.0].id.as_str(), field, wrong)
    }
}
