//! The question data as people read it: grades of reading, words, sources, tools, cautions.

mod support;

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

use skeg::{Basis, Grade, Kind, Level, Question, judge};
use support::knowledge;

/// What the buyer reads of a question.
fn read_of(question: &Question) -> Vec<&str> {
    let mut all: Vec<&str> = vec![&question.ask, &question.why];
    all.extend(question.act.as_deref());
    all.extend(question.how.iter().map(|text| &**text));
    for variant in &question.variants {
        let said = [&variant.brief, &variant.ask, &variant.act, &variant.why];
        all.extend(said.into_iter().flatten().map(|text| &**text));
        all.extend(variant.how.iter().flatten().map(|text| &**text));
    }
    all.extend(question.replies.iter().map(|reply| reply.text.as_str()));
    all.extend(question.wait.iter().map(|wait| wait.text.as_str()));
    for choice in question.choices() {
        all.push(&choice.label);
        all.extend(choice.reply.as_deref());
        all.extend(choice.because.as_deref());
    }
    all
}

/// Everything of the data that a person may read, with where it stands.
fn all_words() -> Vec<(String, &'static str)> {
    let mut all: Vec<(String, &str)> = Vec::new();
    for stage in &knowledge().stages {
        let mut add = |text: &'static str| all.push((format!("stage {}", stage.id), text));
        [stage.title.as_str(), &stage.about].into_iter().for_each(&mut add);
        stage.send_ahead.iter().chain(&stage.have_ready).map(|line| line.text.as_str()).for_each(&mut add);
    }
    for question in &knowledge().questions {
        let told = read_of(question).into_iter().chain([question.brief.as_str()]);
        let told = told.chain(question.tools.iter().map(|text| &**text));
        all.extend(told.map(|text| (question.id.to_string(), text)));
    }
    for finding in &knowledge().findings {
        let said = [&finding.innocent, &finding.what_to_do, &finding.bargain, &finding.mechanic, &finding.clears];
        let said = said.into_iter().flatten().chain([&finding.title, &finding.means]);
        let said = said.chain(finding.notes.iter().map(|note| &note.text)).chain(&finding.points_to);
        all.extend(said.map(|text| (finding.id.to_string(), text.as_str())));
    }
    for hazard in &knowledge().hazards {
        let others = hazard.variants.iter().flat_map(|other| other.text.iter().chain(&other.line));
        let said = others.chain([&hazard.text, &hazard.line]);
        all.extend(said.map(|text| (format!("hazard {}", hazard.id), text.as_str())));
    }
    for card in &knowledge().run_cards {
        let said = card.cautions.iter().chain(&card.watch).map(|line| &line.text).chain([&card.title]);
        all.extend(said.map(|text| (format!("card of run {}", card.run), text.as_str())));
    }
    for fault in &knowledge().faults {
        let said = [&fault.title, &fault.settle, &fault.after, &fault.seller];
        all.extend(said.map(|text| (fault.id.to_string(), text.as_str())));
    }
    all.extend(knowledge().items.iter().map(|item| (item.id.to_string(), item.title.as_str())));
    for term in knowledge().terms.iter() {
        let said = term.also.iter().chain([&term.term, &term.text]);
        all.extend(said.map(|text| (format!("term {}", term.id), text.as_str())));
    }
    all
}

/// Letters, words and sentences.
fn counts<'t>(texts: impl Iterator<Item = &'t str>) -> (f64, f64, f64) {
    let (mut letters, mut words, mut sentences) = (0, 0, 0);
    for text in texts {
        letters += text.chars().filter(|c| c.is_alphanumeric()).count();
        words += text.split_whitespace().filter(|word| word.chars().any(char::is_alphanumeric)).count();
        // A point inside a figure ends no sentence.
        let ended = text.replace(['!', '?'], ".").replace(".\n", ". ");
        sentences += ended.split(". ").filter(|part| part.chars().any(char::is_alphanumeric)).count();
    }
    (letters as f64, words as f64, sentences as f64)
}

/// Automated readability index, Smith and Senter, AMRL-TR-66-220 (1967), formula from memory:
/// 4.71 letters/word + 0.5 words/sentence − 21.43.
fn readability((letters, words, sentences): (f64, f64, f64)) -> f64 {
    4.71 * letters / words + 0.5 * words / sentences - 21.43
}

