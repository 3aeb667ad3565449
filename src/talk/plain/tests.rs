//! The whole conversation at a question, in memory: every kind, every key, refusals, doubts, the end of the lines.
//! The terminal says and does the same, through the same code.

use std::io::Cursor;
use std::sync::{Arc, LazyLock, OnceLock};

use super::*;
use crate::answers::LateReader;
use crate::answers::{Context, Said, parse_answer};
use crate::knowledge::Question;
use crate::knowledge::{Kind, Knowledge, Level, QuestionIx};
use crate::measure::load_shipped;
use crate::path::Texts;
use crate::path::sitting::{Boxed, Warned};
use crate::talk::{Card, Earlier, Header};

fn knowledge() -> &'static Knowledge {
    static LOADED: OnceLock<Knowledge> = OnceLock::new();
    LOADED.get_or_init(load_shipped)
}

/// A question as the interview would ask it, of a motor with three cylinders.
fn turn(id: &str) -> Turn<'static> {
    let knowledge = knowledge();
    let ix = knowledge.find(id).expect("a question of the data");
    let question = knowledge.question(ix);
    let many = matches!(question.kind, Kind::Each(_) | Kind::Readings(..));
    Turn {
        ix,
        question,
        context: Context { wanted: many.then_some(3), year: 2026, ..Context::default() },
        texts: texts_of(question),
        header: Header { station: "Leg", number: 7, of: 41, minutes: Some(43.0) },
        warned: Warned::default(),
        card: None,
        tools: Vec::new(),
        minutes: question.minutes,
        picture: question.picture.as_ref().and_then(|id| knowledge.picture(id)),
        wait: question.wait.as_ref(),
        terms: knowledge.terms.iter().take(2).collect(),
        glossary: &knowledge.terms,
        before: None,
        note: None,
        photos: &[],
        so_far: Vec::new(),
    }
}

/// The usual texts, as for a motor nobody knows.
fn texts_of(question: &'static Question) -> Texts<'static> {
    Texts {
        brief: &question.brief,
        ask: &question.ask,
        act: question.act.as_deref(),
        how: &question.how,
        why: &question.why,
        workshop: false,
    }
}

/// The same, with the synonyms at hand.
fn reading(id: &str) -> Turn<'static> {
    static READER: LazyLock<Arc<LateReader>> =
        LazyLock::new(|| Arc::new(LateReader::new(Arc::new(load_shipped()))));
    let mut turn = turn(id);
    turn.context.reader = Some(Arc::clone(&READER));
    turn
}

#[test]
fn free_words_are_taken_where_one_reading_fits_them_all() {
    let turn = reading("gear-oil");
    assert_eq!(ask(&turn, "brown like tea, you can see through it\n").0, said(&turn, "dark"));
}

#[test]
fn what_ends_something_is_kept_only_by_a_yes() {
    let turn = reading("stolen-check");
    let hit = said(&turn, "hit");
    for typed in ["hit", "3", "it is reported stolen"] {
        assert_eq!(ask(&turn, &format!("{typed}\n")).0, END, "{typed} is not taken at once");
        let (act, shown) = ask(&turn, &format!("{typed}\n\n1\n"));
        assert_eq!(act, said(&turn, "1"), "Enter goes back");
        assert!(shown.contains("That would end it here: 3, "), "{shown}");
        assert_eq!(ask(&turn, &format!("{typed}\ny\n")).0, hit, "{typed}");
    }
}

#[test]
fn the_sellers_word_is_kept_as_that() {
    let turn = reading("lanyard");
    let (act, shown) = ask(&turn, "he says it stops every time\n\n");
    assert_eq!(act, Act::SellerSays("seller says: he says it stops every time".into()));
    assert!(shown.contains("the seller's word, not your own look"), "{shown}");
    assert_eq!(ask(&turn, "he says it stops every time\n1\n").0, said(&turn, "1"));
}

