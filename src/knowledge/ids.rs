//! Names that must not be swapped: each kind of id is a type of its own.

use std::borrow::Borrow;
use std::fmt;
use std::sync::Arc;

use schemars::JsonSchema;
use serde::Serialize;
use serde::de::{Deserialize, Deserializer, Error, Visitor};

struct Reading;

impl Visitor<'_> for Reading {
    type Value = Arc<str>;

    fn expecting(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str("a string")
    }

    fn visit_str<E: Error>(self, text: &str) -> Result<Arc<str>, E> {
        Ok(Arc::from(text))
    }
}

macro_rules! id_type {
    ($($(#[$doc:meta])* $name:ident),+ $(,)?) => {$(
        $(#[$doc])*
        #[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, JsonSchema)]
        #[serde(transparent)]
        pub struct $name(Arc<str>);

        impl $name {
            /// The id as it is written in the data.
            #[must_use]
            pub fn as_str(&self) -> &str {
                &self.0
            }
        }

        /// Made at once from what is read, without a text in between.
        impl<'de> Deserialize<'de> for $name {
            fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
                from.deserialize_str(Reading).map(Self)
            }
        }

        impl From<&str> for $name {
            fn from(text: &str) -> Self {
                Self(Arc::from(text))
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.pad(&self.0)
            }
        }

        impl Borrow<str> for $name {
            fn borrow(&self) -> &str {
                &self.0
            }
        }

        impl PartialEq<str> for $name {
            fn eq(&self, other: &str) -> bool {
                &*self.0 == other
            }
        }

        impl PartialEq<&str> for $name {
            fn eq(&self, other: &&str) -> bool {
                &*self.0 == *other
            }
        }
    )+};
}

id_type!(
    /// A stage of the interview, such as `gearcase`.
    StageId,
    /// A question, such as `gear-oil`.
    QuestionId,
    /// One choice of one question, such as `milky`.
    ChoiceId,
    /// A finding, such as `water-in-gear-oil`.
    FindingId,
    /// A fault a motor may have, such as `gearcase-seals`.
    FaultId,
    /// A repair or purchase with a cost, such as `gearcase-reseal`.
    ItemId,
    /// A published source, such as `33cfr183.53`.
    SourceId,
    /// A drawing in plain characters.
    PictureId,
    /// A trade word in the glossary.
    TermId,
    /// A hazard, such as `flywheel`.
    HazardId,
    /// A story that no single fault tells, such as whose the motor is.
    StoryId,
);

macro_rules! index_type {
    ($($(#[$doc:meta])* $name:ident),+ $(,)?) => {$(
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(pub usize);
    )+};
}

index_type!(
    /// Place of a question in the order of the files.
    QuestionIx,
    /// Place of a finding in the order of the files.
    FindingIx,
    /// Place of a fault in `faults.json`.
    FaultIx,
    /// Place of an item in `costs.json`.
    ItemIx,
    /// Place of a hazard in `hazards.json`.
    HazardIx,
);
