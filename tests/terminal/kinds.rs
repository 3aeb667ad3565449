//! Every kind of question, by typed words and by arrow keys, in a wide and in a small window.

use crate::pty::{DOWN, ESC, Window, window};

const SIZES: [(u16, u16); 2] = [(80, 24), (40, 12)];

fn change(size: (u16, u16), id: &str) -> Window {
    window(size.0, size.1).begun().skeg(&["change", "kim", id])
}

#[test]
fn every_kind_takes_typed_words() {
    for (id, typed, kept) in [
        ("gear-oil", "3", "milky"),
        ("gear-oil", "like a latte", "milky"),
        ("gearcase-outside", "2, 3", "weeping dented"),
        ("plugs", "tan tan sooty", "tan tan sooty"),
        ("claimed-power", "30 kW", "30 kW"),
        ("compression", "178 180 176", "178 180 176 psi"),
        ("cylinders", "four", "4"),
        ("claimed-year", "2014", "2014"),
        ("asking-price", "4,200", "4200"),
        ("comparables", "4200 3900", "4200 3900"),
        ("serial-number", "ÅÄÖ 水 12", "ÅÄÖ 水 12"),
    ] {
        for size in SIZES {
            let mut window = change(size, id);
            window.until_question().line(typed);
            assert_eq!(window.ends(), 0, "{}", window.screen());
            assert_eq!(window.answer(id).as_deref(), Some(kept), "{id} {typed} {size:?}\n{}", window.screen());
        }
    }
}

#[test]
fn one_of_several_is_taken_with_arrows() {
    for size in SIZES {
        let mut window = change(size, "gear-oil");
        window
            .until_question()
            .press("\r")
            .shows("> 1  clear")
            .press(DOWN)
            .press(DOWN)
            .shows("> 3  milky")
            .press("\r");
        assert_eq!(window.ends(), 0);
        assert_eq!(window.answer("gear-oil").as_deref(), Some("milky"));
        assert!(window.cursor_is_shown());
    }
}

#[test]
fn what_is_typed_into_a_list_is_never_its_first_line() {
    for size in SIZES {
        for (typed, kept) in [("3", "milky"), ("like a latte", "milky"), ("black and burnt", "burnt"), ("-", "-")] {
            let mut window = change(size, "gear-oil");
            window.until_question().press("\r").shows("> 1  clear").press(typed);
            if typed == "3" {
                window.shows("> 3  milky").press("\r");
            } else {
                window.shows(&format!("> {typed}")).line("");
                if window.screen().contains("Enter is yes") || window.screen().contains("y is yes") {
                    window.line("y");
                }
            }
            assert_eq!(window.ends(), 0, "{}", window.screen());
            assert_eq!(window.answer("gear-oil").as_deref(), Some(kept), "{typed}");
        }
    }
}

#[test]
fn keys_work_from_a_list_too() {
    let mut window = change((80, 40), "gear-oil");
    window
        .until_question()
        .press("\r")
        .shows("> 1  clear")
        .press("?")
        .shows("> ?")
        .line("")
        .told("Why  ")
        .until_question();
    window.press("\r").shows("> 1  clear").press("a b").shows("> a b").press(&"\u{7f}".repeat(3)).press(".\r");
    assert_eq!((window.ends(), window.answer("gear-oil")), (0, None));
    let mut amount = change((80, 24), "claimed-power");
    amount.until_question().press("\r").shows("> ? how").press("40 hp").shows("> 40 hp").line("").ends();
    assert_eq!(amount.answer("claimed-power").as_deref(), Some("40 hp"));
}

#[test]
fn numbers_tick_lines_where_there_may_be_several() {
    let mut window = change((80, 30), "gearcase-outside");
    window.until_question().press(DOWN).shows("> [ ] 1  sound").press("2, 3").shows("> [ ] 3").press("\r");
    assert_eq!(window.ends(), 0);
    assert_eq!(window.answer("gearcase-outside").as_deref(), Some("weeping dented"));
}

#[test]
fn several_are_ticked_and_an_empty_tick_list_is_told() {
    let mut window = change((80, 30), "gearcase-outside");
    window.until_question().press(DOWN).shows("> [ ] 1  sound").press("\r").shows("Nothing is ticked yet");
    window.press(DOWN).press(" ").shows("> [x] 2").press(DOWN).press(" ").shows("> [x] 3").press("\r");
    assert_eq!(window.ends(), 0);
    assert_eq!(window.answer("gearcase-outside").as_deref(), Some("weeping dented"));
}

#[test]
fn ticks_stand_where_the_words_were_typed() {
    let mut window = change((80, 30), "gearcase-outside");
    window.until_question().press("2, 3").press(DOWN).shows("  [x] 2").shows("  [x] 3").press(ESC).waits();
    window.shows("> 2, 3").press("\r");
    assert_eq!(window.ends(), 0);
    assert_eq!(window.answer("gearcase-outside").as_deref(), Some("weeping dented"));
}

