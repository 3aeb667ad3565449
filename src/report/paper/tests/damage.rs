//! Papers with lines lost, moved, repeated and joined, with signs lost and put in: nothing is ever misread.

use proptest::prelude::*;

use super::*;

/// Ways to damage a paper.
#[derive(Clone, Debug)]
enum Harm {
    DropLine(usize),
    DropLines(usize, usize),
    SwapLines(usize, usize),
    RepeatLine(usize),
    JoinLine(usize),
    BreakLine(usize, usize),
}

fn harm() -> impl Strategy<Value = Harm> {
    let place = 0..100_000_usize;
    prop_oneof![
        3 => place.clone().prop_map(Harm::DropLine),
        2 => (place.clone(), 1..9_usize).prop_map(|(at, count)| Harm::DropLines(at, count)),
        2 => (place.clone(), place.clone()).prop_map(|(a, b)| Harm::SwapLines(a, b)),
        1 => place.clone().prop_map(Harm::RepeatLine),
        2 => place.clone().prop_map(Harm::JoinLine),
        2 => (place.clone(), place).prop_map(|(at, column)| Harm::BreakLine(at, column)),
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
            Harm::JoinLine(at) => {
                let line = lines.remove(at % (count - 1) + 1);
                lines[at % (count - 1)].push_str(&format!(" {line}"));
            }
            Harm::BreakLine(at, column) => {
                let line = lines[at % count].clone();
                let blanks: Vec<usize> = line.match_indices(' ').map(|(place, _)| place).collect();
                if let Some(place) = blanks.get(column % blanks.len().max(1)) {
                    lines[at % count] = line[..*place].to_owned();
                    lines.insert(at % count + 1, line[place + 1..].to_owned());
                }
            }
        }
    }
    lines.join("\n") + "\n"
}

/// Points in turn faulty at 450, fine, left open.
fn filled_in() -> (String, Vec<(String, Option<Outcome>)>) {
    let mut text = MILKY.text.clone();
    let mut wanted = Vec::new();
    for (place, code) in MILKY.codes.iter().enumerate() {
        let line = MILKY.text.lines().find(|line| line.contains(&format!("{code}: [ ]"))).unwrap();
        let (new, outcome) = match place % 3 {
            0 => (line.replace("[ ] faulty", "[x] faulty").replace("______", "450"), Some(Outcome::Faulty)),
            1 => (line.replace("[ ] fine", "[x] fine"), Some(Outcome::Fine)),
            _ => (line.to_owned(), None),
        };
        text = text.replace(line, &new);
        wanted.push((code.clone(), outcome));
    }
    (text, wanted)
}

#[test]
fn points_in_turn_are_read() {
    let (text, wanted) = filled_in();
    let filled = read(&text);
    for (code, outcome) in wanted {
        let point = filled.points.iter().find(|point| point.code == code).unwrap();
        let read = outcome.map_or(Reading::Blank, Reading::Said);
        assert_eq!(point.outcome, read, "{code}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(if cfg!(debug_assertions) { 150 } else { 2000 }))]

    #[test]
    fn a_damaged_paper_is_never_misread(harms in prop::collection::vec(harm(), 0..7)) {
        let (text, wanted) = filled_in();
        if let Ok(filled) = read_paper(&harmed(&text, &harms), &known(&MILKY.text)) {
            for (code, outcome) in wanted {
                let Some(point) = filled.points.iter().find(|point| point.code == code) else { continue };
                if let Reading::Said(said) = point.outcome {
                    prop_assert_eq!(Some(said), outcome, "{}: {:?}", code, point);
                }
            }
        }
    }

    #[test]
    fn any_text_is_read_or_refused(text in "(Paper: m / 0123456|1 gears: |\\[x\\] fine|\\[ \\] faulty|price|compression: c1|\\PC{0,5}|\n| |>){0,40}") {
        let _ = read_paper(&text, &known(&MILKY.text));
    }

    #[test]
    fn any_bytes_are_text_or_told(bytes in prop::collection::vec(any::<u8>(), 0..200)) {
        let _ = text_of(&bytes);
    }
}