#[test]
fn a_long_paste_is_not_read_back_in_full() {
    let (act, shown) = ask(&turn("gear-oil"), &format!("{}\nmilky\n", "not an answer ".repeat(60)));
    assert_eq!(act, said(&turn("gear-oil"), "milky"));
    assert!(shown.contains("839 letters"), "{shown}");
    let refused = shown.split("839 letters").nth(1).expect("a refusal");
    assert!(!refused.contains("not an answer"), "{shown}");
    for (letters, told) in [(400, false), (401, true)] {
        let (_, shown) = ask(&turn("gear-oil"), &format!("{}\nmilky\n", "x".repeat(letters)));
        assert_eq!(shown.contains(&format!("{letters} letters")), told, "{shown}");
    }
}

#[test]
fn a_letter_with_words_behind_it_is_asked_about_where_words_are_the_answer() {
    let turn = turn("serial-number");
    let (act, shown) = ask(&turn, "N 1234\ny\n");
    assert_eq!(act, said(&turn, "N 1234"));
    assert!(shown.contains("the answer?"), "{shown}");
}

fn talk_with<T>(
    typed: &str,
    columns: usize,
    act: impl FnOnce(&mut Plain<Cursor<String>, &mut Vec<u8>>) -> T,
) -> (T, String) {
    let mut written = Vec::new();
    let mut plain = Plain::new(Cursor::new(typed.to_owned()), &mut written, columns).echoing();
    let done = act(&mut plain);
    drop(plain);
    (done, String::from_utf8(written).expect("text"))
}

/// Asks as the interview does: pieces are kept and asked on, an answer is said once it is kept.
fn ask(turn: &Turn<'_>, typed: &str) -> (Act, String) {
    talk_with(typed, 80, |plain| {
        let mut note = None;
        loop {
            match plain.ask(turn) {
                Act::Keep(_) => {}
                Act::Note(lines) if plain.manner.going.is_some() => note = Some(lines),
                Act::Say(said) => {
                    plain.taken(turn.question, &said);
                    return Act::Say(said);
                }
                Act::Leave(_) if note.is_some() => return Act::Note(note.unwrap_or_default()),
                other => {
                    if let Some(told) = plain.manner.once_kept.take() {
                        say::quiet(plain, &told);
                    }
                    return other;
                }
            }
        }
    })
}

/// What the one parser makes of a text, for the question of that id.
fn said(turn: &Turn<'_>, text: &str) -> Act {
    Act::Say(parse_answer(turn.question, text, &turn.context).expect("an answer").said)
}

const STOP: Act = Act::Leave(Leave::Stop);
const END: Act = Act::Leave(Leave::EndOfInput);

#[test]
fn every_kind_takes_what_the_parser_takes() {
    for (id, typed, same) in [
        ("gear-oil", "3", "milky"),
        ("gear-oil", "=milky", "milky"),
        ("gearcase-outside", "1", "sound"),
        ("plugs", "tan", "tan"),
        ("plugs", "tan, tan, sooty", "tan tan sooty"),
        ("claimed-power", "40", "40 hp"),
        ("compression", "178 180 176", "178 180 176 psi"),
        ("cylinders", "three", "3"),
        ("claimed-year", "2014", "2014"),
        ("asking-price", "4,200", "4200"),
        ("comparables", "4200 3900", "4200 3900"),
        ("serial-number", "4711", "4711"),
        ("gear-oil", "can't tell", "-"),
        ("gear-oil", "not done: no pan", "not done: no pan"),
    ] {
        let turn = turn(id);
        let (act, shown) = ask(&turn, &format!("{typed}\n"));
        assert_eq!(act, said(&turn, same), "{id} {typed}\n{shown}");
    }
}

#[test]
fn every_question_can_be_shown_and_left_alone() {
    let knowledge = knowledge();
    for ix in knowledge.places() {
        let turn = turn(knowledge.question(ix).id.as_str());
        for columns in [20, 40, 80] {
            let (act, shown) = talk_with("?\n-\n", columns, |plain| plain.ask(&turn));
            assert_eq!(act, Act::Say(Said::CantTell), "{}", turn.question.id);
            let widest = shown.lines().map(lines::width).max().unwrap_or(0);
            assert!(widest <= columns, "{} is {widest} wide in {columns} columns\n{shown}", turn.question.id);
        }
    }
}

