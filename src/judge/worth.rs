//! The worth of knowing: of everything, of one check, of a set of checks.
//!
//! Buying gains `gain − cost`; leaving gains nothing. Knowing something first lets the buyer choose by what comes
//! out: Raiffa, Decision Analysis (1968), expected value of sample information (inputs of its example from memory,
//! solved again with an independent library; see the tests). Faults are independent; those that share or cover
//! repairs stand together in a [`Group`], whose joint outcomes are enumerated; groups are then convolved.

/// A chance and what it comes with.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Atom {
    pub chance: f64,
    /// Mean cost when this comes out.
    pub mean: f64,
}

/// `E[max(0, gain − mean)] − max(0, gain − E[mean])`: what knowing which atom it is adds to the choice.
///
/// Never negative, by Jensen's inequality.
#[must_use]
pub fn worth_of_knowing(gain: f64, atoms: &[Atom]) -> f64 {
    let with: f64 = atoms.iter().map(|atom| atom.chance * (gain - atom.mean).max(0.0)).sum();
    let mean: f64 = atoms.iter().map(|atom| atom.chance * atom.mean).sum();
    let worth = with - (gain - mean).max(0.0);
    // What is left of rounding is no worth.
    if worth > 1e-9 * (gain.abs() + mean.abs()) { worth } else { 0.0 }
}

/// Bayes' rule over states: for each signal its chance and the mean cost it leaves.
///
/// `states` are chances and costs; `likelihood[state][signal]` is the chance of a signal in a state.
#[must_use]
pub fn after_signals(states: &[Atom], likelihood: &[Vec<f64>]) -> Vec<Atom> {
    let signals = likelihood.first().map_or(0, Vec::len);
    let one = |signal: usize| {
        let joint = states.iter().zip(likelihood).map(|(state, row)| (state.chance * row[signal], state.mean));
        let (chance, cost) = joint.fold((0.0, 0.0), |(all, cost), (here, mean)| (all + here, cost + here * mean));
        Atom { chance, mean: if chance > 0.0 { cost / chance } else { 0.0 } }
    };
    (0..signals).map(one).filter(|atom| atom.chance > 0.0).collect()
}

/// What one look tells of one fault: how often it shows a fault that is there, and none where there is none.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Look {
    pub sensitivity: f64,
    pub specificity: f64,
}

impl Look {
    /// From likelihood ratios: `speaks_for` for a bad outcome, `against` dividing for a good one.
    ///
    /// `None` when one of them is 1: such a look would have to tell nothing.
    #[must_use]
    pub fn from_words(speaks_for: f64, against: f64) -> Option<Self> {
        if speaks_for <= 1.0 || against <= 1.0 {
            return None;
        }
        let specificity = (speaks_for - 1.0) / (speaks_for - 1.0 / against);
        Some(Self { sensitivity: speaks_for * (1.0 - specificity), specificity })
    }

    /// How much it tells: 0 nothing, 1 everything.
    #[must_use]
    pub fn tells(self) -> f64 {
        self.sensitivity + self.specificity - 1.0
    }

    /// Chances of the fault after each outcome, as atoms whose mean is the chance.
    #[must_use]
    pub fn outcomes(self, chance: f64) -> Vec<Atom> {
        let states = [Atom { chance, mean: 1.0 }, Atom { chance: 1.0 - chance, mean: 0.0 }];
        let likelihood =
            [vec![self.sensitivity, 1.0 - self.sensitivity], vec![1.0 - self.specificity, self.specificity]];
        after_signals(&states, &likelihood)
    }
}

/// A repair in a group: its mean size, the faults that call for it, the larger repairs that cover it.
#[derive(Clone, Debug, PartialEq)]
pub struct Repair {
    pub mean: f64,
    /// Places in [`Group::faults`].
    pub faults: Vec<usize>,
    /// Places in [`Group::repairs`].
    pub covered_by: Vec<usize>,
    pub sure: bool,
}

/// Faults and repairs that depend on each other.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Group {
    /// Today's chances.
    pub faults: Vec<f64>,
    pub repairs: Vec<Repair>,
}

impl Group {
    /// Mean cost of the group when its faults have these chances.
    #[must_use]
    pub fn mean(&self, chances: &[f64]) -> f64 {
        let paid = |repair: &Repair| {
            if repair.sure {
                1.0
            } else {
                1.0 - repair.faults.iter().map(|fault| 1.0 - chances[*fault]).product::<f64>()
            }
        };
        let uncovered = |repair: &Repair| {
            repair.covered_by.iter().map(|larger| 1.0 - paid(&self.repairs[*larger])).product::<f64>()
        };
        self.repairs.iter().map(|repair| repair.mean * paid(repair) * uncovered(repair)).sum()
    }

