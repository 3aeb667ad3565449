//! The program under a real pseudo-terminal: what a person sees on the screen, and what is kept afterwards.
//!
//! Start at [`pty::Window`]: a window of a size, a program in it, keys, and a screen that is looked at. Keys are sent
//! only when the program waits for them; nothing waits for a fixed time.

mod keys;
mod kinds;
mod leaving;
mod pty;
#[path = "../support/mod.rs"]
mod support;
mod whole;
mod windows;