#[test]
fn every_stage_reads_at_seventh_grade_or_easier() {
    for (place, stage) in knowledge().stages.iter().enumerate() {
        let questions = knowledge().questions.iter().filter(|question| question.stage == place);
        let findings = knowledge().findings.iter().filter(|finding| finding.stage == place);
        let told = findings.flat_map(|finding| {
            [Some(&finding.means), finding.innocent.as_ref(), finding.what_to_do.as_ref(), finding.bargain.as_ref()]
        });
        let all =
            questions.flat_map(read_of).chain(told.flatten().map(|text| &**text)).chain([stage.about.as_str()]);
        let index = readability(counts(all));
        assert!(index <= 7.0, "{}: {index:.1}", stage.id);
    }
}

#[test]
fn the_index_tells_easy_from_hard() {
    let easy = readability(counts(["The oil is dark. That is good.", "Look at it."].into_iter()));
    let hard = readability(counts(
        ["Notwithstanding considerable deterioration, lubrication characteristics demonstrated acceptability"]
            .into_iter(),
    ));
    assert!(easy < 3.0 && hard > 15.0, "{easy} {hard}");
}

#[test]
fn words_that_scold_or_belong_to_forms_are_not_used() {
    let banned = ["user", "input", "invalid", "error", "please", "simply", "severity", "score", "rating"];
    for (place, text) in all_words() {
        let words: BTreeSet<String> = text.split(|c: char| !c.is_alphanumeric()).map(str::to_lowercase).collect();
        for word in banned {
            assert!(!words.contains(word), "{place}: {word:?} in {text:?}");
        }
    }
}

/// Signal words are for hazards, and stand where the program puts them, never inside a text.
#[test]
fn signal_words_are_no_decoration() {
    for (place, text) in all_words() {
        for word in ["DANGER", "WARNING", "CAUTION", "NOTICE"] {
            assert!(!text.contains(word), "{place}: {text:?}");
        }
    }
}

/// Every terminal, file and printer can show it.
#[test]
fn the_words_are_plain_letters() {
    for (place, text) in all_words() {
        assert!(text.is_ascii(), "{place}: {text:?}");
        assert!(text == text.trim() && !text.contains("  "), "{place}: stray blanks in {text:?}");
        assert!(!text.contains("--"), "{place}: a dash in {text:?}");
    }
}

#[test]
fn every_source_is_cited_by_the_data_or_beside_the_code_it_backs() {
    let mut cited: BTreeSet<String> = BTreeSet::new();
    let bases = knowledge().findings.iter().map(|finding| &finding.basis);
    let bases = bases.chain(knowledge().faults.iter().map(|fault| &fault.basis));
    let bases = bases.chain(knowledge().hazards.iter().map(|hazard| &hazard.basis));
    for basis in bases.chain(knowledge().items.iter().map(|item| &item.basis)) {
        if let Basis::Published(key) = basis {
            cited.insert(key.to_string());
        }
    }
    // What the arithmetic and the tests rest on stands in their comments, by name.
    let by_name: BTreeMap<&str, &str> = [
        ("33cfr183.75", "33 CFR 183.75"),
        ("ussa1976", "US Standard Atmosphere 1976"),
        ("compression", "TM 5-4210-230-14&P-1"),
        ("leakdown", "AC 43.13-1B"),
        ("nonroad", "EPA NONROAD"),
        ("40cfr1045", "40 CFR 1045.103"),
        ("ecos", "46 USC 4312"),
        ("pert", "Operations Research 7(5)"),
        ("evpi", "Raiffa, Decision Analysis"),
        ("order", "CACM 38(3)"),
        ("units", "NIST SP 811"),
        ("z535", "ANSI Z535.6"),
        ("epafamily", "EPA engine family"),
        ("33cfr183.53", "33 CFR 183.53"),
    ]
    .into_iter()
    .collect();
    for key in by_name.keys() {
        assert!(knowledge().sources.iter().any(|source| source.id.as_str() == *key), "{key} is no source");
    }
    let mut code = String::new();
    gather(&Path::new(env!("CARGO_MANIFEST_DIR")).join("src"), &mut code);
    for source in &knowledge().sources {
        let named = by_name.get(source.id.as_str()).is_some_and(|name| code.contains(name));
        assert!(cited.contains(source.id.as_str()) || named, "{} is used nowhere", source.id);
    }
}

fn gather(folder: &Path, all: &mut String) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            gather(&path, all);
        } else {
            all.push_str(&fs::read_to_string(&path).unwrap());
        }
    }
}

