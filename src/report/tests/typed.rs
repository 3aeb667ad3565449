//! Typed text and random interviews: whatever is typed, a paper keeps its structure and can be read back.

use proptest::prelude::*;

use super::super::paper::{FilledPoint, Known, read_paper};
use super::super::testing::{AUDIENCES, judged, paper, random_record};
use super::super::words::typed;
use super::super::{Audience, Format};
use super::secrets::gives_nothing_away;
use super::{check_html, check_markdown, flat, html_tags, structure};

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
        let printed = paper(&hostile, &text, Audience::Mechanic, Format::Markdown);
        let filled = read_paper(&printed, &Known::new(hostile.knowledge(), &printed, None)).expect("a paper");
        prop_assert!(filled.points.iter().all(FilledPoint::is_blank) && filled.loose.is_empty(), "{:?}", filled);
        prop_assert!(filled.cells.is_empty() && filled.also.is_empty() && filled.last.is_empty(), "{:?}", filled);
        prop_assert_eq!(filled.of.map(|of| of.0), Some(typed(&text)));
        prop_assert_eq!(filled.points.len(), printed.matches("[ ] faulty").count());
        for audience in AUDIENCES {
            // Words that name a sum are left out of the mechanic's paper, and their heading with them.
            let told = |printed: &str| printed.contains("## Only the seller's word");
            let as_plain = paper(&plain, "plain", audience, Format::Markdown);
            if audience == Audience::Mechanic && told(&as_plain) && !told(&printed) {
                continue;
            }
            let (tags, _) = structure(&as_plain);
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
