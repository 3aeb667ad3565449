//! Which check to do next: core and safety first, then by what each is worth. What to do in so many minutes is
//! planned elsewhere ([`crate::path::plan`]), for the visit and for whoever asks.
//!
//! Worths are taken at the toss-up price, where buying and leaving are even and knowing matters most; they are
//! "up to", since a look may tell less than its strongest word.

use std::collections::HashMap;

use crate::answers::Standing;
use crate::knowledge::{FaultIx, ItemIx, QuestionIx};
use crate::path::{Path, Truth, is_seen};

use super::chances::Chance;
use super::costs::Line;
use super::mechanic::Mechanic;
use super::worth::{Check, Group, Look, Outlook, Repair};

/// One thing to do.
#[derive(Clone, Debug, PartialEq)]
pub struct Next {
    pub question: QuestionIx,
    /// Up to this much, in the buyer's currency; none for core and safety checks, which come first anyway.
    pub worth: Option<f64>,
    pub minutes: f64,
    /// The faults it can tell something about.
    pub tells: Vec<FaultIx>,
}

/// The open checks of an interview, weighed.
#[derive(Clone, Debug, Default)]
pub struct Checks {
    /// Core and safety checks, in asking order.
    pub first: Vec<Next>,
    /// The others, most worth a minute first.
    pub ranked: Vec<Next>,
    outlook: Outlook,
    /// For each of `ranked`, in the same order.
    checks: Vec<Check>,
}

/// Nodes on which worths are added up.
const FINE: usize = 2048;

/// Weighs every open check. Without lines (no costs known) only core and safety checks are listed.
#[must_use]
pub fn weigh_checks(path: &Path<'_>, chances: &[Chance], lines: &[Line]) -> Checks {
    let (outlook, places) = outlook_of(path, chances, lines);
    let mut all = Checks { outlook, ..Checks::default() };
    let mut ranked: Vec<(Next, Check)> = Vec::new();
    let mechanic = Mechanic::read(path.knowledge, &path.record.settled);
    for step in &path.steps {
        let question = path.knowledge.question(step.question);
        let workshops = path.view().texts(question).workshop;
        if is_seen(path, step.question) || mechanic.saw(step.question).is_some() || workshops {
            continue;
        }
        let (check, tells) = check_of(path, step.question, chances, &places);
        let minutes = path.view().minutes(question);
        if question.core || question.safety {
            all.first.push(Next { question: step.question, worth: None, minutes, tells });
        } else if !check.looks.is_empty() {
            let worth = all.outlook.worth(all.outlook.mean(), &[&check], FINE);
            if worth > 1e-9 {
                ranked.push((Next { question: step.question, worth: Some(worth), minutes, tells }, check));
            }
        }
    }
    ranked.sort_by(|(a, _), (b, _)| {
        let of = |next: &Next| a_minute(next.worth.unwrap_or(0.0), next.minutes);
        of(b).total_cmp(&of(a)).then(a.question.cmp(&b.question))
    });
    (all.ranked, all.checks) = ranked.into_iter().unzip();
    all
}

/// What ranks a check: its worth over the time it takes.
///
/// Independent checks go in falling order of chance over cost: Heckerman, Breese, Rommelse, CACM 38(3), 1995; Kadane
/// and Simon, 1977 (citations from memory, the order computed).
fn a_minute(worth: f64, minutes: f64) -> f64 {
    worth / minutes
}

/// Place of each fault: its group and its number there.
pub(super) type Places = HashMap<FaultIx, (usize, usize)>;

/// Groups repairs that cover each other, with their faults; what depends on no fault is fixed.
pub(super) fn outlook_of(path: &Path<'_>, chances: &[Chance], lines: &[Line]) -> (Outlook, Places) {
    let mut outlook = Outlook::default();
    let mut places = Places::new();
    let mut done = vec![false; lines.len()];
    let place_of = |item: ItemIx| lines.iter().position(|line| line.item == item);
    let covers = |larger: usize| {
        path.knowledge.items[lines[larger].item.0]
            .covers
            .iter()
            .filter_map(|item| place_of(*item))
            .collect::<Vec<_>>()
    };
    for start in 0..lines.len() {
        if done[start] {
            continue;
        }
        let mut members = vec![start];
        let mut reached = 0;
        while reached < members.len() {
            let here = members[reached];
            let linked =
                covers(here).into_iter().chain((0..lines.len()).filter(|other| covers(*other).contains(&here)));
            for other in linked.collect::<Vec<_>>() {
                if !members.contains(&other) {
                    members.push(other);
                }
            }
            reached += 1;
        }
        for member in &members {
            done[*member] = true;
        }
        let mut group = Group::default();
        for member in &members {
            let mut faults = Vec::new();
            for fault in &lines[*member].faults {
                places.insert(*fault, (outlook.groups.len(), group.faults.len()));
                faults.push(group.faults.len());
                group.faults.push(chances.iter().find(|chance| chance.fault == *fault).map_or(0.0, Chance::to_pay));
            }
            let larger = (0..members.len()).filter(|place| covers(members[*place]).contains(member));
            group.repairs.push(Repair {
                mean: lines[*member].size.mean(),
                faults,
                covered_by: larger.collect(),
                // With faults the sureness is in their chances already.
                sure: lines[*member].sure && lines[*member].faults.is_empty(),
            });
        }
        if group.faults.is_empty() {
            outlook.fixed += group.mean(&[]);
        } else {
            outlook.groups.push(group);
        }
    }
    (outlook, places)
}

