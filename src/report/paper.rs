//! The mechanic's paper on its way back: the code that tells its state.

use std::hash::Hasher;

use crate::answers::{Record, Said};
use crate::knowledge::Knowledge;

/// Letters and digits of a state code: none that is easily taken for another.
const LETTERS: &[u8; 32] = b"0123456789abcdefghjkmnpqrstvwxyz";
/// Letters of a state code, five bits each.
pub const CODE_LENGTH: usize = 7;

/// A short name for exactly these saved answers; notes, photos and what a mechanic settled do not change it, so that
/// a paper can be taken in twice.
#[must_use]
pub fn state_code(knowledge: &Knowledge, record: &Record) -> String {
    let mut hasher = fnv::FnvHasher::default();
    for (ix, answer) in record.entries() {
        let said = match &answer.said {
            Some(Said::Value(value)) => format!("={}", value.to_text()),
            Some(Said::CantTell) => "?".to_owned(),
            Some(Said::NotDone(_)) => "-".to_owned(),
            None => continue,
        };
        hasher.write(knowledge.question(ix).id.as_str().as_bytes());
        hasher.write(&[0]);
        hasher.write(said.as_bytes());
        hasher.write(&[0]);
    }
    let hash = hasher.finish();
    let letter = |place: usize| char::from(LETTERS[(hash >> (5 * place) & 31) as usize]);
    (0..CODE_LENGTH).map(letter).collect()
}
