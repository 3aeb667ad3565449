//! The question data as people read it: grades of reading, words, sources, tools, cautions.

mod support;

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

use skeg::knowledge::{Basis, Grade, Kind, Level, Question};
use support::knowledge;

/// What the buyer reads of a question.
fn read_of(question: &Question) -> Vec<&str> {
    let mut all: Vec<&str> = vec![&question.ask, &question.why];
    all.extend(question.how.iter().map(String::as_str));
    all.extend(question.cautions.iter().map(|caution| caution.text.as_str()));
    all.extend(question.replies.iter().map(|reply| reply.text.as_str()));
    all.extend(question.wait.iter().map(|wait| wait.text.as_str()));
    for choice in question.choices() {
        all.push(&choice.label);
        all.extend(choice.reply.as_deref());
        all.extend(choice.because.as_deref());
    }
    all
}

/// Letters, words and sentences.
fn counts<'t>(texts: impl Iterator<Item = &'t str>) -> (f64, f64, f64) {
    let (mut letters, mut words, mut sentences) = (0, 0, 0);
    for text in texts {
        letters += text.chars().filter(|c| c.is_alphanumeric()).count();
        words += text.split_whitespace().filter(|word| word.chars().any(char::is_alphanumeric)).count();
        sentences +=
            text.split(['.', '!', '?', ':']).filter(|part| part.chars().any(char::is_alphanumeric)).count();
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
            questions.flat_map(read_of).chain(told.flatten().map(String::as_str)).chain([stage.about.as_str()]);
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
    for question in &knowledge().questions {
        for text in read_of(question) {
            let words: BTreeSet<String> =
                text.split(|c: char| !c.is_alphanumeric()).map(str::to_lowercase).collect();
            for word in banned {
                assert!(!words.contains(word), "{}: {word:?} in {text:?}", question.id);
            }
        }
    }
}

#[test]
fn every_source_is_cited_by_the_data_or_beside_the_code_it_backs() {
    let mut cited: BTreeSet<String> = BTreeSet::new();
    let bases = knowledge().findings.iter().map(|finding| &finding.basis);
    let bases = bases.chain(knowledge().faults.iter().map(|fault| &fault.basis));
    for basis in bases.chain(knowledge().items.iter().map(|item| &item.basis)) {
        if let Basis::Published(key) = basis {
            cited.insert(key.to_string());
        }
    }
    let cautions = knowledge().questions.iter().flat_map(|question| &question.cautions);
    let cautions = cautions.chain(knowledge().stages.iter().flat_map(|stage| &stage.cautions));
    cited.extend(cautions.filter_map(|caution| match &caution.basis {
        Basis::Published(key) => Some(key.to_string()),
        _ => None,
    }));
    // What the arithmetic and the tests rest on stands in their comments, by name.
    let by_name: BTreeMap<&str, &str> = [
        ("33cfr183.75", "33 CFR 183.75"),
        ("ussa1976", "US Standard Atmosphere 1976"),
        ("compression", "TM 5-4210-230-14&P-1"),
        ("leakdown", "AC 43.13-1B"),
        ("nonroad", "NONROAD"),
        ("40cfr1045", "40 CFR 1045.103"),
        ("ecos", "46 USC 4312"),
        ("pert", "Operations Research 7(5)"),
        ("evpi", "Raiffa, Decision Analysis"),
        ("order", "CACM 38(3)"),
        ("units", "NIST SP 811"),
        ("z535", "ANSI Z535.6"),
        ("epafamily", "EPA"),
        ("33cfr183.53", "33 CFR 183.53"),
    ]
    .into_iter()
    .collect();
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
    let pairs = [
        ("a new drain washer", "a new drain-screw washer"),
        ("a clear jar", "a clean glass jar"),
        ("a plug spanner", "a spark plug spanner"),
        ("a multimeter", "a volt meter"),
        ("rags", "a rag"),
    ];
    let tools: BTreeSet<&str> =
        knowledge().questions.iter().flat_map(|question| &question.tools).map(String::as_str).collect();
    for (one, other) in pairs {
        assert!(!(tools.contains(one) && tools.contains(other)), "{one:?} and {other:?}");
    }
    let bare = |tool: &str| {
        tool.trim_start_matches("a ").trim_start_matches("an ").trim_start_matches("the ").to_lowercase()
    };
    let mut seen: BTreeMap<String, &str> = BTreeMap::new();
    for tool in tools {
        if let Some(other) = seen.insert(bare(tool), tool) {
            panic!("{tool:?} and {other:?}");
        }
    }
}

#[test]
fn steps_that_can_hurt_have_their_caution_before_them() {
    for id in [
        "gear-oil",
        "propeller",
        "prop-shaft",
        "line-on-shaft",
        "turns-over",
        "primer-bulb",
        "fuel-leak",
        "plugs",
        "volts-cranking",
        "compression",
        "bracket",
        "mount-play",
        "trim-holds",
        "run-where",
        "starts-in-gear",
        "cold-start",
        "lanyard",
        "volts-running",
        "heads-even",
        "full-revs",
        "gps-speed",
        "afloat",
        "volts-rest",
        "stolen-check",
    ] {
        let question = knowledge().question(support::ix(id));
        let stage = &knowledge().stages[question.stage];
        let own = question.cautions.iter().chain(&stage.cautions).any(|caution| caution.level <= Level::Caution);
        assert!(own, "{id} has no caution");
        assert!(!question.cautions.is_empty() || !stage.cautions.is_empty());
    }
    let card = knowledge().stages.iter().find_map(|stage| stage.card.as_ref()).expect("a card before the start");
    assert!(card.lines.len() >= 4);
    assert!(knowledge().question(support::ix("cold-start")).card);
}

#[test]
fn stops_and_findings_say_what_a_paper_needs() {
    for finding in &knowledge().findings {
        if finding.grade == Grade::Good {
            assert!(finding.bargain.is_none() && finding.mechanic.is_none(), "{}", finding.id);
            continue;
        }
        assert!(finding.innocent.is_some() || finding.grade == Grade::Minor, "{}", finding.id);
        assert!(finding.grade != Grade::Stop || finding.clears.is_some(), "{}", finding.id);
        let text = finding.bargain.clone().unwrap_or_default();
        assert!(!text.contains('$') && !text.to_lowercase().contains("ceiling"), "{}: {text}", finding.id);
    }
}

#[test]
fn questions_ask_for_one_observation_and_can_be_read_in_a_breath() {
    for question in &knowledge().questions {
        assert!(question.ask.matches('?').count() == 1, "{}", question.id);
        assert!(question.ask.split_whitespace().count() <= 26, "{}: {}", question.id, question.ask);
        assert!(!question.how.is_empty() && !question.why.is_empty(), "{} has no help", question.id);
        if let Kind::One(choices) | Kind::Many(choices) | Kind::Each(choices) = &question.kind {
            assert!(choices.iter().all(|choice| choice.label.chars().count() < 72), "{}", question.id);
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
    let mut known: BTreeSet<String> = include_str!("common-words.txt").lines().map(str::to_owned).collect();
    for term in &knowledge().terms {
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
