//! Lists: several choices in one breath, and a choice for each cylinder.

use super::decide::{TAKEN, asks, certainty, denials_count, may_be_taken, ranked, read_one};
use super::frame::Frame;
use super::lexicon::Lexicon;
use super::score::fits;
use super::sentence::{Sentence, sentence};
use super::{Meant, Reading};

/// Less than this is likeness of letters.
const EVIDENT: f64 = 0.5;

/// Reads a text at a question that takes several choices.
pub fn read_many(lexicon: &Lexicon, frame: &Frame, read: &Sentence, text: &str) -> Reading {
    if let Some(reading) = all_but(lexicon, frame, text, read.year) {
        return reading;
    }
    if read.segments < 2 {
        return read_one(lexicon, frame, read, text);
    }
    let whole = read_one(lexicon, frame, read, text);
    let mut picked: Vec<usize> = Vec::new();
    let mut sure = f64::INFINITY;
    let mut may = true;
    let mut praised: Vec<usize> = Vec::new();
    for segment in 0..read.segments {
        let fits = fits(lexicon, frame, read, Some(segment));
        let ranked = ranked(&fits);
        let Some(&first) = ranked.first() else {
            // A part nobody can read may be one more on the list; a number only says which one.
            let words = read.letters.iter().filter(|word| word.segment == segment);
            let said = words.into_iter().any(|word| !word.text.contains(|sign: char| sign.is_ascii_digit()));
            may &= !(said && read.tokens.iter().any(|token| token.segment == segment && token.content));
            continue;
        };
        // "But no gauge": what one part denies is not on the list.
        let denied = fits.iter().any(|fit| fit.against);
        if fits[first].against || denied && fits[first].evidence < EVIDENT {
            may = false;
            continue;
        }
        sure = sure.min(certainty(&fits, &ranked, read));
        // Likeness of letters alone is not enough for one more.
        may &= fits[first].evidence >= EVIDENT;
        may &= may_be_taken(lexicon, frame, read, &fits[first], first, Some(segment));
        if !picked.contains(&first) {
            picked.push(first);
            if is_praised(lexicon, frame, read, segment, first) {
                praised.push(first);
            }
        }
    }
    let others = picked.iter().any(|place| !frame.choices[*place].alone);
    if others {
        picked.retain(|place| !frame.choices[*place].alone);
    }
    picked.sort_unstable();
    if picked.is_empty() {
        return whole;
    }
    // "Not loose, latch": what is denied in one part is not picked in another.
    let all = fits(lexicon, frame, read, None);
    may &= !picked.iter().any(|place| all[*place].against);
    may &= denials_count(lexicon, frame, read, text, &picked, &all);
    if sure >= TAKEN && may && praised.is_empty() {
        return Reading::Taken(Meant::Choices(picked));
    }
    let mut meant = Vec::new();
    let blamed: Vec<usize> = picked.iter().copied().filter(|place| !praised.contains(place)).collect();
    if !blamed.is_empty() && blamed.len() < picked.len() {
        meant.push(Meant::Choices(blamed));
    }
    meant.push(Meant::Choices(picked));
    match whole {
        Reading::Asks(others) => meant.extend(others),
        Reading::Taken(one) => meant.push(one),
        Reading::Unread => {}
    }
    asks(meant)
}

/// "Everything but the thermometer": all there is without what is named, and always asked about.
fn all_but(lexicon: &Lexicon, frame: &Frame, text: &str, year: i16) -> Option<Reading> {
    const ALL: [&str; 4] = ["everything", "all of it", "all of them", "all"];
    const BUT: [&str; 6] = ["but", "bar", "except", "apart from", "besides", "minus"];
    let lower = text.trim().to_lowercase();
    let rest = ALL.iter().find_map(|all| lower.strip_prefix(all)).map(str::trim_start)?;
    let rest = BUT.iter().find_map(|but| rest.strip_prefix(but))?.strip_prefix(' ')?;
    let named = match read_many(lexicon, frame, &sentence(lexicon, rest, &frame.own, year), rest) {
        Reading::Taken(Meant::Choices(named)) => named,
        Reading::Asks(all) => match all.into_iter().next() {
            Some(Meant::Choices(named)) => named,
            _ => return None,
        },
        _ => return None,
    };
    let left = (0..frame.choices.len()).filter(|place| !frame.choices[*place].alone && !named.contains(place));
    Some(asks(vec![Meant::Choices(left.collect())]))
}

/// "Prop is chewed up, grip is fine": in a list of faults, what is praised is hardly one.
fn is_praised(lexicon: &Lexicon, frame: &Frame, read: &Sentence, segment: usize, place: usize) -> bool {
    let here = read.tokens.iter().filter(|token| token.segment == segment && !token.denied);
    frame.well.is_some_and(|well| well != place) && here.into_iter().any(|token| lexicon.praises(&token.concepts))
}

/// No outboard has more.
const MOST_CYLINDERS: usize = 12;

