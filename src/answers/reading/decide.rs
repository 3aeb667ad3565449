//! From how well each choice fits to taken, asked or unread.

use super::frame::Frame;
use super::lexicon::Lexicon;
use super::score::{Fit, fits};
use super::sentence::{Sentence, Token, undenied};
use super::{Meant, Reading};

/// From these log odds on a reading is taken: about two to one by the lines it was fitted to, and nearer to twenty
/// to one with the guards of [`may_be_taken`].
pub const TAKEN: f64 = 0.7;
/// Half of a listed phrase is not it: a barge is no party barge.
const HALF: f64 = 0.55;
/// Under these a choice is no reading at all.
const NEAR: f64 = 0.12;
const NEARLY_ALIKE: f64 = 0.04;
/// A listed phrase is at least so much alike to itself: its own weight in the mean of three.
const LISTED: f64 = 0.62;
/// A reading of which so much stands without its denials may be the very thing that was denied.
const STANDS: f64 = 0.6;

/// Reads a text at a question that takes one choice.
pub fn read_one(lexicon: &Lexicon, frame: &Frame, read: &Sentence, text: &str) -> Reading {
    let fits = fits(lexicon, frame, read, None);
    let ranked = ranked(&fits);
    if let Some(reading) = not_seen(frame, read, &ranked, &fits) {
        return reading;
    }
    let Some(&first) = ranked.first() else { return Reading::Unread };
    let first = sellers_word(frame, read, first);
    let sure = certainty(&fits, &ranked, read);
    if sure >= TAKEN
        && fits[first].whole > HALF
        && may_be_taken(lexicon, frame, read, &fits[first], first, None)
        && !torn(lexicon, frame, read, first)
        && denials_count(lexicon, frame, read, text, &[first], &fits)
    {
        return Reading::Taken(Meant::Choices(vec![first]));
    }
    let mut meant: Vec<Meant> = ranked.iter().map(|place| Meant::Choices(vec![*place])).collect();
    meant.insert(0, Meant::Choices(vec![first]));
    if read.cues.hearsay && !frame.told {
        let seen = outside_hearsay(read, &fits[first]);
        meant.insert(usize::from(seen).min(meant.len()), Meant::SellersWord);
    }
    asks(meant)
}

/// Whether something that speaks for it stands outside what was only told: "silt in it, but he says no".
fn outside_hearsay(read: &Sentence, fit: &Fit) -> bool {
    let told = |clause: &usize| read.hearsay.contains(clause);
    read.tokens.iter().zip(&fit.raw).any(|(token, raw)| *raw > 0.5 && !told(&token.clause))
}

/// Work done, and only the seller says so: the choice for that, where there is one.
fn sellers_word(frame: &Frame, read: &Sentence, first: usize) -> usize {
    match frame.said {
        Some(said) if read.cues.hearsay && frame.proven == Some(first) => said,
        _ => first,
    }
}

/// At most three readings, filled up with what looks alike letter by letter.
pub fn asks(meant: Vec<Meant>) -> Reading {
    let mut three: Vec<Meant> = Vec::new();
    for one in meant {
        if three.len() < 3 && !three.contains(&one) {
            three.push(one);
        }
    }
    if three.is_empty() { Reading::Unread } else { Reading::Asks(three) }
}

/// Choices that are near, the best first.
pub fn ranked(fits: &[Fit]) -> Vec<usize> {
    let near = |fit: &Fit| fit.evidence > NEAR || fit.alike > NEARLY_ALIKE;
    let standing = standings(fits);
    let mut places: Vec<usize> = (0..fits.len()).filter(|place| near(&fits[*place])).collect();
    places.sort_by(|a, b| standing[*b].total_cmp(&standing[*a]).then(a.cmp(b)));
    places
}

/// What stands for each choice, in log odds; the weights are those of a conditional logit, fitted to phrases of many
/// hands and rounded.
fn standings(fits: &[Fit]) -> Vec<f64> {
    let most = fits.iter().map(|fit| fit.alike).fold(f64::MIN_POSITIVE, f64::max);
    let words = |fit: &Fit| fit.evidence.min(1.5) + 2.0 * (fit.evidence - 1.5).max(0.0);
    let letters = |fit: &Fit| 2.0 * fit.alike + 3.5 * fit.alike / most;
    fits.iter().map(|fit| words(fit) + letters(fit) + 2.5 * fit.whole + 1.5 * fit.explained).collect()
}

