//! Value, net, and the three offers: opening, aim, ceiling.
//!
//! All figures rest on chances and costs that are typical, from memory; get a quote.

use super::distribution::Distribution;

/// What a motor is worth before its faults: equally likely figures, in the buyer's currency.
#[derive(Clone, Debug, PartialEq)]
pub struct Value {
    pub figures: Vec<f64>,
    /// Where they come from, in a plain sentence.
    pub how: String,
}

impl Value {
    /// Comparables, each less the asking gap; without any, the asking price less the gap.
    #[must_use]
    pub fn from_prices(comparables: &[f64], asking: Option<f64>, gap: f64) -> Option<Self> {
        let percent = (gap * 100.0).round();
        if !comparables.is_empty() {
            return Some(Self {
                figures: comparables.iter().map(|price| price * (1.0 - gap)).collect(),
                how: format!(
                    "{} comparable adverts, each less {percent} % because adverts ask more than motors sell for",
                    comparables.len()
                ),
            });
        }
        asking.map(|price| Self {
            figures: vec![price * (1.0 - gap)],
            how: format!("no comparable adverts were given, so the asking price less {percent} %"),
        })
    }

    /// Mean of the figures.
    #[must_use]
    pub fn mean(&self) -> f64 {
        self.figures.iter().sum::<f64>() / self.figures.len() as f64
    }
}

/// What to say, in the buyer's currency.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Offers {
    pub opening: f64,
    pub aim: f64,
    pub ceiling: f64,
}

/// The least a motor is worth, as a share of its value: sold for parts.
const FOR_PARTS: f64 = 0.2;

/// Mean of the net: value less cost, ordinary upkeep added back, never under a fifth of the value.
#[must_use]
pub fn mean_net(value: &Value, cost: &Distribution, ordinary: f64) -> f64 {
    let each = value
        .figures
        .iter()
        .map(|figure| cost.nodes().map(|(size, chance)| chance * net(*figure, size, ordinary)).sum::<f64>());
    each.sum::<f64>() / value.figures.len() as f64
}

fn net(value: f64, cost: f64, ordinary: f64) -> f64 {
    (value - cost + ordinary).max(FOR_PARTS * value)
}

/// The net below which it lies with this chance.
fn net_quantile(value: &Value, cost: &Distribution, ordinary: f64, chance: f64) -> f64 {
    let share = 1.0 / value.figures.len() as f64;
    let mut all: Vec<(f64, f64)> = value
        .figures
        .iter()
        .flat_map(|figure| cost.nodes().map(move |(size, here)| (net(*figure, size, ordinary), here * share)))
        .collect();
    all.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut so_far = 0.0;
    for (figure, here) in &all {
        so_far += here;
        if so_far >= chance - 1e-12 {
            return *figure;
        }
    }
    all.last().map_or(0.0, |(figure, _)| *figure)
}

/// The ceiling before rounding: the mean of the net, at most the asking price.
#[must_use]
pub fn raw_ceiling(value: &Value, cost: &Distribution, ordinary: f64, asking: Option<f64>) -> f64 {
    mean_net(value, cost, ordinary).min(asking.unwrap_or(f64::INFINITY)).max(0.0)
}

/// The three offers, rounded down as people say them.
#[must_use]
pub fn offers(value: &Value, cost: &Distribution, ordinary: f64, asking: Option<f64>) -> Offers {
    let ceiling = raw_ceiling(value, cost, ordinary, asking);
    let tenth = net_quantile(value, cost, ordinary, 0.10);
    let opening = tenth.clamp(0.6 * ceiling, 0.9 * ceiling);
    Offers { opening: rounded(opening), aim: rounded(f64::midpoint(opening, ceiling)), ceiling: rounded(ceiling) }
}

/// Rounded down to 5 below 200, 25 below 1000, 50 below 5000, else 100.
#[must_use]
pub fn rounded(sum: f64) -> f64 {
    let step = match sum {
        sum if sum < 200.0 => 5.0,
        sum if sum < 1000.0 => 25.0,
        sum if sum < 5000.0 => 50.0,
        _ => 100.0,
    };
    ((sum + 1e-9) / step).floor() * step
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sums_are_rounded_down_and_never_past_each_other() {
        for (sum, said) in
            [(199.0, 195.0), (200.0, 200.0), (999.0, 975.0), (1049.0, 1000.0), (4999.0, 4950.0), (5099.0, 5000.0)]
        {
            assert!((rounded(sum) - said).abs() < 1e-9, "{sum}");
        }
        let mut before = 0.0;
        for sum in 0..20_000 {
            let said = rounded(f64::from(sum));
            assert!(said >= before && said <= f64::from(sum));
            before = said;
        }
    }

    #[test]
    fn a_motor_is_worth_a_fifth_for_parts() {
        let value = Value { figures: vec![1000.0], how: String::new() };
        let cost = Distribution { step: 5000.0, chances: vec![0.0, 1.0] };
        assert!((mean_net(&value, &cost, 100.0) - 200.0).abs() < 1e-9);
    }
}