/// Reads a text at a question that takes a choice for each cylinder: one for all, or "2 and 3 oily, rest tan".
pub fn read_each(
    lexicon: &Lexicon,
    frame: &Frame,
    read: &Sentence,
    text: &str,
    year: i16,
    wanted: Option<usize>,
) -> Reading {
    let parts = parts(text, wanted.unwrap_or(MOST_CYLINDERS));
    if parts.iter().all(|part| part.which == Which::Unsaid) {
        return read_one(lexicon, frame, read, text);
    }
    let Some(wanted) = wanted else {
        // Of how many is not known: only what is said of all of them has a place.
        let of_all = parts.iter().all(|part| matches!(part.which, Which::Unsaid | Which::All));
        return if of_all { read_one(lexicon, frame, read, text) } else { Reading::Unread };
    };
    if parts.iter().any(|part| part.which == Which::Nowhere) {
        return Reading::Unread;
    }
    let mut each: Vec<Option<usize>> = vec![None; wanted];
    let mut sure = true;
    for part in &parts {
        let words = sentence(lexicon, &part.words, &frame.own, year);
        if !words.tokens.iter().any(|token| token.content) {
            return Reading::Unread;
        }
        let (first, taken) = match read_one(lexicon, frame, &words, &part.words) {
            Reading::Taken(Meant::Choices(places)) => (places.first().copied(), true),
            Reading::Asks(all) => match all.first() {
                Some(Meant::Choices(places)) => (places.first().copied(), false),
                _ => (None, false),
            },
            _ => (None, false),
        };
        let Some(first) = first else { return Reading::Unread };
        sure &= taken;
        part.which.fill(&mut each, first);
    }
    match each.into_iter().collect::<Option<Vec<usize>>>() {
        Some(all) if sure => Reading::Taken(Meant::Choices(told(all, &parts))),
        Some(all) => Reading::Asks(vec![Meant::Choices(told(all, &parts))]),
        None => Reading::Unread,
    }
}

/// One stands for all where that was said; a list keeps its length.
fn told(mut all: Vec<usize>, parts: &[Part]) -> Vec<usize> {
    if parts.iter().all(|part| part.which == Which::All) {
        all.truncate(1);
    }
    all
}

/// Which cylinders a part speaks of.
#[derive(Clone, Debug, PartialEq, Eq)]
enum Which {
    Unsaid,
    /// One this motor does not have: the middle one of four.
    Nowhere,
    All,
    /// Those nothing was said of yet.
    Rest,
    /// From 0.
    These(Vec<usize>),
}

struct Part {
    which: Which,
    words: String,
}

impl Which {
    fn fill(&self, each: &mut [Option<usize>], choice: usize) {
        match self {
            Self::Nowhere => {}
            Self::Unsaid | Self::Rest => {
                each.iter_mut().filter(|one| one.is_none()).for_each(|one| *one = Some(choice));
            }
            Self::All => each.fill(Some(choice)),
            Self::These(places) => {
                for place in places {
                    if let Some(one) = each.get_mut(*place) {
                        *one = Some(choice);
                    }
                }
            }
        }
    }
}

/// The parts of a text that speak of cylinders; the rest last, whatever the order.
fn parts(text: &str, wanted: usize) -> Vec<Part> {
    let mut parts: Vec<Part> = Vec::new();
    let lower = text.to_lowercase().replace(" but ", ", ").replace(" while ", ", ");
    for clause in lower.split([',', ';', '.']).filter(|clause| !clause.trim().is_empty()) {
        let mut these = Vec::new();
        let mut which = Which::Unsaid;
        let mut words = Vec::new();
        for word in clause.split(|c: char| c.is_whitespace() || "&+/".contains(c)).filter(|word| !word.is_empty()) {
            let bare = word.trim_matches(|c: char| !c.is_alphanumeric());
            match bare {
                "all" | "every" | "each" => which = Which::All,
                "rest" | "others" | "other" | "remaining" => which = Which::Rest,
                "middle" if wanted.is_multiple_of(2) => which = Which::Nowhere,
                _ => match cylinder(bare, wanted) {
                    Some(place) => these.push(place),
                    None => words.push(word),
                },
            }
        }
        if !these.is_empty() {
            which = Which::These(these);
        }
        // "2, 3 oily": numbers alone belong to the part behind them.
        match parts.last_mut() {
            Some(Part { which: Which::These(before), words: none }) if none.is_empty() => {
                if let Which::These(more) = which {
                    before.extend(more);
                }
                *none = words.join(" ");
            }
            _ => parts.push(Part { which, words: words.join(" ") }),
        }
    }
    parts.sort_by_key(|part| match part.which {
        Which::All => 0,
        Which::These(_) => 1,
        Which::Rest | Which::Unsaid | Which::Nowhere => 2,
    });
    parts
}

/// A cylinder by number, by order or by place, from 0.
fn cylinder(word: &str, wanted: usize) -> Option<usize> {
    const ORDER: [&str; 8] = ["first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth"];
    const NUMBERS: [&str; 9] = ["zero", "one", "two", "three", "four", "five", "six", "seven", "eight"];
    let place = match word {
        "top" | "upper" => 0,
        "bottom" | "last" | "lowest" | "lower" => wanted.checked_sub(1)?,
        "middle" if wanted % 2 == 1 => wanted / 2,
        _ => {
            let number = word.trim_start_matches("no").trim_end_matches(|c: char| c.is_alphabetic());
            let order = ORDER.iter().position(|order| *order == word);
            let named = NUMBERS.iter().skip(2).position(|name| *name == word).map(|place| place + 1);
            order.or(named).or_else(|| number.parse::<usize>().ok()?.checked_sub(1))?
        }
    };
    (place < wanted).then_some(place)
}