#[test]
fn a_question_is_shown_with_its_place_its_choices_and_the_keys() {
    let mut turn = turn("gear-oil");
    let level = Level::Caution;
    turn.warned.with = Some(Boxed { level, texts: vec!["The oil may be hot."] });
    turn.warned.lines = vec!["Sharp: gloves on"];
    let (_, shown) = ask(&turn, "");
    let order = [
        "Leg, 7/41, 43 min",
        "CAUTION  The oil may be hot.",
        "! Sharp: gloves on",
        "What comes out",
        "Ask the seller.",
        "  3  milky",
        "? how",
        ". stop and keep",
        "> ",
    ];
    let places: Vec<Option<usize>> = order.iter().map(|words| shown.find(words)).collect();
    assert!(places.iter().all(Option::is_some) && places.is_sorted(), "{places:?}\n{shown}");
    assert!(!shown.contains("----") && !shown.contains('\u{1b}'), "{shown}");
}

#[test]
fn all_keys_are_shown_once_and_then_the_short_line() {
    let turn = turn("gear-oil");
    let (_, shown) = talk_with("3\n3\n", 80, |plain| (plain.ask(&turn), plain.ask(&turn)));
    assert_eq!(shown.matches("n note").count(), 1, "{shown}");
    assert_eq!(shown.matches("h keys").count(), 1, "{shown}");
    let (_, told) = ask(&turn, "h\n");
    assert!(told.contains("  w  what a trade word means"), "{told}");
}

#[test]
fn what_was_understood_is_said() {
    for (id, typed, echo) in [
        ("gear-oil", "3", "  = milky, like coffee with cream"),
        ("gearcase-outside", "1", "  = "),
        ("plugs", "1", "  = all alike: tan"),
        ("claimed-power", "40", "  = 40 hp"),
        ("compression", "178 ? 176", "  = 1: 178 psi; 2: not read; 3: 176 psi"),
        ("comparables", "4200 3900", "  = 4200, 3900"),
        ("gear-oil", "-", "  = can't tell"),
    ] {
        let (_, shown) = ask(&turn(id), &format!("{typed}\n"));
        assert!(shown.contains(echo), "{id} {typed}\n{shown}");
    }
}

#[test]
fn what_cannot_be_read_is_told_and_asked_again() {
    let turn = turn("compression");
    let (act, shown) = ask(&turn, "4000 4000 4000\nbananas\n178 180 176\n");
    assert_eq!(act, said(&turn, "178 180 176 psi"));
    assert!(shown.contains("I read 4000 psi"), "{shown}");
    assert_eq!(shown.matches("> ").count(), 3, "{shown}");
}

#[test]
fn what_may_mean_several_things_is_listed_with_the_numbers() {
    let turn = reading("gear-oil");
    let (act, shown) = ask(&turn, "milky or hazy\n2\n");
    assert_eq!(act, said(&turn, "hazy"));
    let after = shown.split("Did you mean").nth(1).unwrap_or_default();
    assert!(after.contains("2, hazy") && after.contains("3, milky"), "{shown}");
    assert!(after.contains("Enter is yes."), "{shown}");
    // Enter takes the first, whichever it was; another answer counts as itself.
    assert!(matches!(ask(&turn, "milky or hazy\n\n").0, Act::Say(Said::Value(_))));
    assert_eq!(ask(&turn, "milky or hazy\n1\n").0, said(&turn, "dark"));
    assert_eq!(ask(&turn, "milky or hazy\nno\n-\n").0, Act::Say(Said::CantTell));
}

#[test]
fn an_odd_answer_is_kept_only_when_it_is_meant() {
    let turn = turn("comparables");
    let odd = said(&turn, "4200 3900 42000");
    assert_eq!(ask(&turn, "4200 3900 42000\ny\n").0, odd);
    assert_eq!(ask(&turn, "4200 3900 42000\n4200 3900 42000\n").0, odd);
    assert_eq!(ask(&turn, "4200 3900 42000\n4200 3900 4200\n").0, said(&turn, "4200 3900 4200"));
    let (act, shown) = ask(&turn, "4200 3900 42000\nno\n4200\n");
    assert_eq!(act, said(&turn, "4200"));
    assert!(shown.contains("Is it typed right?"), "{shown}");
    assert_eq!(ask(&turn, "4200 3900 42000\n").0, END, "a doubt is not an answer");
}

