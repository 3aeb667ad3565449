//! Saving during a sitting: where it fails nothing is lost from memory, and the person says how to go on.

use std::path::PathBuf;

use crate::edge;
use crate::knowledge::Knowledge;
use crate::store::{Held, Saved, Store};
use crate::talk::{Leave, Talk, Words};

/// Whether what was said is kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kept {
    Yes,
    /// It could not be, and the person goes on without.
    InMemory,
}

/// Saves, and asks what to do where that fails: again, another folder, or on without saving.
///
/// # Errors
/// It can't be saved and nobody says what to do; in words.
pub fn keep(
    talk: &mut dyn Talk,
    store: &mut Store,
    held: &mut Held,
    saved: &Saved,
    knowledge: &Knowledge,
    before: Kept,
) -> Result<Kept, String> {
    loop {
        let why = match store.save(held, saved, knowledge) {
            Ok(()) => {
                if before == Kept::InMemory {
                    talk.tell(&Words::Plain("It can be saved again: everything so far is kept.".into()));
                }
                return Ok(Kept::Yes);
            }
            Err(_) if before == Kept::InMemory => return Ok(Kept::InMemory),
            Err(why) => why,
        };
        talk.tell(&Words::Plain(format!("NOT SAVED: {why}. What you said is still here, in memory.")));
        let ways = ["try again", "keep it in another folder", "go on without saving"].map(str::to_owned);
        match talk.pick("What shall I do?", &ways) {
            Ok(0) => {}
            Ok(1) => elsewhere(talk, store, held, &saved.name).map_err(|_| lost(&why))?,
            Ok(_) => return Ok(Kept::InMemory),
            Err(_) => return Err(lost(&why)),
        }
    }
}

fn lost(why: &str) -> String {
    format!("{why}; what was said last is NOT kept")
}

/// Another folder to keep it in; stays with the old one where that does not work out.
fn elsewhere(talk: &mut dyn Talk, store: &mut Store, held: &mut Held, name: &str) -> Result<(), Leave> {
    let folder = talk.line("In which folder? Enter alone goes back.")?;
    if folder.is_empty() {
        return Ok(());
    }
    let other = Store::at(PathBuf::from(folder));
    let taken = other.check_new(name).and_then(|()| other.hold(name));
    match taken {
        Ok(hold) => {
            talk.tell(&Words::Plain(format!("From here on it is kept in {}.", edge::path(other.folder()))));
            (*store, *held) = (other, hold);
        }
        Err(why) => talk.tell(&Words::Plain(format!("That does not work out: {why}."))),
    }
    Ok(())
}
