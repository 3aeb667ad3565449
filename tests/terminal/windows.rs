//! Windows of any size, with and without colours; letters of any width; keys that come too early.

use crate::pty::{DOWN, Window, window};
use crate::support::knowledge;

#[test]
fn the_place_and_a_rule_stand_over_every_question() {
    for columns in [20, 40, 80, 200] {
        let mut window = window(columns, 40).skeg(&["start", "kim"]);
        let wide = usize::from(columns).min(80);
        window.until_question().shows("At home, 1/");
        let rows = window.rows();
        let place = rows.iter().position(|row| row.starts_with("At home, 1/")).unwrap();
        assert_eq!(rows[place + 1], "-".repeat(wide), "{columns}\n{}", window.screen());
    }
}

#[test]
fn nothing_wraps_by_itself() {
    for (columns, rows) in [(20, 12), (40, 12), (80, 24)] {
        let mut window = window(columns, rows).begun().skeg(&["change", "kim", "compression"]);
        window.until_question().line("?").until_question().line("178").line("180").line("176").line("").ends();
        let widest = window.raw().split('\n').map(written).max().unwrap_or(0);
        assert!(widest <= usize::from(columns), "{widest} in {columns}\n{}", window.screen());
    }
}

/// Columns the last drawing of a row takes, without what only moves or paints.
fn written(row: &str) -> usize {
    let row = row.trim_end_matches('\r');
    let last = row.rsplit('\r').find(|part| !part.starts_with("\u{1b}[2C")).unwrap_or(row);
    let mut columns = 0;
    let mut letters = last.chars();
    while let Some(letter) = letters.next() {
        if letter == '\u{1b}' {
            letters.by_ref().skip(1).find(char::is_ascii_alphabetic);
        } else {
            columns += usize::from(!letter.is_control());
        }
    }
    columns
}

#[test]
fn a_list_eats_no_line_above_it() {
    for (columns, rows) in [(80, 24), (40, 24), (40, 12)] {
        let mut window = window(columns, rows).begun().skeg(&["change", "kim", "plugs"]);
        window.until_question().press("\r").shows("> all cylinders").press("\r").shows("> 1  tan");
        let before = window.screen();
        window.press(DOWN).shows("> 2  pale").press("\u{1b}[A").shows("> 1  tan");
        for _ in 0..6 {
            window.press(DOWN);
        }
        window.shows("> 7  white").press(&"\u{1b}[A".repeat(6)).shows("> 1  tan");
        assert_eq!(window.screen(), before, "{columns} by {rows}");
    }
}

#[test]
fn a_long_list_has_pages_in_a_low_window() {
    let mut window = window(40, 12).begun().skeg(&["change", "kim", "gear-oil"]);
    window.until_question().press("\r").shows("[Page 1/2]").press("\u{1b}[C").shows("[Page 2/2]");
    window.press("\u{1b}[D").shows("[Page 1/2]").press(DOWN).shows("> 2  hazy").press("\r");
    assert_eq!(window.ends(), 0);
    assert_eq!(window.answer("gear-oil").as_deref(), Some("hazy"));
}

#[test]
fn a_window_may_change_its_size_between_questions_and_in_a_list() {
    let mut window = window(80, 24).skeg(&["start", "kim"]);
    window.until_question().resize(40, 12).line("monohull").until_question().shows("How far is it");
    assert!(
        window.rows().contains(&"-".repeat(40))
            || window.raw().contains(&format!("{}\u{1b}[0m\r\n", "-".repeat(40)))
    );
    window.press(DOWN).shows("> ? how").resize(60, 9).press(DOWN).press(DOWN).shows("> n note");
    window.resize(30, 4).press("\u{1b}").waits().press(DOWN).shows("too small").waits();
    window.resize(80, 24).line("20 in").until_question().shows("straight").line(".");
    assert_eq!(window.ends(), 0);
    assert_eq!(window.answer("transom-height").as_deref(), Some("20 in"));
}

#[test]
fn below_the_smallest_window_there_are_plain_lines_with_a_word_why() {
    let mut window = window(80, 4).skeg(&["start", "kim"]);
    window.shows("\n> ").press("monohull\r").shows("a bare number is in");
    let raw = window.raw();
    assert!(raw.contains("The window has 80 columns and 4 rows") && raw.contains("I talk in plain lines"), "{raw}");
    window.press(".\r");
    assert_eq!(window.ends(), 0);
}

#[test]
fn a_dumb_terminal_gets_plain_lines_with_a_word_why() {
    let mut window = window(80, 40).env("TERM", "dumb").skeg(&["start", "kim"]);
    window.shows("I talk in plain lines").shows("\n> ").press("monohull\r").shows("How far is it").press(".\r");
    assert_eq!(window.ends(), 0);
    assert!(!window.raw().contains('\u{1b}'), "{}", window.raw());
}

