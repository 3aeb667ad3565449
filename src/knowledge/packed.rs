//! The shipped data as the build packed it: the same content as the files, quicker to read, and looked at no more.
//!
//! A test holds that the files have no problem and that unpacked they are what is read from their text.

use std::fmt;
use std::ops::Deref;
use std::sync::OnceLock;

use serde::de::DeserializeOwned;

/// One packed file.
pub struct Packed {
    pub name: &'static str,
    pub bytes: &'static [u8],
}

include!(concat!(env!("OUT_DIR"), "/packed.rs"));

/// Unpacks a file, or a part of the data that stands in it under this name.
///
/// # Panics
/// Never for the shipped data; a test unpacks all of it.
pub fn unpack<T: DeserializeOwned>(bytes: &[u8]) -> T {
    rmp_serde::from_slice(bytes).expect("the shipped data was packed by the build")
}

/// A part of the data that most runs do without: read when it is first looked at.
pub struct Late<T> {
    make: fn() -> T,
    ready: OnceLock<T>,
}

impl<T> Late<T> {
    pub fn new(make: fn() -> T) -> Self {
        Self { make, ready: OnceLock::new() }
    }
}

impl<T: Default> From<T> for Late<T> {
    fn from(ready: T) -> Self {
        Self { make: T::default, ready: OnceLock::from(ready) }
    }
}

impl<T> Deref for Late<T> {
    type Target = T;

    fn deref(&self) -> &T {
        self.ready.get_or_init(self.make)
    }
}

impl<T: Clone> Clone for Late<T> {
    fn clone(&self) -> Self {
        Self { make: self.make, ready: self.ready.clone() }
    }
}

impl<T: fmt::Debug> fmt::Debug for Late<T> {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.ready.fmt(out)
    }
}

#[cfg(test)]
mod tests {
    use crate::knowledge::{Knowledge, embedded_files};
    use crate::measure::{load, load_shipped};

    /// What is promised of the build: the files have no problem, and packed they say the same.
    #[test]
    fn what_was_packed_is_what_the_files_say() {
        let (read, packed) = (load(&embedded_files()).expect("no problem"), load_shipped());
        assert_eq!(packed.fingerprint, read.fingerprint);
        assert!(packed.terms.len() > 100 && packed.pictures.len() > 5 && packed.synonyms.concepts.len() > 50);
        let parts: [fn(&Knowledge) -> String; 14] = [
            |it| format!("{:?}", it.stages),
            |it| format!("{:?}", it.questions),
            |it| format!("{:?}", it.findings),
            |it| format!("{:?}", it.faults),
            |it| format!("{:?}", it.items),
            |it| format!("{:?}", it.settings),
            |it| format!("{:?}", it.sources),
            |it| format!("{:?}", *it.terms),
            |it| format!("{:?}", *it.pictures),
            |it| format!("{:?}", (&it.hazards, &it.run_cards)),
            |it| format!("{:?}", (&it.stories, &it.folds)),
            |it| format!("{:?}", *it.synonyms),
            |it| format!("{:?}", it.visit),
            |it| format!("{:?}", (&it.roles, &it.item_roles)),
        ];
        for (place, part) in parts.iter().enumerate() {
            assert!(part(&packed) == part(&read), "part {place}: {} and {}", part(&packed), part(&read));
        }
    }
}
