//! How well a sentence, or a part of one, fits each choice of a question.
//!
//! A token speaks for a choice by its best feature there: more if it stands in few choices, more if the whole
//! listed phrase is there; denied where the choice is not, it speaks against it. What nothing takes is left over.

use super::frame::Frame;
use super::lexicon::{Lexicon, STRANGE};
use super::sentence::{Letters, Sentence, Token};

/// How a choice fares.
#[derive(Clone, Debug, Default)]
pub struct Fit {
    pub evidence: f64,
    /// How alike it is letter by letter, 0 to 1.
    pub alike: f64,
    /// The most complete phrase, 0 to 1.
    pub whole: f64,
    /// Share of what was said that speaks for it, 0 to 1.
    pub explained: f64,
    /// Something said speaks against it.
    pub against: bool,
    /// Something with a meaning of its own is left over.
    pub over: bool,
    /// It is a part of its own: "dark and gritty".
    pub left: bool,
    /// An amount said in it is one of its own.
    pub measured: bool,
    /// Places of the denials that mean something in it.
    pub used: Vec<usize>,
    /// What each token says for it, whatever other choices have of that.
    pub raw: Vec<f64>,
    /// The same by its label alone.
    pub label: Vec<f64>,
}

const SAME_CONCEPT: f64 = 0.85;
const OPPOSITE: f64 = 0.75;
/// What a word counts that no synonym knows: who was there, what was for tea.
const STORY: f64 = 0.5;

/// The tokens of one part of a sentence (all of it: `None`) against every choice.
pub fn fits(lexicon: &Lexicon, frame: &Frame, read: &Sentence, segment: Option<usize>) -> Vec<Fit> {
    let tokens: Vec<&Token> =
        read.tokens.iter().filter(|token| segment.is_none_or(|segment| token.segment == segment)).collect();
    let support = supported(lexicon, frame, &tokens);
    let here = |word: &&Letters| segment.is_none_or(|segment| word.segment == segment);
    let alike = frame.alike.of(read.letters.iter().filter(here));
    let mut fits: Vec<Fit> = Vec::new();
    for (place, own) in support.iter().enumerate() {
        let fit = fit(frame, read, &tokens, own, &support, place);
        fits.push(Fit { alike: alike[place], ..fit });
    }
    fits
}

/// What each token says for and against a choice.
#[derive(Clone)]
struct Support {
    by: Vec<f64>,
    against: Vec<f64>,
    raw: Vec<f64>,
    label: Vec<f64>,
    whole: f64,
}

/// Every choice with what each token says for and against it.
fn supported(lexicon: &Lexicon, frame: &Frame, tokens: &[&Token]) -> Vec<Support> {
    let none = Support {
        by: vec![0.0; tokens.len()],
        against: vec![0.0; tokens.len()],
        raw: vec![0.0; tokens.len()],
        label: vec![0.0; tokens.len()],
        whole: 0.0,
    };
    let mut support = vec![none; frame.choices.len()];
    let mut met = Met { best: vec![(0, 0.0); frame.features.len()], touched: Vec::new(), spoiled: Vec::new() };
    for (at, token) in tokens.iter().enumerate().filter(|(_, token)| token.stem != STRANGE) {
        meet(lexicon, frame, at, token, &mut met, &mut support);
    }
    met.touched.sort_unstable();
    met.touched.dedup();
    met.spoiled.sort_unstable();
    let mut rest = met.touched.as_slice();
    while let Some(first) = rest.first() {
        let phrase = frame.features[*first].phrase;
        let (of_it, others) = rest.split_at(rest.partition_point(|at| frame.features[*at].phrase == phrase));
        let spoiled = met.spoiled.binary_search(&phrase).is_ok();
        count(frame, &met.best, of_it, spoiled, &mut support[frame.phrases[phrase].choice]);
        rest = others;
    }
    support
}

/// Which features were met, by which token and how well; which phrases something said turns round.
struct Met {
    best: Vec<(usize, f64)>,
    touched: Vec<usize>,
    spoiled: Vec<usize>,
}

/// One token against all features with its stem, its concepts, and their opposites.
fn meet(lexicon: &Lexicon, frame: &Frame, at: usize, token: &Token, met: &mut Met, support: &mut [Support]) {
    let same = [(token.stem, 1.0)].into_iter().chain(token.concepts.iter().map(|it| (*it, SAME_CONCEPT)));
    let turned = token.concepts.iter().flat_map(|it| lexicon.opposites(*it)).map(|it| (*it, OPPOSITE));
    let all = same.map(|pair| (pair, false)).chain(turned.map(|pair| (pair, true)));
    for ((sym, likeness), turned) in all {
        for place in frame.index.get(&sym).into_iter().flatten() {
            let feature = frame.features[*place];
            let agrees = (feature.denied == token.denied) != turned;
            if agrees {
                met.touched.push(*place);
                let phrase = frame.phrases[feature.phrase];
                let own = &mut support[phrase.choice];
                own.raw[at] = own.raw[at].max(likeness);
                if phrase.label {
                    own.label[at] = own.label[at].max(likeness);
                }
                if met.best[*place].1 < likeness {
                    met.best[*place] = (at, likeness);
                }
            } else {
                let choice = frame.phrases[feature.phrase].choice;
                let worth = likeness * feature.weight * if turned { 0.6 } else { 1.0 };
                met.spoiled.push(feature.phrase);
                support[choice].against[at] = support[choice].against[at].max(worth);
            }
        }
    }
}

