//! Value, net, and the three offers: opening, aim, ceiling.
//!
//! All figures rest on chances and costs that are typical, from memory; get a quote.

use super::distribution::Distribution;

/// What a motor is worth before its faults: equally likely figures, in the buyer's currency.
#[derive(Clone, Debug, PartialEq)]
pub struct Value {
    pub figures: Vec<f64>,
    /// What the adverts behind it ask, on average; the asking price itself where there are none.
    pub adverts: f64,
    /// It rests on comparable adverts. Otherwise it is no value, only what is asked, less the usual gap.
    pub compared: bool,
    /// Adverts far from all others, which do not count.
    pub left_out: Vec<f64>,
    /// Where the figures come from, in a plain sentence.
    pub how: String,
}

impl Value {
    /// Comparables, each less the asking gap; without any, the asking price less the gap.
    #[must_use]
    pub fn from_prices(comparables: &[f64], asking: Option<f64>, gap: f64) -> Option<Self> {
        let percent = (gap * 100.0).round();
        let less = |prices: &[f64]| prices.iter().map(|price| price * (1.0 - gap)).collect();
        if comparables.is_empty() {
            return asking.map(|price| Self {
                figures: less(&[price]),
                adverts: price,
                compared: false,
                left_out: Vec::new(),
                how: format!("no comparable adverts were given, so the asking price less {percent} %"),
            });
        }
        let (kept, left_out) = without_odd_ones(comparables, asking);
        let how = format!(
            "{} comparable advert{}, less {percent} % because adverts ask more than motors sell for{}",
            kept.len(),
            if kept.len() == 1 { "" } else { "s" },
            left_out_said(&left_out),
        );
        let adverts = kept.iter().sum::<f64>() / kept.len() as f64;
        Some(Self { figures: less(&kept), adverts, compared: true, left_out, how })
    }

    /// Mean of the figures.
    #[must_use]
    pub fn mean(&self) -> f64 {
        self.figures.iter().sum::<f64>() / self.figures.len() as f64
    }
}

fn left_out_said(left_out: &[f64]) -> String {
    let prices: Vec<String> = left_out.iter().map(f64::to_string).collect();
    match prices.as_slice() {
        [] => String::new(),
        [one] => format!("; {one} is far from the others and was left out"),
        many => format!("; {} are far from the others and were left out", many.join(", ")),
    }
}

/// The comparables that count, and those over twice or under half the middle of all. Of only two that far apart
/// nobody can tell which is odd: the one nearer to the asking price is kept, without a price the lower one.
fn without_odd_ones(prices: &[f64], asking: Option<f64>) -> (Vec<f64>, Vec<f64>) {
    let middle = median(prices);
    let odd = |price: &f64| *price > 2.0 * middle || *price < middle / 2.0;
    if let [one, other] = prices
        && (odd(one) || odd(other))
    {
        let (low, high) = (one.min(*other), one.max(*other));
        let far = |price: f64| asking.map_or(price, |asking| (price / asking).ln().abs());
        return if far(low) <= far(high) { (vec![low], vec![high]) } else { (vec![high], vec![low]) };
    }
    let (left_out, kept): (Vec<f64>, Vec<f64>) = prices.iter().copied().partition(odd);
    if kept.is_empty() { (prices.to_vec(), Vec::new()) } else { (kept, left_out) }
}

fn median(prices: &[f64]) -> f64 {
    let mut sorted = prices.to_vec();
    sorted.sort_by(f64::total_cmp);
    let middle = sorted.len() / 2;
    if sorted.len() % 2 == 1 { sorted[middle] } else { f64::midpoint(sorted[middle - 1], sorted[middle]) }
}

/// What to say, in the buyer's currency.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Offers {
    pub opening: f64,
    pub aim: f64,
    pub ceiling: f64,
}

/// The least a motor is worth, as a share of its value: sold for parts.
pub const FOR_PARTS: f64 = 0.2;

/// What a motor is worth to the buyer after costs: value less cost, ordinary upkeep added back, never under a fifth
/// of the value. Value and cost are independent.
#[derive(Clone, Copy, Debug)]
pub struct Net<'n> {
    pub value: &'n Value,
    pub cost: &'n Distribution,
    pub ordinary: f64,
}

