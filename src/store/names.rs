//! Names of interviews: the file's name is the interview's name, so it has to be safe as one everywhere.

/// Words some systems keep for devices, whatever ending follows them.
const DEVICES: [&str; 4] = ["con", "nul", "aux", "prn"];

/// Names that are safe as file names everywhere.
///
/// # Errors
/// A sentence that says what a name may hold.
pub fn check_name(name: &str) -> Result<(), String> {
    let fits = !name.is_empty()
        && name.len() <= 64
        && !name.starts_with('-')
        && name.chars().all(|c| c.is_ascii_alphanumeric() || c == '-' || c == '_');
    if !fits {
        return Err(format!("{name:?} can't be a name: letters, digits, - and _, at most 64"));
    }
    let lower = name.to_ascii_lowercase();
    let numbered = |word: &str| {
        lower.strip_prefix(word).is_some_and(|rest| rest.len() == 1 && rest.as_bytes()[0].is_ascii_digit())
    };
    if DEVICES.contains(&lower.as_str()) || numbered("com") || numbered("lpt") {
        return Err(format!("{name:?} can't be a name: some systems keep it for a device; take {name}-motor, say"));
    }
    Ok(())
}

/// The name among these that differs only in capitals: on many systems both would be one file.
#[must_use]
pub fn twin<'a>(name: &str, all: &'a [String]) -> Option<&'a String> {
    all.iter().find(|other| *other != name && other.eq_ignore_ascii_case(name))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_safe_as_files_everywhere() {
        for name in ["motor-1", "Harbour_40", "contra", "com", "nulls", "lpt10", "a"] {
            assert_eq!(check_name(name), Ok(()), "{name}");
        }
        for name in ["", "-a", "a b", "a/b", "..", "con", "NUL", "Aux", "prn", "com1", "LPT9", "caf\u{e9}", "a\n"] {
            assert!(check_name(name).is_err(), "{name}");
        }
        assert!(check_name(&"a".repeat(65)).is_err());
    }

    #[test]
    fn a_twin_differs_in_capitals_only() {
        let all = ["Kim".to_owned(), "kit".to_owned()];
        assert_eq!(twin("kim", &all), Some(&all[0]));
        assert_eq!(twin("Kim", &all), None);
    }
}
