//! From how well each choice fits to taken, asked or unread.

use super::frame::{Frame, Pairs, alike, pairs};
use super::lexicon::Lexicon;
use super::score::{Fit, fits};
use super::sentence::{Sentence, Token, undenied};
use super::{Meant, Reading};

/// From this certainty on a reading is taken.
pub const TAKEN: f64 = 0.27;
/// How much of it stays where something with a meaning of its own is left over.
const LEFT_OVER: f64 = 0.7;
/// The same where that is a part of its own: "dark and gritty".
const PART_LEFT: f64 = 0.45;
/// Half of a listed phrase is not it: a barge is no party barge.
const HALF: f64 = 0.55;
/// Under this a choice is no reading at all.
const NEAR: f64 = 0.12;

/// Reads a text at a question that takes one choice.
pub fn read_one(lexicon: &Lexicon, frame: &Frame, read: &Sentence, text: &str) -> Reading {
    let fits = fits(lexicon, frame, read, None);
    let ranked = ranked(&fits);
    let best = ranked.first().map_or(0.0, |place| fits[*place].evidence);
    if let Some(reading) = not_seen(frame, read, &ranked, best) {
        return reading;
    }
    let Some(&first) = ranked.first() else { return by_letters(frame, text) };
    let first = sellers_word(frame, read, first);
    let sure = certainty(&fits, &ranked, read);
    if sure >= TAKEN
        && fits[first].whole > HALF
        && may_be_taken(frame, read, &fits[first], first, None)
        && !torn(lexicon, frame, read, first)
        && denials_count(lexicon, frame, read, text, &[first], &fits)
    {
        return Reading::Taken(Meant::Choices(vec![first]));
    }
    let mut meant: Vec<Meant> = ranked.iter().map(|place| Meant::Choices(vec![*place])).collect();
    meant.insert(0, Meant::Choices(vec![first]));
    if read.cues.hearsay && !frame.told {
        meant.insert(0, Meant::SellersWord);
    }
    asks(frame, text, meant)
}

/// Work done, and only the seller says so: the choice for that, where there is one.
fn sellers_word(frame: &Frame, read: &Sentence, first: usize) -> usize {
    match frame.said {
        Some(said) if read.cues.hearsay && frame.proven == Some(first) => said,
        _ => first,
    }
}

/// At most three readings, filled up with what looks alike letter by letter.
pub fn asks(frame: &Frame, text: &str, mut meant: Vec<Meant>) -> Reading {
    if meant.len() < 3 {
        meant.extend(likest(frame, text).into_iter().map(|place| Meant::Choices(vec![place])));
    }
    let mut three: Vec<Meant> = Vec::new();
    for one in meant {
        if three.len() < 3 && !three.contains(&one) {
            three.push(one);
        }
    }
    if three.is_empty() { Reading::Unread } else { Reading::Asks(three) }
}

fn by_letters(frame: &Frame, text: &str) -> Reading {
    asks(frame, text, Vec::new())
}

/// Choices with evidence, the best first.
pub fn ranked(fits: &[Fit]) -> Vec<usize> {
    let mut places: Vec<usize> = (0..fits.len()).filter(|place| fits[*place].evidence > NEAR).collect();
    places.sort_by(|a, b| fits[*b].evidence.total_cmp(&fits[*a].evidence).then(a.cmp(b)));
    places
}

/// How sure the first reading is: its strength, its lead, and how much of what was said it takes up.
pub fn certainty(fits: &[Fit], ranked: &[usize], read: &Sentence) -> f64 {
    let Some(first) = ranked.first().map(|place| &fits[*place]) else { return 0.0 };
    let second = ranked.get(1).map_or(0.0, |place| fits[*place].evidence);
    let strength = first.whole.max(0.8 * first.evidence.min(1.0)).min(1.0);
    let lead = ((first.evidence - second) / first.evidence).clamp(0.0, 1.0);
    let mut sure = strength * lead.powf(0.6) * first.explained;
    if lead < 0.3 {
        sure *= 0.7;
    }
    if first.left {
        sure *= PART_LEFT;
    } else if first.over {
        sure *= LEFT_OVER;
    }
    if read.cues.hedge || first.against {
        sure *= 0.5;
    }
    if read.cues.vague && read.tokens.iter().filter(|token| token.content).count() <= 2 {
        sure *= 0.5;
    }
    sure
}