impl Net<'_> {
    /// Mean of the net.
    #[must_use]
    pub fn mean(self) -> f64 {
        self.cost.nodes().map(|(size, chance)| chance * self.at(size)).sum()
    }

    /// Mean of the net over the value, at one cost.
    #[must_use]
    pub fn at(self, cost: f64) -> f64 {
        let figures = &self.value.figures;
        figures.iter().map(|value| net(*value, cost, self.ordinary)).sum::<f64>() / figures.len() as f64
    }

    /// Chance that it is worth no more than its parts.
    #[must_use]
    pub fn at_floor(self) -> f64 {
        let figures = &self.value.figures;
        let under = |value: f64| {
            let nodes =
                self.cost.nodes().filter(move |(size, _)| value - size + self.ordinary <= FOR_PARTS * value);
            nodes.map(|(_, chance)| chance).sum::<f64>()
        };
        figures.iter().map(|value| under(*value)).sum::<f64>() / figures.len() as f64
    }

    /// The first sum at or under which the net lies with this chance.
    #[must_use]
    pub fn quantile(self, chance: f64) -> f64 {
        let share = 1.0 / self.value.figures.len() as f64;
        let each = self.value.figures.iter().flat_map(|value| {
            self.cost.nodes().map(move |(size, here)| (net(*value, size, self.ordinary), here * share))
        });
        let mut all: Vec<(f64, f64)> = each.collect();
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

    /// The mean of the net, at most the value.
    #[must_use]
    pub fn worth(self) -> f64 {
        self.mean().min(self.value.mean()).max(0.0)
    }
}

fn net(value: f64, cost: f64, ordinary: f64) -> f64 {
    (value - cost + ordinary).max(FOR_PARTS * value)
}

/// The three offers under a ceiling, rounded down as people say them; `low` is the 25 % point of the net.
#[must_use]
pub fn offers(ceiling: f64, low: f64) -> Offers {
    let opening = low.clamp(0.75 * ceiling, 0.92 * ceiling);
    Offers { opening: rounded(opening), aim: rounded(f64::midpoint(opening, ceiling)), ceiling: rounded(ceiling) }
}

/// Rounded down to 5 below 200, 25 below 1000, 50 below 5000, else 100.
#[must_use]
pub fn rounded(sum: f64) -> f64 {
    let step = rounding_step(sum);
    ((sum + 1e-9) / step).floor() * step
}

/// In what steps sums of this size are said.
#[must_use]
pub fn rounding_step(sum: f64) -> f64 {
    match sum {
        sum if sum < 200.0 => 5.0,
        sum if sum < 1000.0 => 25.0,
        sum if sum < 5000.0 => 50.0,
        _ => 100.0,
    }
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

    fn value(comparables: &[f64], asking: Option<f64>) -> Value {
        Value::from_prices(comparables, asking, 0.1).expect("a value")
    }

    #[test]
    fn a_motor_is_worth_a_fifth_for_parts() {
        let value = value(&[1000.0], None);
        let cost = Distribution { step: 5000.0, chances: vec![0.0, 1.0] };
        let net = Net { value: &value, cost: &cost, ordinary: 100.0 };
        assert!((net.mean() - 180.0).abs() < 1e-9);
        assert!((net.at_floor() - 1.0).abs() < 1e-12);
    }

    #[test]
    fn an_advert_far_from_all_others_is_left_out_and_named() {
        let with = value(&[4200.0, 3900.0, 420.0], None);
        assert_eq!(with.left_out, [420.0]);
        assert!((with.mean() - 0.9 * 4050.0).abs() < 1e-9 && with.how.contains("420"));
        assert_eq!(value(&[4200.0, 3900.0, 42_000.0], None).left_out, [42_000.0]);
        assert_eq!(value(&[4200.0, 3900.0, 2100.0], None).left_out, [] as [f64; 0], "just over half the middle");
    }

    #[test]
    fn of_two_far_apart_the_one_near_the_asking_price_counts() {
        assert_eq!(value(&[4200.0, 420.0], Some(4000.0)).left_out, [420.0]);
        assert_eq!(value(&[42_000.0, 4200.0], Some(4000.0)).left_out, [42_000.0]);
        assert_eq!(value(&[42_000.0, 4200.0], None).left_out, [42_000.0]);
    }

    #[test]
    fn what_is_asked_is_no_value() {
        let alone = value(&[], Some(4000.0));
        assert!(!alone.compared && (alone.mean() - 3600.0).abs() < 1e-9);
        assert_eq!(Value::from_prices(&[], None, 0.1), None);
    }
}
