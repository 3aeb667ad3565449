//! The terminal.