#[test]
fn without_colours_nothing_is_painted() {
    let painted = |raw: &str| {
        raw.split("\u{1b}[")
            .skip(1)
            .any(|part| part.trim_start_matches(|c: char| c.is_ascii_digit() || c == ';').starts_with('m'))
    };
    let mut colours = window(80, 24).begun().skeg(&["change", "kim", "gear-oil"]);
    colours.until_question().line("3").ends();
    assert!(painted(&colours.raw()));
    for (env, args) in [("1", vec![]), ("", vec!["--no-color"])] {
        let mut all = vec!["change", "kim", "gear-oil"];
        all.extend(&args);
        let mut window = window(80, 24).begun().env("NO_COLOR", env).skeg(&all);
        window
            .until_question()
            .press(DOWN)
            .shows("> 1")
            .press("\u{1b}")
            .line("?")
            .until_question()
            .line("3")
            .ends();
        assert!(!painted(&window.raw()), "{:?}", window.raw());
        assert_eq!(window.answer("gear-oil").as_deref(), Some("milky"));
    }
}

#[test]
fn keys_pressed_too_early_answer_nothing() {
    let mut window = window(80, 24).skeg(&["start", "kim"]);
    window.until_question().press("1\r20\r2\r").shows("How far is it").until_question().line(".");
    assert_eq!(window.ends(), 0);
    assert_eq!(window.answer("boat-kind").as_deref(), Some("monohull"));
    assert_eq!(window.answer("transom-height"), None, "{}", window.screen());
}

#[test]
fn wide_letters_and_accents_are_typed_and_taken_back() {
    let mut window = window(40, 12).begun().skeg(&["change", "kim", "serial-number"]);
    window.until_question().press("é水火").press("\u{7f}").press("x").shows("> é水x").press("\r");
    assert_eq!(window.ends(), 0);
    assert_eq!(window.answer("serial-number").as_deref(), Some("é水x"));
}

#[test]
fn control_characters_typed_or_kept_do_nothing() {
    let mut window = window(80, 24).begun().skeg(&["change", "kim", "serial-number"]);
    window
        .until_question()
        .line("n")
        .line("\u{7}bell\u{1}\u{c}")
        .press("\r")
        .shows("Your note:")
        .line("12\u{202e}34");
    assert_eq!(window.ends(), 0);
    assert_eq!(window.answer("serial-number").as_deref(), Some("1234"));
    assert!(!window.raw().contains('\u{7}') && !window.raw().contains('\u{202e}'), "{:?}", window.raw());
}

/// Every screen of a page that ends in a place to stop, one after the other, as one line of single blanks.
fn pages(window: &mut Window) -> String {
    let mut pages = String::new();
    for _ in 0..30 {
        pages.push_str(&window.waits().screen());
        pages.push('\n');
        if window.screen().contains("A good place to stop") {
            break;
        }
        window.line("");
    }
    flat(&pages)
}

fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn the_message_comes_before_its_answers_and_leaves_no_small_window_unread() {
    let mut window = window(40, 12).before_the_message().skeg(&["resume", "kim"]);
    window.until_question().line("0");
    let pages = pages(&mut window);
    let lines = knowledge().stages.iter().flat_map(|stage| stage.send_ahead.iter().chain(&stage.have_ready));
    let always = lines.filter(|line| line.when.is_none()).map(|line| line.text.as_str());
    let missing: Vec<&str> = always.filter(|text| !pages.contains(&flat(text))).collect();
    assert!(missing.is_empty(), "never on the screen whole: {missing:?}\n{pages}");
    window.line("").shows("sign a bill of sale").line(".");
    assert_eq!(window.ends(), 0);
    assert!(!window.screen().contains("--before"), "{}", window.screen());
}

#[test]
fn who_stops_at_the_message_is_told_how_to_see_it_again() {
    let mut window = window(40, 24).before_the_message().skeg(&["resume", "kim"]);
    window.until_question().line("0");
    pages(&mut window);
    window.line(".");
    assert_eq!(window.ends(), 0);
    assert!(flat(&window.screen()).contains("skeg sheet kim --before"), "{}", window.screen());
}

#[test]
fn the_page_before_the_drive_is_a_place_to_stop() {
    let mut window = window(40, 12).before_the_drive().skeg(&["resume", "kim"]);
    window.until_question().line("compression-gauge, water");
    let pages = pages(&mut window);
    assert!(pages.contains("Bring") && pages.contains("compression gauge"), "{pages}");
    window.line(".");
    assert_eq!(window.ends(), 0);
    assert!(flat(&window.screen()).contains("skeg resume kim"), "{}", window.screen());
    assert!(!window.raw().contains("The plan of your visit"));
}
