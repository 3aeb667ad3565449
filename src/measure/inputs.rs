//! Live answers to the inputs of the formulas; what is missing becomes the reason a measure is absent.

use jiff::civil::Date;

use crate::answers::{Live, Standing, parse::cylinder_groups};
use crate::units::{Fraction, Horsepower, Inches, Metres, Mph, Pounds, Psi, Quantity, Rpm, Unit, Volts, Years};

use super::age::Wear;
use super::air::AirRatio;
use super::capacity::{Boat, BoatKind, HullBottom, Power, PowerLimit};
use super::compression::{AllLow, Bench, Expected, Leakdown, Rounds, WetPair, WetRise};
use super::electrics::{Charge, Rest};
use super::fit::{Fit, LegClass, PlatePosition};
use super::propeller::{PitchWanted, RevsInBand, Slip};
use super::weight::TransomWeight;
use super::{Measured, Worked, age, air, capacity, compression, electrics, fit, link, price, propeller, weight};

/// Four-strokes on a rope up to this power may have a decompressor (practice).
const DECOMPRESSOR_TO_HP: f64 = 20.0;

pub struct Inputs<'l, 'a> {
    pub live: &'l Live<'a>,
    pub date: Date,
}

impl Inputs<'_, '_> {
    /// An amount, or why there is none.
    fn amount<T: TryFrom<Quantity>>(&self, id: &str) -> Result<T, String> {
        let quantity = self.live.amount(id).ok_or_else(|| self.missing(id))?;
        T::try_from(quantity).map_err(|_| format!("{} is not the kind of amount it should be", self.brief(id)))
    }

    /// An amount that a formula can do without.
    fn maybe<T: TryFrom<Quantity>>(&self, id: &str) -> Option<T> {
        self.amount(id).ok()
    }

    fn readings(&self, id: &str) -> Result<Vec<Option<Psi>>, String> {
        let readings = self.live.readings(id).ok_or_else(|| self.missing(id))?;
        Ok(readings.iter().map(|reading| reading.and_then(|quantity| Psi::try_from(quantity).ok())).collect())
    }

    fn year(&self, id: &str) -> Result<i16, String> {
        let year = self.live.number(id).ok_or_else(|| self.missing(id))?;
        i16::try_from(year).map_err(|_| format!("{year} is no year"))
    }

    fn brief(&self, id: &str) -> &str {
        self.live
            .knowledge
            .find(id)
            .map_or("a question that is not in the data", |ix| &self.live.knowledge.question(ix).brief)
    }

    fn missing(&self, id: &str) -> String {
        let why = match self.live.standing_of(id) {
            Standing::DoesNotApply => "not asked of this motor",
            _ => "not known",
        };
        format!("{}: {why}", self.brief(id))
    }

    pub fn transom_height(&self) -> Measured<Inches> {
        let measured = self.amount("transom-height")?;
        match self.live.choice("transom-measured") {
            Some("straight-down") => fit::straight_down(measured),
            Some("along-transom") => fit::along_transom(measured, self.amount("transom-rake")?),
            _ => Err(self.missing("transom-measured")),
        }
    }

    pub fn transom_class(&self) -> Measured<LegClass> {
        if let Some(measured) = self.raked_by_an_unknown_angle() {
            return fit::class_by_usual_rakes(measured);
        }
        let height = self.transom_height()?;
        let class = fit::leg_class(height.value)?;
        let how = if class.how.starts_with(&height.value.to_string()) && height.how.contains('x') {
            format!("{}; {}", height.how, class.how)
        } else {
            class.how
        };
        Ok(Worked::new(class.value, how))
    }

    /// The length along a transom whose rake nobody measured.
    fn raked_by_an_unknown_angle(&self) -> Option<Inches> {
        let along = self.live.choice("transom-measured") == Some("along-transom");
        (along && self.live.amount("transom-rake").is_none()).then(|| self.maybe("transom-height")).flatten()
    }

