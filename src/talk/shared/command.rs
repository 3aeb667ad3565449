//! The keys and words that do something else than answer: why, words, note, photo, back and so on.
//!
//! A key gives way where the very same text names a choice of the question; behind a `=` everything is an answer.

use crate::knowledge::{Choice, Text};

/// What a key does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum What {
    Why,
    Words,
    Note,
    Photo,
    Back,
    CantTell,
    NotDone,
    Answers,
    Short,
    Stop,
    /// Counting a wait.
    Wait,
    /// The drawing in words, or the words as a drawing.
    Draw,
    List,
    Keys,
}

/// Something to do, with the words behind it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Command {
    pub what: What,
    pub rest: String,
}

/// A key with its names.
pub struct Key {
    pub what: What,
    pub letter: &'static str,
    /// In the quiet line.
    pub label: &'static str,
    /// In the list of all keys.
    pub tells: &'static str,
    names: &'static [&'static str],
    /// Words may follow it.
    takes: bool,
}

const fn key(
    what: What,
    letter: &'static str,
    label: &'static str,
    tells: &'static str,
    names: &'static [&'static str],
) -> Key {
    let takes = matches!(what, What::Words | What::Note | What::Photo | What::NotDone);
    Key { what, letter, label, tells, names, takes }
}

/// All keys, in the order they are shown.
pub const KEYS: [Key; 14] = [
    key(What::Why, "?", "how", "why I ask, and how to do it", &["why", "how", "why and how", "picture"]),
    key(
        What::Words,
        "w",
        "words",
        "what a trade word means, such as: w transom",
        &["what is", "what's", "what are", "words", "word"],
    ),
    key(What::Note, "n", "note", "write a note beside this question", &["note"]),
    key(What::Photo, "p", "photo", "name a photo's file", &["photo"]),
    key(What::Back, "b", "back", "to the question before", &["back", "go back"]),
    key(What::CantTell, "-", "can't tell", "looked, and nobody could say", &CANT_TELL),
    key(What::NotDone, "x", "not done", "left out, with a reason if you like", &["skip", "leave it out"]),
    key(What::Answers, "a", "answers so far", "see them, and change one", &["answers", "answers so far"]),
    key(
        What::Short,
        "s",
        "short of time",
        "say how many minutes are left, and I plan anew",
        &["short of time", "short round"],
    ),
    key(What::Stop, ".", "stop and keep", "everything said is kept", &["stop", "quit", "exit", "stop and keep"]),
    key(What::Wait, "c", "count", "counts the wait with you; any key ends it", &["count", "countdown"]),
    key(What::Draw, "d", "drawing", "the drawing, or the same in words", &["draw", "drawing"]),
    key(What::List, "l", "list", "pick with the arrow keys", &["list"]),
    key(What::Keys, "h", "keys", "this list", &["help", "keys", "all keys"]),
];

const CANT_TELL: [&str; 8] =
    ["can't tell", "cant tell", "cannot tell", "can not tell", "don't know", "i don't know", "no idea", "dunno"];

/// The key that does this.
pub fn key_of(what: What) -> &'static Key {
    KEYS.iter().find(|key| key.what == what).unwrap_or(&KEYS[KEYS.len() - 1])
}

/// Reads a typed text as a command; `None` when it is an answer. Where the answer is `free` words, words behind a key
/// belong to the answer: a serial number may begin with `N `.
pub fn command(typed: &str, choices: &[Choice], free: bool) -> Option<Command> {
    let typed = typed.trim();
    let lower = typed.to_lowercase().replace('\u{2019}', "'");
    if names_choice(&lower, choices) || no_for(&lower, choices).is_some() {
        return None;
    }
    if let Some(key) = KEYS.iter().find(|key| key.letter == lower || key.names.contains(&lower.as_str())) {
        return Some(Command { what: key.what, rest: String::new() });
    }
    if let Some(asked) =
        lower.strip_prefix("what does ").and_then(|rest| rest.trim_end_matches('?').trim().strip_suffix(" mean"))
    {
        return Some(Command { what: What::Words, rest: asked.to_owned() });
    }
    let mut named =
        KEYS.iter().filter(|key| key.takes).flat_map(|key| key.with_rest(free).map(move |name| (key.what, name)));
    let (what, name) = named.find(|(_, name)| rest_of(&lower, name).is_some())?;
    let rest: String = typed.chars().skip(name.chars().count()).collect();
    Some(Command { what, rest: rest.trim_start_matches([':', ' ']).trim().to_owned() })
}