#[test]
fn the_end_of_the_lines_ends_the_talk() {
    let turn = turn("gear-oil");
    assert_eq!(ask(&turn, "").0, END);
    assert_eq!(ask(&turn, "?\n").0, END);
    assert_eq!(ask(&turn, "3").0, said(&turn, "milky"), "the last line may lack its end");
    let (acts, _) = talk_with("", 80, |plain| {
        (plain.ask(&turn), plain.confirm("Go ahead?"), plain.pick("Which?", &["a".into()]))
    });
    assert_eq!(acts, (END, Err(Leave::EndOfInput), Err(Leave::EndOfInput)));
}

#[test]
fn why_shows_the_reason_the_steps_and_the_words_of_the_drawing() {
    let turn = turn("gear-oil");
    let (act, shown) = ask(&turn, "?\n.\n");
    assert_eq!(act, STOP);
    // The words are the data's; what is tried is that all of them stand there.
    let first = |text: &str| text.split(' ').take(3).collect::<Vec<_>>().join(" ");
    let question = turn.question;
    for words in [format!("Why  {}", first(&question.why)), format!("  1. {}", first(&question.how[0]))] {
        assert!(shown.contains(&words), "{words}\n{shown}");
    }
    assert!(shown.contains("Trade words in it: outboard, transom"), "{shown}");
    assert_eq!(shown.matches("What comes out").count(), 2, "the question stands there again\n{shown}");
    let drawing = &turn.picture.expect("a drawing").wide[2];
    assert!(!shown.contains(drawing.as_str()) && ask(&turn, "d\n").1.contains(drawing.as_str()), "{shown}");
}

#[test]
fn a_trade_word_is_looked_up() {
    let turn = turn("gear-oil");
    for typed in ["w transom", "what is a transom?", "what does transom mean?", "w\ntransom", "words\n2"] {
        let (act, shown) = ask(&turn, &format!("{typed}\n3\n"));
        assert_eq!(act, said(&turn, "milky"));
        assert!(shown.contains("The upright board or wall"), "{typed}\n{shown}");
    }
    assert!(ask(&turn, "w trasnom\n").1.contains("This is the nearest:"));
    assert!(ask(&turn, "w kingfisher\n").1.contains("I have no words for \"kingfisher\""));
    assert!(ask(&turn, "w\n\n").1.contains("Which word?"));
}

#[test]
fn a_note_is_written_replaced_and_taken_away() {
    let mut turn = turn("gear-oil");
    assert_eq!(ask(&turn, "n smells odd\n").0, Act::Note("smells odd".into()));
    assert_eq!(ask(&turn, "note\nfirst line\n second  line\n\n").0, Act::Note("first line second line".into()));
    assert_eq!(ask(&turn, "n\n\n3\n").0, said(&turn, "milky"), "nothing written, nothing changed");
    assert_eq!(ask(&turn, "n\nfirst line\n").0, Act::Note("first line".into()), "each line is kept as it comes");
    turn.note = Some("smells odd");
    let (act, shown) = ask(&turn, "n\n-\n");
    assert_eq!(act, Act::Note(String::new()));
    assert!(shown.contains("Your note: smells odd"), "{shown}");
}

#[test]
fn a_photo_must_be_there() {
    let folder = tempfile::tempdir().expect("a folder");
    let photo = folder.path().join("the oil é.jpg");
    std::fs::write(&photo, "").expect("a file");
    let (path, dir) = (photo.display().to_string(), folder.path().display().to_string());
    let turn = turn("gear-oil");
    assert_eq!(ask(&turn, &format!("p {path}\n")).0, Act::Photo(path.clone()));
    assert_eq!(ask(&turn, &format!("photo\n'{path}'\n")).0, Act::Photo(path.clone()));
    let (act, shown) = ask(&turn, &format!("p {dir}/none.jpg\n{dir}\n{path}\n"));
    assert_eq!(act, Act::Photo(path));
    assert!(shown.contains("There is no file") && shown.contains("is a folder"), "{shown}");
    assert_eq!(ask(&turn, "p\n\n3\n").0, said(&turn, "milky"));
}

