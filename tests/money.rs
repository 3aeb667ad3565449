//! The money of whole interviews: does it come out as somebody in the trade would say it.

mod support;

use serde_json::{Value, json};
use skeg::{Call, Judgement, Outcome, Settled, judge};
use support::{TODAY, knowledge};

/// The sound motor of the examples with other answers; `null` takes one away.
fn judged_with<R>(changes: &Value, look: impl FnOnce(&Judgement<'_>) -> R) -> R {
    let text = std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/examples/sound-motor.json")).unwrap();
    let mut file: Value = serde_json::from_str(&text).unwrap();
    for (id, value) in changes.as_object().unwrap() {
        file["answers"][id] = value.clone();
    }
    let read = skeg::read_answers_file(&file.to_string(), knowledge(), TODAY);
    let (record, date) = read.unwrap_or_else(|problems| panic!("{}", problems.join("\n")));
    look(&judge(knowledge(), &record, date))
}

fn ceiling(changes: &Value) -> f64 {
    judged_with(changes, |judgement| judgement.money.offers.expect("offers are made").ceiling)
}

fn mean_cost(changes: &Value) -> f64 {
    judged_with(changes, |judgement| judgement.money.cost.as_ref().expect("costs").mean())
}

fn chance_of(judgement: &Judgement<'_>, id: &str) -> f64 {
    let fault = knowledge().faults.iter().position(|fault| fault.id == id).unwrap();
    judgement.chances.iter().find(|chance| chance.fault.0 == fault).unwrap().chance
}

fn near(found: f64, wanted: f64, slack: f64) {
    assert!((found - wanted).abs() <= slack, "{found} is not within {slack} of {wanted}");
}

#[test]
fn a_clean_motor_is_worth_about_its_comparables_less_the_gap() {
    // Comparables around 4200, less 10 %: 3780; ordinary upkeep is in the adverts already.
    near(ceiling(&json!({})), 3780.0, 60.0);
}

#[test]
fn milky_oil_takes_off_about_a_reseal() {
    // Middle class at 110 an hour: parts 60/100/160, 2/3/4 hours: 435 on average.
    let milky = json!({ "gear-oil": "milky", "gear-oil-after": "milky" });
    let seals = |changes: &Value| judged_with(changes, |judgement| chance_of(judgement, "gearcase-seals"));
    let likelier = seals(&milky) - seals(&json!({}));
    assert!(likelier > 0.5, "{likelier}");
    near(mean_cost(&milky) - mean_cost(&json!({})), 435.0 * likelier, 30.0);
    let off = ceiling(&json!({})) - ceiling(&milky);
    // The cap at the value swallows what a motor in order is better than its like.
    assert!((200.0..=475.0).contains(&off), "{off}");
}

#[test]
fn what_a_mechanic_calls_fine_stands_in_place_of_the_buyers_signs() {
    judged_with(&json!({ "gear-oil": "milky", "gear-oil-after": "milky" }), |judgement| {
        assert!(chance_of(judgement, "gearcase-seals") > 0.5);
        let mut record = judgement.path.record.clone();
        record.settled.push(Settled::new("gearcase-seals", Outcome::Fine));
        let after = judge(knowledge(), &record, TODAY);
        let chance = chance_of(&after, "gearcase-seals");
        assert!(chance < 0.03, "a leak is still at {chance}");
        let settled = after.chances.iter().filter_map(|chance| chance.settled);
        assert_eq!(settled.collect::<Vec<_>>(), [Outcome::Fine], "it counts as settled");
    });
}

#[test]
fn an_unseen_motor_is_worth_far_less_than_a_seen_clean_one() {
    let mut unseen = serde_json::Map::new();
    for question in &knowledge().questions {
        let stage = knowledge().stages[question.stage].id.as_str();
        let about = question.motor || question.private || ["boat", "papers", "controls"].contains(&stage);
        let told = ["pump-age", "belt", "valve-check", "leakdown"].contains(&question.id.as_str());
        let about = about && !told;
        let needed = ["asking-price", "shaft-length", "currency", "hours"].contains(&question.id.as_str());
        if !about && !needed {
            unseen.insert(question.id.to_string(), Value::Null);
        }
    }
    let unseen = ceiling(&Value::Object(unseen));
    assert!(unseen < 0.85 * ceiling(&json!({})), "unseen {unseen}");
}

#[test]
fn a_small_cheap_motor_gets_sensible_offers_too() {
    let small = json!({
        "claimed-power": "4 hp", "asking-price": "500", "comparables": "520 500 480", "start": "rope", "trim": "manual",
        "fuel-system": "carburettor", "cylinders": "1", "shared-head": null, "compression": "120 psi",
        "compression-again": null, "compression-factory": null, "motor-controls": "tiller", "volts-rest": null,
        "volts-cranking": null, "volts-running": null, "volts-revs": null, "labour-rate": "60", "plate-power": "10 hp",
    });
    judged_with(&small, |judgement| {
        let offers = judgement.money.offers.expect("offers are made");
        assert!(offers.ceiling >= 300.0 && offers.ceiling <= 500.0, "{offers:?}");
        assert!(offers.opening >= 0.6 * offers.ceiling - 25.0 && offers.opening < offers.ceiling, "{offers:?}");
        assert!((offers.opening / 25.0).fract() == 0.0, "rounded as people say it: {offers:?}");
    });
}

#[test]
fn sure_costs_come_off_whole() {
    let strange = json!({ "controls-fit": "does-not" });
    // Mechanical controls, middle class: parts 350/650/1100, 2/4/7 hours: 1132 on average, never under a fifth.
    near(mean_cost(&strange) - mean_cost(&json!({})), 1132.0, 10.0);
    let off = ceiling(&json!({})) - ceiling(&strange);
    assert!((950.0..=1150.0).contains(&off), "{off}");
}

#[test]
fn another_currency_needs_the_price_of_parts() {
    judged_with(&json!({ "currency": "EUR" }), |judgement| {
        let why = judgement.money.terms.as_ref().expect_err("no costs").to_string();
        assert!(why.contains("EUR") && why.contains("parts"), "{why}");
        assert!(judgement.money.offers.is_none() && judgement.checks.ranked.is_empty());
    });
    judged_with(&json!({ "currency": "EUR", "parts-scale": "1.1" }), |judgement| {
        assert!(judgement.money.offers.is_some());
    });
    // The price of such a part, typed as it stands, is the same as the share of it.
    let cost = |typed: &str| {
        judged_with(&json!({ "currency": "EUR", "parts-scale": typed }), |judgement| {
            judgement.money.cost.as_ref().expect("costs").mean()
        })
    };
    assert!((cost("110") - cost("1.1")).abs() < 1e-9);
    assert!(cost("200") > cost("110"));
    for dollars in ["$", "US$", "USD", "usd"] {
        judged_with(&json!({ "currency": dollars }), |judgement| assert!(judgement.money.terms.is_ok()));
    }
}

#[test]
fn mean_cost_is_the_sum_of_chance_times_mean_with_covers_taken_off() {
    judged_with(&json!({ "compression": "188 150 186 psi", "compression-again": null }), |judgement| {
        let chance_of = |id: &str| chance_of(judgement, id);
        let powerhead = 1.0 - (1.0 - chance_of("rings-bore-piston")) * (1.0 - chance_of("bearings"));
        let line = |id: &str| {
            let item = knowledge().item(id).unwrap();
            judgement.money.lines.iter().find(|line| line.item == item).unwrap().clone()
        };
        near(line("powerhead").chance, powerhead, 1e-12);
        near(line("valves").chance, chance_of("valves") * (1.0 - powerhead), 1e-12);
        near(line("head-gasket").chance, chance_of("head-gasket") * (1.0 - powerhead), 1e-12);
        let sum: f64 = judgement.money.lines.iter().map(|line| line.chance * line.size.mean()).sum();
        near(judgement.money.cost.as_ref().unwrap().mean(), sum, 1e-3 * sum);
    });
}

#[test]
fn without_comparables_the_asking_price_less_the_gap_stands_in() {
    judged_with(&json!({ "comparables": null }), |judgement| {
        let value = judgement.money.value.as_ref().unwrap();
        near(value.mean(), 0.9 * 4100.0, 1e-9);
        assert!(!value.compared && value.how.contains("asking price"));
    });
}

#[test]
fn what_would_change_it_is_told_with_its_figure_and_stops_stand_apart() {
    let id = |ix: &skeg::QuestionIx| knowledge().question(*ix).id.to_string();
    judged_with(&json!({ "compression": null, "compression-again": null, "propeller": null }), |judgement| {
        let stops: Vec<String> = judgement.changes.stops.iter().map(id).collect();
        assert!(stops.contains(&"compression".to_owned()), "{stops:?}");
        let most = &judgement.changes.most;
        assert!(!most.is_empty() && most.len() <= 3);
        for change in most {
            assert!(!judgement.changes.stops.contains(&change.question), "{change:?}");
            let moves = change.call != judgement.verdict.call
                || change.ceiling != judgement.money.offers.map(|offers| offers.ceiling);
            assert!(moves, "{change:?}");
        }
    });
}

#[test]
fn the_spread_of_the_ceiling_holds_the_ceiling() {
    judged_with(&json!({ "gear-oil": "hazy", "gear-oil-after": null, "plugs": null }), |judgement| {
        let (offers, sure) = (judgement.money.offers.unwrap(), judgement.money.how_sure.unwrap());
        assert!(sure.least <= offers.ceiling && offers.ceiling <= sure.most, "{offers:?} {sure:?}");
        assert!(sure.least < sure.most);
    });
}

/// What a motor of the middle class is, and what is asked for it: nothing was looked at, and nothing tells its wear.
fn judged_alone<R>(changes: &Value, look: impl FnOnce(&Judgement<'_>) -> R) -> R {
    let mut answers = json!({
        "claimed-power": "40 hp", "strokes": "four", "fuel-system": "injection", "cooling": "water", "cylinders": "3",
        "shared-head": "1 2 3", "start": "electric", "trim": "power", "motor-controls": "mechanical",
        "included": "control-box", "currency": "$", "asking-price": "4100", "comparables": "4200 4050 4350",
    });
    for (id, value) in changes.as_object().unwrap() {
        answers[id] = value.clone();
    }
    answers.as_object_mut().unwrap().retain(|_, value| !value.is_null());
    let file = json!({ "date": "2026-05-03", "answers": answers }).to_string();
    let read = skeg::read_answers_file(&file, knowledge(), TODAY);
    let (record, date) = read.unwrap_or_else(|problems| panic!("{}", problems.join("\n")));
    look(&judge(knowledge(), &record, date))
}

/// A run in a tank, and a trial afloat, each with the looks they need.
fn run(more: &Value) -> Value {
    joined(
        &json!({ "fuel-leak": "dry", "throttle-returns": "snaps-back", "dipstick": "dark", "run-where": "tank" }),
        more,
    )
}

fn afloat(more: &Value) -> Value {
    let well = json!({
        "run-where": "water", "gear-oil": "dark", "gear-metal": "none", "prop-shaft": "true", "cowl": "sound",
        "plugs": "tan", "compression": "188 190 186 psi", "held-on": "bolted", "bracket": "sound",
        "midsection": "sound", "steering-feel": "free", "mount-play": "firm", "recall": "none-open",
        "starts-in-gear": "no", "cold-start": "at-once", "telltale": "strong", "alarm-running": "silent",
        "lanyard": "stops-every-time", "smoke": "none", "shift-running": "clean", "heads-even": "even",
    });
    run(&joined(&well, more))
}

fn joined(first: &Value, more: &Value) -> Value {
    let mut all = first.clone();
    for (id, value) in more.as_object().unwrap() {
        all[id] = value.clone();
    }
    all
}

/// What a mechanic would bet, in percent: at the wear of half a motor's life, on one thing alone and on what usually
/// comes with it. The bounds are those of the trade (from memory); a change of a strength has to stay within them.
#[test]
fn chances_are_those_a_mechanic_would_bet() {
    let pair = json!({ "compression": "188 150 150 psi", "plugs": "tan steam-clean steam-clean" });
    let full = json!({ "dipstick": "over-full-fuel-smell" });
    let coil = json!({ "idle": "misfires", "warm-restart": "hard", "afloat": "bogs" });
    let flat = json!({ "volts-rest": "12.6 V", "volts-running": "12.3 V", "volts-revs": "1500 rpm" });
    let two_stroke = joined(&pair, &json!({ "strokes": "two" }));
    let wet = json!({ "smoke": "white-stays" });
    let table = [
        ("gear oil empty", json!({ "gear-oil": "empty" }), "gearcase-seals", 70.0..98.0),
        ("gear oil empty", json!({ "gear-oil": "empty" }), "gears", 25.0..60.0),
        (
            "and weeping",
            json!({ "gear-oil": "empty", "gearcase-outside": "weeping" }),
            "gearcase-seals",
            95.0..98.1,
        ),
        ("and chips", json!({ "gear-oil": "empty", "gear-metal": "chips" }), "gears", 90.0..98.1),
        ("smells of fuel", full.clone(), "fuel-in-oil", 50.0..80.0),
        ("and runs cold", run(&joined(&full, &json!({ "warm-up": "stays-cold" }))), "fuel-in-oil", 80.0..97.0),
        ("chips", json!({ "gear-metal": "chips" }), "gears", 60.0..90.0),
        ("chips and milk", json!({ "gear-metal": "chips", "gear-oil": "milky" }), "gears", 85.0..98.1),
        ("rough by hand", json!({ "turns-over": "rough" }), "bearings", 20.0..45.0),
        ("and was under", json!({ "turns-over": "rough", "submerged": "said-only" }), "bearings", 45.0..80.0),
        ("two washed neighbours", pair.clone(), "head-gasket", 90.0..98.1),
        ("two washed neighbours", pair.clone(), "rings-bore-piston", 1.0..45.0),
        ("of a two-stroke", two_stroke, "rings-bore-piston", 1.0..45.0),
        ("and white smoke", run(&joined(&pair, &wet)), "head-gasket", 95.0..98.1),
        ("no charge", run(&flat), "charging", 75.0..95.0),
        ("a coil when hot", afloat(&coil), "ignition", 50.0..85.0),
        (
            "and short of revs",
            afloat(&joined(
                &coil,
                &json!({
                    "rated-from": "5000 rpm", "rated-to": "6000 rpm", "full-revs": "4000 rpm"
                }),
            )),
            "ignition",
            50.0..85.0,
        ),
    ];
    for (story, answers, fault, bounds) in table {
        let chance = judged_alone(&answers, |judgement| 100.0 * chance_of(judgement, fault));
        assert!(bounds.contains(&chance), "{story}: {fault} {chance:.1} %, not {bounds:?}");
    }
}

#[test]
fn compression_read_on_a_weak_battery_is_a_hint_at_most() {
    let chance = |readings: &str, volts: &str, plugs: &Value| {
        let answers = json!({ "compression": readings, "volts-cranking": volts, "plugs": plugs });
        let of = |fault: &str| judged_alone(&answers, |judgement| chance_of(judgement, fault));
        [of("rings-bore-piston"), of("valves"), of("head-gasket")]
    };
    let odds = |chance: f64| chance / (1.0 - chance);
    let tan = json!("tan");
    let even = chance("180 180 180", "9", &tan);
    for (readings, plugs) in [
        ("100 180 180", tan.clone()),
        ("150 180 180", tan.clone()),
        ("160 180 180", tan.clone()),
        ("120 120 180", tan.clone()),
        ("120 120 180", json!(["steam-clean", "steam-clean", "tan"])),
        ("120 180 180", json!(["blistered", "tan", "tan"])),
    ] {
        let (weak, good) = (chance(readings, "9", &plugs), chance(readings, "11", &plugs));
        let dry = chance("180 180 180", "9", &plugs);
        for ((weak, even), fault) in weak.iter().zip(&dry).zip(["rings", "valves", "gasket"]) {
            assert!(odds(*weak) <= 2.01 * odds(*even), "{readings}, {plugs}: {fault} {weak} {even}");
        }
        assert!(good.iter().zip(&weak).any(|(good, weak)| odds(*good) > 1.9 * odds(*weak)), "{good:?} {weak:?}");
    }
    assert!(even.iter().all(|chance| *chance > 0.0));
}

#[test]
fn what_may_have_run_without_oil_counts_against_the_cylinders() {
    let two = json!({ "strokes": "two", "fuel-system": "carburettor" });
    let rings = |more: &Value| {
        judged_alone(&run(&joined(&two, more)), |judgement| chance_of(judgement, "rings-bore-piston"))
    };
    let odds = |chance: f64| chance / (1.0 - chance);
    let before = odds(rings(&json!({ "oil-mix": "premixed" })));
    let plain = odds(rings(&json!({ "oil-mix": "plain" })));
    assert!((plain / before - 4.0).abs() < 0.01, "{before} {plain}");
    let silent = odds(rings(&json!({ "oil-mix": "premixed", "oil-injection": "removed", "alarm-test": "silent" })));
    assert!((silent / before - 4.0).abs() < 0.01, "{before} {silent}");
}

#[test]
fn one_cylinder_is_never_under_the_others() {
    let still_open = |cylinders: &str| {
        judged_alone(&json!({ "cylinders": cylinders, "shared-head": null }), |judgement| {
            let open = judgement.findings.not_ruled_out.iter();
            open.map(|at| knowledge().findings[at.0].id.to_string()).any(|id| id == "compression-far-apart")
        })
    };
    assert!(still_open("2") && !still_open("1"));
}

/// The chance that no single repair over so much comes; service, which always does, left out.
fn none_over(judgement: &Judgement<'_>, sum: f64) -> f64 {
    let service = knowledge().item("first-service").unwrap();
    let lines = judgement.money.lines.iter().filter(|line| line.item != service);
    lines.map(|line| 1.0 - line.chance * (1.0 - line.size.below(sum).0)).product()
}

/// Power, cylinders, heads, compression, price, and at least in how many of a hundred nothing over 500 comes when all
/// is good.
const MOTORS: [(&str, &str, &str, &str, &str, f64); 4] = [
    ("9.9 hp", "2", "1 2", "188 190 psi", "1400", 0.85),
    ("40 hp", "3", "1 2 3", "188 190 186 psi", "4200", 0.75),
    ("150 hp", "4", "1 2 3 4", "188 190 186 189 psi", "9000", 0.65),
    ("250 hp", "6", "1 2 3 / 4 5 6", "188 190 186 189 188 190 psi", "14000", 0.6),
];

/// A motor that is 2, 9, 20 and 40 years old: the older, the more is to be feared of one nobody looked at; one on which
/// all is good is worth its like at every age.
#[test]
fn figures_fall_with_age_and_a_good_motor_keeps_its_price() {
    for (power, cylinders, heads, compression, price, good) in MOTORS {
        let (mut last, mut last_free) = (f64::INFINITY, 1.0);
        for year in [2024, 2017, 2006, 1986] {
            let motor = json!({
                "claimed-power": power, "claimed-year": year.to_string(), "cylinders": cylinders, "shared-head": heads,
                "asking-price": price, "comparables": price,
            });
            let looked = joined(
                &motor,
                &json!({
                    "compression": compression, "compression-again": null, "label-family": null, "hours": null,
                    "hours-source": null, "plate-power": "300 hp",
                    "parts-made": if year < 2006 { json!("yes") } else { Value::Null },
                }),
            );
            judged_with(&looked, |judgement| {
                let free = none_over(judgement, 500.0);
                assert!(free > good && free <= 1.0, "{power} of {year}, all good: {free}");
                let (value, ceiling) =
                    (0.9 * price.parse::<f64>().unwrap(), judgement.money.offers.unwrap().ceiling);
                assert!(ceiling > 0.95 * value, "{power} of {year}, all good: {ceiling} of {value}");
            });
            judged_alone(&motor, |judgement| {
                let (free, ceiling) = (none_over(judgement, 500.0), judgement.money.reckoned.unwrap());
                // Past twice half a life wear is held: older than that is no worse.
                let older = if year == 1986 { free <= last_free } else { free < last_free };
                assert!(
                    older && ceiling <= last,
                    "{power} of {year}, unseen: {free} {ceiling} after {last_free} {last}"
                );
                (last, last_free) = (ceiling, free);
            });
        }
        assert!(last_free < 0.65, "{power} after forty years unseen: {last_free}");
    }
}

/// What a mechanic found and priced is a matter of money; where somebody could get hurt it stops the sale until it
/// is repaired.
#[test]
fn a_priced_stop_becomes_serious_unless_somebody_could_get_hurt() {
    for (changes, point, finding, stays) in [
        (json!({ "gearcase-outside": "cracked" }), "gearcase-crack", "gearcase-cracked", false),
        (json!({ "bracket": "cracked" }), "steering-bracket", "bracket-cracked", true),
        (json!({ "wiring": "cooked" }), "corrosion-wiring", "wiring-cooked", true),
    ] {
        judged_with(&changes, |judgement| {
            assert_eq!(judgement.verdict.call, Call::WalkAway, "{finding}");
            let after = |outcome: Outcome, price: Option<f64>| {
                let mut record = judgement.path.record.clone();
                record.settled.push(Settled { price, ..Settled::new(point, outcome) });
                let judgement = judge(knowledge(), &record, TODAY);
                let serious = |ix: &skeg::FindingIx| knowledge().findings[ix.0].id == *finding;
                (judgement.verdict.call, judgement.verdict.serious.iter().any(serious), judgement.money.offers)
            };
            let (call, serious, offers) = after(Outcome::Faulty, Some(600.0));
            assert_eq!((call == Call::WalkAway, serious, offers.is_none()), (stays, !stays, stays), "{finding}");
            let (unpriced, ..) = after(Outcome::Faulty, None);
            assert_eq!(unpriced, Call::WalkAway, "{finding}: without a price nobody can pay for it");
            let (fine, serious, _) = after(Outcome::Fine, Some(600.0));
            assert!(fine != Call::WalkAway && !serious, "{finding}: what is fine stops nothing");
        });
    }
}

/// A workshop's look is worth going for where it is worth more than it costs, and not for the same money.
#[test]
fn a_look_pays_over_its_fee_and_not_at_it() {
    judged_with(&json!({ "gear-oil": "milky", "gear-oil-after": "milky" }), |judgement| {
        let mut money = judgement.money.clone();
        let fee = money.fee.expect("a usual fee").sum;
        for (look, pays) in
            [(Some(fee + 1.0), Some(true)), (Some(fee), Some(false)), (Some(fee - 1.0), Some(false)), (None, None)]
        {
            money.look = look;
            assert_eq!(money.look_pays(), pays, "worth {look:?}, fee {fee}");
        }
    });
}

/// What was seen with the eyes is as sure as anything a buyer sees, whatever else speaks for or against it.
#[test]
fn what_is_seen_is_sure_whatever_speaks_against_it() {
    for (question, choice, fault) in [
        ("gearcase-outside", "cracked", "gearcase-crack"),
        ("bracket", "cracked", "steering-bracket"),
        ("midsection", "cracked", "exhaust"),
    ] {
        judged_with(&json!({ question: choice }), |judgement| {
            assert!((chance_of(judgement, fault) - 0.98).abs() < 1e-12, "{fault}: {}", chance_of(judgement, fault));
        });
        judged_with(&json!({ question: "sound" }), |judgement| assert!(chance_of(judgement, fault) < 0.1));
    }
}

/// Of two sets of controls that are talked of the one this motor needs is named, with its own price.
#[test]
fn the_seller_is_told_of_the_set_that_this_motor_needs() {
    for kind in ["mechanical", "electronic"] {
        let changes = json!({ "motor-controls": kind, "boat-controls": "none", "controls-fit": "does-not" });
        judged_with(&changes, |judgement| {
            let is = |point: &&skeg::Point| knowledge().findings[point.finding.0].id == *"controls-do-not-fit";
            let point = judgement.points.iter().find(is).expect("it is talked of");
            let item = point.item.expect("what is to be bought");
            assert_eq!(knowledge().items[item.0].id.as_str(), format!("controls-{kind}"));
            assert!(point.size.is_some_and(|size| size.low > 0.0));
        });
    }
}
