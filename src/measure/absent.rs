//! Why a measure has no figure: data first, the sentence in one place.

use std::fmt;

use super::compression::cylinder_list;
use crate::answers::Live;
use crate::knowledge::roles::AnyRole;
use crate::units::{Fraction, Horsepower, Inches, figure};

/// Why there is no figure.
#[derive(Clone, Debug, PartialEq)]
pub enum Absent {
    /// A question has no value; not `asked` where it does not belong to this motor.
    Answer {
        role: AnyRole,
        asked: bool,
    },
    /// Something a formula needs is not known.
    NotKnown(&'static str),
    NotAboveNought(&'static str),
    BelowNought(&'static str),
    /// A claimed year further ahead than next year's model.
    AfterToday {
        claimed: i16,
        today: i16,
    },
    OutsideSurvey(Horsepower),
    OutsideWeights(Horsepower),
    AboveTheAir,
    /// The rule on power leaves this boat out, with its reason.
    LeftOut(&'static str),
    /// There is no figure on a plate, and the rule gives none either.
    NoPlate(Box<Absent>),
    /// Neither the motor's weight nor its class is known.
    NoWeight(Box<Absent>),
    ImpossibleReading(f64),
    OneCylinder,
    NothingRead,
    OneRead,
    AllNought,
    /// Cylinders not read; the others look even enough.
    OthersEven(Vec<usize>),
    /// Cylinders not read; the highest of the others is low.
    OthersLow(Vec<usize>),
    Unread(Vec<usize>),
    HeadsUnknown,
    HeadOf(Vec<usize>),
    UnequalRounds(usize, usize),
    WetCount {
        wet: usize,
        low: usize,
    },
    NoWetReading,
    WetBeyondComparing,
    ImpossibleLoss {
        cylinder: usize,
        loss: Fraction,
    },
    ThrottleByWire,
    RiseUnknown,
    RevsOfRiseUnknown,
    LeansTooFar,
    NoClass(Inches),
    RakesDisagree {
        flat: Inches,
        steep: Inches,
    },
    RatioTurned(f64),
    BandEndsFirst,
    NoPitchHelps,
    LabelLength(usize),
    LabelNotMarine,
    LabelYear(char),
    WearUnknown(&'static str),
    NoComparable,
}

impl Absent {
    /// The reason in plain words, a question named as people know it.
    #[must_use]
    pub fn said(&self, live: &Live<'_>) -> String {
        match self {
            Self::Answer { role, asked } => {
                let brief = &live.knowledge.question(live.knowledge.ask(*role)).brief;
                format!("{brief}: {}", if *asked { "not known" } else { "not asked of this motor" })
            }
            Self::NoPlate(reason) => format!("no plate figure, and {}", reason.said(live)),
            Self::NoWeight(reason) => format!("the motor's weight is not known, and {}", reason.said(live)),
            other => other.to_string(),
        }
    }
}

impl fmt::Display for Absent {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Answer { role, .. } => write!(out, "{}: not known", role.id()),
            Self::NoPlate(reason) => write!(out, "no plate figure, and {reason}"),
            Self::NoWeight(reason) => write!(out, "the motor's weight is not known, and {reason}"),
            Self::ImpossibleReading(_)
            | Self::OneCylinder
            | Self::NothingRead
            | Self::OneRead
            | Self::AllNought
            | Self::OthersEven(_)
            | Self::OthersLow(_)
            | Self::Unread(_)
            | Self::HeadsUnknown
            | Self::HeadOf(_)
            | Self::UnequalRounds(..)
            | Self::WetCount { .. }
            | Self::NoWetReading
            | Self::WetBeyondComparing
            | Self::ImpossibleLoss { .. }
            | Self::ThrottleByWire => self.write_compression(out),
            Self::NoClass(_)
            | Self::RakesDisagree { .. }
            | Self::LeansTooFar
            | Self::RatioTurned(_)
            | Self::BandEndsFirst
            | Self::NoPitchHelps
            | Self::LabelLength(_)
            | Self::LabelNotMarine
            | Self::LabelYear(_) => self.write_fit_and_label(out),
            _ => self.write_inputs(out),
        }
    }
}

impl Absent {
    fn write_inputs(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotKnown(what) => write!(out, "{what} is not known"),
            Self::NotAboveNought(what) => write!(out, "{what} has to be above nought"),
            Self::BelowNought(what) => write!(out, "{what} can't be below nought"),
            Self::AfterToday { claimed, today } => write!(out, "the claimed year {claimed} lies after {today}"),
            Self::OutsideSurvey(power) => write!(out, "{power} is outside the survey (1 to 300 hp)"),
            Self::OutsideWeights(power) => {
                write!(out, "{power} is outside the weight table of 33 CFR 183.75 (0.1 to 350 hp)")
            }
            Self::AboveTheAir => out.write_str("the formula for the air ends at 11 000 m"),
            Self::RiseUnknown => out.write_str("the voltage at rest is not known, so neither is the rise"),
            Self::RevsOfRiseUnknown => out.write_str("the voltage hardly rose, and at what revs is not known"),
            Self::NoComparable => out.write_str("no comparable price is known"),
            Self::LeftOut(why) | Self::WearUnknown(why) => out.write_str(why),
            _ => Ok(()),
        }
    }

    fn write_compression(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::ImpossibleReading(psi) => write!(out, "a reading of {psi} psi can't be"),
            Self::OneCylinder => out.write_str("one cylinder alone has no other to be compared with"),
            Self::NothingRead => out.write_str("no cylinder was read"),
            Self::OneRead => out.write_str("only one cylinder was read, and evenness takes two"),
            Self::AllNought => out.write_str("every reading is nought: look at the test before the motor"),
            Self::OthersEven(unread) => write!(
                out,
                "{} not read: the others look even enough, but that is not the whole motor",
                cylinder_list(unread)
            ),
            Self::OthersLow(unread) => {
                write!(out, "the highest reading is low, but {} not read could be higher", cylinder_list(unread))
            }
            Self::Unread(unread) => write!(out, "{} not read", cylinder_list(unread)),
            Self::HeadsUnknown => out.write_str("which cylinders share a head is not known"),
            Self::HeadOf(low) => write!(out, "which head {} belong to is not known", cylinder_list(low)),
            Self::UnequalRounds(first, second) => {
                write!(out, "the first round has {first} readings and the second {second}")
            }
            Self::WetCount { wet, low } => write!(out, "{wet} wet readings for {low} low cylinders"),
            Self::NoWetReading => out.write_str("no low cylinder was read with oil in it"),
            Self::WetBeyondComparing => out.write_str("the readings with oil can't be compared"),
            Self::ImpossibleLoss { cylinder, loss } => {
                write!(out, "cylinder {cylinder} can't lose {loss} of its air")
            }
            Self::ThrottleByWire => {
                out.write_str("the throttle has no lever to hold it open by hand, so low readings say nothing")
            }
            _ => Ok(()),
        }
    }

    fn write_fit_and_label(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoClass(length) => {
                write!(out, "{length} is more than 2.5 in away from every class (15, 20, 25 and 30 in)")
            }
            Self::RakesDisagree { flat, steep } => write!(
                out,
                "rake not known: {flat} at 8 degrees, {steep} at 18, and they belong to different classes"
            ),
            Self::LeansTooFar => out.write_str("a transom can't lean by a right angle or more"),
            Self::RatioTurned(ratio) => write!(
                out,
                "a gear ratio of {} would turn the propeller faster than the motor: the other way round it is {}",
                figure(*ratio, 3),
                figure(1.0 / ratio, 3)
            ),
            Self::BandEndsFirst => out.write_str("the rated band ends before it begins"),
            Self::NoPitchHelps => {
                out.write_str("no pitch would bring the revs into the band: look for another reason")
            }
            Self::LabelLength(count) => write!(out, "an engine family name has 12 characters, this has {count}"),
            Self::LabelNotMarine => out.write_str("its fifth character is not M, so it is no marine engine family"),
            Self::LabelYear(sign) => write!(out, "\"{sign}\" as first character stands for no year"),
            _ => Ok(()),
        }
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;
    use crate::knowledge::roles::CLAIMED_POWER;
    use crate::measure::load_shipped;

    /// The variants of the enum as this file lists them, so that none is forgotten below.
    fn variants() -> BTreeSet<&'static str> {
        let list = include_str!("absent.rs").split_once("pub enum Absent {").expect("the enum").1;
        let list = list.split_once("\n}").expect("its end").0;
        let lines = list.lines().filter_map(|line| line.strip_prefix("    "));
        let named = lines.filter(|line| line.starts_with(char::is_uppercase));
        named.map(|line| line.split(|c: char| !c.is_alphanumeric()).next().unwrap_or("")).collect()
    }

