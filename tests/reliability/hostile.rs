//! Hostile text in every field a stranger can fill: papers keep their shape, the terminal is not touched.

use html5gum::{Token, Tokenizer};
use markdown::mdast::Node;
use pulldown_cmark::{Event, Options, Parser, Tag};
use skeg::judge;
use skeg::{Answer, Outcome, Record, Said, Settled, Value};
use skeg::{Audience, Format, Meta, open_points, render};
use skeg::{Kind, TextForm};

use crate::support::{TODAY, knowledge, record};

const HOSTILE: [&str; 12] = [
    "<script>alert(1)</script><img src=x onerror=alert(1)>",
    "\"><svg onload=alert(1)><iframe src=http://example.org/>",
    "![x](http://example.org/x.png) [y](javascript:alert(1)) <http://example.org>",
    "\n\n# A heading\n\n---\n\n- a list\n\n```\ncode\n",
    "| a | b |\n| - | - |\n| c | d |",
    "{{ 7 * 7 }} {% include \"x\" %} ${HOME} $(id) `id`",
    "\u{1b}[2J\u{1b}]0;title\u{7}\u{9b}31m\r\u{8}",
    "\u{202e}txet neddih\u{202c} zero\u{200b}width \u{feff}\u{2066}",
    "[x] fine (1)\nPrice: 1\nPaper: other / 0123456",
    "&lt;b&gt; &#x3c;b&#x3e; &amp;amp; <!-- --> ]]> <![CDATA[ </style></title></body>",
    "= + - @ =cmd|' /C calc'!A0",
    "*a* _b_ **c** ~~d~~ <b>e</b> \\ \\\\ [^1]: x",
];

/// An interview with this text wherever text can stand.
fn filled(text: &str) -> Record {
    let mut record = record(&[("cylinders", "3"), ("currency", "EUR")]);
    for ix in knowledge().places() {
        let question = knowledge().question(ix);
        let said = match &question.kind {
            Kind::Text(TextForm::Free | TextForm::Number) => Some(Said::Value(Value::Text(text.to_owned()))),
            Kind::Text(TextForm::Currency) => Some(Said::Value(Value::Text(text.chars().take(12).collect()))),
            _ if ix.0 % 3 == 0 => Some(Said::NotDone(text.to_owned())),
            _ => record.answer(ix).said.clone(),
        };
        *record.answer_mut(ix) = Answer {
            said,
            note: Some(text.to_owned()),
            photos: vec![format!("/photos/{text}.jpg")],
            ..Answer::default()
        };
    }
    let points = open_points(&judge(knowledge(), &record, TODAY));
    let settled = points.into_iter().enumerate().map(|(place, (point, _))| Settled {
        price: (place % 3 == 1).then_some(100.0),
        words: text.to_owned(),
        ..Settled::new(point, [Outcome::Fine, Outcome::Faulty, Outcome::CantSay][place % 3])
    });
    record.settled = settled.collect();
    record
}

const READERS: [Audience; 3] = [Audience::Buyer, Audience::Mechanic, Audience::Seller];

/// The papers of each reader: Markdown, HTML, JSON.
fn papers(text: &str) -> Vec<[String; 3]> {
    let record = filled(text);
    let judgement = judge(knowledge(), &record, TODAY);
    let meta = Meta { name: "kim", date: TODAY, photos_base: None, photos: None };
    let all = |audience| {
        [Format::Markdown, Format::Html, Format::Json]
            .map(|format| render(&judgement, &meta, audience, format).unwrap())
    };
    READERS.into_iter().map(all).collect()
}

/// What of a page could fetch or run something, as a tokenizer of the HTML standard sees it.
fn acts_in_html(html: &str) -> Vec<String> {
    const BAD: [&str; 11] =
        ["script", "iframe", "svg", "object", "embed", "link", "base", "form", "img", "meta-refresh", "video"];
    let mut acts = Vec::new();
    for Ok(token) in Tokenizer::new(html) {
        let Token::StartTag(tag) = token else { continue };
        let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
        let name = text(&tag.name);
        for (key, value) in &tag.attributes {
            let (key, value) = (text(key), text(value));
            if key.starts_with("on") || key == "src" || (key == "href" && value.contains(':')) {
                acts.push(format!("{name} {key}={value}"));
            }
        }
        if BAD.contains(&name.as_str()) {
            acts.push(name);
        }
    }
    acts
}

/// The same of a paper in Markdown, as a second reader of Markdown sees it.
fn acts_in_the_other_reader(markdown: &str) -> Vec<String> {
    fn walk(node: &Node, acts: &mut Vec<String>) {
        match node {
            Node::Html(html) => acts.push(format!("html {}", html.value)),
            Node::Image(image) => acts.push(format!("picture {}", image.url)),
            Node::Link(link) if link.url.contains(':') => acts.push(format!("address {}", link.url)),
            Node::Code(_) | Node::FootnoteDefinition(_) => acts.push("a block nobody wrote".into()),
            _ => {}
        }
        for child in node.children().into_iter().flatten() {
            walk(child, acts);
        }
    }
    let mut acts = Vec::new();
    walk(&markdown::to_mdast(markdown, &markdown::ParseOptions::gfm()).unwrap(), &mut acts);
    acts
}