#[test]
fn the_other_keys_come_to_their_acts() {
    let turn = turn("gear-oil");
    let not_done = |reason: &str| Act::Say(Said::NotDone(reason.into()));
    for (typed, act) in [
        ("b\n", Act::Back),
        ("go back\n", Act::Back),
        ("-\n", Act::Say(Said::CantTell)),
        ("I don't know\n", Act::Say(Said::CantTell)),
        ("x\nno pan\n", not_done("no pan")),
        ("x\n\n", not_done("")),
        ("x no pan\n", not_done("no pan")),
        ("skip\nraining\n", not_done("raining")),
        ("not done\n", not_done("")),
        ("s\n", Act::ShortOfTime),
        (".\n", STOP),
        ("stop\n", STOP),
        ("l\n.\n", STOP),
    ] {
        assert_eq!(ask(&turn, typed).0, act, "{typed:?}");
    }
}

#[test]
fn one_jumps_to_an_earlier_answer() {
    let mut turn = turn("gear-oil");
    assert!(ask(&turn, "a\n").1.contains("Nothing has been answered yet"));
    turn.so_far = vec![
        Earlier { ix: QuestionIx(4), brief: "power", text: "40 hp".into() },
        Earlier { ix: QuestionIx(9), brief: "year", text: "2014".into() },
    ];
    let (act, shown) = ask(&turn, "a\n2\n");
    assert_eq!(act, Act::Jump(QuestionIx(9)));
    assert!(shown.contains("  1  power: 40 hp\n  2  year: 2014"), "{shown}");
    assert_eq!(ask(&turn, "a\npower\n").0, Act::Jump(QuestionIx(4)));
    assert_eq!(ask(&turn, "answers\n9\n\n3\n").0, said(&turn, "milky"));
}

#[test]
fn what_was_said_before_stays_with_an_empty_line() {
    let mut turn = turn("gear-oil");
    turn.before = Some("hazy".into());
    let (act, shown) = ask(&turn, "\n");
    assert_eq!(act, said(&turn, "hazy"));
    assert!(shown.contains("You said: hazy, light comes through. Enter keeps it."), "{shown}");
    turn.before = None;
    assert!(ask(&turn, "\n").1.contains("I take a number from 1 to 8"));
}

#[test]
fn readings_go_on_cylinder_by_cylinder() {
    let turn = turn("compression");
    let all = said(&turn, "12.4 12.1 12 bar");
    assert_eq!(ask(&turn, "12.4 bar\n12,1\n12\n\n").0, all);
    let (act, shown) = ask(&turn, "12.4 bar\n13\n2=12.1\n11\nb\n12\n\n");
    assert_eq!(act, all, "{shown}");
    assert!(
        shown.contains("Cylinder 3 of 3?") && shown.contains("  = 1: 12.4 bar; 2: 12.1 bar; 3: 12 bar"),
        "{shown}"
    );
    assert_eq!(ask(&turn, "178\n?\n176\n\n").0, said(&turn, "178 ? 176 psi"));
    assert_eq!(ask(&turn, "178\n178 180 176\n").0, said(&turn, "178 180 176 psi"));
    assert_eq!(ask(&turn, "178\n180\n176\n3=150\n\n").0, said(&turn, "178 180 150 psi"));
    assert_eq!(ask(&turn, "178\nb\n-\n").0, Act::Say(Said::CantTell));
    assert_eq!(ask(&turn, "178\n.\n").0, STOP);
    let (act, shown) = ask(&turn, "178\n4000\n9=1\n180\n176\nhm\n\n");
    assert_eq!(act, said(&turn, "178 180 176 psi"));
    assert!(shown.contains("There is no reading 9 yet") && shown.contains("All are read."), "{shown}");
}

#[test]
fn a_slip_in_earlier_readings_is_mended_alone() {
    let mut turn = turn("compression");
    turn.before = Some("178 180 76 psi".into());
    assert_eq!(ask(&turn, "3=176\n").0, said(&turn, "178 180 176 psi"));
    assert!(ask(&turn, "5=176\n").1.contains("There is no reading 5"));
}

