//! The last hand on a paper: lines joined, folded and set apart.
//!
//! It knows the few shapes the templates write: headings, lists one or two deep, tables, fenced blocks, paragraphs.
//! A line is never broken before a word that would start a block there, nor inside words in backticks.

use unicode_width::UnicodeWidthStr;

use super::table::line_up;
use super::{WIDTH, starts_block};

/// Words that are looked for in papers and so must stand on one line.
const TOGETHER: [&str; 2] = ["typical, from memory; get a quote", BOX];
/// A box to tick, as it stands in Markdown.
const BOX: &str = "\\[ ]";

/// One block of the paper.
#[derive(Debug)]
enum Block {
    Heading(String),
    /// With its marker and how far it is set in.
    Item {
        indent: usize,
        marker: String,
        text: String,
    },
    Paragraph(String),
    Table(Vec<String>),
    Fenced(Vec<String>),
}

impl Block {
    fn is_item(&self) -> bool {
        matches!(self, Self::Item { .. })
    }
}

/// The paper with folded lines, lined-up tables, single blank lines between blocks, one line end at its end.
#[must_use]
pub fn tidy(source: &str) -> String {
    let blocks = blocks_of(source);
    let mut lines: Vec<String> = Vec::new();
    for (place, block) in blocks.iter().enumerate() {
        let list_goes_on = block.is_item() && place > 0 && blocks[place - 1].is_item();
        if place > 0 && !list_goes_on {
            lines.push(String::new());
        }
        match block {
            Block::Heading(text) => lines.push(text.clone()),
            Block::Item { indent, marker, text } => {
                let first = format!("{}{marker} ", " ".repeat(*indent));
                lines.extend(fold(&guarded(text), &first, &" ".repeat(first.len())));
            }
            Block::Paragraph(text) => lines.extend(fold(&guarded(text), "", "")),
            Block::Table(rows) => lines.extend(line_up(rows)),
            Block::Fenced(rows) => lines.extend(rows.iter().cloned()),
        }
    }
    lines.iter().map(|line| line.trim_end().to_owned() + "\n").collect()
}

fn blocks_of(source: &str) -> Vec<Block> {
    let mut blocks: Vec<Block> = Vec::new();
    // Whether the last block can take another line.
    let mut open = false;
    let mut fenced = false;
    for line in source.lines() {
        let text = line.trim();
        if let (true, Some(Block::Fenced(rows))) = (fenced, blocks.last_mut()) {
            fenced = text != "```";
            rows.push(if fenced { line.trim_end().to_owned() } else { text.to_owned() });
            continue;
        }
        if text.is_empty() {
            open = false;
            continue;
        }
        let joined = open && join(&mut blocks, text);
        if !joined {
            let block = block_of(line);
            fenced = matches!(block, Block::Fenced(_));
            open = !matches!(block, Block::Heading(_));
            blocks.push(block);
        }
    }
    blocks
}

/// Adds the line to the last block if it belongs there.
fn join(blocks: &mut [Block], line: &str) -> bool {
    match blocks.last_mut() {
        Some(Block::Table(rows)) if line.starts_with('|') => rows.push(line.to_owned()),
        Some(Block::Item { text, .. } | Block::Paragraph(text)) if goes_on(line) => {
            text.push(' ');
            text.push_str(line);
        }
        _ => return false,
    }
    true
}

fn goes_on(line: &str) -> bool {
    !line.starts_with(['#', '|']) && !line.starts_with("```") && split_marker(line).is_none()
}

fn block_of(line: &str) -> Block {
    let text = line.trim();
    if text.starts_with("```") {
        return Block::Fenced(vec![text.to_owned()]);
    }
    if text.starts_with('#') {
        return Block::Heading(text.split_whitespace().collect::<Vec<_>>().join(" "));
    }
    if text.starts_with('|') {
        return Block::Table(vec![text.to_owned()]);
    }
    match split_marker(text) {
        Some((marker, rest)) => {
            let indent = line.len() - line.trim_start().len();
            Block::Item { indent, marker: marker.to_owned(), text: rest.to_owned() }
        }
        None => Block::Paragraph(text.to_owned()),
    }
}

/// A list item's marker and text. Templates make no numbered lists: a number with a point is the end of a sentence.
fn split_marker(text: &str) -> Option<(&str, &str)> {
    text.split_once(' ').filter(|(marker, _)| *marker == "-")
}

/// The text with its first word kept from acting: what the templates meant to act was taken off before.
fn guarded(text: &str) -> String {
    let first = text.split(' ').next().unwrap_or("");
    if !starts_block(first) {
        return text.to_owned();
    }
    let place = if first.starts_with(|sign: char| sign.is_ascii_digit()) { first.len() - 1 } else { 0 };
    format!("{}\\{}", &text[..place], &text[place..])
}

