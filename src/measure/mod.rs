//! The arithmetic of the trade: fit, capacity, compression, propeller, air, electrics, age, price.
//!
//! Start at [`MEASURES`], where all are gathered, and at one family file: its formulas are pure functions, each with
//! its source, and its measures are defined from them at the end (see [`definition`]). A measure that can't be worked
//! out is absent with its reason, never nought.

mod absent;
pub mod age;
pub mod air;
pub mod capacity;
pub mod compression;
mod definition;
pub mod electrics;
pub mod fit;
pub mod link;
pub mod price;
pub mod propeller;
pub mod weight;
mod worked;

use jiff::civil::Date;

use crate::answers::Live;
use crate::knowledge::{File, Knowledge, MeasureId, Problem, parse_files, shipped};
use crate::units::Psi;

pub use absent::Absent;
pub use definition::{Definition, Figure, Figured, Measure, Seen, Shown};
pub use worked::{Measured, Worked};

/// All measures, in the order reports list them.
pub static MEASURES: &[Measure] = &[
    Measure::of::<fit::TransomHeight>(),
    Measure::of::<fit::TransomClass>(),
    Measure::of::<fit::ShaftClass>(),
    Measure::of::<fit::FitOfShaft>(),
    Measure::of::<fit::Plate>(),
    Measure::of::<capacity::Limit>(),
    Measure::of::<capacity::ClaimedPower>(),
    Measure::of::<weight::OnTransom>(),
    Measure::of::<weight::WeightOver>(),
    Measure::of::<compression::Spread>(),
    Measure::of::<compression::Share>(),
    Measure::of::<compression::Evenness>(),
    Measure::of::<compression::ExpectedHere>(),
    Measure::of::<compression::LowTogether>(),
    Measure::of::<compression::LowSteam>(),
    Measure::of::<compression::LowBlistered>(),
    Measure::of::<compression::LowAll>(),
    Measure::of::<compression::WetReadings>(),
    Measure::of::<compression::Leak>(),
    Measure::of::<air::Air>(),
    Measure::of::<propeller::PropSpeed>(),
    Measure::of::<propeller::PropSlip>(),
    Measure::of::<propeller::Revs>(),
    Measure::of::<propeller::RevsShort>(),
    Measure::of::<propeller::Pitch>(),
    Measure::of::<electrics::RestCharge>(),
    Measure::of::<electrics::Charging>(),
    Measure::of::<electrics::ChargeRise>(),
    Measure::of::<age::HoursExpected>(),
    Measure::of::<age::HoursOver>(),
    Measure::of::<age::Age>(),
    Measure::of::<age::Worn>(),
    Measure::of::<age::LabelYear>(),
    Measure::of::<age::LabelGap>(),
    Measure::of::<link::StopLink>(),
    Measure::of::<price::PriceGap>(),
];

/// Question data from these files, with the measures its conditions may name.
///
/// # Errors
/// Every problem found, in the order of files and lines.
pub fn load(files: &[File]) -> Result<Knowledge, Vec<Problem>> {
    let facts: Vec<_> = MEASURES.iter().map(Measure::facts).collect();
    parse_files(files, &facts)
}

/// The questions built into the program.
#[must_use]
pub fn load_shipped() -> Knowledge {
    let facts: Vec<_> = MEASURES.iter().map(Measure::facts).collect();
    shipped(&facts)
}

/// A measure with its working, or without a figure and with the reason.
#[derive(Clone, Debug, PartialEq)]
pub struct Outcome {
    pub id: MeasureId,
    pub figure: Option<Figure>,
    pub how: String,
}

/// The place of a measure among all.
///
/// # Panics
/// Never for a measure that is gathered; a test holds that all are.
#[must_use]
pub fn id_of<D: Shown>() -> MeasureId {
    let place = MEASURES.iter().position(|measure| measure.name == D::NAME);
    MeasureId(place.expect("every measure is gathered"))
}

/// Works out one measure from what is live.
#[must_use]
pub fn work_out(id: MeasureId, live: &Live<'_>, date: Date) -> Outcome {
    let (figure, how) = match (MEASURES[id.0].told)(&Seen { live, date }) {
        Ok((figure, how)) => (Some(figure), how),
        Err(absent) => (None, absent.said(live)),
    };
    Outcome { id, figure, how }
}

/// The figure of one measure without its working.
#[must_use]
pub fn figure_of(id: MeasureId, live: &Live<'_>, date: Date) -> Option<Figure> {
    (MEASURES[id.0].figure)(&Seen { live, date })
}

/// All measures, in the order reports list them.
#[must_use]
pub fn work_out_all(live: &Live<'_>, date: Date) -> Vec<Outcome> {
    (0..MEASURES.len()).map(|place| work_out(MeasureId(place), live, date)).collect()
}

fn rounds(live: &Live<'_>, date: Date) -> Option<compression::Rounds> {
    compression::Cylinders::work(&Seen { live, date }).ok().map(|rounds| rounds.value)
}

/// The low cylinders, numbered from 1, once compression has been read.
#[must_use]
pub fn low_cylinders(live: &Live<'_>, date: Date) -> Option<Vec<usize>> {
    rounds(live, date).map(|rounds| compression::low_cylinders(&rounds.values))
}

/// The readings by cylinder, means of two where there are two.
#[must_use]
pub fn compression_values(live: &Live<'_>, date: Date) -> Option<Vec<Option<Psi>>> {
    rounds(live, date).map(|rounds| rounds.values)
}

/// Readings of one cylinder that lie apart, each told in a sentence.
#[must_use]
pub fn repeats_apart(live: &Live<'_>, date: Date) -> Vec<String> {
    use crate::knowledge::roles::{COMPRESSION, COMPRESSION_AGAIN};
    let seen = Seen { live, date };
    let both = seen.may(COMPRESSION).zip(seen.may(COMPRESSION_AGAIN));
    let told = |(first, second): (Vec<Option<Psi>>, Vec<Option<Psi>>)| compression::repeats(&first, &second);
    both.map_or_else(Vec::new, told).iter().map(Worked::how).collect()
}

/// How worn the motor is by its years and hours; 1 with the reason where neither is known.
#[must_use]
pub fn wear(live: &Live<'_>, date: Date) -> Worked<age::Wear> {
    age::WearAll::work(&Seen { live, date }).unwrap_or_else(|_| age::wear(None, None, None))
}

/// The same by its years alone.
#[must_use]
pub fn wear_of_age(live: &Live<'_>, date: Date) -> Worked<age::Wear> {
    age::WearOfAge::work(&Seen { live, date }).unwrap_or_else(|_| age::wear(None, None, None))
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    #[test]
    fn every_measure_has_a_name_of_its_own_and_reads_what_it_needs() {
        let names: BTreeSet<&str> = MEASURES.iter().map(|measure| measure.name).collect();
        assert_eq!(names.len(), MEASURES.len());
        for measure in MEASURES {
            let facts = measure.facts();
            assert!(facts.needs.iter().all(|need| facts.reads.contains(need)), "{}", measure.name);
            assert!(
                !facts.reads.is_empty() && (facts.unit.is_empty() || facts.words.is_empty()),
                "{}",
                measure.name
            );
        }
        assert_eq!(id_of::<price::PriceGap>(), MeasureId(MEASURES.len() - 1));
    }
}
