//! The arithmetic of the trade: fit, capacity, compression, propeller, air, electrics, age.
//!
//! Start at [`work_out`]: it turns live answers into the inputs of one measure and calls its formula. The
//! formulas are pure functions in the files beside this one, each with its source. A measure that can't be worked
//! out is absent with its reason, never nought.

pub mod age;
pub mod air;
pub mod capacity;
pub mod compression;
pub mod electrics;
pub mod fit;
mod inputs;
pub mod link;
pub mod price;
pub mod propeller;
pub mod weight;
mod worked;

use jiff::civil::Date;

use crate::answers::Live;
use crate::knowledge::{MEASURES, MeasureId};

use inputs::Inputs;
pub use worked::{Measured, Worked};

/// A measure's figure: a number in its unit, or a word.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Figure {
    Number(f64),
    Word(&'static str),
}

/// A measure with its working, or without a figure and with the reason.
#[derive(Clone, Debug, PartialEq)]
pub struct Outcome {
    pub id: MeasureId,
    pub figure: Option<Figure>,
    pub how: String,
}

/// Works out one measure from what is live.
#[must_use]
pub fn work_out(id: MeasureId, live: &Live<'_>, date: Date) -> Outcome {
    let worked = figure_of(id, &Inputs { live, date });
    let (figure, how) = match worked {
        Ok(worked) => (Some(worked.value), worked.how),
        Err(reason) => (None, reason),
    };
    Outcome { id, figure, how }
}

/// All measures, in the order reports list them.
#[must_use]
pub fn work_out_all(live: &Live<'_>, date: Date) -> Vec<Outcome> {
    MEASURES.iter().map(|measure| work_out(measure.id, live, date)).collect()
}

/// The low cylinders, numbered from 1, once compression has been read.
#[must_use]
pub fn low_cylinders(live: &Live<'_>, date: Date) -> Option<Vec<usize>> {
    Inputs { live, date }.cylinders().ok().map(|rounds| compression::low_cylinders(&rounds.values))
}

/// The readings by cylinder, means of two where there are two.
#[must_use]
pub fn compression_values(live: &Live<'_>, date: Date) -> Option<Vec<Option<crate::units::Psi>>> {
    Inputs { live, date }.cylinders().ok().map(|rounds| rounds.values)
}

/// How worn the motor is by its years and hours; 1 with the reason where neither is known.
#[must_use]
pub fn wear(live: &Live<'_>, date: Date) -> Worked<age::Wear> {
    Inputs { live, date }.wear()
}

/// The same by its years alone.
#[must_use]
pub fn wear_of_age(live: &Live<'_>, date: Date) -> Worked<age::Wear> {
    Inputs { live, date }.wear_of_age()
}

/// Readings of one cylinder that lie apart, each told in a sentence.
#[must_use]
pub fn repeats_apart(live: &Live<'_>, date: Date) -> Vec<String> {
    Inputs { live, date }.repeats()
}

fn figure_of(id: MeasureId, inputs: &Inputs<'_, '_>) -> Measured<Figure> {
    use MeasureId as M;
    let word = |worked: Worked<&'static str>| worked.map(Figure::Word);
    let yes_no = |worked: Worked<bool>| worked.map(|yes| Figure::Word(if yes { "yes" } else { "no" }));
    match id {
        M::TransomHeight => inputs.transom_height().map(|height| height.map(|it| Figure::Number(it.0))),
        M::TransomClass => inputs.transom_class().map(|class| class.map(|it| Figure::Number(it.class.0))),
        M::ShaftClass => inputs.shaft_class().map(|class| class.map(|it| Figure::Number(it.class.0))),
        M::Fit => inputs.fit().map(|fit| word(fit.map(fit::Fit::name))),
        M::PlatePosition => inputs.plate_position().map(|plate| plate.map(|it| Figure::Number(it.below.0))),
        M::PowerLimit => inputs.power_limit().map(|limit| limit.map(|it| Figure::Number(it.limit.0))),
        M::Power => inputs.power().map(|power| word(power.map(capacity::Power::name))),
        M::TransomWeight => inputs.transom_weight().map(|weight| weight.map(|it| Figure::Number(it.total.0))),
        M::WeightOver => inputs.weight_over().map(|over| over.map(|it| Figure::Number(it.0))),
        M::CompressionSpread => {
            compression::spread(&inputs.cylinders()?.values).map(|spread| spread.map(|it| Figure::Number(it.0)))
        }
        M::CompressionShare => {
            compression::share(&inputs.cylinders()?.values).map(|share| share.map(|it| Figure::Number(it.0)))
        }
        M::CompressionState => inputs.compression_state().map(word),
        M::CompressionExpected => inputs.expected().map(|it| it.map(|it| Figure::Number(it.expected.0))),
        M::LowTogether => inputs.low_together().map(|pair| yes_no(pair.map(|pair| pair.is_some()))),
        M::LowSteam => inputs.low_steam().map(yes_no),
        M::AllLow => inputs.all_low().map(|low| word(low.map(compression::AllLow::name))),
        M::Wet => inputs.wet().map(|wet| word(wet.map(|it| it.wet.name()))),
        M::Leakdown => inputs.leakdown().map(|leak| leak.map(|it| Figure::Number(it.worst.0))),
        M::AirRatio => inputs.air().map(|air| air.map(|it| Figure::Number(it.ratio.0))),
        M::PropSpeed => inputs.prop_speed().map(|speed| speed.map(|it| Figure::Number(it.0))),
        M::PropSlip => inputs.prop_slip().map(|slip| slip.map(|it| Figure::Number(it.slip.0))),
        M::RevsInBand => inputs.revs_in_band().map(|band| word(band.map(|it| it.band.name()))),
        M::RevsShort => inputs.revs_short().map(|short| short.map(|it| Figure::Number(it.0))),
        M::PitchWanted => inputs.pitch_wanted().map(|pitch| pitch.map(|it| Figure::Number(it.enough.0))),
        M::RestCharge => inputs.rest().map(|rest| word(rest.map(electrics::Rest::name))),
        M::Charge => inputs.charge().map(|charge| word(charge.map(electrics::Charge::name))),
        M::ChargeRise => inputs.charge_rise().map(|rise| rise.map(|it| Figure::Number(it.0))),
        M::HoursExpected => inputs.hours_expected().map(|hours| hours.map(|it| Figure::Number(it.0))),
        M::HoursOver => inputs.hours_over().map(|over| over.map(|it| Figure::Number(it.0))),
        M::Age => inputs.age_told().map(|age| age.map(|it| Figure::Number(it.0))),
        M::Worn => inputs.worn().map(|years| years.map(|it| Figure::Number(it.0))),
        M::LabelYear => inputs.label_year().map(|year| year.map(|it| Figure::Number(f64::from(it)))),
        M::LabelGap => inputs.label_gap().map(|gap| gap.map(|it| Figure::Number(it.0))),
        M::PriceGap => inputs.price_gap().map(|gap| gap.map(|it| Figure::Number(it.0))),
        M::Link => {
            inputs.link().map(|link| word(link.map(|required| if required { "required" } else { "not-covered" })))
        }
    }
}