    /// The height for the rule on power, which only asks whether it is 20 in or more: where the rake is not known,
    /// the end of the usual span that gives nothing away, when both ends say the same.
    fn height_for_the_rule(&self) -> Option<Inches> {
        let Some(measured) = self.raked_by_an_unknown_angle() else {
            return self.transom_height().ok().map(|height| height.value);
        };
        let [flat, steep] = fit::heights_by_usual_rakes(measured).ok()?;
        capacity::tall_transom(flat).eq(&capacity::tall_transom(steep)).then_some(steep)
    }

    pub fn shaft_class(&self) -> Measured<LegClass> {
        fit::leg_class(self.amount("shaft-length")?)
    }

    pub fn fit(&self) -> Measured<Fit> {
        let (transom, shaft) = (self.transom_class()?, self.shaft_class()?);
        let fit = fit::fit(&transom.value, &shaft.value);
        let setback = if self.live.amount("setback").is_some() { "" } else { "; no setback given, taken as none" };
        Ok(Worked::new(fit.value, format!("{}{setback}", fit.how)))
    }

    pub fn plate_position(&self) -> Measured<PlatePosition> {
        fit::plate_position(self.transom_height()?.value, self.amount("shaft-length")?, self.maybe("setback"))
    }

    pub fn power_limit(&self) -> Measured<PowerLimit> {
        let boat = Boat {
            kind: self.live.choice("boat-kind").and_then(BoatKind::from_name),
            length: self.maybe("boat-length"),
            width: self.maybe("transom-width"),
            bottom: self.live.choice("hull-bottom").and_then(HullBottom::from_name),
            wheel: self.live.choice("steering").map(|steering| steering.starts_with("wheel")),
            transom_height: self.height_for_the_rule(),
        };
        if self.live.choice("capacity-plate") == Some("readable") {
            // A plate that is there outranks the rule, even while its figure is not known.
            return capacity::power_limit(Some(self.amount("plate-power")?), capacity::rule_limit(&boat));
        }
        if self.live.choice("capacity-plate").is_none() {
            return Err(self.missing("capacity-plate"));
        }
        capacity::power_limit(None, capacity::rule_limit(&boat))
    }

    pub fn power(&self) -> Measured<Power> {
        let claimed: Horsepower = self.amount("claimed-power")?;
        let limit = self.power_limit()?;
        let power = capacity::power(claimed, &limit.value)?;
        Ok(Worked::new(power.value, power.how))
    }

    pub fn transom_weight(&self) -> Measured<TransomWeight> {
        weight::on_transom(
            self.maybe::<Pounds>("motor-weight"),
            self.maybe::<Horsepower>("claimed-power"),
            self.maybe::<Pounds>("plate-weight"),
        )
    }

    pub fn weight_over(&self) -> Measured<Pounds> {
        weight::over_plate(
            self.amount("motor-weight")?,
            self.amount("claimed-power")?,
            self.amount("plate-weight")?,
        )
    }

    /// One value a cylinder of both rounds.
    pub fn cylinders(&self) -> Result<Rounds, String> {
        let first = self.readings("compression")?;
        let second = self.readings("compression-again").unwrap_or_default();
        compression::cylinders(&first, &second)
    }

    pub fn repeats(&self) -> Vec<String> {
        let both = self.readings("compression").and_then(|first| Ok((first, self.readings("compression-again")?)));
        both.map_or_else(
            |_| Vec::new(),
            |(first, second)| compression::repeats(&first, &second).into_iter().map(|repeat| repeat.how).collect(),
        )
    }

