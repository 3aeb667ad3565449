//! Bounds of a JSON text, looked at before anything is built from it.

/// Brackets inside brackets; nothing this program reads goes deeper than a dozen.
const DEEPEST: usize = 64;
/// Values in one text: some forty times what the largest question folder could hold in a file, and few enough
/// that building them takes tens of megabytes.
const MOST_VALUES: usize = 400_000;

/// Looks at depth and number of values without building anything.
///
/// # Errors
/// The limit that is passed, named.
pub fn check_json(text: &str) -> Result<(), String> {
    let (mut depth, mut values) = (0usize, 0usize);
    let (mut quoted, mut escaped) = (false, false);
    for byte in text.bytes() {
        if quoted {
            (quoted, escaped) = (escaped || byte != b'"', byte == b'\\' && !escaped);
            continue;
        }
        match byte {
            b'"' => quoted = true,
            b'[' | b'{' => depth += 1,
            b']' | b'}' => depth = depth.saturating_sub(1),
            b',' => values += 1,
            _ => {}
        }
        if depth > DEEPEST {
            return Err(format!("brackets stand more than {DEEPEST} deep; I read up to {DEEPEST}"));
        }
        if values > MOST_VALUES {
            return Err(format!("it holds more than {MOST_VALUES} values; I read up to {MOST_VALUES}"));
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn depth_counts_outside_of_texts_only() {
        let deep = |count: usize| format!("{}{}", "[".repeat(count), "]".repeat(count));
        assert!(check_json(&deep(DEEPEST)).is_ok());
        assert!(check_json(&deep(DEEPEST + 1)).unwrap_err().contains("64"));
        assert!(check_json(&format!("[\"{}\\\"[\"]", "[".repeat(500))).is_ok());
        assert!(check_json(&format!("[\"a\\\\\", {}]", deep(DEEPEST))).is_err());
    }

    #[test]
    fn too_many_values_are_refused() {
        assert!(check_json(&format!("[{}0]", "0,".repeat(MOST_VALUES))).is_ok());
        assert!(check_json(&format!("[{}0]", "0,".repeat(MOST_VALUES + 1))).is_err());
    }
}