#[test]
fn a_card_is_read_before_the_question() {
    let mut turn = turn("cold-start");
    turn.card = Some(Card {
        title: "The first minute",
        level: Level::Danger,
        cautions: vec!["Outdoors only.", "All clear."],
        watch: vec!["water after 20 seconds", "the stop clip"],
    });
    let (act, shown) = ask(&turn, "\n-\n");
    assert_eq!(act, Act::Say(Said::CantTell));
    let order =
        ["The first minute", "DANGER  Outdoors only. All clear.", "- water", "- the stop clip", turn.texts.ask];
    let places: Vec<Option<usize>> = order.iter().map(|words| shown.find(words)).collect();
    assert!(places.iter().all(Option::is_some) && places.is_sorted(), "{places:?}\n{shown}");
    assert_eq!(ask(&turn, "b\n").0, Act::Back);
    assert_eq!(ask(&turn, ".\n").0, STOP);
    assert_eq!(ask(&turn, "").0, END);
}

#[test]
fn a_wait_is_told_in_words() {
    let (act, shown) = ask(&turn("dipstick-again"), "c\n-\n");
    assert_eq!(act, Act::Say(Said::CantTell));
    assert!(shown.contains("This takes about 10 minutes by itself. Oil is running down"), "{shown}");
    assert!(shown.contains("look at a clock"), "{shown}");
}

#[test]
fn n_is_no_where_no_is_an_answer() {
    let turn = turn("gear-seals");
    let (act, shown) = ask(&turn, "n\n");
    assert_eq!(act, said(&turn, "never"));
    assert!(shown.contains("· note ·") && !shown.contains("n note"), "{shown}");
    assert_eq!(ask(&turn, "note old bill\n").0, Act::Note("old bill".into()));
}

#[test]
fn yes_or_no_and_one_of_several() {
    let confirm = |typed: &str| {
        talk_with(typed, 80, |plain| plain.confirm("Changing this puts one answer to sleep. Go ahead?"))
    };
    for typed in ["y\n", "Yes\n", "1\n", "\nwhat\ny\n"] {
        assert_eq!(confirm(typed).0, Ok(true), "{typed:?}");
    }
    for typed in ["n\n", "no\n", "2\n", "s\nb\n3\nn\n"] {
        assert_eq!(confirm(typed).0, Ok(false), "{typed:?}");
    }
    assert_eq!(confirm(".\n").0, Err(Leave::Stop));
    let items = ["motor-1, begun 3 May", "motor-2, begun 4 May", "a new one"].map(str::to_owned);
    let pick = |typed: &str| talk_with(typed, 80, |plain| plain.pick("Which one?", &items));
    assert_eq!(pick("2\n").0, Ok(1));
    assert_eq!(pick("motor\na new\n").0, Ok(2));
    assert_eq!(pick("stop\n").0, Err(Leave::Stop));
    assert!(pick("2\n").1.contains("  2  motor-2, begun 4 May"));
}

#[test]
fn nothing_that_is_shown_can_act() {
    let mut turn = turn("serial-number");
    turn.note = Some("a\u{1b}[2Jb");
    turn.before = Some("x\u{9b}31m\u{202e}y".into());
    turn.header.station = "st\u{7}age";
    let (_, shown) = ask(&turn, "\u{1b}]0;title\u{7}\n");
    assert!(!shown.contains(|c: char| crate::edge::acts(c) && c != '\n'), "{shown:?}");
    let ((), told) = talk_with("", 80, |plain| plain.tell(&Words::Picture(vec!["ab\u{1b}[31m".into()])));
    assert_eq!(told, "ab [31m\n");
}

#[test]
fn words_between_questions_are_plain_lines() {
    let opens = Words::StageOpens { title: "The gearcase", about: "What the oil tells." };
    let ((), told) = talk_with("", 40, |plain| {
        plain.tell(&opens);
        plain.tell(&Words::Margin("That is the second sign of water.".into()));
        plain.tell(&Words::Ended("Stop here.".into()));
    });
    let want = "\nThe gearcase\nWhat the oil tells.\n  > That is the second sign of water.\n\nStop here.\n";
    assert_eq!(told, want);
}