    pub fn compression_state(&self) -> Measured<&'static str> {
        let rounds = self.cylinders()?;
        let state = compression::state(&rounds.values)?;
        let rule = compression::average_rule(&rounds.values)?;
        let note = rounds.note.map_or_else(String::new, |note| format!("; {note}"));
        Ok(Worked::new(state.value.name(), format!("{}; second rule: {}{note}", state.how, rule.how)))
    }

    pub fn air(&self) -> Measured<AirRatio> {
        air::air_ratio(self.amount::<Metres>("altitude")?)
    }

    pub fn expected(&self) -> Measured<Expected> {
        let factory: Psi = self.amount("compression-factory")?;
        compression::expected(factory, self.air().ok().map(|air| air.value).as_ref())
    }

    pub fn low_together(&self) -> Measured<Option<[usize; 2]>> {
        let values = self.cylinders()?.values;
        let heads = self.live.text("shared-head").and_then(|text| cylinder_groups(text, Some(values.len())).ok());
        compression::low_together(&values, heads.as_deref())
    }

    /// Whether the plugs of the two low cylinders that share a head are both steam-clean.
    pub fn low_steam(&self) -> Measured<bool> {
        let together = self.low_together()?;
        let Some(pair) = together.value else { return Ok(Worked::new(false, together.how)) };
        let plugs = self.live.each("plugs").ok_or_else(|| self.missing("plugs"))?;
        let steam = |cylinder: &usize| plugs.at(*cylinder).is_some_and(|plug| *plug == "steam-clean");
        let value = pair.iter().all(steam);
        let word = if value { "both" } else { "not both" };
        Ok(Worked::new(value, format!("{}; their plugs are {word} steam-clean", together.how)))
    }

    pub fn all_low(&self) -> Measured<AllLow> {
        let rounds = self.cylinders()?;
        if self.live.choice("throttle-returns") == Some("by-wire") {
            return Err("the throttle has no lever to hold it open by hand, so low readings say nothing".to_owned());
        }
        let small = |limit: f64| self.maybe::<Horsepower>("claimed-power").is_some_and(|power| power.0 <= limit);
        let bench = Bench {
            expected: self.expected().ok().map(|expected| expected.value),
            air: self.air().ok().map(|air| air.value.ratio),
            cold_block: self.live.choice("block-cold") == Some("cold"),
            decompressor: self.live.choice("start") == Some("rope")
                && self.live.choice("strokes") == Some("four")
                && small(DECOMPRESSOR_TO_HP),
        };
        compression::all_low(&rounds.values, &bench)
    }

    pub fn wet(&self) -> Measured<WetRise> {
        let dry = self.cylinders()?.values;
        let wet = self.readings("compression-wet")?;
        let low = compression::low_cylinders(&dry);
        if low.len() != wet.len() {
            return Err(format!("{} wet readings for {} low cylinders", wet.len(), low.len()));
        }
        let pairs: Vec<WetPair> = low
            .iter()
            .zip(&wet)
            .filter_map(|(cylinder, wet)| {
                dry[cylinder - 1].map(|dry| WetPair { cylinder: *cylinder, dry, wet: *wet })
            })
            .collect();
        compression::wet(&pairs)
    }

    pub fn leakdown(&self) -> Measured<Leakdown> {
        let readings = self.live.readings("leakdown").ok_or_else(|| self.missing("leakdown"))?;
        let losses: Vec<Option<Fraction>> =
            readings.iter().map(|reading| reading.and_then(|quantity| Fraction::try_from(quantity).ok())).collect();
        compression::leakdown(&losses)
    }

    pub fn prop_speed(&self) -> Measured<Mph> {
        let ratio = self.live.amount("gear-ratio").ok_or_else(|| self.missing("gear-ratio"))?;
        let speed = propeller::speed(self.amount("full-revs")?, self.amount("prop-pitch")?, ratio.house())?;
        // The buyer's own unit of speed stands beside the mph.
        match self.live.amount("gps-speed").map(|quantity| quantity.unit).filter(|unit| *unit != Unit::MilePerHour)
        {
            Some(unit) => {
                let own = Quantity::from(speed.value).to(unit);
                Ok(Worked::new(speed.value, format!("{} ({:.1} {})", speed.how, own.number, unit.symbol())))
            }
            None => Ok(speed),
        }
    }

    pub fn prop_slip(&self) -> Measured<Slip> {
        propeller::slip(self.prop_speed()?.value, self.amount("gps-speed")?)
    }

    pub fn revs_in_band(&self) -> Measured<RevsInBand> {
        propeller::revs_in_band(self.amount("full-revs")?, self.amount("rated-from")?, self.amount("rated-to")?)
    }

    pub fn revs_short(&self) -> Measured<Fraction> {
        let (revs, from, to) = (self.amount("full-revs")?, self.amount("rated-from")?, self.amount("rated-to")?);
        Ok(propeller::revs_short(revs, from, to, &propeller::revs_in_band(revs, from, to)?.value))
    }

    pub fn pitch_wanted(&self) -> Measured<PitchWanted> {
        propeller::pitch_wanted(&self.revs_in_band()?.value, self.amount("prop-pitch")?)
    }

    pub fn rest(&self) -> Measured<Rest> {
        electrics::rest(self.amount("volts-rest")?)
    }

    pub fn charge(&self) -> Measured<Charge> {
        electrics::charge(
            self.amount("volts-running")?,
            self.maybe::<Volts>("volts-rest"),
            self.maybe::<Rpm>("volts-revs"),
            self.maybe::<Horsepower>("claimed-power")
                .is_some_and(|power| power.0 <= self.live.knowledge.settings.power_small),
        )
    }

    pub fn charge_rise(&self) -> Measured<Volts> {
        Ok(electrics::charge_rise(self.amount("volts-running")?, self.amount("volts-rest")?))
    }

    fn age(&self) -> Measured<Years> {
        age::age(self.year("claimed-year")?, self.date.year())
    }

    /// The age, with how long motors of this power last where that is known.
    pub fn age_told(&self) -> Measured<Years> {
        let age = self.age()?;
        let life = self.maybe::<Horsepower>("claimed-power").and_then(|power| age::life(age.value, power).ok());
        let yardstick = age::yardstick(age.value, self.maybe("hours"));
        let how = match life {
            Some(life) => format!("{}; {}; {}", age.how, life.how, yardstick.how),
            None => format!("{}; {}", age.how, yardstick.how),
        };
        Ok(Worked::new(age.value, how))
    }

    pub fn hours_expected(&self) -> Measured<crate::units::Hours> {
        age::hours_expected(self.age()?.value, self.maybe("hours"))
    }

    pub fn hours_over(&self) -> Measured<Fraction> {
        age::hours_over(self.amount("hours")?, self.hours_expected()?.value)
    }

    pub fn wear(&self) -> Worked<Wear> {
        let age = self.age().ok().map(|age| age.value);
        age::wear(age, self.maybe("hours"), self.maybe("claimed-power"))
    }

    pub fn wear_of_age(&self) -> Worked<Wear> {
        age::wear(self.age().ok().map(|age| age.value), None, self.maybe("claimed-power"))
    }

    pub fn worn(&self) -> Measured<Years> {
        let wear = self.wear();
        let years = wear.value.years.ok_or_else(|| wear.how.clone())?;
        Ok(Worked::new(years, wear.how))
    }

    pub fn price_gap(&self) -> Measured<Fraction> {
        let asked = self.live.money("asking-price").ok_or_else(|| self.missing("asking-price"))?;
        let others = self.live.prices("comparables").ok_or_else(|| self.missing("comparables"))?;
        price::price_gap(asked, others)
    }

    pub fn label_year(&self) -> Measured<i16> {
        let text = self.live.text("label-family").ok_or_else(|| self.missing("label-family"))?;
        Ok(age::label(text)?.map(|label| label.year))
    }

    pub fn label_gap(&self) -> Measured<Years> {
        Ok(age::label_gap(self.label_year()?.value, self.year("claimed-year")?))
    }

    pub fn link(&self) -> Measured<bool> {
        link::link_required(self.amount("boat-length")?, self.amount("claimed-power")?)
    }
}
