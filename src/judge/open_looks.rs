//! What all the looks still open may leave of the costs.

use crate::path::{Path, is_seen};

use super::chances::Chance;
use super::costs::Line;
use super::next::{check_of, outlook_of};
use super::worth::{Atom, Check};

/// On how many nodes the outcomes are added up.
const NODES: usize = 2048;

/// The mean costs that remain after every open check was done, each with its chance: one look for each fault, the
/// one that tells most, and posterior means summed as independent two-point variables.
pub fn after_all(path: &Path<'_>, chances: &[Chance], lines: &[Line], fixed: f64) -> Vec<Atom> {
    let (mut outlook, places) = outlook_of(path, chances, lines);
    outlook.fixed += fixed;
    let mut all = Check { looks: Vec::new() };
    for step in path.steps.iter().filter(|step| !is_seen(path, step.question)) {
        let (check, _) = check_of(path, step.question, chances, &places);
        for (group, fault, look) in check.looks {
            let known = all.looks.iter_mut().find(|(of, at, _)| (*of, *at) == (group, fault));
            match known {
                Some((_, _, before)) if before.tells() < look.tells() => *before = look,
                Some(_) => {}
                None => all.looks.push((group, fault, look)),
            }
        }
    }
    outlook.outcomes(&[&all], NODES)
}
