//! Sixty ways to answer one line, each through three ways a mail comes back: the right outcome, or a question.

use super::*;

/// What a way has to be read as.
#[derive(Clone, Copy, Debug)]
enum Is {
    Fine,
    /// With a price, or none where it is nought.
    Faulty(f64),
    CantSay,
    /// Unclear: to be asked about.
    Asked,
    Blank,
}
use Is::{Asked, Blank, CantSay, Faulty, Fine};

/// What stands behind the key; `|` parts lines.
const WAYS: &[(&str, Is)] = &[
    ("[ ] fine  [ ] faulty  [ ] can't say  price ______", Blank),
    ("[x] fine  [ ] faulty  [ ] can't say  price ______", Fine),
    ("[X] fine  [ ] faulty  [ ] can't say  price ______", Fine),
    ("[ x ] fine  [ ] faulty  [ ] can't say  price ______", Fine),
    ("[x ] fine [ ] faulty [ ] can't say price", Fine),
    ("[\u{2713}] fine  [ ] faulty  [ ] can't say  price ______", Fine),
    ("[\u{2714}] fine  [ ] faulty  [ ] can't say  price ______", Fine),
    ("[\u{2705}] fine  [ ] faulty  [ ] can't say  price ______", Fine),
    ("[v] fine  [ ] faulty  [ ] can't say  price ______", Fine),
    ("[*] fine  [ ] faulty  [ ] can't say  price ______", Fine),
    ("[+] fine  [ ] faulty  [ ] can't say  price ______", Fine),
    ("[yes] fine  [ ] faulty  [ ] can't say  price ______", Fine),
    ("[\u{2717}] fine  [ ] faulty  [ ] can't say  price ______", Fine),
    ("(x) fine  ( ) faulty  ( ) can't say  price ______", Fine),
    ("(X) fine", Fine),
    ("x fine  [ ] faulty  [ ] can't say  price ______", Fine),
    ("X fine", Fine),
    ("\u{2714} fine", Fine),
    ("\u{2714}\u{fe0f} fine", Fine),
    ("\u{2705} fine", Fine),
    ("\u{2611} fine  \u{2610} faulty  \u{2610} can't say  price ______", Fine),
    ("\u{2611}\u{fe0f} fine \u{2610} faulty", Fine),
    ("\u{2612} fine  \u{2610} faulty  \u{2610} can't say", Fine),
    ("\u{1f5f9} fine  \u{2610} faulty  \u{2610} can't say", Fine),
    ("\u{2610} fine  \u{2610} faulty  \u{2610} can't say  price ______", Blank),
    ("**fine**", Fine),
    ("**[ ] fine**  [ ] faulty  [ ] can't say  price ______", Fine),
    ("[ ] **fine**  [ ] faulty  [ ] can't say  price ______", Fine),
    ("fine", Fine),
    ("Fine.", Fine),
    ("FINE", Fine),
    ("[ ] fine", Fine),
    ("[x] fine", Fine),
    ("fine, pressure held 10 min", Fine),
    ("[x] fine, pressure held 10 min  [ ] faulty  [ ] can't say  price ______", Fine),
    ("[ ] fine \u{2713}  [ ] faulty  [ ] can't say  price ______", Fine),
    ("[ ] fine x  [ ] faulty  [ ] can't say  price ______", Fine),
    ("[ ] fine  [ ] faulty  [ ] can't say  price ______|fine", Fine),
    ("[ ] fine  [ ] faulty  [ ] can't say  price ______|fine, dry as a bone", Fine),
    ("[ ] fine  [ ] faulty  [ ] can't say  price ______||fine", Fine),
    ("~~[ ] faulty  [ ] can't say  price ______~~ fine", Fine),
    ("[ ] fine  [x] faulty  [ ] can't say  price ______", Faulty(0.0)),
    ("[ ] fine  [x] faulty  [ ] can't say  price 450", Faulty(450.0)),
    ("[ ] fine  [x] faulty  [ ] can't say  price: 450", Faulty(450.0)),
    ("[ ] fine  [x] faulty  [ ] can't say  price __450__", Faulty(450.0)),
    ("[ ] fine  [x] faulty  [ ] can't say  price $450.00", Faulty(450.0)),
    ("[ ] fine  [x] faulty  [ ] can't say  price 450,00", Faulty(450.0)),
    ("[ ] fine  [x] faulty  [ ] can't say  price 450 EUR", Faulty(450.0)),
    ("[ ] fine  [x] faulty  [ ] can't say  **price 450**", Faulty(450.0)),
    ("[ ] fine  [x] faulty  [ ] can't say  price 450, both seals", Faulty(450.0)),
    ("faulty 450", Faulty(450.0)),
    ("faulty, 450", Faulty(450.0)),
    ("[x] faulty  450 both seals", Faulty(450.0)),
    ("faulty price 450", Faulty(450.0)),
    ("[ ] fine  [ ] faulty  [ ] can't say  price ______|faulty 450", Faulty(450.0)),
    ("[ ] fine  [ ] faulty  [x] can't say  price ______", CantSay),
    ("[ ] fine  [ ] faulty  [x] can\u{2019}t say  price ______", CantSay),
    ("[x] cannot say", CantSay),
    ("can't say without a tank", CantSay),
    ("[x] fine  [x] faulty  [ ] can't say  price ______", Asked),
    ("[?] fine  [ ] faulty  [ ] can't say  price ______", Asked),
    ("[ ] fine  [ ] faulty  [ ] can't say  price ______|not so good", Asked),
    ("[ ] fine  [ ] faulty  [ ] can't say  price 450", Asked),
    ("[x] fine  [ ] faulty  [ ] can't say  price 450", Asked),
    ("not fine", Asked),
    ("[x fine  [ ] faulty  [ ] can't say  price ______", Asked),
    ("fine [x] faulty [ ] can't say [ ]", Asked),
    ("see below, needs seals", Asked),
    ("\u{274c} fine \u{2705} faulty", Faulty(0.0)),
];

