//! Whole papers: every template for every record, typed text that can't act, and what must not be told to whom.

use std::collections::BTreeSet;

use proptest::prelude::*;
use pulldown_cmark::{Event, Options, Parser, Tag};

use super::testing::{AUDIENCES, KNOWLEDGE, judged, paper, random_record, record, samples};
use super::view::{Scene, Seller};
use super::words::typed;
use super::*;

const PHRASE: &str = "typical, from memory; get a quote";

/// The structure of a Markdown paper: its tags in order, and its text.
fn structure(markdown: &str) -> (Vec<String>, String) {
    let (mut tags, mut text) = (Vec::new(), String::new());
    let more = Options::ENABLE_TABLES
        | Options::ENABLE_STRIKETHROUGH
        | Options::ENABLE_TASKLISTS
        | Options::ENABLE_FOOTNOTES;
    for event in Parser::new_ext(markdown, more) {
        match event {
            Event::Start(Tag::Link { .. }) => tags.push("link".to_owned()),
            Event::Start(tag) => tags.push(format!("{tag:?}")),
            Event::End(tag) => tags.push(format!("/{tag:?}")),
            Event::Text(part) | Event::Code(part) => text.push_str(&part),
            Event::SoftBreak => text.push(' '),
            other => tags.push(format!("{other:?}")),
        }
    }
    (tags, text)
}

/// The tags of an HTML paper without where links go.
fn html_tags(html: &str) -> Vec<String> {
    let tag = |part: &str| {
        let inside = part.split('>').next().unwrap_or("");
        inside.split(" href=\"").next().unwrap_or("").to_owned()
    };
    html.split('<').skip(1).map(tag).collect()
}

#[test]
fn every_template_fits_every_record() {
    for (name, record) in samples() {
        let judgement = judged(&record);
        for audience in AUDIENCES {
            let markdown = paper(&judgement, name, audience, Format::Markdown);
            check_markdown(&markdown, &format!("{name}, {audience:?}"));
            check_html(&paper(&judgement, name, audience, Format::Html), &format!("{name}, {audience:?}"));
        }
    }
}

fn check_markdown(text: &str, told: &str) {
    assert!(text.starts_with("# ") && text.ends_with('\n') && !text.ends_with("\n\n"), "{told}");
    assert!(!text.contains("\n\n\n") && !text.contains(" \n") && !text.contains('\t'), "{told}");
    let mut headings = BTreeSet::new();
    for line in text.lines() {
        let folds = line.split(' ').count() > 2 && !line.starts_with('|');
        assert!(line.chars().count() <= 80 || !folds, "{told}: {line}");
        assert!(!line.starts_with('#') || headings.insert(line.to_owned()), "{told}: twice {line}");
    }
    let (tags, _) = structure(text);
    assert!(
        !tags.iter().any(|tag| tag.contains("Html") || tag.contains("Rule") || tag.contains("HardBreak")),
        "{told}"
    );
    no_word_to_avoid(text, told);
}

fn check_html(text: &str, told: &str) {
    assert!(text.starts_with("<!DOCTYPE html>") && text.contains("<html lang=\"en\">"), "{told}");
    let count = |what: &str| text.matches(what).count();
    assert_eq!((count("<h1>"), count("<script"), count("http")), (1, 0, 0), "{told}");
    for tag in
        ["section", "article", "ul", "li", "p", "table", "tr", "td", "th", "dl", "dt", "dd", "svg", "figure", "div"]
    {
        let opened = count(&format!("<{tag}>")) + count(&format!("<{tag} "));
        assert_eq!(opened, count(&format!("</{tag}>")), "{told}: {tag}");
    }
    for table in text.split("<table>").skip(1) {
        assert!(table.contains("scope=\"col\""), "{told}");
    }
    for svg in text.split("<svg").skip(1) {
        assert!(svg.contains("<title id=") && svg.contains("<desc id="), "{told}");
    }
}

fn no_word_to_avoid(text: &str, told: &str) {
    const AVOID: [&str; 9] =
        ["user", "input", "invalid", "error", "please", "simply", "severity", "score", "rating"];
    for word in text.split(|sign: char| !sign.is_alphanumeric()) {
        assert!(!AVOID.contains(&word.to_lowercase().as_str()), "{told}: {word}");
    }
}