#[test]
fn a_tool_is_called_the_same_everywhere() {
    // The bring list is made from these words: two names for one thing would be two things to bring.
    let tools: BTreeSet<&str> =
        knowledge().questions.iter().flat_map(|question| &question.tools).map(|text| &**text).collect();
    // What the tool is, without its article, plural and what is said of it.
    let bare = |tool: &str| -> String {
        let words =
            tool.split(' ').filter(|word| !["a", "an", "the", "some", "new", "old", "clean"].contains(word));
        let words: Vec<&str> = words.map(|word| word.trim_end_matches('s')).collect();
        words.join(" ").to_lowercase()
    };
    let mut seen: BTreeMap<String, &str> = BTreeMap::new();
    for tool in &tools {
        if let Some(other) = seen.insert(bare(tool), tool) {
            panic!("{tool:?} and {other:?}");
        }
    }
    // One name each, in lists of tools and in the steps.
    let steps = knowledge().questions.iter().flat_map(|question| question.how.iter().chain([&question.ask]));
    let said: Vec<&str> = tools.iter().copied().chain(steps.map(|text| &**text)).collect();
    for other in [
        "drain-screw washer",
        "glass jar",
        "spark plug spanner",
        "volt meter",
        "voltmeter",
        "cloth",
        "feeler",
        "tachometer",
        "kill cord",
        "stop cord",
        "ear muffs",
        "goggles",
        "gasoline",
    ] {
        for text in &said {
            assert!(!text.to_lowercase().contains(other), "{other:?} has another name elsewhere: {text:?}");
        }
    }
}

/// Steps that can hurt, by the hazard each of them creates; what is told on a run's card stands not here. A belt and a
/// gear ratio are asked at home, where nothing turns.
const STEPS: [(&str, &str); 14] = [
    (
        "key",
        "second-number label-family under-cowl submerged base-joint base-seal block-paint dipstick dipstick-again \
         turns-over plugs throttle-returns propeller shift-by-hand line-on-shaft prop-shaft mount-play prop-pitch \
         recoil run-where heads-even leaks-after gear-oil-after",
    ),
    (
        "tilt",
        "transom-height shaft-length hangs bracket midsection tilt-lock reverse-latch trim-holds mount-play run-where",
    ),
    ("fall", "gearcase-outside skeg steering-feel mount-play held-on run-where who-rigs"),
    ("pinch", "steering-feel stiff-where trim-holds tilt-lock reverse-latch steering-ram"),
    (
        "edges",
        "gearcase-outside skeg gear-metal propeller shift-by-hand line-on-shaft prop-shaft prop-pitch mount-play \
         under-cowl",
    ),
    ("hot", "block-cold dipstick gear-oil plugs heads-even gear-oil-after leaks-after compression-wet wiring"),
    (
        "fuel",
        "fuel-state primer-bulb fuel-leak fuel-hose plugs compression compression-again volts-cranking \
         throttle-returns leaks-after compression-wet known-tank",
    ),
    ("open-holes", "compression compression-again volts-cranking compression-wet"),
    ("flywheel", "turns-over compression compression-again volts-cranking recoil compression-wet"),
    ("battery", "volts-rest wiring volts-cranking volts-running"),
    ("afloat", "full-revs gps-speed afloat"),
    ("propeller", "run-where"),
    ("screw", "gear-oil gear-metal gear-oil-after"),
    ("mix", "fuel-state oil-mix oil-injection primer-bulb"),
];

#[test]
fn steps_that_can_hurt_have_their_hazard_before_them() {
    for (hazard, ids) in STEPS {
        for id in ids.split_whitespace() {
            let question = knowledge().questions.iter().find(|question| question.id.as_str() == id).expect(id);
            let named = question.hazards.iter().any(|place| knowledge().hazards[place.0].id.as_str() == hazard);
            assert!(named, "{id} does not name its hazard {hazard}");
        }
    }
}

/// The hazards of the trade, each told once: what has to be said, in words of which all must stand there.
#[test]
fn every_hazard_of_the_trade_is_told() {
    for (id, words) in [
        ("monoxide", vec!["exhaust", "kills", "upwind"]),
        ("propeller", vec!["propeller", "comes off", "clear"]),
        ("flywheel", vec!["flywheel", "belts", "hair"]),
        ("ignition", vec!["coils", "heart"]),
        ("fuel", vec!["vapor", "extinguisher", "sniff"]),
        ("open-holes", vec!["grounded", "clip off", "face"]),
        ("hot", vec!["burn", "stream"]),
        ("tilt", vec!["tilt lock", "release"]),
        ("fall", vec!["lifts", "tip"]),
        ("battery", vec!["acid", "posts"]),
        ("dry", vec!["without water", "engine off"]),
        ("mix", vec!["oil in its fuel", "seizes"]),
        ("start", vec!["spray", "neutral", "stop"]),
        ("afloat", vec!["life jackets", "ashore", "washer", "pin"]),
        ("key", vec!["key out", "clip off", "leads off"]),
        ("edges", vec!["cut", "gloves"]),
        ("pinch", vec!["fingers", "joint"]),
        ("screw", vec!["shift parts", "before any run"]),
    ] {
        let hazard = knowledge().hazards.iter().find(|hazard| hazard.id.as_str() == id).expect(id);
        let text = hazard.text.to_lowercase();
        assert!(words.iter().all(|word| text.contains(word)), "{id} does not say {words:?}: {text}");
    }
}