/// A way a paper comes back.
type Wrapping = (&'static str, fn(&str) -> String);

fn as_it_was(text: &str) -> String {
    text.to_owned()
}

/// Quoted, with long lines broken at fifty columns, under a greeting.
fn quoted_and_broken(text: &str) -> String {
    let mut out = "Hello, see below.\n\nOn Monday you wrote:\n".to_owned();
    for line in text.lines() {
        let mut row = String::new();
        for word in line.split_whitespace() {
            if row.chars().count() + word.chars().count() + 1 > 50 && !row.is_empty() {
                out.push_str(&format!("> {row}\n"));
                row.clear();
            }
            if !row.is_empty() {
                row.push(' ');
            }
            row.push_str(word);
        }
        out.push_str(&format!("> {row}\n"));
    }
    out + "\n-- \nthe workshop by the lock\n"
}

/// A saved mail in HTML, in quoted-printable as most programs write it.
fn html_mail(text: &str) -> String {
    let escaped = text.replace('&', "&amp;").replace('<', "&lt;");
    let strong: Vec<String> = escaped.split("**").map(str::to_owned).collect();
    let body: String = strong
        .iter()
        .enumerate()
        .map(|(place, part)| if place % 2 == 1 { format!("<b>{part}</b>") } else { part.clone() })
        .collect();
    let struck: Vec<&str> = body.split("~~").collect();
    let body: String = struck
        .iter()
        .enumerate()
        .map(|(place, part)| if place % 2 == 1 { format!("<s>{part}</s>") } else { (*part).to_owned() })
        .collect();
    let html = format!("<html><body><blockquote>{}</blockquote></body></html>", body.replace('\n', "<br>\n"));
    let mut coded = String::new();
    for line in html.lines() {
        let mut row = String::new();
        for byte in line.bytes() {
            let sign = if byte == b'=' || !(32..127).contains(&byte) {
                format!("={byte:02X}")
            } else {
                char::from(byte).to_string()
            };
            if row.len() + sign.len() > 75 {
                coded.push_str(&format!("{row}=\r\n"));
                row.clear();
            }
            row.push_str(&sign);
        }
        coded.push_str(&format!("{row}\r\n"));
    }
    format!(
        "MIME-Version: 1.0\r\nContent-Type: text/html; charset=utf-8\r\nContent-Transfer-Encoding: quoted-printable\r\n\r\n{coded}"
    )
}

const WRAPPINGS: [Wrapping; 3] =
    [("as it was", as_it_was), ("quoted", quoted_and_broken), ("html mail", html_mail)];

#[test]
fn sixty_ways_of_ticking_in_three_wrappings() {
    assert!(WAYS.len() >= 60);
    let mut wrong = Vec::new();
    for (name, wrapping) in WRAPPINGS {
        for (way, is) in WAYS {
            let text = with_line("gearcase-seals", |line| {
                let head = line.split(':').next().unwrap();
                format!("{head}: {}", way.replace('|', "\n"))
            });
            let filled = read(&text_of(wrapping(&text).as_bytes()).unwrap());
            let point = filled.points.iter().find(|point| point.code == "gearcase-seals").unwrap();
            if !fits(point, *is) {
                wrong.push(format!("{name}: {way:?} is {is:?}, read as {point:?}"));
            }
            let others = filled.points.iter().filter(|point| point.code != "gearcase-seals");
            for other in others.filter(|other| !other.is_blank()) {
                wrong.push(format!("{name}: {way:?} also {other:?}"));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

fn fits(point: &FilledPoint, is: Is) -> bool {
    let price = match &point.price {
        Reading::Said(price) => price.sum,
        _ => 0.0,
    };
    match is {
        Fine => point.outcome == Reading::Said(Outcome::Fine),
        Faulty(sum) => point.outcome == Reading::Said(Outcome::Faulty) && (price - sum).abs() < 1e-9,
        CantSay => point.outcome == Reading::Said(Outcome::CantSay),
        Asked => matches!(point.outcome, Reading::Unclear(_)),
        Blank => point.is_blank(),
    }
}

#[test]
fn words_of_the_mechanic_are_kept() {
    let words = |way: &str| {
        let text = with_line("gearcase-seals", |line| {
            format!("{}: {}", line.split(':').next().unwrap(), way.replace('|', "\n"))
        });
        let filled = read(&text);
        filled.points.into_iter().find(|point| point.code == "gearcase-seals").unwrap().words
    };
    assert_eq!(
        words("[x] fine, pressure held 10 min  [ ] faulty  [ ] can't say  price ______"),
        "pressure held 10 min"
    );
    assert_eq!(words("[ ] fine  [x] faulty  [ ] can't say  price 450|the lip is torn"), "the lip is torn");
    assert_eq!(words("[ ] fine  [ ] faulty  [x] can't say without a tank  price ______"), "without a tank");
}

#[test]
fn an_answer_below_a_quoted_line_is_read_too() {
    let printed = "[ ] fine  [ ] faulty  [ ] can't say  price ______";
    let answers = [("fine", Fine), ("fine, held 10 min", Fine), ("faulty 450", Faulty(450.0)), ("[x] fine", Fine)];
    for quote in ["> ", "| ", ">> ", "> > "] {
        for (answer, is) in answers.into_iter().chain([("can't say", CantSay), ("needs new seals", Asked)]) {
            for gap in ["", "\n"] {
                let text = with_line("gearcase-seals", str::to_owned);
                let quoted: Vec<String> = text
                    .lines()
                    .map(|line| {
                        let below = if line.contains("gearcase-seals:") && line.contains(printed) {
                            format!("\n{gap}{answer}\n{gap}")
                        } else {
                            String::new()
                        };
                        format!("{quote}{line}{below}")
                    })
                    .collect();
                let filled = read(&quoted.join("\n"));
                let point = filled.points.iter().find(|point| point.code == "gearcase-seals").unwrap();
                assert!(fits(point, is), "{quote:?} {answer:?} {gap:?}: {point:?}");
                let others = filled.points.iter().filter(|other| other.code != "gearcase-seals");
                assert!(others.into_iter().all(FilledPoint::is_blank), "{quote:?} {answer:?}");
            }
        }
    }
}
