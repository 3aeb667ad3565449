//! The loop of one question: show it, hear something, do it, until an act comes of it.

use crate::answers::{Proposal, Refusal, Said, Value, parse_answer};
use crate::knowledge::Kind;
use crate::talk::{Act, Leave, Turn};

use super::command::{Command, What, command, key_of, no_for};
use super::lines::clean;
use super::lists::{self, Listed};
use super::meant::{self, Pending, Settled, settled};
use super::pages::Ended;
use super::say::{quiet, say};
use super::{Desk, Going, Heard, beside, cylinders, look_up, pages, show};

/// Asks one question until something comes of it.
pub fn ask(desk: &mut dyn Desk, turn: &Turn<'_>) -> Act {
    let mut asking = Asking { desk, turn, kept: String::new(), pending: None, drawn: false };
    asking.until_something().unwrap_or_else(Act::Leave)
}

struct Asking<'d> {
    desk: &'d mut dyn Desk,
    turn: &'d Turn<'d>,
    /// Text to stand in the next line, to be mended.
    kept: String,
    /// What was read and waits for a yes.
    pending: Option<Pending>,
    /// The drawing was looked at last, not its words.
    drawn: bool,
}

impl Asking<'_> {
    fn until_something(&mut self) -> Result<Act, Leave> {
        if let Some(told) = self.desk.manner().once_kept.take() {
            quiet(self.desk, &told);
        }
        if let Some(act) = self.go_on()? {
            return Ok(act);
        }
        self.desk.fresh();
        self.drawn = self.desk.seen();
        let mut typed = match self.open() {
            Ok(typed) => typed,
            Err(Ended::Left(leave)) => return Err(leave),
            Err(Ended::Back) => return Ok(Act::Back),
        };
        self.show_question();
        loop {
            let kept = std::mem::take(&mut self.kept);
            let heard = match typed.take() {
                Some(text) => Heard::Text(text),
                None => self.desk.read(&kept)?,
            };
            let act = match heard {
                Heard::Text(text) => self.hear(&text)?,
                Heard::List(typed) if self.pending.is_some() && typed.trim().is_empty() => self.hear("")?,
                Heard::List(typed) => self.open_list(&typed)?,
                Heard::Back => Some(Act::Back),
            };
            if let Some(act) = act {
                return Ok(act);
            }
        }
    }

    /// Goes on with what is given piece by piece.
    fn go_on(&mut self) -> Result<Option<Act>, Leave> {
        let going = self.desk.manner().going.take().filter(|(ix, _)| *ix == self.turn.ix);
        match going {
            Some((_, Going::Row(readings, told))) => {
                cylinders::go_on(self.desk, self.turn, readings, told).map(Some)
            }
            Some((_, Going::Note(lines))) => beside::note_line(self.desk, self.turn, lines),
            None => Ok(None),
        }
    }

    /// What stands before the question; not once more after a note or a photo. An answer typed too early comes back.
    fn open(&mut self) -> Result<Option<String>, Ended> {
        pages::left_early(self.desk)?;
        let ix = Some(self.turn.ix);
        if self.desk.manner().last != ix || self.turn.card.is_some() {
            show::opening(self.desk, self.turn)?;
            self.desk.manner().last = ix;
        }
        let early = self.desk.manner().unread.early.take();
        if early.is_some() {
            self.desk.manner().unread.read();
        }
        Ok(early)
    }

    fn show_question(&mut self) {
        show::question(self.desk, self.turn);
        show::beside(self.desk, self.turn);
        show::keys(self.desk, self.turn);
        // What has no choices is mended in place; a choice is typed anew as quickly.
        if let (true, Some(before)) = (self.turn.question.choices().is_empty(), &self.turn.before) {
            self.kept.clone_from(before);
        }
    }

    fn hear(&mut self, text: &str) -> Result<Option<Act>, Leave> {
        let text = clean(text).trim().to_owned();
        if let Some(pending) = self.pending.take() {
            match settled(pending, &text) {
                Settled::Kept(proposal) => return Ok(Some(Self::accept(proposal))),
                Settled::OnceMore(typed) => {
                    quiet(self.desk, "Then once more.");
                    self.kept = typed;
                    return Ok(None);
                }
                Settled::Another => {}
            }
        }
        let choices = self.turn.question.choices();
        let free = matches!(self.turn.question.kind, Kind::Text(_));
        if let Some(command) = command(&text, choices, free)
            && show::offered(self.turn, true, command.what)
        {
            return self.obey(&command);
        }
        if free && let Some(pending) = self.key_or_answer(&text) {
            self.pending = Some(pending);
            return Ok(None);
        }
        match no_for(&text, choices) {
            Some(no) => self.answer(no),
            None if text.is_empty() => self.hear_nothing(),
            None => self.answer(&text),
        }
    }

    /// Where free words are the answer, a letter with words behind it may be a key: a serial number begins with N 12.
    fn key_or_answer(&mut self, text: &str) -> Option<Pending> {
        let meant = command(text, &[], false).filter(|command| !command.rest.is_empty())?;
        let letter = key_of(meant.what).letter;
        if !text.to_lowercase().starts_with(&format!("{letter} ")) {
            return None;
        }
        let typed = parse_answer(self.turn.question, text, &self.turn.context).ok()?;
        let label = key_of(meant.what).label;
        let doubt = format!("Is {text:?} the answer? For the key ({label}) type {letter} alone.");
        Some(meant::odd(self.desk, &doubt, text, typed.said))
    }

    /// An empty line keeps what was said before, opens the list, or is told what would be taken.
    fn hear_nothing(&mut self) -> Result<Option<Act>, Leave> {
        if let Some(before) = self.turn.before.clone() {
            return self.answer(&before);
        }
        if self.desk.seen() {
            return self.open_list("");
        }
        say(self.desk, &crate::answers::parse::accepted(self.turn.question, &self.turn.context));
        Ok(None)
    }

    fn answer(&mut self, text: &str) -> Result<Option<Act>, Leave> {
        if let Some(mended) = cylinders::mended(self.turn, text) {
            return match mended {
                Ok(text) => self.answer(&text),
                Err(why) => {
                    say(self.desk, &why);
                    Ok(None)
                }
            };
        }
        match parse_answer(self.turn.question, text, &self.turn.context) {
            Ok(typed) => {
                let question = self.turn.question;
                let ends = typed.said.ending(question).is_some() && self.turn.before.as_deref() != Some(text);
                match typed.doubt {
                    Some(doubt) => self.pending = Some(meant::odd(self.desk, &doubt, text, typed.said)),
                    None if ends => self.pending = Some(meant::ends(self.desk, question, typed.said.into())),
                    None => return Ok(Some(Self::accept(Proposal { said: typed.said, note: typed.note }))),
                }
                Ok(None)
            }
            Err(refusal) => Ok(self.refused(text, &refusal)),
        }
    }

    fn refused(&mut self, text: &str, refusal: &Refusal) -> Option<Act> {
        if let Some(first) = cylinders::single(self.turn, text) {
            return Some(cylinders::begin(self.desk, self.turn, first));
        }
        self.pending = meant::meant(self.desk, self.turn.question, text, &refusal.readings);
        if self.pending.is_some() {
            return None;
        }
        say(self.desk, &refusal.message);
        // A single choice is typed anew, a longer line is mended.
        if !matches!(self.turn.question.kind, Kind::One(_)) {
            text.clone_into(&mut self.kept);
            if self.desk.seen() && !std::mem::replace(&mut self.desk.manner().mending_told, true) {
                quiet(self.desk, "(Type it anew, or mend it: the arrow keys go into it.)");
            }
        }
        None
    }

    fn accept(proposal: impl Into<Proposal>) -> Act {
        let Proposal { said, note } = proposal.into();
        match note {
            Some(note) => Act::SellerSays(note),
            None => Act::Say(said),
        }
    }

    fn open_list(&mut self, typed: &str) -> Result<Option<Act>, Leave> {
        match lists::open(self.desk, self.turn, typed)? {
            Listed::Typed(text) => self.answer(&text),
            Listed::Does(what) => self.obey(&Command { what, rest: String::new() }),
            Listed::Nothing => {
                typed.clone_into(&mut self.kept);
                Ok(None)
            }
        }
    }

    fn obey(&mut self, command: &Command) -> Result<Option<Act>, Leave> {
        let (desk, turn, rest) = (&mut *self.desk, self.turn, command.rest.as_str());
        match command.what {
            What::Back => return Ok(Some(Act::Back)),
            What::Short => return Ok(Some(Act::ShortOfTime)),
            What::Stop => return Err(Leave::Stop),
            What::CantTell => {
                desk.manner().cant_tell_used = true;
                return Ok(Some(Act::Say(Said::CantTell)));
            }
            What::NotDone => return Ok(beside::not_done(desk, rest)?.map(Act::Say)),
            What::Note => return beside::note(desk, turn, rest),
            What::Photo => return beside::photo(desk, rest),
            What::Answers => {
                if let Some(ix) = beside::answers(desk, turn)? {
                    return Ok(Some(Act::Jump(ix)));
                }
                self.show_question();
            }
            What::Words => look_up::meaning(desk, turn, rest)?,
            What::List => return self.open_list(""),
            What::Why => {
                look_up::why_and_how(desk, turn)?;
                self.show_question();
            }
            What::Wait | What::Draw | What::Keys => self.look(command.what)?,
        }
        Ok(None)
    }

    /// What is only looked at.
    fn look(&mut self, what: What) -> Result<(), Leave> {
        match what {
            What::Wait => {
                if let Some(wait) = self.turn.wait {
                    self.desk.count_down(wait)?;
                }
            }
            What::Draw => {
                self.drawn = !self.drawn;
                look_up::drawing(self.desk, self.turn, self.drawn)?;
            }
            _ => show::all_keys(self.desk, self.turn),
        }
        show::question(self.desk, self.turn);
        Ok(())
    }
}

/// The readings an earlier answer holds.
pub fn readings_before(turn: &Turn<'_>) -> Option<Vec<Option<crate::units::Quantity>>> {
    let typed = parse_answer(turn.question, turn.before.as_deref()?, &turn.context).ok()?;
    match typed.said {
        Said::Value(Value::Readings(readings)) => Some(readings),
        _ => None,
    }
}