fn buyer(which: &str) -> String {
    let all = samples();
    let (_, record) = all.iter().find(|(name, _)| *name == which).unwrap();
    paper(&judged(record), which, Audience::Buyer, Format::Markdown)
}

/// The paper on one line, so that words can be looked for however they were folded.
fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn the_parts_of_the_report_stand_in_order() {
    let text = buyer("milky");
    let places: Vec<usize> = [
        "# 40 hp four-stroke, 2017, seen on 3 May 2026",
        "**Not to be decided yet",
        "Your ceiling today",
        "## What was found",
        "### Serious",
        "### Minor",
        "### Good signs",
        "## What was measured",
        "## What was not checked, and why",
        "### Not ruled out",
        "## What may be wrong, and what it costs",
        "### The total",
        "## What to say to the seller",
        "## What to check next",
        "## What would change this",
        "## What to ask a mechanic",
        "## After buying",
        "## Cautions and limits",
        "## Sources",
    ]
    .iter()
    .map(|part| text.find(part).unwrap_or_else(|| panic!("{part} is missing")))
    .collect();
    assert!(places.is_sorted(), "{places:?}");
}

#[test]
fn every_block_with_worked_out_sums_says_what_they_are() {
    for (name, record) in samples() {
        let judgement = judged(&record);
        let text = paper(&judgement, name, Audience::Buyer, Format::Markdown);
        let sign = Scene::new(&judgement, &bare(&judgement), Audience::Buyer).purse.sign().to_owned();
        for block in text.split("\n## ") {
            let told = flat(block)
                .replace(&format!("Asked: 4137 {sign}"), "")
                .replace("41,000 kr", "")
                .replace("533 EUR; in their words", "");
            let behind = |(place, _): (usize, &str)| told[..place].ends_with(|sign: char| sign.is_ascii_digit());
            let has_sums = told.match_indices(&format!(" {sign}")).any(behind) || told.contains('$');
            let own_words = block.starts_with("What a mechanic") || block.contains("Settled by");
            assert!(!has_sums || own_words || block.contains(PHRASE), "{name}: {block}");
        }
    }
}

#[test]
fn a_stop_leaves_no_price_and_says_who_clears_it() {
    let text = flat(&buyer("stopped"));
    assert!(text.contains("**Leave it as it stands: a spark plug is wet with oil that stays.**"));
    assert!(text.contains("No price is named while a stop stands."));
    assert!(text.contains("What would clear it:") && text.contains("A licensed mechanic, with clean plugs"));
    assert!(!text.contains("Your ceiling today"));
}

#[test]
fn what_is_not_known_is_said_with_its_reason() {
    let text = flat(&buyer("leaking"));
    assert!(text.contains("nobody could tell, so it is taken as \"still nothing on the stick\""), "{text}");
    assert!(text.contains("The look ended early:") && text.contains("Left out because of that:"));
    let text = flat(&buyer("milky"));
    assert!(text.contains("Height above the sea: not done: \"no map at hand\""));
    assert!(text.contains("Leak-down test: nobody could tell"));
}

#[test]
fn readings_are_drawn_in_the_buyers_unit() {
    let text = buyer("sound");
    assert!(text.contains("```text\n1 ####"), "{text}");
    assert!(text.contains("13.1 bar"));
    let text = flat(&buyer("uneven"));
    assert!(text.contains("lie apart, so look at the test before the motor"));
}

#[test]
fn without_costs_the_reason_stands() {
    let text = flat(&buyer("other-money"));
    assert!(text.contains("Prices here are in kr"));
    assert!(!text.contains("### The total"));
}

#[test]
fn what_a_mechanic_settled_is_told() {
    let text = flat(&buyer("settled"));
    assert!(text.contains("a mechanic found it, so it is sure"));
    assert!(text.contains("faulty, 533 EUR; in their words: \"torn lip\""));
    let all = samples();
    let judgement = judged(&all.iter().find(|(name, _)| *name == "settled").unwrap().1);
    assert!(!open_points(&judgement).iter().any(|(code, _)| code == "gearcase-seals"));
    let paper = flat(&paper(&judgement, "m", Audience::Mechanic, Format::Markdown));
    assert!(paper.contains("## Settled before - The gearcase seals leak: faulty"), "{paper}");
}

