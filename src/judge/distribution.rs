//! The distribution of a sum of independent costs, exact on a grid of money.
//!
//! Each size is split between its two nearest nodes so that its mean holds, and the sizes are convolved by fast
//! Fourier transform (crate `realfft`). Nothing is sampled: the same answers always give the same figures.

use std::sync::Arc;

use realfft::num_complex::Complex;
use realfft::{ComplexToReal, RealFftPlanner};

use super::pert::Pert;

/// The most cells a grid may have.
const CELLS: f64 = 4096.0;
/// Fewer, where the same sum is taken for many cases.
pub const COARSE: f64 = 512.0;

/// Chances on equally spaced nodes from zero.
#[derive(Clone, Debug, PartialEq)]
pub struct Distribution {
    pub step: f64,
    pub chances: Vec<f64>,
}

impl Distribution {
    /// Every node with its chance.
    pub fn nodes(&self) -> impl Iterator<Item = (f64, f64)> {
        self.chances.iter().enumerate().map(|(place, chance)| (place as f64 * self.step, *chance))
    }

    /// Mean of the sum.
    #[must_use]
    pub fn mean(&self) -> f64 {
        self.nodes().map(|(size, chance)| size * chance).sum()
    }

    /// The first node at or under which the sum lies with at least this chance.
    #[must_use]
    pub fn quantile(&self, chance: f64) -> f64 {
        let mut so_far = 0.0;
        for (size, here) in self.nodes() {
            so_far += here;
            if so_far >= chance - 1e-12 {
                return size;
            }
        }
        self.step * (self.chances.len().saturating_sub(1)) as f64
    }

    /// The same sum in other money.
    #[must_use]
    pub fn scaled(&self, factor: f64) -> Self {
        Self { step: self.step * factor, chances: self.chances.clone() }
    }
}

/// The smallest step of 1, 2 or 5 times a power of ten that covers `most` with at most so many cells.
#[must_use]
fn step_for(most: f64, cells: f64) -> f64 {
    if most <= 0.0 || !most.is_finite() {
        return 1.0;
    }
    let mut decade = 10f64.powf((most / cells).log10().floor() - 1.0);
    loop {
        for step in [1.0, 2.0, 5.0] {
            if (most / (step * decade) - 1e-9).ceil() <= cells {
                return step * decade;
            }
        }
        decade *= 10.0;
    }
}

/// The transform of a sum, or of a part of it.
#[derive(Clone, Debug)]
pub struct Spectrum(Vec<Complex<f64>>);

/// Sizes ready to be summed again and again with other chances.
pub struct Summing {
    step: f64,
    spectra: Vec<Vec<Complex<f64>>>,
    backward: Arc<dyn ComplexToReal<f64>>,
}

impl Summing {
    /// Prepares these sizes: splits each over the grid and transforms it.
    #[must_use]
    pub fn new(sizes: &[Pert]) -> Self {
        Self::on_cells(sizes, CELLS)
    }

    /// The same on at most so many cells.
    #[must_use]
    pub fn on_cells(sizes: &[Pert], cells: f64) -> Self {
        let step = step_for(sizes.iter().map(|size| size.high).sum(), cells);
        let ends = sizes.iter().map(|size| (size.high / step).ceil() as usize + 1);
        let length = (ends.sum::<usize>() + 2).next_power_of_two();
        let mut planner = RealFftPlanner::new();
        let forward = planner.plan_fft_forward(length);
        let spectra = sizes
            .iter()
            .map(|size| {
                let mut nodes = split(*size, step);
                nodes.resize(length, 0.0);
                let mut spectrum = forward.make_output_vec();
                // The lengths are made to match, so the transform can't refuse them.
                let _ = forward.process(&mut nodes, &mut spectrum);
                spectrum
            })
            .collect();
        Self { step, spectra, backward: planner.plan_fft_inverse(length) }
    }

    /// The distribution of the sum when the size at each place is paid with its chance.
    #[must_use]
    pub fn sum(&self, chances: &[f64]) -> Distribution {
        self.finish(self.product(chances.iter().copied().enumerate(), None))
    }