/// Whether another part of the sentence says something else: "first it died, then it ran on".
fn torn(lexicon: &Lexicon, frame: &Frame, read: &Sentence, first: usize) -> bool {
    read.segments > 1
        && (0..read.segments).any(|segment| {
            let parts = fits(lexicon, frame, read, Some(segment));
            let best = ranked(&parts).first().copied().filter(|best| *best != first);
            best.is_some_and(|best| parts[best].whole > 0.6 && parts[best].evidence > 1.5 * parts[first].evidence)
        })
}

/// Whether the denials in it mean something for what is picked: a reading that would stand as well without them may
/// be the very thing that was denied.
pub fn denials_count(
    lexicon: &Lexicon,
    frame: &Frame,
    read: &Sentence,
    text: &str,
    picked: &[usize],
    with: &[Fit],
) -> bool {
    let Some(other) = undenied(lexicon, text, &frame.own, read.year) else { return true };
    let without = fits(lexicon, frame, &other, None);
    // In a list a denial may be about something that is not picked: "no oil, but salt".
    let elsewhere =
        picked.len() > 1 && (0..with.len()).any(|place| with[place].against && !picked.contains(&place));
    elsewhere || picked.iter().any(|place| with[*place].evidence > without[*place].evidence + 0.1)
}

/// What is never taken without asking, however well it fits.
pub fn may_be_taken(frame: &Frame, read: &Sentence, fit: &Fit, place: usize, segment: Option<usize>) -> bool {
    let hearsay = read.cues.hearsay && !frame.told;
    // A denial that means nothing in the reading may mean all of it.
    let here = |denial: &usize| {
        let told = |token: &&Token| token.place == *denial || token.denial == Some(*denial);
        segment.is_none_or(|segment| read.tokens.iter().filter(told).any(|token| token.segment == segment))
    };
    let unused = read.denials.iter().filter(|denial| here(denial)).any(|denial| !fit.used.contains(denial));
    // "Milky or hazy" names two; "no dents or cracks" denies both.
    let either = read.either && read.denials.is_empty();
    let doubt = hearsay || either || unused || read.twice_denied || read.cues.unknown;
    !(frame.choices[place].ends || doubt || fit.against)
}

/// Can't tell, not done, and the choices that say the same.
fn not_seen(frame: &Frame, read: &Sentence, ranked: &[usize], best: f64) -> Option<Reading> {
    let cues = read.cues;
    if !(cues.unknown || cues.undone) {
        return None;
    }
    let own = match (read.seller_cant_tell && cues.unknown, frame.unknown, frame.unseen) {
        (true, Some(unknown), _) => Meant::Choices(vec![unknown]),
        (_, _, Some(unseen)) if cues.undone && !read.cant_tell => Meant::Choices(vec![unseen]),
        _ if cues.unknown => Meant::CantTell,
        (_, _, Some(unseen)) => Meant::Choices(vec![unseen]),
        _ => Meant::NotDone,
    };
    if best < 0.45 {
        let left = read.tokens.iter().filter(|token| token.content && !token.cue).count();
        let denied = read.denials.iter().any(|denial| !read.cue_denials.contains(denial));
        let short = !denied && (left <= 3 || read.cant_tell);
        return Some(if short && best < 0.3 { Reading::Taken(own) } else { asks(frame, "", vec![own]) });
    }
    if ranked.first().is_some_and(|first| Meant::Choices(vec![*first]) == own) {
        return None;
    }
    let first: Vec<Meant> = ranked.iter().map(|place| Meant::Choices(vec![*place])).collect();
    let meant = if cues.weak && best > 0.8 {
        first.iter().take(1).cloned().chain([own]).chain(first.iter().skip(1).cloned()).collect()
    } else {
        [own].into_iter().chain(first).collect::<Vec<_>>()
    };
    Some(asks(frame, "", meant))
}

/// Choices that look alike letter by letter, the likest first.
fn likest(frame: &Frame, text: &str) -> Vec<usize> {
    let wanted = pairs(text);
    if wanted.len() < 2 {
        return Vec::new();
    }
    let most = |own: &Vec<Pairs>| own.iter().map(|own| alike(own, &wanted)).fold(0.0, f64::max);
    let all = frame.letters.iter().enumerate().map(|(place, own)| (place, most(own)));
    let mut found: Vec<(usize, f64)> = all.filter(|(_, most)| *most > 0.4).collect();
    found.sort_by(|a, b| b.1.total_cmp(&a.1));
    found.into_iter().map(|(place, _)| place).collect()
}