#[test]
fn notes_and_photos_stand_in_the_report() {
    let text = buyer("noted");
    assert!(text.contains("- Gear oil: \"looked at it twice\""));
    assert!(text.contains("[photos/a 1.jpg](photos/a%201.jpg)"));
    let all = samples();
    let judgement = judged(&all.iter().find(|(name, _)| *name == "noted").unwrap().1);
    for audience in [Audience::Mechanic, Audience::Seller] {
        assert!(!paper(&judgement, "m", audience, Format::Markdown).contains("looked at it twice"));
    }
}

#[test]
fn the_sentences_of_the_terminal_are_those_of_the_report() {
    for (name, record) in samples() {
        let judgement = judged(&record);
        let text = flat(&paper(&judgement, name, Audience::Buyer, Format::Markdown));
        assert!(text.contains(&format!("**{}**", verdict_sentence(&judgement))), "{name}");
        assert!(price_sentence(&judgement).is_none_or(|said| text.contains(&said)), "{name}");
        let picture = cost_picture(&judgement, 60);
        assert!(picture.iter().all(|line| line.len() <= 60));
        assert_eq!(picture.is_empty(), judgement.money.cost.is_none());
        assert!(text.starts_with(&format!("# {}, seen on", motor_line(&judgement.path))));
    }
}

/// A paper without its tags, style and entities.
fn shown(text: &str) -> String {
    let body = text.split("</style>").last().unwrap_or("");
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
    for (place, point) in judgement.points.iter().enumerate() {
        allowed.insert((place + 1).to_string());
        if let Some(size) = point.size {
            allowed.extend(numbers(&scene.purse.span(size.low, size.high)));
        }
        let finding = &KNOWLEDGE.findings[point.finding.0];
        allowed.extend(numbers(&format!("{:?} {:?}", finding.bargain, finding.clears)));
        let fired = judgement.findings.fired.iter().find(|fired| fired.finding == point.finding).unwrap();
        for ix in &fired.answers {
            let question = KNOWLEDGE.question(*ix);
            let value = match judgement.path.live.standing(*ix) {
                // One choice a cylinder is told by their numbers.
                crate::answers::Standing::Value(crate::answers::Value::Each(all)) => {
                    (1..=all.len()).map(|number| format!("{number} ")).collect()
                }
                crate::answers::Standing::Value(value) => value.to_text(),
                _ => String::new(),
            };
            let labels: Vec<&str> = question.choices().iter().map(|choice| choice.label.as_str()).collect();
            allowed.extend(numbers(&format!("{value} {labels:?} {}", question.brief)));
        }
    }
    for fault in &KNOWLEDGE.faults {
        allowed.extend(numbers(&format!("{} {}", fault.settle, fault.seller)));
    }
    allowed
}

