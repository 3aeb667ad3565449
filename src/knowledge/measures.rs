//! The names of the measures: what each is called, its unit, the words it can be, the questions it reads.
//!
//! The arithmetic is in [`crate::measure`]; the data only names measures, so the names stand here, below it.

/// One thing the program works out from answers.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum MeasureId {
    TransomHeight,
    TransomClass,
    ShaftClass,
    Fit,
    PlatePosition,
    PowerLimit,
    Power,
    TransomWeight,
    WeightOver,
    CompressionSpread,
    CompressionShare,
    CompressionState,
    CompressionExpected,
    LowTogether,
    LowSteam,
    AllLow,
    Wet,
    Leakdown,
    AirRatio,
    PropSpeed,
    PropSlip,
    RevsInBand,
    RevsShort,
    PitchWanted,
    RestCharge,
    Charge,
    ChargeRise,
    HoursExpected,
    HoursOver,
    Age,
    Worn,
    LabelYear,
    LabelGap,
    Link,
    PriceGap,
}

/// What is fixed about a measure.
#[derive(Clone, Copy, Debug)]
pub struct MeasureName {
    pub id: MeasureId,
    /// The name in the data and in JSON.
    pub name: &'static str,
    /// What people call it in a report.
    pub title: &'static str,
    /// Unit of the number, empty for words and plain ratios.
    pub unit: &'static str,
    /// The words it can be; none for a number.
    pub words: &'static [&'static str],
    /// Every question it may read, in asking order.
    pub reads: &'static [&'static str],
    /// The questions it can't do without: when one of them does not apply, neither does the measure.
    pub needs: &'static [&'static str],
}

const PROP: &[&str] = &["full-revs", "gear-ratio", "prop-pitch"];
const COMPRESSION: &[&str] = &["cylinders", "compression", "compression-again"];

macro_rules! measure {
    ($id:ident, $name:literal, $title:literal, $unit:literal, $words:expr, $reads:expr, $needs:expr) => {
        MeasureName {
            id: MeasureId::$id,
            name: $name,
            title: $title,
            unit: $unit,
            words: &$words,
            reads: $reads,
            needs: $needs,
        }
    };
}