/// Breaks a text into lines of at most [`WIDTH`] columns, if its words allow.
fn fold(text: &str, first: &str, others: &str) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = first.to_owned();
    let mut bare = true;
    for word in words_of(text) {
        let fits = line.width() + 1 + word.width() <= WIDTH;
        if !bare && !fits {
            lines.push(std::mem::replace(&mut line, others.to_owned()));
            bare = true;
        }
        if !bare {
            line.push(' ');
        }
        line.push_str(&word);
        bare = false;
    }
    lines.push(line);
    lines
}

/// The words of a text, what must stay together as one: words in backticks, a number and its `%`, a box to tick and the
/// first word behind it, and a word that would start a block with the one before it.
fn words_of(text: &str) -> Vec<String> {
    let mut text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    for phrase in TOGETHER {
        text = text.replace(phrase, &phrase.replace(' ', "\n"));
    }
    let mut words: Vec<String> = Vec::new();
    let mut in_code = false;
    for word in text.split(' ') {
        match words.last_mut() {
            Some(last) if in_code || word.starts_with('%') || starts_block(word) || last.ends_with(BOX) => {
                last.push(' ');
                last.push_str(&word.replace('\n', " "));
            }
            _ => words.push(word.replace('\n', " ")),
        }
        in_code ^= unescaped_ticks(word) % 2 == 1;
    }
    words
}

fn unescaped_ticks(word: &str) -> usize {
    word.replace("\\`", "").matches('`').count()
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use pulldown_cmark::{Event, Parser};

    use super::super::escape;
    use super::*;

    #[test]
    fn blocks_are_joined_and_set_apart() {
        let rough = "# Head\nOne line\nand another.\n\n\n- first\n  goes on\n- second\n## Next\n| a | b |\n|---|--:|\n| 1 | 2 |\nAfter.\n";
        let want = "# Head\n\nOne line and another.\n\n- first goes on\n- second\n\n## Next\n\n| a   |   b |\n| --- | --: |\n| 1   |   2 |\n\nAfter.\n";
        assert_eq!(tidy(rough), want);
        assert_eq!(tidy(want), want);
    }

    /// A box that stood at the end of a line was torn in two, or stood away from what it is for.
    #[test]
    fn a_box_stays_whole_and_beside_its_word() {
        for filler in 50..76 {
            let line = format!("- {} \\[ ] held fast \\[ ] dropped", "x".repeat(filler));
            let folded = tidy(&line);
            assert!(folded.contains("\\[ ] held") && folded.contains("\\[ ] dropped"), "{folded}");
        }
    }

    #[test]
    fn a_number_at_the_start_of_a_line_is_no_list() {
        assert_eq!(tidy("it costs\n2711. That pays.\n"), "it costs 2711. That pays.\n");
        assert_eq!(tidy("2711. That pays.\n- 3. So does this.\n"), "2711\\. That pays.\n\n- 3\\. So does this.\n");
    }

    #[test]
    fn fenced_lines_stay() {
        let fenced = "```text\n 1 ####   |  90\n\n- 2\n```\n";
        assert_eq!(tidy(fenced), fenced);
    }

    #[test]
    fn no_line_begins_with_a_word_that_acts() {
        let filler = "word ".repeat(15);
        for word in ["-", "1.", "2017.", "#", ">", "=", "+", "---"] {
            let text = format!("{filler}and {word} then some more words after it");
            let folded = tidy(&text);
            assert!(folded.lines().all(|line| !line.starts_with(word)), "{folded}");
        }
    }

    #[test]
    fn the_phrase_about_figures_is_never_broken() {
        for length in 1..40 {
            let text = format!("{} typical, from memory; get a quote.", "ab ".repeat(length));
            assert!(tidy(&text).contains(TOGETHER[0]));
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(500))]

        #[test]
        fn folding_changes_no_word(text in "([-+#>=*_0-9a-z.)|`\\\\]{1,9} ){1,60}") {
            let escaped = escape(&text);
            let folded = tidy(&format!("- item {escaped}\n\n{escaped}\n"));
            let mut texts = vec![String::new()];
            for event in Parser::new_ext(&folded, pulldown_cmark::Options::ENABLE_TABLES) {
                match event {
                    Event::Text(part) => texts.last_mut().unwrap().push_str(&part),
                    Event::SoftBreak => texts.last_mut().unwrap().push(' '),
                    Event::End(pulldown_cmark::TagEnd::List(_)) => texts.push(String::new()),
                    Event::Start(pulldown_cmark::Tag::Heading { .. } | pulldown_cmark::Tag::Table(_)) | Event::Rule | Event::Code(_) => panic!("{folded}"),
                    _ => {}
                }
            }
            let text = text.trim();
            prop_assert_eq!(texts, vec![format!("item {text}"), text.to_owned()]);
        }
    }
}