/// What a question can still show: for each fault its strongest words, as far as they can still be said.
pub(super) fn check_of(
    path: &Path<'_>,
    ix: QuestionIx,
    chances: &[Chance],
    places: &Places,
) -> (Check, Vec<FaultIx>) {
    let view = path.view();
    let mut words: Vec<(FaultIx, f64, f64)> = Vec::new();
    for finding in &path.knowledge.findings {
        let own = finding.check == Some(ix) || finding.last == Some(ix);
        if !own
            || (finding.speaks_for.is_empty() && finding.against.is_empty())
            || view.holds(&finding.when) == Truth::No && answered_otherwise(path, ix)
        {
            continue;
        }
        let sides = finding
            .speaks_for
            .iter()
            .map(|word| (word, true))
            .chain(finding.against.iter().map(|word| (word, false)));
        for ((fault, strength), speaks_for) in sides {
            let place = words.iter().position(|(about, _, _)| about == fault).unwrap_or_else(|| {
                words.push((*fault, 1.0, 1.0));
                words.len() - 1
            });
            let side = if speaks_for { &mut words[place].1 } else { &mut words[place].2 };
            *side = side.max(strength.factor());
        }
    }
    let mut check = Check { looks: Vec::new() };
    let mut tells = Vec::new();
    for (fault, speaks_for, against) in words {
        let open = chances.iter().any(|chance| chance.fault == fault && !chance.sure && chance.settled.is_none());
        if let (true, Some((group, place)), Some(look)) =
            (open, places.get(&fault), Look::from_words(speaks_for, against))
        {
            check.looks.push((*group, *place, look));
            tells.push(fault);
        }
    }
    (check, tells)
}

/// Whether a no of a finding comes from other answers: the question itself has no value that could say no.
fn answered_otherwise(path: &Path<'_>, ix: QuestionIx) -> bool {
    !matches!(path.live.standing(ix), Standing::Value(_))
}

impl Checks {
    /// For every look of every ranked check: today's chance of its fault, and its mean over the outcomes.
    #[must_use]
    pub fn expectations(&self) -> Vec<(f64, f64)> {
        let looks = self.checks.iter().flat_map(|check| &check.looks);
        looks
            .map(|(group, fault, look)| {
                let today = self.outlook.groups[*group].faults[*fault];
                let expected = look.outcomes(today).iter().map(|atom| atom.chance * atom.mean).sum();
                (today, expected)
            })
            .collect()
    }

    /// What these checks are worth together, up to; those that are not ranked add nothing. Worths do not add up.
    #[must_use]
    pub fn together(&self, questions: &[QuestionIx]) -> f64 {
        let ranked = self.ranked.iter().zip(&self.checks);
        let picked: Vec<&Check> =
            ranked.filter(|(next, _)| questions.contains(&next.question)).map(|(_, check)| check).collect();
        self.outlook.worth(self.outlook.mean(), &picked, FINE)
    }
}

#[cfg(test)]
mod tests {
    use super::a_minute;

    /// Source key `order` (computed): the order and the expected cost of finding the one fault.
    #[test]
    fn independent_checks_go_by_chance_over_cost() {
        for (chances, costs, order, expected) in [
            ([0.5, 0.3, 0.2], [10.0, 3.0, 1.0], [2, 1, 0], 8.4),
            ([0.4, 0.35, 0.25], [20.0, 5.0, 30.0], [1, 0, 2], 25.5),
        ] {
            let mut places = [0, 1, 2];
            places.sort_by(|a: &usize, b: &usize| {
                a_minute(chances[*b], costs[*b]).total_cmp(&a_minute(chances[*a], costs[*a]))
            });
            assert_eq!(places, order);
            let (mut spent, mut mean) = (0.0, 0.0);
            for place in places {
                spent += costs[place];
                mean += chances[place] * spent;
            }
            assert!((mean - expected).abs() < 1e-9, "{mean}");
        }
    }
}
