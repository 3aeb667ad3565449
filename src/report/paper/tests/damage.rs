//! Papers with lines lost, moved, repeated and joined, with signs lost and put in: nothing is ever misread.

use proptest::prelude::*;

use super::super::{Reading, read_paper};
use super::{HANDS, Hand, filled_by, points_only, same};
use crate::answers::Outcome;

/// Ways to damage a paper.
#[derive(Clone, Debug)]
enum Harm {
    DropLine(usize),
    DropLines(usize, usize),
    SwapLines(usize, usize),
    RepeatLine(usize),
    MoveLine(usize, usize),
    JoinLine(usize),
    DropSign(usize),
    PutSign(usize, char),
    FlipBox(usize),
}

fn harm() -> impl Strategy<Value = Harm> {
    let place = 0..100_000_usize;
    prop_oneof![
        3 => place.clone().prop_map(Harm::DropLine),
        2 => (place.clone(), 1..9_usize).prop_map(|(at, count)| Harm::DropLines(at, count)),
        2 => (place.clone(), place.clone()).prop_map(|(a, b)| Harm::SwapLines(a, b)),
        1 => place.clone().prop_map(Harm::RepeatLine),
        2 => (place.clone(), place.clone()).prop_map(|(a, b)| Harm::MoveLine(a, b)),
        2 => place.clone().prop_map(Harm::JoinLine),
        3 => place.clone().prop_map(Harm::DropSign),
        3 => (place.clone(), prop::sample::select("[]x(#):-1\n >*\\\u{5d0}\u{2611}".chars().collect::<Vec<_>>())).prop_map(|(at, sign)| Harm::PutSign(at, sign)),
        3 => place.prop_map(Harm::FlipBox),
    ]
}

fn harmed(text: &str, harms: &[Harm]) -> String {
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    for harm in harms {
        let count = lines.len().max(1);
        match harm {
            _ if lines.len() < 2 => {}
            Harm::DropLine(at) => drop(lines.remove(at % count)),
            Harm::DropLines(at, many) => drop(lines.drain(at % count..(at % count + many).min(count))),
            Harm::SwapLines(a, b) => lines.swap(a % count, b % count),
            Harm::RepeatLine(at) => lines.insert(at % count, lines[at % count].clone()),
            Harm::MoveLine(from, to) => {
                let line = lines.remove(from % count);
                lines.insert(to % (count - 1), line);
            }
            Harm::JoinLine(at) => {
                let line = lines.remove(at % (count - 1) + 1);
                lines[at % (count - 1)].push_str(&format!(" {line}"));
            }
            Harm::DropSign(at) => {
                let line = &mut lines[at % count];
                *line = line
                    .chars()
                    .enumerate()
                    .filter(|(place, _)| *place != at / 97 % 12)
                    .map(|(_, sign)| sign)
                    .collect();
            }
            Harm::PutSign(at, sign) => {
                let line = &mut lines[at % count];
                let place = line.char_indices().map(|(place, _)| place).nth(at / 97 % 12).unwrap_or(line.len());
                line.insert(place, *sign);
            }
            Harm::FlipBox(at) => {
                let line = &mut lines[at % count];
                *line = if line.contains("[ ]") { line.replace("[ ]", "[x]") } else { line.replace("[x]", "[ ]") };
            }
        }
    }
    lines.join("\n")
}

/// A text without blanks and quote marks, and where the headings with known codes stand in it.
struct Flat<'c> {
    text: String,
    codes: &'c [String],
    heads: Vec<(usize, usize)>,
}

impl<'c> Flat<'c> {
    fn new(text: &str, codes: &'c [String]) -> Self {
        let left_out = |sign: char| sign.is_whitespace() || matches!(sign, '\'' | '\u{2019}' | '>' | '\\');
        let text: String = text.chars().filter(|sign| !left_out(*sign)).collect();
        let mut heads = Vec::new();
        for (place, code) in codes.iter().enumerate() {
            heads.extend(text.match_indices(&format!("[{code}]")).map(|(at, _)| (at, place)));
        }
        Self { text, codes, heads }
    }

    /// Whether a ticked box with this label stands between the heading with this code and the next known one, or
    /// bears the number this point was printed with, or stands beside one that does.
    fn has_near(&self, code: &str, outcome: Outcome) -> bool {
        let label = match outcome {
            Outcome::Fine => "fine",
            Outcome::Faulty => "faulty",
            Outcome::CantSay => "cant",
        };
        let Some(point) = self.codes.iter().position(|other| other == code) else { return true };
        let number = point + 1;
        ["[x]", "[*]", "[xx]", "[x*]", "[*x]", "\u{2611}"].iter().any(|mark| {
            let box_ = format!("{mark}{label}");
            let own = [
                format!("{box_}({number})"),
                format!("({number}){box_}"),
                format!("({number})-{box_}"),
                format!("({number})*{box_}"),
            ];
            own.iter().any(|own| self.text.contains(own))
                || self.sections(point).any(|section| section.contains(&box_))
        })
    }

    fn sections(&self, point: usize) -> impl Iterator<Item = &str> {
        self.heads.iter().filter(move |(_, here)| *here == point).map(|(start, _)| {
            let end = self.heads.iter().map(|(at, _)| *at).filter(|at| at > start).min();
            &self.text[*start..end.unwrap_or(self.text.len())]
        })
    }
}

proptest! {
    // An unhurried build looks at ten thousand.
    #![proptest_config(ProptestConfig::with_cases(if cfg!(debug_assertions) { 2_000 } else { 10_000 }))]

    #[test]
    fn damaged_papers_are_never_misread(harms in prop::collection::vec(harm(), 1..9), hand in 0..HANDS.len(), which in 0..2_usize) {
        thread_local! {
            static PAPERS: [(String, Vec<String>); 2] = [points_only("milky"), points_only("stopped")];
        }
        PAPERS.with(|papers| {
            let (text, codes) = &papers[which];
            let hand = &HANDS[hand];
            let plain = Hand { name: hand.name, mark: "[x]", price: hand.price, after: same };
            let text = (hand.after)(&harmed(&filled_by(&plain, text), &harms));
            if let Ok(filled) = read_paper(&text) {
                let flat = Flat::new(&text, codes);
                for point in &filled.points {
                    if let Reading::Said(outcome) = point.outcome {
                        prop_assert!(flat.has_near(&point.code, outcome), "{:?}", point);
                    }
                }
            }
            Ok(())
        })?;
    }

    #[test]
    fn any_text_is_read_or_refused(text in "(Paper: m / 0123456|## 1\\. A \\[a\\]|- \\[x\\] fine|Price:|Note:|\\PC{0,5}|\n| |>){0,40}") {
        let _ = read_paper(&text);
    }
}
