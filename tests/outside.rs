//! The arithmetic against figures made by other libraries; `outside/README.md` says how.

use std::path::Path;

use serde::Deserialize;
use serde::de::DeserializeOwned;
use skeg::air_ratio;
use skeg::{Dimension, Metres, Unit, parse_quantity};
use skeg::{Net, Pert, Summing, Worth};

/// The rows of a file in `tests/outside`. A file without rows would prove nothing.
fn rows<T: DeserializeOwned>(name: &str) -> Vec<T> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/outside").join(name);
    let text = std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
    let rows: Vec<T> = serde_json::from_str(&text).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
    assert!(!rows.is_empty(), "{} has no rows", path.display());
    rows
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct AirRow {
    metres: f64,
    ratio: f64,
    ratio_geometric: f64,
}

// ambiance, US Standard Atmosphere 1976.
#[test]
fn air_thins_as_the_standard_atmosphere_says() {
    for row in rows::<AirRow>("air.json") {
        let found = air_ratio(Metres(row.metres)).expect("a ratio").value.ratio.0;
        assert!((found - row.ratio).abs() < 2e-6, "{} m: {found}", row.metres);
        // Heights on a map are geometric: below 4 km that is less than any gauge shows.
        if row.metres <= 4000.0 {
            assert!((found - row.ratio_geometric).abs() < 3e-4, "{} m", row.metres);
        }
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct UnitRow {
    dimension: String,
    text: String,
    unit: String,
    number: f64,
}

// pint.
#[test]
fn typed_amounts_convert_as_another_library_has_them() {
    for row in rows::<UnitRow>("units.json") {
        let dimension = Dimension::from_name(&row.dimension).expect("a dimension");
        let unit = Unit::from_symbol(&row.unit).expect("a unit");
        let typed = parse_quantity(&row.text, dimension, dimension.house_unit()).expect("an amount");
        let found = typed.to(unit).number;
        // Twelve digits in the file; a temperature near nought has lost some of them.
        let off = (found - row.number).abs() / row.number.abs().max(1e-3);
        assert!(off < 1e-11, "{} is {found} {unit}, not {}", row.text, row.number);
        let house = typed.to(unit).house();
        assert!((house - typed.house()).abs() <= 1e-11 * typed.house().abs().max(1.0));
    }
}

// pint: every dimension with more than one unit is in the file.
#[test]
fn no_unit_is_left_out_of_the_comparison() {
    let rows = rows::<UnitRow>("units.json");
    for dimension in Dimension::ALL {
        if dimension.units().len() < 2 {
            continue;
        }
        for unit in dimension.units() {
            let seen = rows.iter().any(|row| Unit::from_symbol(&row.unit) == Some(*unit));
            assert!(seen, "{dimension}: {unit}");
        }
    }
}

#[derive(Deserialize)]
struct PertRow {
    low: f64,
    likely: f64,
    high: f64,
    mean: f64,
    variance: f64,
    quantiles: Vec<Point>,
    cdf: Vec<Point>,
}

#[derive(Deserialize)]
struct Point {
    share: f64,
    at: f64,
}

// scipy.stats.beta with the shapes of Malcolm, Roseboom, Clark, Fazar, Operations Research 7(5), 1959 (citation from
// memory).
#[test]
fn the_size_of_a_repair_is_a_beta_pert() {
    for row in rows::<PertRow>("pert.json") {
        let size = Pert { low: row.low, likely: row.likely, high: row.high };
        assert!((size.mean() - row.mean).abs() < 1e-8 * row.high);
        assert!((size.variance() - row.variance).abs() < 1e-8 * row.high * row.high);
        for point in row.quantiles.iter().chain(&row.cdf) {
            let found = size.below(point.at).0;
            assert!((found - point.share).abs() < 1e-6, "at {}: {found}, scipy says {}", point.at, point.share);
        }
    }
}

#[derive(Deserialize)]
struct Total {
    name: String,
    items: Vec<Due>,
    total: Figures,
}

#[derive(Deserialize)]
struct Due {
    chance: f64,
    low: f64,
    likely: f64,
    high: f64,
}

#[derive(Deserialize)]
struct Figures {
    mean: f64,
    variance: f64,
    p10: f64,
    p50: f64,
    p90: f64,
}

// The sum of independent items by scipy on a grid of five cents.
#[test]
fn the_total_is_the_convolution_of_its_items() {
    for case in rows::<Total>("statistics.json") {
        let sizes: Vec<Pert> =
            case.items.iter().map(|due| Pert { low: due.low, likely: due.likely, high: due.high }).collect();
        let chances: Vec<f64> = case.items.iter().map(|due| due.chance).collect();
        let total = Summing::new(&sizes).sum(&chances);
        assert!((total.mean() - case.total.mean).abs() < 1e-3 * case.total.mean, "{}: mean", case.name);
        let variance: f64 = total.nodes().map(|(size, chance)| chance * (size - total.mean()).powi(2)).sum();
        assert!((variance - case.total.variance).abs() < 1e-3 * case.total.variance, "{}: variance", case.name);
        for (share, at) in [(0.1, case.total.p10), (0.5, case.total.p50), (0.9, case.total.p90)] {
            let found = total.quantile(share);
            assert!(
                (found - at).abs() <= total.step + 1e-9,
                "{}: {share} lies at {found}, scipy says {at}",
                case.name
            );
        }
    }
}

#[derive(Deserialize)]
struct NetCase {
    name: String,
    items: Vec<Due>,
    values: Vec<f64>,
    upkeep: f64,
    mean: f64,
    floor: f64,
    p10: f64,
    p25: f64,
    p90: f64,
}

// Value less cost with numpy on a grid of five cents: what is left, never under a fifth of the value.
#[test]
fn what_is_left_of_the_value_is_that_of_a_finer_grid() {
    for case in rows::<NetCase>("nets.json") {
        let sizes: Vec<Pert> =
            case.items.iter().map(|due| Pert { low: due.low, likely: due.likely, high: due.high }).collect();
        let cost = Summing::new(&sizes).sum(&case.items.iter().map(|due| due.chance).collect::<Vec<f64>>());
        let mut value = Worth::from_prices(&case.values, None, 0.0).expect("a value");
        value.figures.clone_from(&case.values);
        let net = Net { value: &value, cost: &cost, ordinary: case.upkeep };
        let name = &case.name;
        assert!((net.mean() - case.mean).abs() < 0.5, "{name}: mean {} is not {}", net.mean(), case.mean);
        assert!(
            (net.at_floor() - case.floor).abs() < 2e-3,
            "{name}: floor {} is not {}",
            net.at_floor(),
            case.floor
        );
        for (share, at) in [(0.1, case.p10), (0.25, case.p25), (0.9, case.p90)] {
            let found = net.quantile(share);
            assert!((found - at).abs() <= cost.step + 1e-9, "{name}: {share} lies at {found}, numpy says {at}");
        }
    }
}