    /// One of each.
    fn all() -> Vec<Absent> {
        use Absent as A;
        vec![
            A::Answer { role: CLAIMED_POWER.any, asked: true },
            A::NotKnown("the rake"),
            A::NotAboveNought("the length"),
            A::BelowNought("the setback"),
            A::AfterToday { claimed: 2031, today: 2026 },
            A::OutsideSurvey(Horsepower(400.0)),
            A::OutsideWeights(Horsepower(400.0)),
            A::AboveTheAir,
            A::LeftOut("the rule is for monohulls"),
            A::NoPlate(Box::new(A::OneRead)),
            A::NoWeight(Box::new(A::OneRead)),
            A::ImpossibleReading(4000.0),
            A::OneCylinder,
            A::NothingRead,
            A::OneRead,
            A::AllNought,
            A::OthersEven(vec![2]),
            A::OthersLow(vec![2]),
            A::Unread(vec![2]),
            A::HeadsUnknown,
            A::HeadOf(vec![2]),
            A::UnequalRounds(3, 4),
            A::WetCount { wet: 1, low: 2 },
            A::NoWetReading,
            A::WetBeyondComparing,
            A::ImpossibleLoss { cylinder: 2, loss: Fraction(1.2) },
            A::ThrottleByWire,
            A::RiseUnknown,
            A::RevsOfRiseUnknown,
            A::LeansTooFar,
            A::NoClass(Inches(40.0)),
            A::RakesDisagree { flat: Inches(17.0), steep: Inches(16.0) },
            A::RatioTurned(0.5),
            A::BandEndsFirst,
            A::NoPitchHelps,
            A::LabelLength(9),
            A::LabelNotMarine,
            A::LabelYear('?'),
            A::WearUnknown("the hours are not known"),
            A::NoComparable,
        ]
    }

