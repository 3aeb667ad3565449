//! Everything that can be done at a question besides answering it.

use crate::pty::{DOWN, ESC, Window, window};
use crate::support::{ix, knowledge};

fn at(id: &str) -> Window {
    at_in((80, 24), id)
}

fn at_in(size: (u16, u16), id: &str) -> Window {
    let mut window = window(size.0, size.1).begun().skeg(&["change", "kim", id]);
    window.until_question();
    window
}

#[test]
fn why_and_how_with_the_drawing() {
    let mut window = at_in((80, 60), "transom-height");
    window.line("?").told("Why  ").told("\n  1. The transom").shows("FROM BEHIND").shows("(d tells it in words)");
    window.line("d").shows("Lay a straight stick level under the hull");
    let mut small = at_in((40, 60), "transom-height");
    small.press("?\r").shows("FROM THE SIDE").shows("(Enter goes on)");
    assert!(small.rows().iter().any(|row| row.contains("====*========*====")), "{}", small.screen());
    small.line("").shows("(d tells it in words)");
}

/// Presses Enter from page to page; everything that stood on the screen, a page after the other.
fn pages(window: &mut Window) -> Vec<String> {
    let mut pages = vec![window.waits().screen()];
    while pages.last().is_some_and(|page| page.trim_end().ends_with("(Enter goes on)\n>")) {
        let at = pages.len();
        window.line("");
        pages.push(window.waits().screen());
        assert!(at < 20, "{pages:?}");
    }
    pages
}

#[test]
fn help_and_drawings_leave_no_small_window_unread() {
    let knowledge = knowledge();
    for (size, id) in
        [((80, 24), "turns-over"), ((80, 24), "trim-holds"), ((40, 24), "transom-height"), ((40, 12), "gear-oil")]
    {
        let mut window = window(size.0, size.1).sound_motor_but(id).skeg(&["change", "kim", id]);
        window.until_question().press("?\r").told("Why  ");
        let said = pages(&mut window).join("\n");
        let flat = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
        let why = flat(&knowledge.question(ix(id)).why);
        assert!(flat(&said).contains(&why), "{id} at {size:?}: {said}");
        let drawing = knowledge.question(ix(id)).picture.as_ref().and_then(|picture| knowledge.picture(picture));
        for line in drawing.iter().filter(|_| size.1 == 24).flat_map(|drawing| {
            if drawing.wide.iter().any(|line| line.chars().count() > usize::from(size.0)) {
                &drawing.narrow
            } else {
                &drawing.wide
            }
        }) {
            assert!(said.contains(line.trim()), "{line:?} of {id} at {size:?} was never seen:\n{said}");
        }
    }
}

#[test]
fn trade_words() {
    let mut window = at("gear-oil");
    window.line("what is a transom?").shows("The upright board or wall");
    window.line("w telltael").shows("This is the nearest:").shows("telltale");
    window.line("w").shows("Which word?").line("skeg").line("3");
    assert_eq!(window.ends(), 0);
}

#[test]
fn a_note_of_several_pasted_lines() {
    let mut window = at("gear-oil");
    window.line("n").shows("end with an empty line").press("smells of é\rand 水\ra third line\r\r").shows("Noted.");
    window.shows("Your note: smells of é and 水 a third line").line("3");
    assert_eq!(window.ends(), 0);
    assert!(window.beside("gear-oil").contains("smells of é and 水 a third line"), "{}", window.beside("gear-oil"));
    assert_eq!(window.answer("gear-oil").as_deref(), Some("milky"));
}

#[test]
fn a_note_from_the_editor_and_from_one_that_fails() {
    let editor = "sh -c 'echo from the editor > \"$1\"' sh";
    let mut window = window(80, 24).begun().env("VISUAL", editor).skeg(&["change", "kim", "gear-oil"]);
    window.until_question().line("n").shows("e alone opens sh").press("e\r").shows("Your note: from the editor");
    window.line("3");
    assert_eq!(window.ends(), 0);
    assert!(window.is_as_before());

    let mut window = crate::pty::window(80, 24).begun().env("EDITOR", "false").skeg(&["change", "kim", "gear-oil"]);
    window
        .until_question()
        .line("n")
        .line("e")
        .shows("did not work out")
        .line("typed")
        .press("\r")
        .shows("Your note: typed");
    window.line("3").ends();
}

#[test]
fn a_photo_that_is_there() {
    let mut window = at("gear-oil");
    window
        .line("p README.mdd")
        .shows("There is no file")
        .line("README.md")
        .shows("One photo is kept here.")
        .line("3");
    assert_eq!(window.ends(), 0);
    assert!(window.beside("gear-oil").contains("/README.md"), "{}", window.beside("gear-oil"));
}

