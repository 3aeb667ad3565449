//! Yes, no, unknown: the logic of conditions (Kleene, Introduction to Metamathematics, 1952, strong tables).

/// A truth value of which "nobody knows" is one.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Truth {
    No,
    Unknown,
    Yes,
}

impl Truth {
    /// The lesser of two: no wins over unknown, unknown over yes.
    #[must_use]
    pub fn and(self, other: Self) -> Self {
        self.min(other)
    }

    /// The greater of two: yes wins over unknown, unknown over no.
    #[must_use]
    pub fn or(self, other: Self) -> Self {
        self.max(other)
    }
}

impl std::ops::Not for Truth {
    type Output = Self;

    fn not(self) -> Self {
        match self {
            Self::No => Self::Yes,
            Self::Unknown => Self::Unknown,
            Self::Yes => Self::No,
        }
    }
}

impl From<bool> for Truth {
    fn from(yes: bool) -> Self {
        if yes { Self::Yes } else { Self::No }
    }
}

#[cfg(test)]
mod tests {
    use super::Truth::{No, Unknown, Yes};

    /// Kleene's strong tables, from memory.
    #[test]
    fn strong_tables() {
        for (a, b, and, or) in [
            (Yes, Yes, Yes, Yes),
            (Yes, Unknown, Unknown, Yes),
            (Yes, No, No, Yes),
            (Unknown, Unknown, Unknown, Unknown),
            (Unknown, No, No, Unknown),
            (No, No, No, No),
        ] {
            assert_eq!((a.and(b), b.and(a)), (and, and));
            assert_eq!((a.or(b), b.or(a)), (or, or));
        }
        assert_eq!((!Yes, !Unknown, !No), (No, Unknown, Yes));
    }
}