/// All measures, in the order reports list them.
pub const MEASURES: &[MeasureName] = &[
    measure!(
        TransomHeight,
        "transom-drop",
        "transom height straight down",
        "in",
        [],
        &["transom-height", "transom-measured", "transom-rake"],
        &["transom-height"]
    ),
    measure!(
        TransomClass,
        "transom-class",
        "transom class",
        "in",
        [],
        &["transom-height", "transom-measured", "transom-rake"],
        &["transom-height"]
    ),
    measure!(ShaftClass, "shaft-class", "shaft class", "in", [], &["shaft-length"], &["shaft-length"]),
    measure!(
        Fit,
        "fit",
        "fit of shaft and transom",
        "",
        ["fits", "misfit"],
        &["transom-height", "transom-measured", "transom-rake", "setback", "shaft-length"],
        &["transom-height", "shaft-length"]
    ),
    measure!(
        PlatePosition,
        "plate-position",
        "anti-ventilation plate below the hull bottom",
        "in",
        [],
        &["transom-height", "transom-measured", "transom-rake", "setback", "shaft-length"],
        &["transom-height", "shaft-length"]
    ),
    measure!(
        PowerLimit,
        "power-limit",
        "most power for this boat",
        "hp",
        [],
        &[
            "boat-kind",
            "transom-height",
            "transom-measured",
            "transom-rake",
            "capacity-plate",
            "plate-power",
            "boat-length",
            "transom-width",
            "hull-bottom",
            "steering"
        ],
        &[]
    ),
    measure!(
        Power,
        "power",
        "claimed power against the boat's limit",
        "",
        ["within", "over"],
        &[
            "boat-kind",
            "transom-height",
            "transom-measured",
            "transom-rake",
            "capacity-plate",
            "plate-power",
            "boat-length",
            "transom-width",
            "hull-bottom",
            "steering",
            "claimed-power"
        ],
        &["claimed-power"]
    ),
    measure!(
        TransomWeight,
        "transom-weight",
        "weight on the transom",
        "lb",
        [],
        &["plate-weight", "claimed-power", "motor-weight"],
        &[]
    ),
    measure!(
        WeightOver,
        "weight-over",
        "motor and its gear over what the plate allows",
        "lb",
        [],
        &["plate-weight", "claimed-power", "motor-weight"],
        &["plate-weight", "motor-weight"]
    ),
    measure!(
        CompressionSpread,
        "compression-spread",
        "compression, highest less lowest",
        "psi",
        [],
        COMPRESSION,
        &["compression"]
    ),
    measure!(
        CompressionShare,
        "compression-share",
        "compression, lowest over highest",
        "",
        [],
        COMPRESSION,
        &["compression"]
    ),
    measure!(
        CompressionState,
        "compression-state",
        "compression, how even",
        "",
        ["even", "watch", "uneven", "poor", "failed"],
        COMPRESSION,
        &["compression"]
    ),
    measure!(
        CompressionExpected,
        "compression-expected",
        "compression to be expected at this height",
        "psi",
        [],
        &["compression-factory", "altitude"],
        &["compression-factory"]
    ),
    measure!(
        LowTogether,
        "low-together",
        "low cylinders that share a head",
        "",
        ["yes", "no"],
        &["cylinders", "shared-head", "compression", "compression-again"],
        &["shared-head", "compression"]
    ),
    measure!(
        LowSteam,
        "low-steam",
        "steam-clean plugs on the two low cylinders",
        "",
        ["yes", "no"],
        &["cylinders", "shared-head", "plugs", "compression", "compression-again"],
        &["shared-head", "plugs", "compression"]
    ),
    measure!(
        AllLow,
        "all-low",
        "all cylinders low alike",
        "",
        ["no", "low", "far"],
        &[
            "claimed-power",
            "strokes",
            "cylinders",
            "start",
            "compression-factory",
            "altitude",
            "block-cold",
            "throttle-returns",
            "compression",
            "compression-again"
        ],
        &["compression"]
    ),
    measure!(
        Wet,
        "wet",
        "readings with oil in the low cylinders",
        "",
        ["rises", "does-not"],
        &["cylinders", "compression", "compression-again", "compression-wet"],
        &["compression", "compression-wet"]
    ),
    measure!(Leakdown, "leakdown", "worst leak-down", "", [], &["leakdown"], &["leakdown"]),
    measure!(AirRatio, "air-ratio", "air pressure against sea level", "", [], &["altitude"], &["altitude"]),
    measure!(PropSpeed, "prop-speed", "speed without slip", "mph", [], PROP, PROP),
    measure!(
        PropSlip,
        "prop-slip",
        "propeller slip",
        "",
        [],
        &["full-revs", "gear-ratio", "prop-pitch", "gps-speed"],
        &["full-revs", "gear-ratio", "prop-pitch", "gps-speed"]
    ),
    measure!(
        RevsInBand,
        "revs-in-band",
        "full-throttle revs against the rated band",
        "",
        ["under", "inside", "over"],
        &["full-revs", "rated-from", "rated-to"],
        &["full-revs", "rated-from", "rated-to"]
    ),
    measure!(
        RevsShort,
        "revs-short",
        "full-throttle revs short of the rated band",
        "",
        [],
        &["full-revs", "rated-from", "rated-to"],
        &["full-revs", "rated-from", "rated-to"]
    ),
    measure!(
        PitchWanted,
        "pitch-wanted",
        "pitch that would bring the revs into the band",
        "in",
        [],
        &["full-revs", "rated-from", "rated-to", "prop-pitch"],
        &["full-revs", "rated-from", "rated-to", "prop-pitch"]
    ),
    measure!(
        RestCharge,
        "rest-charge",
        "battery at rest",
        "",
        ["full", "half", "low", "empty"],
        &["volts-rest"],
        &["volts-rest"]
    ),
    measure!(
        Charge,
        "charge",
        "charging",
        "",
        ["sound", "between", "fault"],
        &["claimed-power", "volts-rest", "volts-running", "volts-revs"],
        &["volts-running"]
    ),
    measure!(
        ChargeRise,
        "charge-rise",
        "voltage gained by running",
        "V",
        [],
        &["volts-rest", "volts-running", "volts-revs"],
        &["volts-rest", "volts-running"]
    ),
    measure!(
        HoursExpected,
        "hours-expected",
        "hours usual for the age",
        "h",
        [],
        &["claimed-year", "hours"],
        &["claimed-year"]
    ),
    measure!(
        HoursOver,
        "hours-over",
        "hours claimed against the usual",
        "",
        [],
        &["claimed-year", "hours"],
        &["claimed-year", "hours"]
    ),
    measure!(
        Age,
        "age",
        "age by the claimed year",
        "years",
        [],
        &["claimed-year", "claimed-power", "hours"],
        &["claimed-year"]
    ),
    measure!(
        Worn,
        "worn",
        "worn like a motor of so many years",
        "years",
        [],
        &["claimed-power", "claimed-year", "hours"],
        &["claimed-power"]
    ),
    measure!(
        LabelYear,
        "label-year",
        "year on the emission label",
        "year",
        [],
        &["label-family"],
        &["label-family"]
    ),
    measure!(
        LabelGap,
        "label-gap",
        "label year against claimed year",
        "years",
        [],
        &["claimed-year", "label-family"],
        &["claimed-year", "label-family"]
    ),
    measure!(
        Link,
        "stop-link",
        "engine cut-off switch link",
        "",
        ["required", "not-covered"],
        &["boat-length", "claimed-power"],
        &["boat-length", "claimed-power"]
    ),
    measure!(
        PriceGap,
        "price-gap",
        "asking price against the others",
        "",
        [],
        &["asking-price", "comparables"],
        &["asking-price", "comparables"]
    ),
];

impl MeasureId {
    /// The measure of that name.
    #[must_use]
    pub fn from_name(name: &str) -> Option<Self> {
        MEASURES.iter().find(|measure| measure.name == name).map(|measure| measure.id)
    }

    /// What is fixed about it.
    ///
    /// # Panics
    /// Never: a test holds that every measure has its row.
    #[must_use]
    pub fn about(self) -> &'static MeasureName {
        MEASURES.iter().find(|measure| measure.id == self).expect("every measure has a row")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_unique_and_each_need_is_read() {
        for (i, measure) in MEASURES.iter().enumerate() {
            assert_eq!(MeasureId::from_name(measure.name), Some(measure.id));
            assert_eq!(measure.id as usize, i, "{} stands out of order", measure.name);
            for need in measure.needs {
                assert!(measure.reads.contains(need), "{} needs {need} without reading it", measure.name);
            }
        }
    }
}
