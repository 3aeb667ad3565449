//! The reader of free words, made ready when the first such words come: most answers are a number.

use std::ops::Deref;
use std::sync::{Arc, OnceLock};

use crate::knowledge::Knowledge;

use super::reading::Reader;

/// A reader that costs nothing before it reads.
#[derive(Debug)]
pub struct LateReader {
    knowledge: Arc<Knowledge>,
    ready: OnceLock<Reader>,
}

impl LateReader {
    #[must_use]
    pub fn new(knowledge: Arc<Knowledge>) -> Self {
        Self { knowledge, ready: OnceLock::new() }
    }
}

impl Deref for LateReader {
    type Target = Reader;

    /// The reader, made ready now if nobody asked before.
    fn deref(&self) -> &Reader {
        self.ready.get_or_init(|| Reader::new(&self.knowledge))
    }
}
