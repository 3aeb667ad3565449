//! Texts of the question data. Those built into the program stay where the program has them: reading them takes no
//! memory, and a copy costs nothing.

use std::borrow::Cow;
use std::fmt;
use std::ops::Deref;

use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde::Serialize;
use serde::de::{Deserialize, Deserializer, Error, Visitor};

use super::packed::TEXTS;

/// A text as it is written in the data.
#[derive(Clone, Default, Serialize, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[serde(transparent)]
pub struct Text(Cow<'static, str>);

impl Text {
    /// The text itself.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl Deref for Text {
    type Target = str;

    fn deref(&self) -> &str {
        &self.0
    }
}

impl AsRef<str> for Text {
    fn as_ref(&self) -> &str {
        &self.0
    }
}

impl From<&str> for Text {
    fn from(text: &str) -> Self {
        Self(Cow::Owned(text.to_owned()))
    }
}

impl From<String> for Text {
    fn from(text: String) -> Self {
        Self(Cow::Owned(text))
    }
}

impl From<Text> for String {
    fn from(text: Text) -> Self {
        text.0.into_owned()
    }
}

impl PartialEq<str> for Text {
    fn eq(&self, other: &str) -> bool {
        &*self.0 == other
    }
}

impl PartialEq<&str> for Text {
    fn eq(&self, other: &&str) -> bool {
        &*self.0 == *other
    }
}

impl fmt::Debug for Text {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(out)
    }
}

impl fmt::Display for Text {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.pad(&self.0)
    }
}

/// In a file a text; as the build packed it a number: where it begins in [`TEXTS`], and in the lowest 16 bits how long
/// it is.
impl<'de> Deserialize<'de> for Text {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        // In a file a number is no text.
        if from.is_human_readable() {
            String::deserialize(from).map(Self::from)
        } else {
            from.deserialize_any(Reading)
        }
    }
}

struct Reading;

impl Visitor<'_> for Reading {
    type Value = Text;

    fn expecting(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str("a string")
    }

    fn visit_str<E: Error>(self, text: &str) -> Result<Text, E> {
        Ok(Text::from(text))
    }

    fn visit_string<E: Error>(self, text: String) -> Result<Text, E> {
        Ok(Text::from(text))
    }

    fn visit_u64<E: Error>(self, place: u64) -> Result<Text, E> {
        let begins = usize::try_from(place >> 16).unwrap_or(usize::MAX);
        let ends = begins.saturating_add((place & 0xFFFF) as usize);
        let text = TEXTS.get(begins..ends).ok_or_else(|| E::custom("a number where a string belongs"))?;
        Ok(Text(Cow::Borrowed(text)))
    }
}

impl JsonSchema for Text {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> Cow<'static, str> {
        String::schema_name()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        String::json_schema(generator)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// In a file a number is no text; as packed it is the place of one, and never of what is not there.
    #[test]
    fn a_number_is_a_text_only_where_the_build_put_it() {
        assert_eq!(serde_json::from_str::<Text>("\"a reel\"").expect("a text"), "a reel");
        assert!(serde_json::from_str::<Text>("4").is_err());
        let packed = |number: u64| rmp_serde::from_slice::<Text>(&rmp_serde::to_vec(&number).expect("a number"));
        assert_eq!(packed(4).expect("a place"), &TEXTS[..4]);
        assert!(packed(u64::MAX).is_err());
    }
}