/// Signal words by the severity of the harm, ANSI Z535.6 (memory): death certain enough for exhaust and a turning
/// propeller alone, lesser injury a caution, damage to things alone a notice.
#[test]
fn signal_words_go_by_the_harm() {
    for hazard in &knowledge().hazards {
        let expected = match hazard.id.as_str() {
            "monoxide" | "propeller" => Level::Danger,
            "pinch" | "edges" | "hot" => Level::Caution,
            "dry" | "screw" | "mix" => Level::Notice,
            _ => Level::Warning,
        };
        assert_eq!(hazard.level, expected, "{}", hazard.id);
    }
}

/// A box is read standing beside a motor: thirty words in full, six in a line.
#[test]
fn hazards_are_short() {
    for hazard in &knowledge().hazards {
        let texts = hazard.variants.iter().filter_map(|other| other.text.as_ref()).chain([&hazard.text]);
        for text in texts {
            assert!(text.split_whitespace().count() <= 30, "{}: {text}", hazard.id);
        }
        let lines = hazard.variants.iter().filter_map(|other| other.line.as_ref()).chain([&hazard.line]);
        for line in lines {
            assert!(line.split_whitespace().count() <= 6, "{}: {line}", hazard.id);
        }
    }
}

/// A card is read once, standing, before the engine starts: few words, and one screen of a telephone.
#[test]
fn the_cards_of_the_runs_are_short() {
    let cards = &knowledge().run_cards;
    assert_eq!(cards.iter().map(|card| card.run).collect::<Vec<_>>(), [1, 2, 3]);
    for (card, most) in cards.iter().zip([70, 40, 45]) {
        let words: usize = card.cautions.iter().map(|line| line.text.split_whitespace().count()).sum();
        assert!(words <= most, "run {}: {words} words of caution", card.run);
        // A mark before each line, the title, and a blank line between the two parts; on the motor with the most lines.
        for (kind, answers) in support::kinds::KINDS {
            let mut record = support::sound_motor();
            support::say_all(&mut record, answers);
            let judgement = judge(knowledge(), &record, jiff::civil::date(2026, 5, 3));
            let view = judgement.path.view();
            let lines = view.lines(&card.cautions).into_iter().chain(view.lines(&card.watch));
            let rows: usize = lines.map(|line| textwrap::wrap(&line.text, 38).len()).sum();
            assert!(rows + 2 <= 24, "run {} of {kind}: {} rows at 40 columns", card.run, rows + 2);
        }
        assert_eq!(card.level, Level::Danger, "exhaust and a turning propeller head each card");
        for id in ["monoxide", "propeller", "dry"] {
            assert!(card.hazards.iter().any(|place| knowledge().hazards[place.0].id.as_str() == id), "{id}");
        }
    }
}

#[test]
fn stops_and_findings_say_what_a_paper_needs() {
    for finding in &knowledge().findings {
        let head = finding.title.chars().next().expect("a title");
        assert!(
            !finding.title.ends_with('.') && !head.is_uppercase() || finding.title.starts_with("ID"),
            "{}",
            finding.id
        );
        assert!(finding.means.ends_with(['.', '!']), "{}: {:?}", finding.id, finding.means);
        if finding.grade == Grade::Good {
            assert!(finding.bargain.is_none() && finding.mechanic.is_none(), "{}", finding.id);
            assert!(finding.speaks_for.is_empty(), "{} is good and speaks for a fault", finding.id);
            continue;
        }
        assert!(finding.against.is_empty(), "{} is bad and speaks against a fault", finding.id);
        assert!(
            finding.innocent.is_some() || finding.grade == Grade::Minor,
            "{} has no innocent reading",
            finding.id
        );
        assert_eq!(finding.clears.is_some(), finding.grade == Grade::Stop, "{}", finding.id);
        let next = [&finding.mechanic, &finding.bargain, &finding.what_to_do];
        assert!(next.iter().any(|words| words.is_some()), "{} says nothing of what comes next", finding.id);
    }
}

