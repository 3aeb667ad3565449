//! Looking things up at a question: why and how, the drawing, a trade word.

use crate::knowledge::{Picture, Term};
use crate::talk::{Leave, Turn};

use super::lines::{clean, width, wrap};
use super::pages::{Ended, matters, room_for};
use super::say::{blank, hang, minutes_words, numbered, picture, put, quiet, say};
use super::{Desk, Heard, Ink, show};

/// Why it is asked, how it is done, with what, how long, and the drawing.
///
/// A page at a time: nothing of it leaves the window unread. Going back ends it, and the question comes again.
///
/// # Errors
/// How the person left.
pub fn why_and_how(desk: &mut dyn Desk, turn: &Turn<'_>) -> Result<(), Leave> {
    match pages_of(desk, turn) {
        Err(Ended::Left(leave)) => Err(leave),
        Ok(()) | Err(Ended::Back) => Ok(()),
    }
}

fn pages_of(desk: &mut dyn Desk, turn: &Turn<'_>) -> Result<(), Ended> {
    blank(desk);
    matters(desk);
    hang(desk, Ink::Plain, "Why  ", turn.texts.why);
    for (place, step) in turn.texts.how.iter().enumerate() {
        let mark = format!("{:>3}. ", place + 1);
        let lines = wrap(step, desk.columns(), &mark, mark.len()).len();
        room_for(desk, lines)?;
        hang(desk, Ink::Plain, &mark, step);
    }
    if !turn.tools.is_empty() {
        let tools = format!("With: {}.", turn.tools.join(", "));
        let lines = wrap(&tools, desk.columns(), "", 0).len();
        room_for(desk, lines)?;
        say(desk, &tools);
    }
    room_for(desk, 1)?;
    say(desk, &format!("It takes {}.", minutes_words(turn.minutes)));
    let drawn = desk.seen();
    if let Some(drawing) = turn.picture {
        room_for(desk, drawing.wide.len() + 2)?;
        blank(desk);
        show_picture(desk, drawing, drawn)?;
    }
    // What is typed for these is heard at the question, which must not push the rest out either.
    let hints = hints(turn, drawn);
    let lines: usize = hints.iter().map(|hint| wrap(hint, desk.columns(), "", 0).len()).sum();
    let lines = lines + show::height(desk, turn);
    room_for(desk, lines)?;
    for hint in &hints {
        quiet(desk, hint);
    }
    desk.manner().unread.read();
    blank(desk);
    Ok(())
}

/// What else can be looked up at the question.
fn hints(turn: &Turn<'_>, drawn: bool) -> Vec<String> {
    let mut hints = Vec::new();
    if turn.picture.is_some() {
        hints.push(if drawn { "(d tells it in words)" } else { "(d shows it as a drawing)" }.to_owned());
    }
    let terms: Vec<&str> = turn.terms.iter().map(|term| term.term.as_str()).collect();
    if !terms.is_empty() {
        hints.push(format!("Trade words in it: {}. Type w and the word to see what it means.", terms.join(", ")));
    }
    hints
}

/// The drawing of a question or its words, a page at a time, before the question comes again.
///
/// # Errors
/// How the person left.
pub fn drawing(desk: &mut dyn Desk, turn: &Turn<'_>, drawn: bool) -> Result<(), Leave> {
    let Some(picture) = turn.picture else { return Ok(()) };
    matters(desk);
    let shown = show_picture(desk, picture, drawn).and_then(|()| {
        let lines = show::height(desk, turn);
        room_for(desk, lines)
    });
    desk.manner().unread.read();
    match shown {
        Err(Ended::Left(leave)) => Err(leave),
        Ok(()) | Err(Ended::Back) => Ok(()),
    }
}

/// The drawing where it fits, else its words; in a low window a page at a time.
fn show_picture(desk: &mut dyn Desk, drawing: &Picture, drawn: bool) -> Result<(), Ended> {
    let fits = |lines: &&Vec<String>| lines.iter().all(|line| width(line) <= desk.columns());
    let Some(lines) = [&drawing.wide, &drawing.narrow].into_iter().find(fits).filter(|_| drawn) else {
        say(desk, &drawing.words);
        return Ok(());
    };
    for line in lines {
        room_for(desk, 1)?;
        picture(desk, std::slice::from_ref(line));
    }
    Ok(())
}

