//! What was measured: figures with their working, compression as bars, readings that lie apart.

use serde::Serialize;

use crate::answers::{Live, Standing, Value};
use crate::knowledge::KnownMeasure;
use crate::knowledge::roles::COMPRESSION;
use crate::measure::{self, Figure, Outcome, compression};
use crate::units::{Dimension, Fraction, Psi, Quantity, Unit, figure};

use super::super::markdown::WIDTH;
use super::super::words;
use super::Scene;

/// All figures of an interview.
#[derive(Clone, Debug, Serialize)]
pub struct Measured {
    pub figures: Vec<MeasureSaid>,
    pub compression: Option<Bars>,
    /// Readings of one cylinder that lie apart.
    pub apart: Vec<String>,
}

#[derive(Clone, Debug, Serialize)]
pub struct MeasureSaid {
    pub title: String,
    pub figure: String,
    pub how: String,
}

/// Compression by cylinder.
#[derive(Clone, Debug, Serialize)]
pub struct Bars {
    /// In plain characters.
    pub lines: Vec<String>,
    pub bars: Vec<Bar>,
    pub highest: String,
}

#[derive(Clone, Debug, Serialize)]
pub struct Bar {
    pub cylinder: usize,
    /// Of the highest, in thousandths.
    pub share: u32,
    pub reading: Option<String>,
    pub low: bool,
}

impl Measured {
    pub(super) fn of(scene: &Scene<'_, '_>) -> Self {
        let live = &scene.path().live;
        let told =
            |outcome: &&Outcome| scene.knowledge().measure(outcome.id).reads.iter().all(|ix| scene.may_tell(*ix));
        let outcomes: Vec<Outcome> = scene.judgement.measures.iter().filter(told).cloned().collect();
        let said = |outcome: &Outcome| {
            let about = scene.knowledge().measure(outcome.id);
            let figure = figure_said(about, outcome.figure?, live);
            Some(MeasureSaid { title: words::capital(about.title), figure, how: outcome.how.clone() })
        };
        Self {
            figures: outcomes.iter().filter_map(said).collect(),
            compression: bars_of(scene),
            apart: measure::repeats_apart(live, scene.path().date),
        }
    }
}

/// The figure in its house unit, in the buyer's own unit first where that is another.
fn figure_said(about: &KnownMeasure, value: Figure, live: &Live<'_>) -> String {
    let number = match value {
        Figure::Word(word) => return word_said(word).to_owned(),
        Figure::Number(number) => number,
    };
    let unit = Unit::from_symbol(about.unit);
    // Over a limit by less than nothing is a puzzle, not a figure.
    match about.name {
        "weight-over" if number < 0.0 => return format!("nothing, {} {} to spare", figure(-number, 0), about.unit),
        "price-gap" if number < 0.0 => return format!("{} under them", Fraction(-number)),
        "price-gap" => return format!("{} over them", Fraction(number)),
        _ => {}
    }
    match (about.unit, unit) {
        ("", _) => Fraction(number).to_string(),
        ("year", _) => figure(number, 0),
        (_, Some(unit)) => {
            let house = format!("{} {unit}", figure(number, 2));
            match own_unit(about, unit.dimension(), live).filter(|own| *own != unit) {
                Some(own) => format!("{} {own} ({house})", figure(Quantity::new(number, unit).to(own).number, 1)),
                None => house,
            }
        }
        (unit, None) => format!("{} {unit}", figure(number, 1)),
    }
}

/// The unit in which the buyer typed what the measure reads.
fn own_unit(about: &KnownMeasure, dimension: Dimension, live: &Live<'_>) -> Option<Unit> {
    let value = |ix| match live.standing(ix) {
        Standing::Value(value) => Some(value),
        _ => None,
    };
    let units = about.reads.iter().filter_map(|ix| match value(*ix)? {
        Value::Amount(quantity) => Some(quantity.unit),
        Value::Readings(readings) => readings.iter().flatten().next().map(|quantity| quantity.unit),
        _ => None,
    });
    units.into_iter().find(|unit| unit.dimension() == dimension)
}

/// The words of measures that are ids rather than words.
fn word_said(word: &'static str) -> &'static str {
    match word {
        "misfit" => "they do not fit",
        "fits" => "they fit",
        "does-not" => "no rise",
        "rises" => "a rise",
        "not-covered" => "not asked for by law here",
        "required" => "asked for by law",
        "fault" => "points to a fault",
        "between" => "neither sound nor clearly at fault",
        word => word,
    }
}

fn bars_of(scene: &Scene<'_, '_>) -> Option<Bars> {
    let live = &scene.path().live;
    let values = measure::compression_values(live, scene.path().date)?;
    let unit = match live.value(COMPRESSION.any) {
        Some(Value::Readings(readings)) => readings.iter().flatten().next().map_or(Unit::Psi, |first| first.unit),
        _ => Unit::Psi,
    };
    let low = compression::low_cylinders(&values);
    let highest = values.iter().flatten().map(|value| value.0).fold(0.0, f64::max);
    let said = |value: Psi| format!("{} {unit}", figure(Quantity::from(value).to(unit).number, 1));
    let bar = |(place, value): (usize, &Option<Psi>)| Bar {
        cylinder: place + 1,
        share: value.map_or(0, |value| words::thousandths(value.0, highest)),
        reading: value.map(said),
        low: low.contains(&(place + 1)),
    };
    Some(Bars {
        lines: compression::bars(&values, unit, WIDTH),
        bars: values.iter().enumerate().map(bar).collect(),
        highest: said(Psi(highest)),
    })
}