    /// The part of a sum that comes from these sizes, on top of a part worked out before.
    #[must_use]
    pub fn product(&self, chances: impl Iterator<Item = (usize, f64)>, before: Option<&Spectrum>) -> Spectrum {
        let one = Complex::new(1.0, 0.0);
        let mut product = before.map_or_else(|| vec![one; self.backward.len() / 2 + 1], |before| before.0.clone());
        for (place, chance) in chances {
            for (so_far, bin) in product.iter_mut().zip(&self.spectra[place]) {
                *so_far *= one * (1.0 - chance) + bin * chance;
            }
        }
        Spectrum(product)
    }

    /// The distribution a product of all sizes stands for.
    #[must_use]
    pub fn finish(&self, product: Spectrum) -> Distribution {
        let length = self.backward.len();
        let mut product = product.0;
        // A real signal has real end bins; rounding may leave a trace the transform would refuse.
        product[0].im = 0.0;
        product[length / 2].im = 0.0;
        let mut nodes = self.backward.make_output_vec();
        let _ = self.backward.process(&mut product, &mut nodes);
        let scale = 1.0 / length as f64;
        let mut chances: Vec<f64> = nodes.iter().map(|node| (node * scale).max(0.0)).collect();
        while chances.len() > 1 && chances.last().is_some_and(|chance| *chance < 1e-15) {
            chances.pop();
        }
        Distribution { step: self.step, chances }
    }
}

/// The chances of a size on the nodes, each small part of it split between its two nearest nodes.
fn split(size: Pert, step: f64) -> Vec<f64> {
    let last = (size.high / step).ceil() as usize;
    let mut nodes = vec![0.0; last + 2];
    let first = (size.low / step).floor() as usize;
    let (mut chance_before, mut part_before) = (0.0, 0.0);
    for cell in first..=last {
        let (left, right) = (cell as f64 * step, (cell as f64 + 1.0) * step);
        let (chance, part) = size.below(right);
        let (here, mean_here) = (chance - chance_before, part - part_before);
        nodes[cell] += (right * here - mean_here) / step;
        nodes[cell + 1] += (mean_here - left * here) / step;
        (chance_before, part_before) = (chance, part);
    }
    nodes
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_are_one_two_five() {
        assert!((step_for(4096.0, CELLS) - 1.0).abs() < 1e-12);
        assert!((step_for(4097.0, CELLS) - 2.0).abs() < 1e-12);
        assert!((step_for(12_000.0, CELLS) - 5.0).abs() < 1e-12);
        assert!((step_for(300.0, CELLS) - 0.1).abs() < 1e-12);
    }

    /// Closed form: two fixed costs, each paid or not, independent.
    #[test]
    fn fixed_costs_give_the_closed_form() {
        let sum = Summing::new(&[Pert::fixed(100.0), Pert::fixed(40.0)]).sum(&[0.3, 0.5]);
        let at =
            |size: f64| sum.nodes().find(|(node, _)| (node - size).abs() < 1e-9).map_or(0.0, |(_, chance)| chance);
        for (size, chance) in [(0.0, 0.35), (40.0, 0.35), (100.0, 0.15), (140.0, 0.15)] {
            assert!((at(size) - chance).abs() < 1e-12, "{size}");
        }
        assert!((sum.mean() - 50.0).abs() < 1e-9);
        assert!(sum.chances.last().is_some_and(|chance| *chance > 0.1), "nothing stands behind the largest sum");
        assert!((sum.quantile(0.5) - 40.0).abs() < 1e-9);
    }

    /// Chances that rounding left under one: the rest lies at the last node.
    #[test]
    fn what_is_never_reached_is_the_last_node() {
        let sum = Distribution { step: 10.0, chances: vec![0.5, 0.2, 0.2] };
        assert_eq!([0.5, 0.6, 0.9, 0.95].map(|chance| sum.quantile(chance).round()), [0.0, 10.0, 20.0, 20.0]);
    }

    #[test]
    fn means_hold_on_the_grid() {
        let sizes = [
            Pert { low: 333.3, likely: 512.7, high: 1999.9 },
            Pert { low: 0.0, likely: 20.5, high: 60.1 },
            Pert { low: 1801.0, likely: 3200.0, high: 5200.0 },
        ];
        let chances = [0.3, 1.0, 0.07];
        let exact: f64 = sizes.iter().zip(chances).map(|(size, chance)| size.mean() * chance).sum();
        assert!((Summing::new(&sizes).sum(&chances).mean() - exact).abs() < 1e-6 * exact);
    }
}