/// Everything a Markdown reader would make of a paper besides its words: no raw HTML, no picture, no address.
fn acts_in_markdown(markdown: &str) -> Vec<String> {
    let more = Options::ENABLE_TABLES
        | Options::ENABLE_STRIKETHROUGH
        | Options::ENABLE_FOOTNOTES
        | Options::ENABLE_TASKLISTS;
    let events = Parser::new_ext(markdown, more);
    let acts = events.filter_map(|event| match event {
        Event::Html(html) | Event::InlineHtml(html) => Some(format!("html {html}")),
        Event::Start(Tag::Image { dest_url, .. }) => Some(format!("picture {dest_url}")),
        Event::Start(Tag::Link { dest_url, .. }) if dest_url.contains(':') => Some(format!("address {dest_url}")),
        Event::Start(Tag::CodeBlock(_) | Tag::FootnoteDefinition(_)) => Some("a block nobody wrote".into()),
        _ => None,
    });
    acts.collect()
}

fn headings(markdown: &str) -> usize {
    Parser::new(markdown).filter(|event| matches!(event, Event::Start(Tag::Heading { .. }))).count()
}

/// For `browser.mjs`, where `SKEG_PAGES` names a folder: the HTML paper, and the Markdown one as a reader that lets
/// raw HTML and every address through would show it.
fn kept_for_a_browser(name: &str, markdown: &str, html: &str) {
    let Some(folder) = std::env::var_os("SKEG_PAGES").map(std::path::PathBuf::from) else { return };
    let all_through = markdown::CompileOptions {
        allow_dangerous_html: true,
        allow_dangerous_protocol: true,
        ..markdown::CompileOptions::gfm()
    };
    let options = markdown::Options { parse: markdown::ParseOptions::gfm(), compile: all_through };
    let shown = markdown::to_html_with_options(markdown, &options).unwrap();
    std::fs::write(folder.join(format!("{name}.html")), html).unwrap();
    std::fs::write(folder.join(format!("{name}-markdown.html")), shown).unwrap();
}

#[test]
fn no_hostile_text_acts_in_any_paper() {
    let plain = papers("plain words");
    let mut looked = 0;
    for text in HOSTILE {
        for (reader, ([markdown, html, json], [plain, plain_html, _])) in
            papers(text).iter().zip(&plain).enumerate()
        {
            let allowed =
                [acts_in_markdown(plain), acts_in_the_other_reader(plain), acts_in_html(plain_html)].concat();
            let found =
                [acts_in_markdown(markdown), acts_in_the_other_reader(markdown), acts_in_html(html)].concat();
            let found: Vec<&String> = found.iter().filter(|act| !allowed.contains(act)).collect();
            assert!(found.is_empty(), "{:?} {text:?}: {found:?}", READERS[reader]);
            assert_eq!(headings(markdown), headings(plain), "{:?} {text:?}", READERS[reader]);
            for shown in [markdown, html] {
                assert!(!shown.chars().any(|c| c != '\n' && c.is_control()), "{:?} {text:?}", READERS[reader]);
            }
            serde_json::from_str::<serde_json::Value>(json).unwrap();
            kept_for_a_browser(&format!("{looked}"), markdown, html);
            looked += 3;
        }
    }
    println!("{looked} papers with hostile text, none acts");
}

#[test]
fn hostile_names_and_keys_are_told_without_acting() {
    let folder = tempfile::tempdir().unwrap();
    for (place, text) in HOSTILE.iter().enumerate() {
        let file = folder.path().join(format!("{place}.json"));
        let key = serde_json::to_string(text).unwrap();
        std::fs::write(&file, format!("{{ \"answers\": {{ {key}: {key}, \"gear-oil\": {key} }} }}")).unwrap();
        let ran = crate::support::skeg().args(["replay", file.to_str().unwrap()]).run();
        assert_eq!(ran.status, Some(1));
        let lines = ran.err.lines().count();
        assert!(lines <= 4, "no line of its own: {}", ran.err);
        assert!(!ran.err.chars().any(|c| c != '\n' && skeg::acts(c)), "{:?}", ran.err);
        std::fs::write(&file, format!("{{ {key}: 1 }}")).unwrap();
        let ran = crate::support::skeg().args(["replay", file.to_str().unwrap()]).run();
        assert!(!ran.err.chars().any(|c| c != '\n' && skeg::acts(c)), "{:?}", ran.err);
        let questions = tempfile::tempdir().unwrap();
        std::fs::write(
            questions.path().join("01-a.json"),
            format!("{{ \"stage\": {{ {key}: {key}, \"id\": {key} }} }}"),
        )
        .unwrap();
        let ran = crate::support::skeg()
            .args(["questions", "check", "--questions", questions.path().to_str().unwrap()])
            .run();
        assert_eq!(ran.status, Some(1));
        assert!(!ran.err.chars().any(|c| c != '\n' && skeg::acts(c)), "{:?}", ran.err);
        // And typed: shown again without acting.
        let typed = format!("{}\nn {}\n", text.replace('\n', " "), text.replace('\n', " "));
        let ran = crate::support::skeg().args(["start", "kim", "--plain"]).typed(&typed).run();
        assert!(!ran.out.chars().any(|c| c != '\n' && skeg::acts(c)), "{:?}", ran.out);
    }
}