    /// A figure that is missing is missing for a reason, and the reason is said.
    #[test]
    fn every_missing_figure_says_why() {
        let all = all();
        let named: Vec<String> = all.iter().map(|absent| format!("{absent:?}")).collect();
        let listed: BTreeSet<&str> =
            named.iter().filter_map(|name| name.split(|c: char| !c.is_alphanumeric()).next()).collect();
        assert_eq!(listed, variants());
        let reasons: BTreeSet<String> = all.iter().map(ToString::to_string).collect();
        assert!(reasons.iter().all(|said| said.split(' ').count() >= 3), "{reasons:?}");
        assert_eq!(reasons.len(), all.len(), "two reasons say the same");
    }

    /// What a motor was never asked is no gap of the buyer's.
    #[test]
    fn an_answer_that_is_missing_is_told_from_one_that_was_not_asked() {
        let knowledge = load_shipped();
        let record = crate::answers::Record::new(&knowledge);
        let path = crate::path::walk(&knowledge, &record, jiff::civil::date(2026, 5, 1));
        let said = |asked: bool| Absent::Answer { role: CLAIMED_POWER.any, asked }.said(&path.live);
        assert!(said(true).ends_with(": not known"), "{}", said(true));
        assert!(said(false).ends_with(": not asked of this motor"), "{}", said(false));
        let within = Absent::NoPlate(Box::new(Absent::Answer { role: CLAIMED_POWER.any, asked: true }));
        assert!(within.said(&path.live).starts_with("no plate figure, and "), "{}", within.said(&path.live));
        assert!(within.said(&path.live).ends_with(&said(true)));
    }
}
