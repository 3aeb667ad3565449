//! HTML of a mail to lines: blocks end lines, what was struck through is gone, strong type keeps its marks.

/// Tags that end a line.
const BLOCKS: &[&str] = &[
    "p",
    "div",
    "br",
    "li",
    "tr",
    "h1",
    "h2",
    "h3",
    "h4",
    "blockquote",
    "pre",
    "ul",
    "ol",
    "table",
    "section",
    "article",
    "hr",
    "dt",
    "dd",
];
/// What stands inside these is none of the text.
const HIDDEN: &[&str] = &["style", "script", "head", "title", "s", "del", "strike", "template"];

/// Whether a text is HTML rather than a text with an angle bracket in it.
#[must_use]
pub fn looks_like_html(text: &str) -> bool {
    let lower = text.to_ascii_lowercase();
    ["<html", "<body", "<div", "<br", "<p>", "<p ", "<blockquote", "<table"].iter().any(|tag| lower.contains(tag))
}

/// The lines a reader of the HTML would see.
#[must_use]
pub fn plain_text(html: &str) -> String {
    let mut out = String::new();
    let mut hidden: Vec<String> = Vec::new();
    let mut pre = 0usize;
    let mut rest = html;
    while !rest.is_empty() {
        if let Some(comment) = rest.strip_prefix("<!--") {
            rest = comment.split_once("-->").map_or("", |(_, after)| after);
        } else if let Some((tag, after)) = tag_at(rest) {
            rest = after;
            note_tag(&tag, &mut hidden, &mut pre, &mut out);
        } else {
            let first = rest.chars().next().map_or(0, char::len_utf8);
            let next = rest[first..].find('<').map_or(rest.len(), |place| place + first);
            if hidden.is_empty() {
                add_text(&mut out, &rest[..next], pre > 0);
            }
            rest = &rest[next..];
        }
    }
    out.lines().map(str::trim_end).collect::<Vec<_>>().join("\n")
}

/// A tag: its name, whether it closes, what stands in it.
struct Tag {
    name: String,
    closes: bool,
    inside: String,
}

fn tag_at(text: &str) -> Option<(Tag, &str)> {
    let inner = text.strip_prefix('<')?;
    if !inner.starts_with(|sign: char| sign.is_ascii_alphabetic() || sign == '/' || sign == '!' || sign == '?') {
        return None;
    }
    let (inside, after) = inner.split_once('>')?;
    let closes = inside.starts_with('/');
    let name: String = inside.trim_start_matches('/').chars().take_while(char::is_ascii_alphanumeric).collect();
    Some((Tag { name: name.to_ascii_lowercase(), closes, inside: inside.to_ascii_lowercase() }, after))
}

fn note_tag(tag: &Tag, hidden: &mut Vec<String>, pre: &mut usize, out: &mut String) {
    let name = tag.name.as_str();
    if HIDDEN.contains(&name) {
        if tag.closes {
            hidden.retain(|open| open != name);
        } else if !tag.inside.ends_with('/') {
            hidden.push(name.to_owned());
        }
        return;
    }
    if !hidden.is_empty() {
        return;
    }
    if name == "pre" {
        *pre = if tag.closes { pre.saturating_sub(1) } else { *pre + 1 };
    }
    if name == "br" || (BLOCKS.contains(&name) && !out.is_empty() && !out.ends_with('\n')) {
        out.push('\n');
    }
    match name {
        "b" | "strong" => out.push_str("**"),
        "td" | "th" if tag.closes => out.push(' '),
        "input" if tag.inside.contains("checkbox") => {
            out.push_str(if tag.inside.contains("checked") { "[x] " } else { "[ ] " });
        }
        _ => {}
    }
}

fn add_text(out: &mut String, text: &str, as_it_stands: bool) {
    let text = unescaped(text);
    if as_it_stands {
        out.push_str(&text);
        return;
    }
    let starts_blank = text.starts_with(char::is_whitespace);
    let words = text.split_whitespace().collect::<Vec<_>>().join(" ");
    if words.is_empty() {
        if !out.ends_with([' ', '\n']) && !out.is_empty() {
            out.push(' ');
        }
        return;
    }
    if starts_blank && !out.ends_with([' ', '\n']) && !out.is_empty() {
        out.push(' ');
    }
    out.push_str(&words);
    if text.ends_with(char::is_whitespace) {
        out.push(' ');
    }
}

/// The named and numbered characters that mail programs write.
fn unescaped(text: &str) -> String {
    const NAMED: &[(&str, char)] = &[
        ("amp", '&'),
        ("lt", '<'),
        ("gt", '>'),
        ("quot", '"'),
        ("apos", '\''),
        ("nbsp", ' '),
        ("rsquo", '\u{2019}'),
        ("lsquo", '\u{2018}'),
        ("ndash", '\u{2013}'),
        ("mdash", '\u{2014}'),
        ("euro", '\u{20ac}'),
        ("pound", '\u{a3}'),
        ("check", '\u{2713}'),
        ("hellip", '\u{2026}'),
    ];
    let mut plain = String::new();
    let mut rest = text;
    while let Some((before, after)) = rest.split_once('&') {
        plain.push_str(before);
        let end = after.find(';').filter(|end| *end <= 8);
        let sign = end.and_then(|end| {
            let name = &after[..end];
            let number = name.strip_prefix('#').and_then(|digits| match digits.strip_prefix(['x', 'X']) {
                Some(hex) => u32::from_str_radix(hex, 16).ok(),
                None => digits.parse().ok(),
            });
            let named = NAMED.iter().find(|(known, _)| *known == name).map(|(_, sign)| *sign);
            named.or_else(|| number.and_then(char::from_u32))
        });
        match (sign, end) {
            (Some(sign), Some(end)) => {
                plain.push(sign);
                rest = &after[end + 1..];
            }
            _ => {
                plain.push('&');
                rest = after;
            }
        }
    }
    plain + rest
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_mail_in_html_gives_its_lines() {
        let html = "<html><head><style>p{}</style></head><body><p>Hello,</p><blockquote><div>1 gears: <b>[&#x2713;] fine</b> <s>[ ] faulty</s></div><div>no&nbsp;chips &amp; dry</div></blockquote></body></html>";
        assert_eq!(plain_text(html), "Hello,\n1 gears: **[\u{2713}] fine**\nno chips & dry");
        assert!(looks_like_html(html) && !looks_like_html("under < 5 and > 3"));
    }

    #[test]
    fn lines_that_stand_as_they_are_stay_so() {
        assert_eq!(plain_text("<pre>a  b\nc</pre><p>d\n e</p>"), "a  b\nc\nd e");
    }
}