/// What a trade word means; asks which one where none was named.
pub fn meaning(desk: &mut dyn Desk, turn: &Turn<'_>, asked: &str) -> Result<(), Leave> {
    let mut asked = asked.to_owned();
    if asked.is_empty() {
        let terms: Vec<&str> = turn.terms.iter().map(|term| term.term.as_str()).collect();
        if terms.is_empty() {
            say(desk, "Which word? Enter alone goes back to the question.");
        } else {
            say(desk, "Which word? Any trade word will do; these stand in the question:");
            numbered(desk, terms.iter().copied());
        }
        let Heard::Text(text) = desk.read("")? else { return Ok(()) };
        let number =
            text.trim().parse::<usize>().ok().and_then(|number| terms.get(number.checked_sub(1)?).copied());
        asked = number.map_or(text, str::to_owned);
    }
    let word = word(&asked);
    if word.is_empty() {
        return Ok(());
    }
    match find(turn.glossary, &word) {
        Found::Term(term) => explain(desk, term),
        Found::Near(term) => {
            say(desk, &format!("I don't have {:?}. This is the nearest:", clean(&word)));
            explain(desk, term);
        }
        Found::Nothing => {
            say(
                desk,
                &format!("I have no words for {:?}. If it was your answer, put an = before it.", clean(&word)),
            );
        }
    }
    Ok(())
}

fn explain(desk: &mut dyn Desk, term: &Term) {
    blank(desk);
    put(desk, Ink::Strong, &term.term);
    hang(desk, Ink::Plain, "  ", &term.text);
    blank(desk);
}

enum Found<'a> {
    Term(&'a Term),
    Near(&'a Term),
    Nothing,
}

/// The term of that name, its plural, one that holds it, or one spelled nearly so.
fn find<'a>(glossary: &'a [Term], word: &str) -> Found<'a> {
    let names = |term: &'a Term| std::iter::once(&term.term).chain(&term.also).map(|name| name.to_lowercase());
    let is = |wanted: &str| glossary.iter().find(|term| names(term).any(|name| name == wanted));
    if let Some(term) = is(word).or_else(|| is(word.strip_suffix('s')?)) {
        return Found::Term(term);
    }
    let holds = |term: &&'a Term| names(term).any(|name| format!(" {name} ").contains(&format!(" {word} ")));
    if let Some(term) = glossary.iter().find(holds) {
        return Found::Near(term);
    }
    let likeness = |term: &'a Term| names(term).map(|name| strsim::jaro_winkler(&name, word)).fold(0.0, f64::max);
    let nearest = glossary.iter().map(|term| (likeness(term), term)).max_by(|a, b| a.0.total_cmp(&b.0));
    nearest.filter(|(likeness, _)| *likeness > 0.84).map_or(Found::Nothing, |(_, term)| Found::Near(term))
}

/// The word asked for, without article and question mark.
fn word(asked: &str) -> String {
    let lower = asked.trim().trim_end_matches(['?', '.', '!']).trim().trim_matches(['"', '\'']).to_lowercase();
    let bare = ["a ", "an ", "the "].iter().find_map(|article| lower.strip_prefix(article)).unwrap_or(&lower);
    bare.trim().to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::knowledge::TermId;

    fn term(term: &str, also: &[&str]) -> Term {
        let also = also.iter().map(|name| (*name).into()).collect();
        Term { id: TermId::from(term), term: term.into(), also, text: format!("about {term}").into() }
    }

    fn found(asked: &str) -> String {
        let glossary =
            [term("transom", &["stern board"]), term("clamp seat", &[]), term("telltale", &["pee hole"])];
        match find(&glossary, &word(asked)) {
            Found::Term(term) => term.term.to_string(),
            Found::Near(term) => format!("near {}", term.term),
            Found::Nothing => "nothing".into(),
        }
    }

    #[test]
    fn a_word_is_found_by_any_of_its_names() {
        assert_eq!(found("the Transom?"), "transom");
        assert_eq!(found("transoms"), "transom");
        assert_eq!(found("a stern board"), "transom");
        assert_eq!(found("clamp"), "near clamp seat");
        assert_eq!(found("tellatle"), "near telltale");
        assert_eq!(found("kingfisher"), "nothing");
    }
}