/// The log odds of the first reading against all others together.
fn lead(fits: &[Fit], first: usize) -> f64 {
    let standing = standings(fits);
    let others = standing.iter().enumerate().filter(|(place, _)| *place != first);
    let sum: f64 = others.map(|(_, other)| (other - standing[first]).exp()).sum();
    -sum.max(1e-3).ln()
}

/// How sure the first reading is, in log odds (a logistic regression on the same phrases, rounded): its lead and its
/// strength for it; against it doubt, brevity, what other choices say as well, and what only they say.
pub fn certainty(fits: &[Fit], ranked: &[usize], read: &Sentence) -> f64 {
    let Some(place) = ranked.first().copied() else { return f64::NEG_INFINITY };
    let first = &fits[place];
    let content = read.tokens.iter().filter(|token| token.content);
    let length = content.map(|token| token.length + usize::from(token.denied)).sum::<usize>();
    let all: f64 = first.raw.iter().sum::<f64>().max(1e-6);
    let rivals = || fits.iter().enumerate().filter(|(other, _)| *other != place).map(|(_, fit)| fit);
    let shared = |other: &[f64]| first.raw.iter().zip(other).map(|(own, other)| own.min(*other)).sum::<f64>() / all;
    let alone = |fit: &Fit| first.raw.iter().zip(&fit.raw).filter(|(own, _)| **own < 0.2).map(|(_, it)| *it).sum();
    let most = |of: &dyn Fn(&Fit) -> f64| rivals().map(of).fold(0.0, f64::max);
    let when = |so: bool, weight: f64| if so { weight } else { 0.0 };
    let strength =
        0.57 * lead(fits, place) + 1.2 * first.evidence.min(2.0) + 0.7 * first.whole + 1.25 * first.alike;
    let brevity = if first.measured { -1.5 } else { when(length <= 1, 1.5) + when(length <= 2, 1.9) };
    let doubt = when(read.cues.hedge, 1.0) + when(read.cues.vague, 1.7) + when(first.left, 0.2);
    let others = 0.5 * most(&|fit| shared(&fit.raw)) + 0.5 * most(&|fit| shared(&fit.label)) + 0.35 * most(&alone);
    strength - brevity - doubt - others - 2.9
}

