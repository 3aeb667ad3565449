//! Asking back: what was read is odd, ends something, or may mean several things; what the next line says to that.

use crate::answers::parse::in_words;
use crate::answers::{Proposal, Said};
use crate::knowledge::Question;

use super::say::{hang, quiet, say};
use super::{Desk, Ink};

/// What waits for a yes.
#[derive(Clone, Debug)]
pub enum Pending {
    /// Readable, but odd: a yes or the same text again keeps it.
    Odd { typed: String, said: Said },
    /// It ends something or weighs heavily: only a yes in so many letters keeps it.
    Ends { proposal: Proposal },
    /// Free words: Enter takes the first reading.
    Meant { typed: String, first: Proposal },
}

/// What a line says to what waits.
#[derive(Clone, Debug)]
pub enum Settled {
    Kept(Proposal),
    /// Not that: once more, this text to be mended.
    OnceMore(String),
    /// It is an answer of its own.
    Another,
}

/// Asks whether an odd answer is to be kept.
pub fn odd(desk: &mut dyn Desk, doubt: &str, typed: &str, said: Said) -> Pending {
    say(desk, doubt);
    quiet(desk, "(y or the same again keeps it; else give it anew)");
    desk.fresh();
    Pending::Odd { typed: typed.to_owned(), said }
}

/// Asks whether what ends something is so; Enter never means yes there.
pub fn ends(desk: &mut dyn Desk, question: &Question, proposal: Proposal) -> Pending {
    let words = in_words(question.choices(), &proposal);
    let ending = proposal.said.ending(question);
    let what = match ending.map(|choice| choice.closes.as_slice()) {
        Some([stage, ..]) if *stage == "interview" => "That would end it here",
        Some([_, ..]) => "That would end this part here",
        _ => "That would weigh heavily",
    };
    say(desk, &format!("{what}: {words}. Is that so?"));
    quiet(desk, "(Enter goes back, y is yes)");
    desk.fresh();
    Pending::Ends { proposal }
}

/// Asks which reading of free words is meant; the likeliest stands first.
pub fn meant(desk: &mut dyn Desk, question: &Question, typed: &str, readings: &[Proposal]) -> Option<Pending> {
    let (first, others) = readings.split_first()?;
    let words = |reading: &Proposal| in_words(question.choices(), reading);
    if first.said.ending(question).is_some() && others.is_empty() {
        return Some(ends(desk, question, first.clone()));
    }
    let ending = first.said.ending(question).is_some();
    if first.note.is_some() {
        say(desk, "You have the seller's word, not your own look: keep it as that? Enter is yes.");
    } else if ending {
        say(desk, &format!("Did you mean {}? y is yes.", words(first)));
    } else {
        say(desk, &format!("Did you mean {}? Enter is yes.", words(first)));
    }
    for other in others.iter().take(2) {
        hang(desk, Ink::Plain, "  or ", &words(other));
    }
    desk.fresh();
    if ending {
        return Some(Pending::Ends { proposal: first.clone() });
    }
    Some(Pending::Meant { typed: typed.to_owned(), first: first.clone() })
}

/// What the next line says to what waits.
pub fn settled(pending: Pending, text: &str) -> Settled {
    let lower = text.to_lowercase();
    let yes = matches!(lower.as_str(), "y" | "yes");
    let no = matches!(lower.as_str(), "n" | "no");
    match pending {
        Pending::Odd { typed, said } if yes || text == typed => Settled::Kept(said.into()),
        Pending::Odd { typed, .. } if no || text.is_empty() => Settled::OnceMore(typed),
        Pending::Ends { proposal } if yes => Settled::Kept(proposal),
        Pending::Ends { .. } if no || text.is_empty() => Settled::OnceMore(String::new()),
        Pending::Meant { first, .. } if yes || text.is_empty() => Settled::Kept(first),
        Pending::Meant { typed, .. } if no => Settled::OnceMore(typed),
        _ => Settled::Another,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn proposal() -> Proposal {
        Said::CantTell.into()
    }

    #[test]
    fn enter_takes_a_reading_but_never_an_end() {
        let meant = Pending::Meant { typed: "like a latte".into(), first: proposal() };
        assert!(matches!(settled(meant.clone(), ""), Settled::Kept(_)));
        assert!(matches!(settled(meant.clone(), "no"), Settled::OnceMore(_)));
        assert!(matches!(settled(meant, "2"), Settled::Another));
        let ends = Pending::Ends { proposal: proposal() };
        assert!(matches!(settled(ends.clone(), ""), Settled::OnceMore(_)));
        assert!(matches!(settled(ends.clone(), "Y"), Settled::Kept(_)));
        assert!(matches!(settled(ends, "3"), Settled::Another));
    }

    #[test]
    fn an_odd_answer_is_kept_when_it_is_said_again() {
        let odd = Pending::Odd { typed: "12".into(), said: Said::CantTell };
        assert!(matches!(settled(odd.clone(), "12"), Settled::Kept(_)));
        assert!(matches!(settled(odd.clone(), ""), Settled::OnceMore(_)));
        assert!(matches!(settled(odd, "13"), Settled::Another));
    }
}
