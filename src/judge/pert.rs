//! The size of a repair: a beta-PERT distribution between low and high.
//!
//! Malcolm, Roseboom, Clark, Fazar, Operations Research 7(5), 1959 (citation from memory): alpha = 1 + 4(m−a)/(b−a),
//! beta = 1 + 4(b−m)/(b−a), mean (a + 4m + b)/6, variance (mean−a)(b−mean)/7. This is the beta distribution itself,
//! not the ((b−a)/6)² short cut.

use statrs::function::beta::beta_reg;

/// Low, likely and high of one size, in the buyer's currency.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pert {
    pub low: f64,
    pub likely: f64,
    pub high: f64,
}

impl Pert {
    /// A size that is known.
    #[must_use]
    pub fn fixed(size: f64) -> Self {
        Self { low: size, likely: size, high: size }
    }

    /// Mean of the size.
    #[must_use]
    pub fn mean(self) -> f64 {
        (self.low + 4.0 * self.likely + self.high) / 6.0
    }

    /// Variance of the size.
    #[must_use]
    pub fn variance(self) -> f64 {
        (self.mean() - self.low) * (self.high - self.mean()) / 7.0
    }

    /// Chance that the size is at most `size`, and the part of the mean that lies there.
    #[must_use]
    pub fn below(self, size: f64) -> (f64, f64) {
        let width = self.high - self.low;
        if size >= self.high {
            return (1.0, self.mean());
        }
        if size <= self.low {
            return (0.0, 0.0);
        }
        let alpha = 1.0 + 4.0 * (self.likely - self.low) / width;
        let beta = 1.0 + 4.0 * (self.high - self.likely) / width;
        let place = (size - self.low) / width;
        let chance = beta_reg(alpha, beta, place);
        // E[B; B ≤ x] of a beta variable is its mean times the distribution function with alpha + 1.
        let part = alpha / (alpha + beta) * beta_reg(alpha + 1.0, beta, place);
        (chance, self.low * chance + width * part)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// scipy.stats.beta, values printed with the source key `pert` (computed).
    #[test]
    fn mean_and_variance_agree_with_scipy() {
        for (low, likely, high, mean, variance) in [
            (1.0, 4.0, 13.0, 5.0, 4.571_429),
            (100.0, 300.0, 900.0, 366.666_7, 20_317.460_3),
            (0.0, 0.0, 6.0, 1.0, 0.714_286),
        ] {
            let pert = Pert { low, likely, high };
            assert!((pert.mean() - mean).abs() < 1e-4);
            assert!((pert.variance() - variance).abs() < 1e-4);
        }
    }

    #[test]
    fn the_parts_of_the_mean_add_up() {
        let pert = Pert { low: 100.0, likely: 300.0, high: 900.0 };
        let (chance, part) = pert.below(899.999_999);
        assert!((chance - 1.0).abs() < 1e-6 && (part - pert.mean()).abs() < 1e-3);
        assert_eq!(Pert::fixed(50.0).below(50.0), (1.0, 50.0));
        assert_eq!(Pert::fixed(50.0).below(49.0), (0.0, 0.0));
    }
}