/// One phrase: how much of it is there, and what that is worth to its tokens.
fn count(frame: &Frame, best: &[(usize, f64)], met: &[usize], spoiled: bool, support: &mut Support) {
    let Some(first) = met.first().map(|place| frame.features[*place]) else { return };
    let worth = |place: &usize| best[*place].1 * frame.features[*place].weight;
    let there: f64 = met.iter().map(worth).sum();
    let most = met.iter().map(|place| frame.features[*place].weight).fold(0.0, f64::max);
    let weight = frame.phrases[first.phrase].weight.max(1e-6);
    let whole = (there / weight).min(1.0) * if spoiled { 0.3 } else { 1.0 };
    for place in met {
        let by = &mut support.by[best[*place].0];
        *by = by.max(worth(place) * (0.35 + 0.65 * whole));
    }
    support.whole = support.whole.max(whole * most.sqrt());
}

fn fit(frame: &Frame, read: &Sentence, tokens: &[&Token], own: &Support, all: &[Support], place: usize) -> Fit {
    let kept =
        |all: &[f64]| all.iter().zip(tokens).map(|(it, token)| if token.content { *it } else { 0.0 }).collect();
    let mut fit = Fit { whole: own.whole, raw: kept(&own.raw), label: kept(&own.label), ..Fit::default() };
    let (mut said, mut explained, mut against) = (0.0, 0.0, 0.0);
    let amount = read.amounts.iter().find(|amount| frame.ranges.iter().any(|(_, range)| within(range, amount)));
    let counted = |token: &Token| amount.is_some_and(|it| token.place >= it.from && token.place <= it.to);
    for (at, token) in tokens.iter().enumerate().filter(|(_, token)| !counted(token)) {
        let mut by = own.by[at];
        if token.denied && by < 0.4 && own.against[at] < 0.2 {
            by = by.max(denied_of_others(frame, all, at, place));
        }
        if own.against[at] > 2.0 * by {
            against += own.against[at];
            fit.against |= own.against[at] > 0.2;
            by = 0.0;
        }
        if by > 0.35 {
            fit.used.extend(token.denial);
            if token.lone || token.telling && !token.denied {
                fit.used.push(token.place);
            }
        }
        let weight = weight_of(frame, token, all, at);
        said += weight;
        explained += weight * if by > 0.1 { by.sqrt().min(1.0) } else { 0.0 };
        let left = by <= 0.1 && weight >= 1.0;
        fit.left |= left && alone(tokens, at);
        fit.over |= left;
        fit.evidence += by * if token.content { 1.0 } else { 0.4 };
    }
    let denied = tokens.iter().any(|token| token.denied && counted(token));
    if let Some(amount) = amount {
        said += 1.0;
        if !denied && frame.ranges.iter().any(|(of, range)| *of == place && within(range, amount)) {
            explained += 1.0;
            fit.evidence += 0.9;
            fit.measured = true;
            fit.whole = fit.whole.max(0.9);
        }
    }
    fit.explained = if said > 0.0 { (explained / said).min(1.0) } else { f64::from(u8::from(fit.evidence > 0.0)) };
    fit.evidence += 0.6 * fit.whole - 0.9 * against;
    fit
}

/// Whether a token is the only one with content in its part of the sentence.
fn alone(tokens: &[&Token], at: usize) -> bool {
    let segment = tokens[at].segment;
    let others = tokens.iter().enumerate().filter(|(other, token)| *other != at && token.segment == segment);
    tokens.iter().any(|token| token.segment != segment) && !others.into_iter().any(|(_, token)| token.content)
}

fn within(range: &crate::knowledge::Range, amount: &super::amounts::Amount) -> bool {
    range.of == amount.of
        && range.least.is_none_or(|least| amount.number >= least)
        && range.most.is_none_or(|most| amount.number <= most)
}

/// A fault denied speaks for the choice that says all is well, and of two choices for the other.
fn denied_of_others(frame: &Frame, all: &[Support], at: usize, place: usize) -> f64 {
    let others = all.iter().enumerate().filter(|(other, _)| *other != place);
    let denied = others.map(|(_, support)| support.against[at]).fold(0.0, f64::max);
    if denied < 0.2 {
        return 0.0;
    }
    let seen = frame.choices.iter().enumerate().filter(|(other, put)| !put.unseen && frame.unknown != Some(*other));
    if frame.well == Some(place) {
        0.6 * denied
    } else if frame.well.is_none() && seen.clone().count() == 2 && seen.clone().any(|(other, _)| other == place) {
        0.5 * denied
    } else {
        0.0
    }
}

/// How much a token counts among what was said: words of the question itself are no news.
fn weight_of(frame: &Frame, token: &Token, all: &[Support], at: usize) -> f64 {
    let used = all.iter().any(|support| support.by[at] > 0.25 || support.against[at] > 0.25);
    let context = frame.context.contains(&token.stem) || token.concepts.iter().any(|it| frame.context.contains(it));
    match (token.content, token.cue, used, context) {
        (false, _, _, _) => 0.0,
        (true, true, false, _) => 0.1,
        (true, _, false, _) if token.telling => 0.0,
        (true, _, false, true) => 0.15,
        (true, _, true, true) => 0.7,
        // A word with a meaning of its own that no choice has says more than one that only tells a story.
        (true, _, false, false) if token.concepts.is_empty() => STORY,
        _ => 1.0,
    }
}
