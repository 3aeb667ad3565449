//! What both ways of talking share: wrapping, rules, the words of the quiet line, reading little words.
