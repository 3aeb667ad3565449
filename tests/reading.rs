//! Laws of reading what people say: it never panics, never believes the opposite, never takes a stop unasked.

use std::sync::{Arc, LazyLock};

use proptest::prelude::*;

use skeg::load_shipped;
use skeg::{Choice, Knowledge, Question};
use skeg::{Context, Each, LateReader, Said, Value, parse_answer};
use skeg::{Meant, Reading};

static KNOWLEDGE: LazyLock<Knowledge> = LazyLock::new(load_shipped);
static READER: LazyLock<Arc<LateReader>> = LazyLock::new(|| Arc::new(LateReader::new(Arc::new(load_shipped()))));

/// Random texts a law is tried on; `SKEG_TEXTS=100000` tries as many as the promise says.
fn texts() -> u32 {
    std::env::var("SKEG_TEXTS").ok().and_then(|count| count.parse().ok()).unwrap_or(2000)
}

fn questions() -> impl Iterator<Item = &'static Question> {
    KNOWLEDGE.questions.iter().filter(|question| !question.choices().is_empty())
}

fn read(question: &Question, text: &str) -> Reading {
    READER.read(question.id.as_str(), text, 2026, None)
}

fn context() -> Context {
    Context { year: 2026, reader: Some(Arc::clone(&READER)), ..Context::default() }
}

/// The one choice that is taken, after the names were looked at.
fn taken(question: &Question, text: &str) -> Option<String> {
    match parse_answer(question, text, &context()).ok()?.said {
        Said::Value(Value::Many(ids)) if ids.len() == 1 => Some(ids[0].to_string()),
        Said::Value(Value::One(id) | Value::Each(Each::All(id))) => Some(id.to_string()),
        _ => None,
    }
}

fn names(choice: &Choice) -> impl Iterator<Item = &str> {
    std::iter::once(choice.label.as_str()).chain(choice.words.iter().map(|word| &**word))
}

#[test]
fn a_name_of_a_choice_reads_as_that_choice() {
    let mut wrong = Vec::new();
    let mut all = 0;
    for question in questions() {
        for (place, choice) in question.choices().iter().enumerate() {
            for name in names(choice) {
                all += 1;
                let own = Meant::Choices(vec![place]);
                match read(question, name) {
                    Reading::Taken(meant @ Meant::Choices(_)) if meant != own => {
                        wrong.push(format!("{}: {name:?} taken as {meant:?}", question.id));
                    }
                    Reading::Asks(three) if !three.contains(&own) && !three.contains(&Meant::CantTell) => {
                        wrong.push(format!("{}: {name:?} asks {three:?}", question.id));
                    }
                    _ => {}
                }
            }
        }
    }
    // Words such as "no idea" are read as such where the name is not looked at first.
    assert!(wrong.len() * 100 < all, "{} of {all}:\n{}", wrong.len(), wrong.join("\n"));
}