    /// Outcomes of looks, each at one fault of the group: every joint outcome with the mean cost it leaves.
    #[must_use]
    pub fn outcomes(&self, looks: &[(usize, Look)]) -> Vec<Atom> {
        let mut joint: Vec<(f64, Vec<f64>)> = vec![(1.0, self.faults.clone())];
        for (fault, look) in looks {
            joint = joint
                .into_iter()
                .flat_map(|(chance, chances)| {
                    look.outcomes(chances[*fault]).into_iter().map(move |atom| {
                        let mut after = chances.clone();
                        after[*fault] = atom.mean;
                        (chance * atom.chance, after)
                    })
                })
                .collect();
        }
        joint.into_iter().map(|(chance, chances)| Atom { chance, mean: self.mean(&chances) }).collect()
    }
}

/// One check: what it can look at.
#[derive(Clone, Debug, PartialEq)]
pub struct Check {
    /// Group, fault in the group, look.
    pub looks: Vec<(usize, usize, Look)>,
}

/// All that checks are weighed on.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Outlook {
    pub groups: Vec<Group>,
    /// Costs that do not depend on any fault.
    pub fixed: f64,
}

impl Outlook {
    /// Mean cost today.
    #[must_use]
    pub fn mean(&self) -> f64 {
        self.fixed + self.groups.iter().map(|group| group.mean(&group.faults)).sum::<f64>()
    }

    /// The joint outcomes of a set of checks, as far as `nodes` allow: exact while they are few, else on that
    /// many nodes with means kept.
    #[must_use]
    pub fn outcomes(&self, checks: &[&Check], nodes: usize) -> Vec<Atom> {
        let mut all = vec![Atom { chance: 1.0, mean: self.fixed }];
        for (place, group) in self.groups.iter().enumerate() {
            let looks: Vec<(usize, Look)> = checks
                .iter()
                .flat_map(|check| &check.looks)
                .filter(|(of, _, _)| *of == place)
                .map(|(_, fault, look)| (*fault, *look))
                .collect();
            all = convolve(&all, &group.outcomes(&looks), nodes);
        }
        all
    }

    /// What a set of checks is worth to a buyer who would gain `gain` before costs.
    #[must_use]
    pub fn worth(&self, gain: f64, checks: &[&Check], nodes: usize) -> f64 {
        worth_of_knowing(gain, &self.outcomes(checks, nodes))
    }
}

/// Sums of independent atoms; more than `nodes` of them are put on that many nodes, means kept.
#[must_use]
pub fn convolve(left: &[Atom], right: &[Atom], nodes: usize) -> Vec<Atom> {
    let sum = |a: &Atom, b: &Atom| Atom { chance: a.chance * b.chance, mean: a.mean + b.mean };
    if let [only] = right {
        return left.iter().map(|atom| sum(atom, only)).collect();
    }
    let sums = left.iter().flat_map(|a| right.iter().map(move |b| sum(a, b)));
    if left.len() * right.len() <= nodes {
        return sums.collect();
    }
    let ((low_a, high_a), (low_b, high_b)) = (ends(left), ends(right));
    on_nodes(sums, low_a + low_b, high_a + high_b, nodes)
}

fn ends(atoms: &[Atom]) -> (f64, f64) {
    let wider = |(low, high): (f64, f64), atom: &Atom| (low.min(atom.mean), high.max(atom.mean));
    atoms.iter().fold((f64::INFINITY, f64::NEG_INFINITY), wider)
}

