//! What must not be told to whom: no figure of the buyer's in the seller's paper, no money or odds in the mechanic's.

use std::collections::BTreeSet;

use super::super::testing::{KNOWLEDGE, judged, paper, samples};
use super::super::view::{Scene, Seller};
use super::super::{Audience, Format, Judgement, bare, words};
use super::PHRASE;

/// A paper without its tags, style and entities.
fn shown(text: &str) -> String {
    let body = text.split("</style>").last().unwrap_or("");
    let body = body.split("<script>").next().unwrap_or("");
    let mut parts = body.split('<');
    let mut shown = parts.next().unwrap_or("").to_owned();
    for part in parts {
        shown.push(' ');
        shown.push_str(part.split_once('>').map_or(part, |(_, text)| text));
    }
    shown.replace("&#39;", "'").replace("&#x27;", "'").replace("&quot;", "\"").replace("&amp;", "&")
}

/// Whether "about 1 in 8" stands anywhere; "about 1 in below the hull" is a length.
fn tells_odds(body: &str) -> bool {
    let digit = |sign: char| sign.is_ascii_digit();
    body.split("about ").skip(1).filter(|behind| behind.starts_with(digit)).any(|behind| {
        let after = behind.trim_start_matches(digit).strip_prefix(" in ");
        after.is_some_and(|after| after.starts_with(digit))
    })
}

#[test]
fn odds_are_told_from_lengths() {
    assert!(tells_odds("it is about 19 in 20 (94 %)") && tells_odds("about 1 in 8"));
    assert!(!tells_odds("about 1 in below the hull") && !tells_odds("about a year"));
}

/// The numbers in a text, marks between digits included.
fn numbers(text: &str) -> BTreeSet<String> {
    let parts = text.split(|sign: char| !(sign.is_ascii_digit() || matches!(sign, '.' | ',')));
    parts.map(|part| part.trim_matches(['.', ','])).filter(|part| !part.is_empty()).map(str::to_owned).collect()
}

/// Every number the seller may see: of the motor, of what was seen, of repairs, and of the data's own words.
fn numbers_for_seller(judgement: &Judgement<'_>) -> BTreeSet<String> {
    let meta = bare(judgement);
    let scene = Scene::new(judgement, &meta, Audience::Seller);
    let view = Seller::of(&scene);
    let mut allowed = numbers(&format!("{} {}", view.head.motor, view.head.date));
    allowed.extend((1..=view.points.len()).map(|place| place.to_string()));
    // How many smaller matters there are besides those named.
    allowed.extend(numbers(view.besides.as_deref().unwrap_or_default()));
    for line in &judgement.money.lines {
        allowed.extend(numbers(&scene.purse.span(line.size.low, line.size.high)));
    }
    for fired in &judgement.findings.fired {
        let finding = &KNOWLEDGE.findings[fired.finding.0];
        allowed.extend(numbers(&format!("{:?}", finding.bargain)));
        for ix in &fired.answers {
            let question = KNOWLEDGE.question(*ix);
            let value = match judgement.path.live.standing(*ix) {
                // One choice a cylinder is told by their numbers.
                crate::answers::Standing::Value(crate::answers::Value::Each(all)) => {
                    (1..=all.choices().len()).map(|number| format!("{number} ")).collect()
                }
                crate::answers::Standing::Value(value) if !question.private => value.to_text(),
                _ => String::new(),
            };
            let labels: Vec<&str> = question.choices().iter().map(|choice| choice.label.as_str()).collect();
            allowed.extend(numbers(&format!("{value} {labels:?} {}", question.brief)));
        }
    }
    for fault in &KNOWLEDGE.faults {
        allowed.extend(numbers(&fault.seller));
    }
    allowed
}

/// What would give the buyer away, as it would be written.
fn secrets(judgement: &Judgement<'_>) -> BTreeSet<String> {
    let money = &judgement.money;
    let mut sums: Vec<f64> =
        money.asking.into_iter().chain(money.know_all).chain(money.look).chain(money.ordinary).collect();
    sums.extend(money.net.iter().flat_map(|(low, high)| [*low, *high]));
    sums.extend(money.hinge.iter().flat_map(|hinge| [hinge.fine, hinge.faulty]));
    sums.extend(money.value.iter().flat_map(|value| value.figures.iter().copied().chain([value.mean()])));
    sums.extend(money.offers.iter().flat_map(|offers| [offers.opening, offers.aim, offers.ceiling]));
    sums.extend(money.how_sure.iter().flat_map(|sure| [sure.least, sure.most]));
    sums.extend(money.fee.iter().map(|fee| fee.sum));
    sums.extend(
        money
            .cost
            .iter()
            .flat_map(|cost| [cost.mean(), cost.quantile(0.1), cost.quantile(0.5), cost.quantile(0.9)]),
    );
    let written = |sum: &f64| [words::grouped(*sum), words::grouped(words::rounded(*sum))];
    sums.iter().flat_map(written).chain(["4311", "4019", "4457"].map(str::to_owned)).collect()
}

pub fn gives_nothing_away(judgement: &Judgement<'_>, told: &str) {
    let allowed = numbers_for_seller(judgement);
    for format in [Format::Markdown, Format::Html] {
        let text = paper(judgement, "motor-7", Audience::Seller, format);
        let body = shown(&text);
        let found = numbers(&body);
        let hidden: Vec<&String> = found
            .iter()
            .filter(|number| secrets(judgement).contains(*number) && !allowed.contains(*number))
            .collect();
        assert!(hidden.is_empty(), "{told}: {hidden:?}");
        let odd: Vec<&String> = found.difference(&allowed).collect();
        assert!(odd.is_empty(), "{told}: {odd:?}");
        for word in ["motor-7", "ceiling", "chance", "offer of", "aim", "undecided", "Leave it", "comparable"] {
            assert!(!body.split_whitespace().any(|here| here == word), "{told}: {word}");
        }
        assert!(!tells_odds(&body), "{told}");
    }
}

#[test]
fn the_sellers_paper_gives_nothing_away() {
    for (name, record) in samples() {
        gives_nothing_away(&judged(&record), name);
    }
}

#[test]
fn the_test_for_secrets_would_notice_one() {
    let all = samples();
    let judgement = judged(&all.iter().find(|(name, _)| *name == "milky").unwrap().1);
    let offers = judgement.money.offers.expect("offers");
    let ceiling = words::grouped(offers.ceiling);
    assert!(secrets(&judgement).contains(&ceiling) && !numbers_for_seller(&judgement).contains(&ceiling));
}

#[test]
fn the_mechanics_paper_holds_no_money_and_no_chances() {
    for (name, record) in samples().into_iter().filter(|(name, _)| *name != "settled") {
        let judgement = judged(&record);
        for format in [Format::Markdown, Format::Html] {
            let text = paper(&judgement, "m", Audience::Mechanic, format);
            let body = shown(&text);
            for word in ["EUR", "4137", "4311", "ceiling", "worth up to", "likely", PHRASE] {
                assert!(!body.contains(word), "{name}: {word}");
            }
            assert!(!tells_odds(&body), "{name}");
            let found = numbers(&body);
            let money: Vec<String> =
                secrets(&judgement).into_iter().filter(|sum| sum.len() > 3 && found.contains(sum)).collect();
            assert!(money.is_empty(), "{name}: {money:?}");
        }
    }
}
