//! A checksum over what a saved interview says. It is no secret: it tells damage and hand edits from what was written.
//!
//! It goes over the content, not the letters: blanks and line ends may change on the way through a mail.

use std::hash::Hasher;

use serde_json::Value as Json;

/// The field that holds it.
pub const FIELD: &str = "seal";

/// How a file's seal stands to its content.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sealed {
    /// Just as it was written.
    Whole,
    /// Changed since, by hand or by damage; or the seal was taken away.
    Broken,
    /// Written before there were seals.
    Never,
}

/// Looks at the seal of a file's content.
#[must_use]
pub fn look(content: &Json) -> Sealed {
    match content.get(FIELD) {
        Some(Json::String(seal)) if *seal == of(content) => Sealed::Whole,
        None if content.get("format").and_then(Json::as_u64) == Some(1) => Sealed::Never,
        _ => Sealed::Broken,
    }
}

/// The seal of a content: 16 digits over every field but the seal itself, whatever their order.
#[must_use]
pub fn of(content: &Json) -> String {
    let mut hasher = fnv::FnvHasher::default();
    feed(&mut hasher, content, true);
    format!("{:016x}", hasher.finish())
}

/// Each value with its sort and length before it, so that no two contents feed the same bytes.
fn feed(hasher: &mut fnv::FnvHasher, value: &Json, outermost: bool) {
    match value {
        Json::Object(fields) => {
            let mut names: Vec<&String> = fields.keys().filter(|name| !outermost || *name != FIELD).collect();
            names.sort();
            hasher.write(format!("{{{}", names.len()).as_bytes());
            for name in names {
                text(hasher, name);
                feed(hasher, &fields[name], false);
            }
        }
        Json::Array(entries) => {
            hasher.write(format!("[{}", entries.len()).as_bytes());
            for entry in entries {
                feed(hasher, entry, false);
            }
        }
        Json::String(words) => text(hasher, words),
        other => text(hasher, &format!("={other}")),
    }
}

fn text(hasher: &mut fnv::FnvHasher, words: &str) {
    hasher.write(format!("\"{}:", words.len()).as_bytes());
    hasher.write(words.as_bytes());
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn order_and_blanks_do_not_matter_and_content_does() {
        let a: Json = serde_json::from_str(r#"{"format":2, "name":"a", "answers":[{"id":"x"}]}"#).unwrap();
        let b: Json = serde_json::from_str(r#"{"name":"a","answers": [ {"id":"x"} ],"format":2}"#).unwrap();
        assert_eq!(of(&a), of(&b));
        for other in [
            json!({"format":2, "name":"a", "answers":[{"id":"y"}]}),
            json!({"format":2, "name":"a", "answers":["id", "x"]}),
            json!({"format":"2", "name":"a", "answers":[{"id":"x"}]}),
            json!({"format":2, "name":"a", "answers":[]}),
        ] {
            assert_ne!(of(&a), of(&other));
        }
    }

    #[test]
    fn a_seal_that_was_taken_away_is_missed() {
        assert_eq!(look(&json!({"format": 2})), Sealed::Broken);
        assert_eq!(look(&json!({"format": 1})), Sealed::Never);
        assert_eq!(look(&json!({"format": 1, "seal": "0"})), Sealed::Broken);
        let mut whole = json!({"format": 2, "answers": []});
        whole["seal"] = of(&whole).into();
        assert_eq!(look(&whole), Sealed::Whole);
        whole["answers"] = json!([1]);
        assert_eq!(look(&whole), Sealed::Broken);
    }
}