fn on_nodes(atoms: impl Iterator<Item = Atom>, low: f64, high: f64, nodes: usize) -> Vec<Atom> {
    let step = (high - low) / (nodes - 1) as f64;
    if step <= 0.0 {
        return vec![Atom { chance: atoms.map(|atom| atom.chance).sum(), mean: low }];
    }
    let mut grid = vec![0.0; nodes];
    for atom in atoms {
        let place = (atom.mean - low) / step;
        let cell = (place as usize).min(nodes - 2);
        let share = place - cell as f64;
        grid[cell] += atom.chance * (1.0 - share);
        grid[cell + 1] += atom.chance * share;
    }
    let node = |(place, chance): (usize, f64)| Atom { chance, mean: low + place as f64 * step };
    grid.into_iter().enumerate().filter(|(_, chance)| *chance > 0.0).map(node).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    const FINE: usize = 4096;

    /// Raiffa, Decision Analysis (1968), the oil wildcatter; inputs from memory, solved again with an independent
    /// library (computed): value 20, perfect information 35, the sounding 12.5.
    #[test]
    fn the_oil_wildcatter() {
        let states =
            [(0.5, -70.0), (0.3, 50.0), (0.2, 200.0)].map(|(chance, payoff)| Atom { chance, mean: -payoff });
        let likelihood = [vec![0.6, 0.3, 0.1], vec![0.3, 0.4, 0.3], vec![0.1, 0.4, 0.5]];
        let value: f64 = states.iter().map(|state| -state.chance * state.mean).sum();
        assert!((value - 20.0).abs() < 1e-9);
        assert!((worth_of_knowing(0.0, &states) - 35.0).abs() < 1e-9);
        let signals = after_signals(&states, &likelihood);
        for (signal, chance) in signals.iter().zip([0.41, 0.35, 0.24]) {
            assert!((signal.chance - chance).abs() < 1e-12);
        }
        assert!((worth_of_knowing(0.0, &signals) - 12.5).abs() < 1e-9);
    }

    fn worked_case() -> (Outlook, [Check; 4]) {
        let group = |chance: f64, mean: f64| Group {
            faults: vec![chance],
            repairs: vec![Repair { mean, faults: vec![0], covered_by: vec![], sure: false }],
        };
        let outlook =
            Outlook { groups: vec![group(0.2, 5000.0), group(0.1, 3000.0), group(0.3, 800.0)], fixed: 0.0 };
        let check = |of: usize, sensitivity: f64, specificity: f64| Check {
            looks: vec![(of, 0, Look { sensitivity, specificity })],
        };
        (outlook, [check(0, 0.90, 0.95), check(0, 0.99, 0.98), check(1, 0.80, 0.90), check(2, 0.95, 0.90)])
    }

    /// A case worked by hand: value 10000, price 8000, three independent faults, four checks (computed).
    #[test]
    fn the_worked_case() {
        let (outlook, [a1, a2, b1, c1]) = worked_case();
        let gain = 2000.0;
        let near = |found: f64, wanted: f64| assert!((found - wanted).abs() < 1e-6, "{found} is not {wanted}");
        near(gain - outlook.mean(), 460.0);
        let everything: Vec<Atom> = [(0.2, 5000.0), (0.1, 3000.0), (0.3, 800.0)]
            .iter()
            .map(|(chance, size)| {
                vec![Atom { chance: 1.0 - chance, mean: 0.0 }, Atom { chance: *chance, mean: *size }]
            })
            .fold(vec![Atom { chance: 1.0, mean: 0.0 }], |so_far, fault| convolve(&so_far, &fault, FINE));
        near(worth_of_knowing(gain, &everything), 807.2);
        for (checks, wanted) in [
            (vec![&a1], 578.8),
            (vec![&a2], 677.56),
            (vec![&b1], 110.8),
            (vec![&c1], 0.0),
            (vec![&a1, &b1], 578.8),
            (vec![&a1, &b1, &c1], 587.377_800),
            (vec![&b1, &c1], 110.8),
            (vec![&a1, &a2], 677.56),
        ] {
            near(outlook.worth(gain, &checks, FINE), wanted);
        }
    }

    #[test]
    fn a_look_keeps_todays_chance_on_average() {
        for (speaks_for, against) in [(2.0, 2.0), (50.0, 12.0), (4.0, 50.0)] {
            let look = Look::from_words(speaks_for, against).unwrap();
            assert!((look.sensitivity / (1.0 - look.specificity) - speaks_for).abs() < 1e-9);
            assert!((look.specificity / (1.0 - look.sensitivity) - against).abs() < 1e-9);
            let mean: f64 = look.outcomes(0.37).iter().map(|atom| atom.chance * atom.mean).sum();
            assert!((mean - 0.37).abs() < 1e-12);
        }
        assert_eq!(Look::from_words(12.0, 1.0), None);
    }

    #[test]
    fn more_atoms_than_nodes_keep_their_mean() {
        let fault = |mean: f64| vec![Atom { chance: 0.7, mean: 0.0 }, Atom { chance: 0.3, mean }];
        let sizes: Vec<f64> = (1..=12).map(|place| f64::from(place) * 37.3).collect();
        let coarse =
            sizes.iter().fold(vec![Atom { chance: 1.0, mean: 0.0 }], |all, size| convolve(&all, &fault(*size), 64));
        assert!(coarse.len() <= 64);
        let mean: f64 = coarse.iter().map(|atom| atom.chance * atom.mean).sum();
        assert!((mean - 0.3 * sizes.iter().sum::<f64>()).abs() < 1e-9);
    }
}