/// What would give the buyer away, as it would be written.
fn secrets(judgement: &Judgement<'_>) -> BTreeSet<String> {
    let money = &judgement.money;
    let mut sums: Vec<f64> = money.asking.into_iter().chain(money.know_all).chain(money.ordinary).collect();
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

fn gives_nothing_away(judgement: &Judgement<'_>, told: &str) {
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

#[test]
fn each_stop_has_its_own_point_and_each_fault_only_one() {
    let stops = record(&[
        ("strokes", "four"),
        ("plugs", "metal"),
        ("turns-over", "free"),
        ("submerged", "signs"),
        ("gearcase-outside", "cracked"),
    ]);
    let judgement = judged(&stops);
    let codes: Vec<String> = open_points(&judgement).into_iter().map(|(code, _)| code).collect();
    for stop in &judgement.verdict.stops {
        assert!(codes.contains(&KNOWLEDGE.findings[stop.0].id.to_string()), "{codes:?}");
    }
    assert_eq!(codes.iter().collect::<BTreeSet<_>>().len(), codes.len(), "{codes:?}");
    assert!(!codes.iter().any(|code| code == "rings-bore-piston" || code == "gearcase-crack"), "{codes:?}");
}

/// Text as somebody might type it who means no good, or only likes signs.
fn typed_text() -> impl Strategy<Value = String> {
    let bits = prop::sample::select(vec![
        "| a | b |",
        "</p><script>alert(1)</script>",
        "<b>",
        "``` ",
        "`code`",
        "# head",
        "## 1. x [gears]",
        "- [x] fine (1)",
        "1. one",
        "[a](http://b.example)",
        "![i](j)",
        "[a]: /b",
        "> quoted",
        "---",
        "===",
        "***",
        "* * *",
        "\\",
        "&amp;",
        "&lt;",
        "\n\n# new\n",
        "\r\n- item",
        "\u{7}\u{1b}[2J",
        "\u{202e}\u{5d0}\u{5d1}\u{5d2}",
        "\u{200f}",
        "~~~",
        "~~gone~~",
        "{{ x }}",
        "{% raw %}",
        "http://a.example",
        "www.a.example",
        "me@a.example",
        "Price: 5",
        "Note:",
        "Paper: x / 0123456",
        "\"quoted'",
        "| --- |",
        "plain",
        "4,100",
        "\u{ffff}",
        "]]>",
        "<!-- c",
        "-->",
        "^1",
        "[^1]: n",
        "\t",
        "    code",
        "+ plus",
        "  ",
    ]);
    let some = prop::collection::vec(bits, 1..9).prop_map(|bits| bits.join(" "));
    prop_oneof![6 => some.clone(), 2 => "\\PC{1,60}", 1 => some.prop_map(|text| text.repeat(10_000 / text.len().max(1) + 1))]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(if cfg!(debug_assertions) { 24 } else { 300 }))]

    #[test]
    fn typed_text_never_changes_the_structure(picks in prop::collection::vec(any::<u16>(), 1..40), text in typed_text()) {
        prop_assume!(!typed(&text).is_empty());
        let (plain, hostile) = (random_record(&picks, "plain"), random_record(&picks, &text));
        let (plain, hostile) = (judged(&plain), judged(&hostile));
        let filled = super::paper::read_paper(&paper(&hostile, &text, Audience::Mechanic, Format::Markdown)).expect("a paper");
        prop_assert!(filled.points.iter().all(super::paper::FilledPoint::is_blank) && filled.loose.is_empty(), "{:?}", filled);
        prop_assert_eq!(filled.name, typed(&text));
        prop_assert_eq!(filled.points.len(), open_points(&hostile).len());
        for audience in AUDIENCES {
            let (tags, _) = structure(&paper(&plain, "plain", audience, Format::Markdown));
            let (own_tags, own_text) = structure(&paper(&hostile, &text, audience, Format::Markdown));
            prop_assert_eq!(&tags, &own_tags, "{:?}", audience);
            if audience == Audience::Buyer && picks.iter().any(|pick| pick % 23 == 0) {
                let shown = flat(&own_text).contains(&flat(&typed(&text)));
                prop_assert!(shown || !own_tags.contains(&"link".to_owned()), "the text itself is shown");
            }
            let html = html_tags(&paper(&plain, "plain", audience, Format::Html));
            let own_html = paper(&hostile, &text, audience, Format::Html);
            prop_assert_eq!(html, html_tags(&own_html), "{:?}", audience);
            for link in own_html.split(" href=\"").skip(1) {
                let link = link.split('"').next().unwrap_or("");
                prop_assert!(link.chars().all(|sign| sign.is_ascii_alphanumeric() || "-._/%#".contains(sign)), "{}", link);
            }
            prop_assert!(!own_html.chars().any(|sign| sign.is_control() && sign != '\n'));
        }
    }

    #[test]
    fn random_interviews_make_sound_papers(picks in prop::collection::vec(any::<u16>(), 1..60)) {
        let record = random_record(&picks, "some words");
        let judgement = judged(&record);
        for audience in AUDIENCES {
            check_markdown(&paper(&judgement, "motor-7", audience, Format::Markdown), "random");
            check_html(&paper(&judgement, "motor-7", audience, Format::Html), "random");
        }
        gives_nothing_away(&judgement, "random");
    }
}