/// What is said to the seller is polite, about one thing, and gives nothing of the buyer's sums away.
#[test]
fn what_is_said_to_the_seller_keeps_the_buyers_counsel() {
    for finding in &knowledge().findings {
        let text = finding.bargain.clone().unwrap_or_default().to_lowercase();
        for secret in ["$", "ceiling", "chance", "odds", "my limit", "other motor", "worth to me", "%"] {
            assert!(!text.contains(secret), "{}: {secret:?} in {text:?}", finding.id);
        }
        if finding.safety {
            assert!(!text.contains("money off") && !text.contains("off the price"), "{}: {text:?}", finding.id);
        }
    }
}

/// An unknown is the seller's; the buyer's own "can't tell" is another thing.
#[test]
fn an_unknown_says_whose_it_is() {
    for question in &knowledge().questions {
        for choice in question.choices().iter().filter(|choice| choice.id == "unknown") {
            let own = question.id == "water-rules";
            assert!(choice.label.contains("seller") || own, "{}: {:?}", question.id, choice.label);
        }
    }
}

#[test]
fn questions_ask_for_one_observation_and_can_be_read_in_a_breath() {
    for question in &knowledge().questions {
        assert!(question.ask.matches('?').count() == 1 && question.ask.ends_with('?'), "{}", question.id);
        assert!(!question.ask.to_lowercase().ends_with(" ok?"), "{}", question.id);
        assert!(question.ask.split_whitespace().count() <= 26, "{}: {}", question.id, question.ask);
        assert!(!question.how.is_empty() && !question.why.is_empty(), "{} has no help", question.id);
        if let Kind::One(choices) | Kind::Many(choices) | Kind::Each(choices) = &question.kind {
            assert!(choices.iter().all(|choice| choice.label.chars().count() < 60), "{}", question.id);
        }
    }
}

/// A word in a question is one everybody knows (the list beside this file) or one the glossary tells.
#[test]
fn every_word_of_a_question_is_common_or_in_the_glossary() {
    let words_of = |text: &str| -> Vec<String> {
        let lower = text.to_lowercase();
        let words = lower.split(|c: char| !c.is_ascii_lowercase() && c != '\'').map(|word| word.trim_matches('\''));
        words.filter(|word| !word.is_empty()).map(str::to_owned).collect()
    };
    let mut known: BTreeSet<String> =
        include_str!("../src/knowledge/common-words.txt").lines().map(str::to_owned).collect();
    for term in knowledge().terms.iter() {
        known.extend(words_of(&term.term));
        known.extend(term.also.iter().flat_map(|name| words_of(name)));
    }
    for question in &knowledge().questions {
        let labels = question.choices().iter().map(|choice| choice.label.as_str());
        for word in labels.chain([question.ask.as_str()]).flat_map(words_of) {
            let plural = known.contains(word.trim_end_matches('s'));
            assert!(
                plural || known.contains(&word),
                "{}: {word:?} is in neither the glossary nor the list",
                question.id
            );
        }
    }
}

/// The list of common words holds what is met in a question, in order, once.
#[test]
fn the_list_of_common_words_is_in_order_and_not_longer_than_it_has_to_be() {
    let list: Vec<&str> = include_str!("../src/knowledge/common-words.txt").lines().collect();
    assert!(list.is_sorted_by(|a, b| a < b), "not in order, or a word twice");
    let mut met: BTreeSet<String> = BTreeSet::new();
    for question in &knowledge().questions {
        let labels = question.choices().iter().map(|choice| choice.label.as_str());
        for text in labels.chain([question.ask.as_str()]) {
            let lower = text.to_lowercase();
            for word in lower.split(|c: char| !c.is_ascii_lowercase() && c != '\'') {
                met.insert(word.trim_matches('\'').to_owned());
                met.insert(word.trim_matches('\'').trim_end_matches('s').to_owned());
            }
        }
    }
    for word in list {
        assert!(met.contains(word), "{word:?} is in no question");
    }
}

/// What touches safety is put right before the sale, and is no way to get a price down.
#[test]
fn what_touches_safety_is_no_bargaining_chip() {
    for finding in knowledge().findings.iter().filter(|finding| finding.safety) {
        let said = finding.bargain.as_deref().unwrap_or_default().to_lowercase();
        for chip in ["allow for", "off the price", "into account", "price it in"] {
            assert!(!said.contains(chip), "{}: {said}", finding.id);
        }
    }
}

#[test]
fn hands_stay_out_of_the_flywheel() {
    let hazard = knowledge().hazards.iter().find(|hazard| hazard.id.as_str() == "flywheel").unwrap();
    for (text, most) in [(&hazard.text, 30), (&hazard.line, 6)] {
        assert!(text.to_lowercase().contains("hands") && text.split_whitespace().count() <= most, "{text}");
    }
}