#[test]
fn a_denied_name_is_never_that_choice() {
    let mut wrong = Vec::new();
    // What the seller refuses is put as a denial: "no pulling plugs" is the plugs.
    for question in questions().filter(|question| question.id != "seller-refuses") {
        for choice in question.choices() {
            // "Moves, but stiff": what stands behind the but is not denied. "Not a drop of water", "does not turn in
            // gear" are ways of their own to say it, and who will not ring a dealer knows as little.
            let own = ["drops of water", "turns in gear", "will ring a dealer"];
            for name in names(choice).filter(|name| !name.contains(" but ") && !own.contains(name)) {
                let tried = [
                    format!("not {name}"),
                    format!("it is not {name}"),
                    format!("it isn't {name}"),
                    format!("{name}? not at all"),
                ];
                for text in tried {
                    if taken(question, &text).as_deref() == Some(choice.id.as_str()) && !listed(choice, &text) {
                        wrong.push(format!("{}: {text:?} taken as {}", question.id, choice.id));
                    }
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}:\n{}", wrong.len(), wrong.join("\n"));
}

/// The denied text is itself a listed name, or near enough: "not fitted", "not (for) years".
fn listed(choice: &Choice, text: &str) -> bool {
    let denies = |name: &str| {
        let words: Vec<&str> = name.split([' ', ',']).collect();
        words.iter().any(|word| {
            ["no", "not", "never", "none", "nothing", "without"].contains(word) || word.ends_with("n't")
        })
    };
    let last = text.rsplit(' ').next().unwrap_or(text);
    names(choice).any(|name| name == text || denies(name) && name.split(' ').any(|word| word == last))
}

#[test]
fn what_ends_something_is_never_taken_from_free_words() {
    for question in questions() {
        for choice in question.choices().iter().filter(|choice| choice.ends) {
            for name in names(choice) {
                for text in [name.to_owned(), format!("I would say {name}"), format!("{name} as far as I saw")] {
                    if let Reading::Taken(Meant::Choices(places)) = read(question, &text) {
                        let ends = places.iter().any(|place| question.choices()[*place].ends);
                        assert!(!ends, "{}: {text:?}", question.id);
                    }
                }
            }
        }
    }
}

#[test]
fn known_ends_are_known_as_ends() {
    for (question, choice) in
        [("stolen-check", "hit"), ("dipstick", "milky"), ("wiring", "cooked"), ("gearcase-outside", "cracked")]
    {
        let ix = KNOWLEDGE.find(question).expect("a question of the contract");
        let found = KNOWLEDGE.question(ix).choices().iter().find(|one| one.id == choice);
        assert!(found.expect("a choice of the contract").ends, "{question} {choice}");
    }
    for (question, choice) in [("gear-oil", "milky"), ("cowl", "repainted"), ("smoke", "none")] {
        let ix = KNOWLEDGE.find(question).expect("a question of the contract");
        let found = KNOWLEDGE.question(ix).choices().iter().find(|one| one.id == choice);
        assert!(!found.expect("a choice of the contract").ends, "{question} {choice}");
    }
}

#[test]
fn people_are_understood() {
    for (question, text, wanted) in [
        ("gear-oil", "brown like tea, you can see through it", "dark"),
        ("gear-metal", "no chips and no glitter, clean", "none"),
        ("primer-bulb", "wont firm up", "never-firm"),
        ("gearcase-outside", "no dents, cracks or leaks", "sound"),
        ("anodes", "about 40% left", "under-half"),
        ("cold-start", "it took 6 pulls", "hard"),
        // A year without a bill is somebody's word.
        ("pump-age", "last year", "said"),
    ] {
        let ix = KNOWLEDGE.find(question).expect("a question of the contract");
        assert_eq!(taken(KNOWLEDGE.question(ix), text).as_deref(), Some(wanted), "{question}: {text}");
    }
}

#[test]
fn what_is_unsure_or_hearsay_is_asked() {
    for (question, text) in [
        ("stolen-check", "seller says it's not stolen"),
        ("gear-oil", "dark and gritty"),
        ("gear-oil", "maybe a bit milky"),
        ("lanyard", "he says it stops every time"),
        ("lanyard", "first time it died, second time it kept running"),
        // Another part than the question's, and a fault the reading would leave out.
        ("plug-fits", "the hose fits"),
        ("telltale", "the fuel pump is strong"),
        ("gearcase-outside", "fine but a hairline crack low down"),
        ("hours-source", "has a meter, conked out though"),
        // Something else in place of what was denied.
        ("gear-metal", "no glitter, only dark paste"),
        ("belt", "no belt just a chain"),
        // A color by itself says nothing of the smell.
        ("gear-oil", "black"),
        ("gear-oil-after", "black"),
    ] {
        let ix = KNOWLEDGE.find(question).expect("a question of the contract");
        assert_eq!(taken(KNOWLEDGE.question(ix), text), None, "{question}: {text}");
    }
}

/// Who does not know is the seller: the question has a choice for that.
#[test]
fn a_seller_who_does_not_know_is_no_buyer_who_cannot_tell() {
    for (question, text) in [
        ("flushed", "he really does not remember"),
        ("gear-seals", "no clue, he says"),
        // Wherever he is named.
        ("flushed", "as far as flushing goes the seller has no idea"),
    ] {
        let ix = KNOWLEDGE.find(question).expect("a question of the contract");
        assert_eq!(taken(KNOWLEDGE.question(ix), text).as_deref(), Some("unknown"), "{question}: {text}");
    }
}

#[test]
fn a_list_with_a_part_nobody_can_read_is_asked() {
    for (question, text) in [("included", "propeller, tank, zzyzx"), ("under-cowl", "oil leaks, zzyzx")] {
        let ix = KNOWLEDGE.find(question).expect("a question of the contract");
        assert!(matches!(read(KNOWLEDGE.question(ix), text), Reading::Asks(_)), "{question}: {text}");
    }
    let ix = KNOWLEDGE.find("included").expect("a question of the contract");
    assert!(matches!(read(KNOWLEDGE.question(ix), "propeller, tank"), Reading::Taken(_)));
}

#[test]
fn all_but_a_few_is_the_others_and_is_asked() {
    let ix = KNOWLEDGE.find("visit-tools").expect("a question of the contract");
    let question = KNOWLEDGE.question(ix);
    let missing = ["thermometer", "none"];
    let there = question.choices().iter().enumerate().filter(|(_, choice)| !missing.contains(&choice.id.as_str()));
    let there = Meant::Choices(there.map(|(place, _)| place).collect());
    for text in ["everything but the thermometer", "all of it except a thermometer", "All bar the thermometer"] {
        let Reading::Asks(readings) = read(question, text) else { panic!("{text} is asked") };
        assert_eq!(readings.first(), Some(&there), "{text}");
    }
}

#[test]
fn each_cylinder_is_heard() {
    let ix = KNOWLEDGE.find("plugs").expect("a question of the contract");
    let question = KNOWLEDGE.question(ix);
    let place = |id: &str| question.choices().iter().position(|choice| choice.id == id).expect("a choice");
    let (tan, sooty, wet) = (place("tan"), place("sooty"), place("fuel-wet"));
    for (text, wanted) in [
        ("2 and 3 sooty, rest tan", vec![tan, sooty, sooty]),
        ("top one wet with fuel, the others tan", vec![wet, tan, tan]),
        ("all tan", vec![tan]),
        ("tan but the bottom one sooty", vec![tan, tan, sooty]),
        ("middle one sooty, rest tan", vec![tan, sooty, tan]),
    ] {
        let read = READER.read("plugs", text, 2026, Some(3));
        assert_eq!(read, Reading::Taken(Meant::Choices(wanted)), "{text}");
    }
    let unsure = READER.read("plugs", "2 maybe sooty, rest tan", 2026, Some(3));
    assert_eq!(unsure, Reading::Asks(vec![Meant::Choices(vec![tan, sooty, tan])]));
    for wanted in [Some(3), None] {
        assert_eq!(READER.read("plugs", "all tan but the bottom one", 2026, wanted), Reading::Unread);
    }
    // Four have no middle one, and what is said of it is not said of all.
    assert_eq!(READER.read("plugs", "middle one sooty, rest tan", 2026, Some(4)), Reading::Unread);
}

fn any_question() -> impl Strategy<Value = &'static Question> {
    let all: Vec<&'static Question> = questions().collect();
    proptest::sample::select(all)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: texts(), failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_text_makes_it_panic(question in any_question(), text in "\\PC{0,80}", wanted in proptest::option::of(0usize..13)) {
        let _ = READER.read(question.id.as_str(), &text, 2026, wanted);
    }

    #[test]
    fn no_mutated_name_makes_it_panic_or_turns_round(
        question in any_question(),
        choice in any::<proptest::sample::Index>(),
        name in any::<proptest::sample::Index>(),
        at in any::<proptest::sample::Index>(),
        with in "[a-z ',.0-9é]{0,3}",
    ) {
        let choice = &question.choices()[choice.index(question.choices().len())];
        let all: Vec<&str> = names(choice).collect();
        let mut letters: Vec<char> = all[name.index(all.len())].chars().collect();
        let place = at.index(letters.len());
        letters.splice(place..=place, with.chars());
        let text: String = letters.into_iter().collect();
        let _ = read(question, &text);
        let good = taken(question, &text).as_deref() == Some(choice.id.as_str());
        let denied = format!("definitely not {text}");
        // A denial ends with its clause.
        let one = !text.contains([',', '.']);
        // Who did not look, looked no more when he denies it; who will not ring a dealer knows as little.
        let looked = !choice.unseen && choice.id != "unknown";
        if good && one && looked && question.id != "seller-refuses" && taken(question, &denied).as_deref() == Some(choice.id.as_str()) {
            prop_assert!(listed(choice, &denied), "{denied:?} at {}", question.id);
        }
    }
}