impl Key {
    /// The names that words may follow, the longer ones first.
    fn with_rest(&self, free: bool) -> impl Iterator<Item = &'static str> {
        let all = self.names.iter().chain([&self.letter]).copied();
        all.filter(move |name| !free || name.starts_with("what"))
    }
}

/// The text behind a name and a blank or colon.
fn rest_of<'t>(text: &'t str, name: &str) -> Option<&'t str> {
    let rest = text.strip_prefix(name)?;
    (rest.starts_with([' ', ':']) && !rest.trim_start_matches([' ', ':']).is_empty()).then_some(rest)
}

/// Whether the text is exactly the id, the label or one of the words of a choice.
fn names_choice(lower: &str, choices: &[Choice]) -> bool {
    choices.iter().any(|choice| {
        let own = [choice.id.as_str(), choice.label.as_str()];
        own.into_iter().chain(choice.words.iter().map(Text::as_str)).any(|name| name.to_lowercase() == lower)
    })
}

/// `no` for `n`, where no is one of the choices; there the note has no letter.
pub fn no_for(lower: &str, choices: &[Choice]) -> Option<&'static str> {
    (lower.eq_ignore_ascii_case("n") && names_choice("no", choices)).then_some("no")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::knowledge::ChoiceId;

    fn choice(id: &str, words: &[&str]) -> Choice {
        Choice {
            id: ChoiceId::from(id),
            label: format!("it is {id}").into(),
            words: words.iter().map(|word| (*word).into()).collect(),
            tick: None,
            reply: None,
            well: false,
            alone: false,
            unseen: false,
            closes: Vec::new(),
            because: None,
            ends: false,
            closes_unless: None,
        }
    }

    fn read(typed: &str) -> Option<(What, String)> {
        command(typed, &[], false).map(|command| (command.what, command.rest))
    }

    #[test]
    fn keys_and_words_do_the_same() {
        for (typed, what) in [
            ("?", What::Why),
            ("How", What::Why),
            ("b", What::Back),
            ("go back", What::Back),
            ("-", What::CantTell),
            ("I don\u{2019}t know", What::CantTell),
            ("skip", What::NotDone),
            (".", What::Stop),
            ("answers", What::Answers),
            ("help", What::Keys),
        ] {
            assert_eq!(read(typed), Some((what, String::new())), "{typed}");
        }
    }

    #[test]
    fn words_may_follow_some_keys() {
        assert_eq!(read("w Transom"), Some((What::Words, "Transom".into())));
        assert_eq!(read("what is a clamp seat?"), Some((What::Words, "a clamp seat?".into())));
        assert_eq!(read("What does telltale mean?"), Some((What::Words, "telltale".into())));
        assert_eq!(read("n É smells of Öl"), Some((What::Note, "É smells of Öl".into())));
        assert_eq!(read("note: two tries"), Some((What::Note, "two tries".into())));
        assert_eq!(read("p ~/Photo 1.jpg"), Some((What::Photo, "~/Photo 1.jpg".into())));
        assert_eq!(read("x no torch"), Some((What::NotDone, "no torch".into())));
    }

    #[test]
    fn answers_are_no_commands() {
        for typed in
            ["3", "milky", "a little oil", "backwards", "stop solenoid", "short shaft", "21 in", "", "=back", "wet"]
        {
            assert_eq!(read(typed), None, "{typed}");
        }
    }

    #[test]
    fn free_words_may_begin_like_a_key() {
        assert_eq!(command("N 12345", &[], true), None);
        assert_eq!(command("note from the seller", &[], true), None);
        assert_eq!(command("what is a serial plate", &[], true).map(|it| it.rest), Some("a serial plate".into()));
        assert_eq!(command("n", &[], true).map(|it| it.what), Some(What::Note));
    }

    #[test]
    fn a_key_gives_way_to_a_choice_of_that_name() {
        let choices = [choice("short", &["no"]), choice("far-out", &["don't know"])];
        assert_eq!(command("short", &choices, false), None);
        assert_eq!(command("no", &choices, false), None);
        assert_eq!(command("n", &choices, false), None);
        assert_eq!(command("don't know", &choices, false), None);
        assert_eq!(no_for("N", &choices), Some("no"));
        assert_eq!(command("note", &choices, false).map(|it| it.what), Some(What::Note));
        assert_eq!(command("s", &choices, false).map(|it| it.what), Some(What::Short));
    }
}