#[test]
fn cannot_tell_and_not_done() {
    let mut window = at("gear-oil");
    window.line("-");
    assert_eq!((window.ends(), window.answer("gear-oil").as_deref()), (0, Some("-")));
    let mut window = at("gear-oil");
    window.line("x").shows("Why not?").line("no pan");
    assert_eq!(window.ends(), 0);
    assert!(window.beside("gear-oil").contains("\"not-done\":\"no pan\""), "{}", window.beside("gear-oil"));
}

#[test]
fn back_and_answers_so_far() {
    let mut window = window(80, 24).skeg(&["start", "kim"]);
    window.until_question().line("monohull").until_question().shows("How far is it").line("20 in").until_question();
    window.line("b").until_question().shows("You said: 20 in").shows("> 20 in").line("21 in").until_question();
    window.press(ESC).until_question().shows("You said: 21 in").line("");
    window
        .until_question()
        .line("a")
        .shows("1  kind of boat")
        .line("1")
        .until_question()
        .shows("You said: one hull");
    window.press(DOWN).shows("(arrows").press(ESC).line("").until_question().line(".");
    assert_eq!(window.ends(), 0);
    assert_eq!(window.answer("transom-height").as_deref(), Some("21 in"));
    assert_eq!(window.answer("boat-kind").as_deref(), Some("monohull"));
}

#[test]
fn a_short_round_and_all_the_keys() {
    let mut window = window(80, 30).skeg(&["start", "kim"]);
    window.until_question().line("h").shows("  w  what a trade word means");
    window.line("s").shows("How many minutes are left?").line("soon").shows("I can't read \"soon\"");
    window.until_question().line("s").line("half an hour").shows("The plan of your visit");
    window.until_question().shows("What kind of boat").line(".");
    assert_eq!(window.ends(), 0);
    assert_eq!(window.saved("kim")["minutes"], 30.0);
}

#[test]
fn the_keys_stand_in_the_list_too() {
    let mut window = at_in((80, 40), "gear-oil");
    window.press("\r").shows("  . stop and keep").press(&DOWN.repeat(8)).shows("> ? how").press("\r");
    window
        .told("Why  ")
        .until_question()
        .press(DOWN)
        .press(&DOWN.repeat(10))
        .press(&DOWN.repeat(3))
        .shows("> - can't tell")
        .press("\r");
    assert_eq!(window.ends(), 0);
    assert_eq!(window.answer("gear-oil").as_deref(), Some("-"));
}

#[test]
fn a_wait_is_counted_down_until_a_key_ends_it() {
    let mut window = window(80, 24).sound_motor_but("gear-oil-after").skeg(&["change", "kim", "gear-oil-after"]);
    window
        .until_question()
        .press("c\r")
        .shows("a key ends it")
        .shows("19:5")
        .press("k")
        .shows("Stopped counting.")
        .waits();
    assert!(!window.screen().contains("a key ends it"), "{}", window.screen());
    window.line("-");
    assert_eq!(window.ends(), 0);
    assert!(window.cursor_is_shown());
}

#[test]
fn the_card_is_read_to_its_end_before_the_question() {
    let knowledge = knowledge();
    let card = knowledge.run_cards.iter().find(|card| card.before == ix("starts-in-gear")).unwrap();
    let mut window = window(40, 12).sound_motor_but("starts-in-gear").skeg(&["change", "kim", "starts-in-gear"]);
    let mut pages = String::new();
    loop {
        let page = window.waits().screen();
        pages.push_str(&page);
        pages.push('\n');
        if page.contains("Enter when read") {
            break;
        }
        window.line("");
    }
    let flat = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let pages = flat(&pages);
    let always: Vec<_> = card.cautions.iter().chain(&card.watch).filter(|line| line.when.is_none()).collect();
    assert!(always.len() > 4);
    for line in always {
        assert!(pages.contains(&flat(&line.text)), "{:?} was never on the screen whole:\n{pages}", line.text);
    }
    let ask = &knowledge.question(ix("starts-in-gear")).ask;
    assert!(!pages.contains(ask.as_str()), "the question came too early:\n{pages}");
    // Only Enter goes on from a card: nothing is taken for an answer unread.
    window.line("1").shows("Only Enter counts here");
    window.until_question().line("-").ends();
    assert_eq!(window.answer("starts-in-gear").as_deref(), Some("-"));
}
