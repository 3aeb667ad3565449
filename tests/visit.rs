//! What a visit costs: words on the screen, boxes, ways, moves of the cowl, runs of the engine, counted in whole talks
//! of five kinds of motor. `SKEG_VISIT_TABLE=1 cargo test --test visit -- --nocapture` prints the table.

mod support;

use std::collections::BTreeSet;

use support::kinds::KINDS;
use support::talk::{Answering, Sat, Sitting};

/// What one talk came to.
#[derive(Debug, Default)]
struct Count {
    minutes: String,
    looks: usize,
    /// Words that are read, headers, keys, boxes and replies included; what is typed and its echo, the page before the
    /// drive and the verdict left out.
    words: usize,
    /// The same from the plan of the visit on.
    beside: usize,
    boxes: usize,
    /// Words of hazards: in full, and as lines.
    in_full: usize,
    in_lines: usize,
    places: usize,
    cowl: usize,
    runs: usize,
    /// Words of each question beside the motor, its header and box included.
    each: Vec<usize>,
}

fn words(line: &str) -> usize {
    line.split_whitespace().filter(|word| word.chars().any(char::is_alphanumeric)).count()
}

/// The keys of one letter in the line of keys.
fn letters(line: &str) -> usize {
    line.split_whitespace().filter(|word| word.len() == 1 && word.chars().all(char::is_alphabetic)).count()
}

/// The text without the parts from a line that holds the first words to one that holds the second.
fn without(text: &str, from: &str, to: &str) -> String {
    let mut kept = String::new();
    let mut inside = false;
    for line in text.lines() {
        inside |= line.contains(from);
        if !inside {
            kept.push_str(line);
            kept.push('\n');
        }
        inside &= !line.contains(to);
    }
    kept
}

/// The station of a header such as `Leg, 15/41, 43 min`.
fn station(line: &str) -> Option<&str> {
    let (place, minutes) = line.rsplit_once(", ")?;
    let (station, number) = place.rsplit_once(", ")?;
    (minutes.ends_with(" min") && number.contains('/')).then_some(station)
}

const LEVELS: [&str; 4] = ["DANGER", "WARNING", "CAUTION", "NOTICE"];

fn counted(sat: &Sat) -> Count {
    let said = without(&sat.talked, "Send the seller", "A good place to stop");
    let said = without(&said, "Known from home", "A good place to stop");
    let said = without(&said, "Where it stands", "What now is open");
    let mut count = Count::default();
    let (mut beside, mut echo, mut boxed) = (false, false, false);
    let (mut here, mut cowl_off) = ("", false);
    for line in said.lines() {
        if let Some(minutes) = line.split(" looks, about ").nth(1) {
            beside = true;
            minutes.split(' ').next().unwrap_or("").clone_into(&mut count.minutes);
        }
        let typed = line.starts_with("> ");
        echo = line.starts_with("  = ") || echo && line.starts_with("    ");
        if typed || echo {
            continue;
        }
        if let Some(now) = station(line) {
            count.looks += 1;
            count.each.push(0);
            count.places += usize::from(now != here && !here.is_empty());
            here = now;
            let must = match now {
                "Cowl off" => Some(true),
                "Running" => Some(false),
                _ => None,
            };
            count.cowl += usize::from(must.is_some_and(|off| off != cowl_off));
            cowl_off = must.unwrap_or(cowl_off);
        }
        let level = LEVELS.iter().any(|level| line.starts_with(level));
        count.boxes += usize::from(level && beside);
        boxed = level || boxed && !line.trim().is_empty() && !line.starts_with("! ");
        count.runs += usize::from(line.contains("Enter when read"));
        // Key letters are no words, and what is asked at home afterwards is not read beside the motor.
        let number = if line.starts_with('(') { words(line) - letters(line) } else { words(line) };
        beside &= !line.starts_with("At home, ");
        count.words += number;
        if beside {
            count.beside += number;
            count.in_full += if boxed { number } else { 0 };
            count.in_lines += if line.starts_with("! ") { number } else { 0 };
            if let Some(last) = count.each.last_mut() {
                *last += number;
            }
        }
    }
    count
}

/// A talk of that kind of motor with so many minutes; with none, everything.
fn sitting(changes: &[(&str, &str)], minutes: &str) -> Sat {
    let home = tempfile::tempdir().unwrap();
    let mut answers = Answering::example("sound-motor").but("visit-minutes", minutes);
    for (id, text) in changes {
        answers = answers.but(id, text);
    }
    if minutes != "480" {
        answers = answers.leaving_after_the_plan();
    }
    let sat = Sitting::start(home.path(), 80, &["start", "kim"]).answered(&mut answers);
    assert_eq!(sat.status, Some(0), "{}", sat.err);
    sat
}

#[test]
fn a_visit_keeps_within_what_a_person_can_read_and_walk() {
    let table = std::env::var_os("SKEG_VISIT_TABLE").is_some();
    let lengths: &[&str] = if table { &["30", "60", "90", "480"] } else { &["60", "480"] };
    let mut broken = BTreeSet::new();
    for (kind, changes) in KINDS {
        for minutes in lengths {
            let sat = sitting(changes, minutes);
            let count = counted(&sat);
            let mut each = count.each.clone();
            each.sort_unstable();
            let mean = count.each.iter().sum::<usize>() / count.each.len().max(1);
            if let Some(folder) = std::env::var_os("SKEG_VISIT_TALKS") {
                let name = format!("{}-{minutes}.txt", kind.replace([' ', ',', '.'], "-"));
                std::fs::write(std::path::Path::new(&folder).join(name), &sat.talked).unwrap();
            }
            println!(
                "{kind:26} {minutes:>3} min: {:3} looks, announced {:>3}; words {:5}, beside {:4}, {mean} a look, most {}; boxes {:2}, in full {:3}, in lines {:3}; places {:2}, cowl {}, runs {}",
                count.looks,
                count.minutes,
                count.words,
                count.beside,
                each.last().unwrap_or(&0),
                count.boxes,
                count.in_full,
                count.in_lines,
                count.places,
                count.cowl,
                count.runs
            );
            let mut holds = |what: &str, found: usize, most: usize| {
                if found > most {
                    broken.insert(format!("{kind}, {minutes} min: {what} {found}, at most {most}"));
                }
            };
            holds("words", count.words, 7800);
            holds("words a look", mean, 75);
            if *minutes == "60" {
                // 3,200 are wanted; a small motor's short looks let fifty into the hour.
                holds("words beside the motor", count.beside, 3350);
            }
            holds("boxes", count.boxes, 22);
            holds("words of hazards", count.in_full + count.in_lines, 900);
            holds("moves of the cowl", count.cowl, 4);
            holds("runs", count.runs, 3);
        }
    }
    assert!(broken.is_empty(), "{broken:#?}");
}
