//! The few words that mean the same at every question: can't tell, not done.

/// What such words say.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Special<'t> {
    CantTell,
    /// With the reason, which may be empty.
    NotDone(&'t str),
}

/// `can't tell` and `not done`, however they are written.
#[must_use]
pub fn special(typed: &str) -> Option<Special<'_>> {
    let lower = typed.to_lowercase().replace('\u{2019}', "'");
    if ["can't tell", "cant tell", "cannot tell", "can not tell", "-"].contains(&lower.as_str()) {
        return Some(Special::CantTell);
    }
    for head in ["not done", "not-done"] {
        if let Some(rest) = lower.strip_prefix(head)
            && rest.chars().next().is_none_or(|next| !next.is_alphanumeric())
        {
            let reason = typed.get(head.len()..).unwrap_or("");
            return Some(Special::NotDone(reason.trim_start_matches([':', ',', '-', ' ']).trim()));
        }
    }
    None
}

/// A text as it must be typed to be taken as it stands: a leading `=` where it would mean something else.
#[must_use]
pub fn literal(text: &str) -> String {
    if text.starts_with('=') || special(text).is_some() { format!("={text}") } else { text.to_owned() }
}
