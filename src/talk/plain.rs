//! Plain lines: append-only, numbered choices, no colour needed; for pipes, screen readers and dumb terminals.
