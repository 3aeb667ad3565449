//! How alike a text and the listed ways to put each choice are, letter by letter: runs of three to five letters, the
//! rarer among the choices the heavier, as in the cosine of term weights of Salton and Buckley (1988).
//!
//! It knows no meaning, so it never makes a reading sure by itself; it orders readings, and where it disagrees with
//! what the words mean, skeg asks.

use std::collections::{HashMap, HashSet};

use fnv::{FnvBuildHasher, FnvHasher};
use std::hash::{Hash, Hasher};

use super::sentence::Letters;

const SHORTEST: usize = 3;
const LONGEST: usize = 5;
/// What the second and third likest phrase of a choice add.
const OTHERS: f32 = 0.3;
/// What a run of letters weighs that every choice has.
const COMMON: f32 = 0.3;

type Map<V> = HashMap<u64, V, FnvBuildHasher>;

/// The listed phrases of a question, by their runs of letters.
#[derive(Debug, Default)]
pub struct Likeness {
    choices: usize,
    /// The choice each phrase is a way to put.
    owners: Vec<usize>,
    /// For each run the phrases that have it, with its weight there.
    places: Map<Vec<(usize, f32)>>,
    weights: Map<f32>,
}

impl Likeness {
    /// Makes the phrases of a question ready: which choice, and its words.
    pub fn new(choices: usize, phrases: &[(usize, Vec<Letters>)]) -> Self {
        let runs: Vec<(usize, Vec<(u64, f32)>)> =
            phrases.iter().map(|(choice, words)| (*choice, runs(words.iter()))).collect();
        let mut having: Map<HashSet<usize>> = Map::default();
        for (choice, all) in &runs {
            for (run, _) in all {
                having.entry(*run).or_default().insert(*choice);
            }
        }
        let weight = |having: &HashSet<usize>| ((choices as f32 + 1.0) / having.len() as f32).ln() + COMMON;
        let weights: Map<f32> = having.iter().map(|(run, having)| (*run, weight(having))).collect();
        let mut likeness = Self { choices, weights, ..Self::default() };
        for (choice, all) in runs {
            for (run, weight) in likeness.weighed(all) {
                likeness.places.entry(run).or_default().push((likeness.owners.len(), weight));
            }
            likeness.owners.push(choice);
        }
        likeness
    }

    /// From 0 (nothing in common) to about 1 (a listed phrase) for each choice.
    pub fn of<'w>(&self, words: impl Iterator<Item = &'w Letters>) -> Vec<f64> {
        let mut alike = vec![0.0_f32; self.owners.len()];
        for (run, weight) in self.weighed(runs(words)) {
            for (phrase, there) in self.places.get(&run).into_iter().flatten() {
                alike[*phrase] += weight * there;
            }
        }
        let mut best = vec![[0.0_f32; 3]; self.choices];
        for (owner, alike) in self.owners.iter().zip(alike) {
            let three = &mut best[*owner];
            let at = three.iter().position(|known| alike > *known);
            if let Some(at) = at {
                three[at..].rotate_right(1);
                three[at] = alike;
            }
        }
        let sum = |three: &[f32; 3]| (three[0] + OTHERS * (three[1] + three[2])) / (1.0 + 2.0 * OTHERS);
        best.iter().map(|three| f64::from(sum(three))).collect()
    }

    /// Runs with their weights, the squares of which sum to 1.
    fn weighed(&self, runs: Vec<(u64, f32)>) -> Vec<(u64, f32)> {
        let strange = (self.choices as f32 + 1.0).ln() + COMMON;
        let weight = |run: u64| self.weights.get(&run).copied().unwrap_or(strange);
        let mut all: Vec<(u64, f32)> = runs.into_iter().map(|(run, often)| (run, often * weight(run))).collect();
        let length = all.iter().map(|(_, weight)| weight * weight).sum::<f32>().sqrt().max(f32::MIN_POSITIVE);
        for (_, weight) in &mut all {
            *weight /= length;
        }
        all
    }
}

/// The runs of letters in words, each once, with one more than the logarithm of how often it stands there.
fn runs<'w>(words: impl Iterator<Item = &'w Letters>) -> Vec<(u64, f32)> {
    let mut all: Vec<u64> = Vec::new();
    for word in words {
        let letters: Vec<char> = [' '].into_iter().chain(word.text.chars()).chain([' ']).collect();
        for length in SHORTEST..=LONGEST {
            all.extend(letters.windows(length).map(|run| hashed(run, word.denied)));
        }
    }
    all.sort_unstable();
    all.chunk_by(u64::eq).map(|same| (same[0], 1.0 + (same.len() as f32).ln())).collect()
}

fn hashed(run: &[char], denied: bool) -> u64 {
    let mut hasher = FnvHasher::default();
    run.hash(&mut hasher);
    denied.hash(&mut hasher);
    hasher.finish()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn said(text: &str) -> Vec<Letters> {
        let letters = |word: &str| Letters {
            text: word.trim_start_matches('!').to_owned(),
            denied: word.starts_with('!'),
            segment: 0,
        };
        text.split(' ').map(letters).collect()
    }

    #[test]
    fn the_likest_phrase_wins_slips_of_the_pen_included() {
        let phrases = [(0, said("snapped in two")), (1, said("straight and whole")), (1, said("dead straight"))];
        let likeness = Likeness::new(2, &phrases);
        for (text, wanted) in [("snaped", 0), ("straigt", 1), ("wholly straight", 1)] {
            let alike = likeness.of(said(text).iter());
            assert!(alike[wanted] > 2.0 * alike[1 - wanted], "{text}: {alike:?}");
        }
        assert!(likeness.of(said("zebra").iter()).iter().all(|alike| *alike < 0.01));
    }

    #[test]
    fn what_is_denied_is_not_like_what_is_not() {
        let likeness = Likeness::new(2, &[(0, said("leaks")), (1, said("!leaks"))]);
        assert!(likeness.of(said("!leaks").iter())[0] < 0.01);
        assert!(likeness.of(said("leaks").iter())[0] > 0.6);
    }
}