#[test]
fn one_choice_a_cylinder_and_one_cylinder_back() {
    let mut window = change((80, 24), "plugs");
    window
        .until_question()
        .press("\r")
        .shows("> all cylinders alike")
        .press(DOWN)
        .shows("> one cylinder")
        .press("\r");
    window.shows("Cylinder 1 of 3").shows("> 1  tan").press("\r").shows("Cylinder 2 of 3");
    window.press(DOWN).shows("> 2  pale").press("\r").shows("Cylinder 3 of 3").press(ESC);
    window.shows_times("Cylinder 2 of 3", 2).shows("> 1  tan").press("\r").shows_times("Cylinder 3 of 3", 2);
    window.press(DOWN).press(DOWN).shows("> 3  dry soot").press("\r");
    assert_eq!(window.ends(), 0);
    assert_eq!(window.answer("plugs").as_deref(), Some("tan tan sooty"));
}

#[test]
fn readings_build_up_cylinder_by_cylinder() {
    let mut window = change((80, 40), "compression");
    window.until_question().line("178").line("76").shows("  2 ###").line("2=176").line("?");
    window.shows("Enter keeps these").line("3=174").line("");
    assert_eq!(window.ends(), 0);
    assert_eq!(window.answer("compression").as_deref(), Some("178 176 174 psi"));
}

#[test]
fn what_has_no_choices_has_a_list_too() {
    for id in ["claimed-power", "compression", "serial-number", "comparables"] {
        let mut window = change((80, 24), id);
        window.until_question().press("\r").shows("> ? how");
        window.press(&DOWN.repeat(5)).shows("> - can't tell").press("\r");
        assert_eq!(window.ends(), 0);
        assert_eq!(window.answer(id).as_deref(), Some("-"), "{id}");
    }
}

#[test]
fn what_cannot_be_read_is_told_and_stays_to_be_mended_or_typed_over() {
    let mut window = change((80, 24), "claimed-power");
    window.until_question().line("4000 hp").shows("I read 4000 hp").shows("> 4000 hp");
    // Back over the unit and a nought: 400 hp.
    window.press("\u{7f}\u{7f}\u{7f}\u{7f}").press("\r");
    assert_eq!(window.ends(), 0);
    assert_eq!(window.answer("claimed-power").as_deref(), Some("400 hp"));

    let mut window = change((80, 24), "claimed-power");
    window.until_question().line("4000 hp").shows("> 4000 hp").line("40");
    assert_eq!(window.ends(), 0);
    assert_eq!(window.answer("claimed-power").as_deref(), Some("40 hp"));
}

#[test]
fn an_odd_answer_is_asked_about() {
    let mut window = change((80, 24), "comparables");
    window.until_question().line("4200 3900 42000").shows("I read 42000, many times the others");
    window.line("n").line("4200 3900").ends();
    assert_eq!(window.answer("comparables").as_deref(), Some("4200 3900"));
    let mut window = change((80, 24), "comparables");
    window.until_question().line("4200 3900 42000").shows("Is it typed right?").line("y").ends();
    assert_eq!(window.answer("comparables").as_deref(), Some("4200 3900 42000"));
}

#[test]
fn what_ends_something_is_kept_only_after_a_yes() {
    let mut window = change((80, 24), "plugs");
    window.until_question().line("tan tan oily").shows("cylinder 1: tan or brown, dry; 2: tan").shows("y is yes");
    // Enter never means yes there, and nothing is kept yet.
    window.line("");
    assert_eq!(window.answer("plugs"), None);
    window.line("tan tan oily").line("y");
    assert_eq!(window.answer("plugs").as_deref(), Some("tan tan oily"));
    // It brings a stop, and beside the seller that has no name before one has turned away.
    assert!(!window.screen().contains("This ends it"), "{}", window.screen());
    window.shows("Turn away from the seller").until_question().shows("This ends it for now").line("leave it");
    assert_eq!(window.ends(), 0);
    assert_eq!(window.answer("plugs").as_deref(), Some("tan tan oily"));
}

#[test]
fn a_line_is_edited_with_the_keys_one_knows() {
    let mut window = change((40, 12), "serial-number");
    let long = "0123456789 ".repeat(8);
    window.until_question().press(&long).press("\u{1b}[Hé水\u{1b}[3~\u{5} end\u{1b}[D\u{1b}[D\u{7f}").press("\r");
    assert_eq!(window.ends(), 0);
    let kept = format!("é水{} nd", long[1..].trim_end());
    assert_eq!(window.answer("serial-number"), Some(kept.replace("  ", " ")), "{}", window.screen());
}