/// Whether another part of the sentence says something else: "first it died, then it ran on".
fn torn(lexicon: &Lexicon, frame: &Frame, read: &Sentence, first: usize) -> bool {
    read.segments > 1
        && (0..read.segments).any(|segment| {
            let parts = fits(lexicon, frame, read, Some(segment));
            let best = ranked(&parts).first().copied().filter(|best| *best != first);
            best.is_some_and(|best| {
                let (best, own) = (&parts[best], &parts[first]);
                let outweighs = |times: f64| best.evidence > times * own.evidence;
                let alone = own.evidence < 0.2 && best.evidence > 0.7;
                best.whole > 0.6 && outweighs(1.15) || best.whole > 0.9 && (outweighs(0.9) || alone)
            })
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
    let best = ranked(&without).first().copied();
    let turned = |place: &usize| {
        let (with, without) = (with[*place].evidence, without[*place].evidence);
        with > without + 0.1 && !(best == Some(*place) && without > STANDS * with)
    };
    elsewhere || picked.iter().any(turned)
}

/// Whether a listed phrase took in a denial that may have meant what stands behind it as well: "not (one) missing".
fn swallowed(read: &Sentence, fit: &Fit) -> bool {
    let content: Vec<(&Token, f64)> =
        read.tokens.iter().zip(fit.raw.iter().copied()).filter(|(token, _)| token.content).collect();
    content.windows(2).any(|two| {
        let ((before, _), (behind, raw)) = (two[0], two[1]);
        before.lone && before.length > 1 && !behind.denied && before.clause == behind.clause && raw > 0.5
    })
}

/// What is never taken without asking, however well it fits.
pub fn may_be_taken(
    lexicon: &Lexicon,
    frame: &Frame,
    read: &Sentence,
    fit: &Fit,
    place: usize,
    segment: Option<usize>,
) -> bool {
    let hearsay = read.cues.hearsay && !frame.told;
    // A denial that means nothing in the reading may mean all of it.
    let here = |denial: &usize| {
        let told = |token: &&Token| token.place == *denial || token.denial == Some(*denial);
        segment.is_none_or(|segment| read.tokens.iter().filter(told).any(|token| token.segment == segment))
    };
    let unused = read.denials.iter().filter(|denial| here(denial)).any(|denial| !fit.used.contains(denial));
    // "Milky or hazy" names two; "no dents or cracks" denies both.
    let either = read.either && read.denials.is_empty();
    let hedged = read.cues.hedge;
    let doubt = hearsay
        || hedged
        || either
        || read.asking
        || read.doubtful
        || unused
        || read.twice_denied
        || read.cues.unknown;
    let other = of_something_else(lexicon, frame, read, fit, segment) || corrected_away(read, fit, segment);
    !(frame.choices[place].ends || doubt || other || fit.against || fit.left || swallowed(read, fit))
}

/// Whether it names a part this question is not about, or a fault the reading leaves out: "the spark plugs fit",
/// "there is a meter, but it's busted".
fn of_something_else(lexicon: &Lexicon, frame: &Frame, read: &Sentence, fit: &Fit, segment: Option<usize>) -> bool {
    let asked = |token: &Token| {
        frame.context.contains(&token.stem) || token.concepts.iter().any(|it| frame.context.contains(it))
    };
    let blamed = |token: &Token| !token.denied && lexicon.blames(&token.concepts);
    let of_its_own = |token: &Token| blamed(token) || lexicon.is_thing(token.stem) && !asked(token);
    let here = read.tokens.iter().filter(|token| segment.is_none_or(|segment| token.segment == segment));
    here.zip(&fit.raw).any(|(token, raw)| token.content && *raw < 0.2 && of_its_own(token))
}

/// "No chips, just some fuzz": what stands behind a correction counts, and nothing there speaks for the reading.
fn corrected_away(read: &Sentence, fit: &Fit, segment: Option<usize>) -> bool {
    let Some(clause) = read.corrected else { return false };
    let here = || {
        let tokens = read.tokens.iter().filter(|token| segment.is_none_or(|segment| token.segment == segment));
        tokens.zip(&fit.raw).filter(|(token, _)| token.clause >= clause && token.content)
    };
    here().next().is_some() && !here().any(|(_, raw)| *raw > 0.35)
}

/// Can't tell, not done, and the choices that say the same.
fn not_seen(frame: &Frame, read: &Sentence, ranked: &[usize], fits: &[Fit]) -> Option<Reading> {
    let cues = read.cues;
    if !(cues.unknown || cues.undone) {
        return None;
    }
    let seller_cant_tell = read.seller_cant_tell || cues.hearsay;
    let own = match (seller_cant_tell && cues.unknown, frame.unknown, frame.unseen) {
        (true, Some(unknown), _) => Meant::Choices(vec![unknown]),
        (_, _, Some(unseen)) if cues.undone && !read.cant_tell => Meant::Choices(vec![unseen]),
        _ if cues.unknown => Meant::CantTell,
        (_, _, Some(unseen)) => Meant::Choices(vec![unseen]),
        _ => Meant::NotDone,
    };
    let all: Vec<Meant> = ranked.iter().map(|place| Meant::Choices(vec![*place])).collect();
    let best = ranked.first().map(|place| &fits[*place]);
    let evidence = best.map_or(0.0, |fit| fit.evidence);
    let standing = best.map_or(0.0, |fit| fit.evidence + 1.5 * fit.alike);
    // "Can't get them" is a listed way to put a choice.
    let listed = best.is_some_and(|fit| fit.alike > LISTED);
    if !listed && evidence < 0.45 && standing < 1.0 {
        let left = read.tokens.iter().filter(|token| token.content && !token.cue).count();
        let denied = read.denials.iter().any(|denial| !read.cue_denials.contains(denial));
        let short = !denied && (left <= 3 || read.cant_tell);
        let taken = short && evidence < 0.3 && !read.asking;
        return Some(if taken { Reading::Taken(own) } else { asks([own].into_iter().chain(all).collect()) });
    }
    if all.first() == Some(&own) || best.is_some_and(|fit| fit.whole > 0.85 && fit.explained > 0.9) && !cues.unknown
    {
        return None;
    }
    // What opens a sentence counts most, and what was seen more than a way of speaking.
    let head = read.tokens.iter().all(|token| !token.content || token.place >= read.cue_from);
    let needed = match (cues.weak && !read.cant_tell, head) {
        (true, false) => 1.2,
        (false, true) => 2.8,
        (true, true) | (false, false) => 2.2,
    };
    let place = usize::from(listed || standing > needed);
    let mut meant = all;
    meant.insert(place.min(meant.len()), own);
    Some(asks(meant))
}
