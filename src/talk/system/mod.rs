//! What talking needs of the system, behind one interface: signals, the terminal's mode, keys, standard input, other
//! programs. One file a system; nothing else in this room asks which one it is.
//!
//! - [`Listening`]: while one is held, Ctrl-C and being ended from outside are told by [`Listening::leave`] instead of
//!   ending the program; [`Listening::forget_interrupt`] for one that was meant for another program.
//! - [`Guard`]: the terminal's mode for a whole conversation; [`give_back`] before the program ends in an unforeseen way.
//! - [`takes_keys`], [`next_key`], [`forget_typed`]: keys one by one.
//! - [`read_lines`]: standard input, where nobody shows what is typed.
//! - [`EDITOR`] and [`words_of`]: other programs, without a shell in between.

#[cfg(unix)]
mod unix;
#[cfg(windows)]
mod windows;

#[cfg(unix)]
use unix as here;
#[cfg(windows)]
use windows as here;

pub use here::{EDITOR, Guard, Listening, forget_typed, give_back, next_key, read_lines, takes_keys, words_of};
