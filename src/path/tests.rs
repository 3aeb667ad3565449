//! The path over a trial stage of its own behind the shipped ones, so that no test hangs on their texts.

use jiff::civil::Date;
use serde_json::{Value as Json, json};

use super::Truth::{No, Yes};
use super::walk::Held;
use super::{Ended, Path, State, walk};
use crate::answers::{Each, Record, Said, Standing, Value};
use crate::knowledge::{
    AnswerTest, Condition, FaultIx, File, Instead, Knowledge, QuestionIx, Strength, embedded_files,
};
use crate::measure::load;

const TODAY: Date = jiff::civil::date(2026, 5, 1);

fn one(id: &str, choices: &Json, more: &Json) -> Json {
    question(id, &json!({ "one": choices }), more)
}

fn question(id: &str, kind: &Json, more: &Json) -> Json {
    let mut all =
        json!({ "id": id, "kind": kind, "brief": id, "ask": format!("{id}?"), "why": "It tells.", "minutes": 1 });
    let (Json::Object(all_fields), Json::Object(more)) = (&mut all, more) else { panic!("objects") };
    all_fields.extend(more.clone());
    all
}

fn choice(id: &str) -> Json {
    json!({ "id": id, "label": format!("it is {id}") })
}

fn closing(id: &str, closes: &str, unless: Option<&Json>) -> Json {
    let mut choice = json!({ "id": id, "label": format!("it is {id}"), "closes": [closes], "because": format!("{id} ends it.") });
    if let Some(unless) = unless {
        choice["closes-unless"] = unless.clone();
    }
    choice
}

/// The shipped data with trial stages behind it: `trial`, `trial-run` with gates, `trial-end`.
fn trial(questions: &[Json], run: &[Json], gates: &Json) -> Knowledge {
    let stage = |id: &str, gates: &Json, questions: &[Json]| {
        let about = json!({ "id": id, "title": id, "about": "A trial.", "gates": gates });
        json!({ "stage": about, "questions": questions, "findings": [] }).to_string()
    };
    let mut files = embedded_files();
    // The shipped gates wait for looks these tests know nothing of.
    for file in files.iter_mut().filter(|file| file.text.contains("\"gates\"")) {
        let mut content: Json = serde_json::from_str(&file.text).expect("the shipped data");
        if content["stage"]["gates"].is_array() {
            content["stage"]["gates"] = json!([]);
            file.text = content.to_string();
        }
    }
    let visit = files.iter_mut().find(|file| file.name == "visit.json").expect("the shipped data");
    let mut content: Json = serde_json::from_str(&visit.text).expect("the shipped data");
    content["visit"]["sheet"][1]["stages"]
        .as_array_mut()
        .expect("a side")
        .extend(["trial", "trial-run", "trial-end"].map(Json::from));
    visit.text = content.to_string();
    let end = [one("t-end", &json!([choice("yes"), choice("no")]), &json!({}))];
    for (name, text) in [
        ("96-trial.json", stage("trial", &json!([]), questions)),
        ("97-trial-run.json", stage("trial-run", gates, run)),
        ("98-trial-end.json", stage("trial-end", &json!([]), &end)),
    ] {
        files.push(File { name: name.into(), text });
    }
    files.sort_by(|a, b| a.name.cmp(&b.name));
    load(&files).expect("the trial stages are sound")
}

fn said(knowledge: &Knowledge, answers: &[(&str, &str)]) -> Record {
    let mut record = Record::new(knowledge);
    for (id, choice) in answers {
        record.say(at(knowledge, id), Said::Value(Value::One((*choice).into())));
    }
    record
}

fn at(knowledge: &Knowledge, id: &str) -> QuestionIx {
    knowledge.find(id).expect("a question of the trial")
}

fn on_path(path: &Path<'_>, id: &str) -> bool {
    path.step(at(path.knowledge, id)).is_some()
}

fn names(path: &Path<'_>, questions: &[QuestionIx]) -> Vec<String> {
    questions.iter().map(|ix| path.knowledge.question(*ix).id.to_string()).collect()
}

/// What ended in the trial's own stages: the shipped gates stand beside them.
fn ended_here<'p>(path: &'p Path<'_>) -> Vec<&'p Ended> {
    path.ended.iter().filter(|ended| ended.closes[0].as_str().starts_with("trial")).collect()
}

/// The looks the trial's own gates wait for.
fn held_here<'p>(path: &'p Path<'_>) -> Vec<&'p Held> {
    let own = |held: &&Held| path.knowledge.question(held.check).id.as_str().starts_with("t-");
    path.held.iter().filter(own).collect()
}

fn gated() -> Knowledge {
    let looks = ["t-leak", "t-oil"]
        .map(|id| one(id, &json!([choice("good"), choice("bad"), choice("unknown")]), &json!({})));
    let run = ["t-start", "t-full", "t-after"].map(|id| one(id, &json!([choice("yes"), choice("no")]), &json!({})));
    let need = |check: &str| json!({ "check": check, "good": { "answer": check, "is": "good" }, "bad": { "answer": check, "is": "bad" }, "because": format!("{check} first.") });
    let full = json!([{ "check": "t-start", "good": { "answer": "t-start", "is": "yes" }, "bad": { "answer": "t-start", "is": "no" }, "because": "It must start." }]);
    trial(
        &looks,
        &run,
        &json!([{ "id": "start", "needs": [need("t-leak"), need("t-oil")] }, { "id": "full", "questions": ["t-full"], "needs": full }]),
    )
}

#[test]
fn a_missing_look_holds_a_gate_and_is_offered_again() {
    let data = gated();
    let record = said(&data, &[("t-leak", "good"), ("t-oil", "unknown"), ("t-start", "yes")]);
    let path = walk(&data, &record, TODAY);
    assert!(!on_path(&path, "t-start") && !on_path(&path, "t-full"));
    assert!(on_path(&path, "t-end"), "what comes after is still asked");
    assert_eq!(path.live.standing(at(&data, "t-start")), Standing::MayApply);
    assert!(ended_here(&path).is_empty());
    let [held] = held_here(&path)[..] else { panic!("one look is missing: {:?}", path.held) };
    assert_eq!((held.gate.as_str(), held.check), ("start", at(&data, "t-oil")));
    assert_eq!(names(&path, &held.questions), ["t-start", "t-full", "t-after"]);
    assert_eq!(path.asleep(), [at(&data, "t-start")]);
}

#[test]
fn a_bad_value_shuts_a_gate_with_its_reason() {
    let data = gated();
    let record = said(&data, &[("t-leak", "bad"), ("t-oil", "bad")]);
    let path = walk(&data, &record, TODAY);
    assert!(held_here(&path).is_empty() && !on_path(&path, "t-start"));
    let ended = ended_here(&path);
    let told: Vec<_> =
        ended.iter().map(|ended| (ended.after, ended.closes[0].as_str(), ended.because.as_str())).collect();
    assert_eq!(
        told,
        [(at(&data, "t-leak"), "trial-run", "t-leak first."), (at(&data, "t-oil"), "trial-run", "t-oil first.")]
    );
    assert_eq!(names(&path, &ended[0].shut), ["t-start", "t-full", "t-after"]);
    // One bad value is enough, whatever else is missing.
    assert_eq!(ended.len(), 2);
    let record = said(&data, &[("t-leak", "bad")]);
    let path = walk(&data, &record, TODAY);
    assert_eq!((ended_here(&path).len(), held_here(&path).len()), (1, 0));
}

#[test]
fn a_gate_before_a_part_shuts_only_that_part() {
    let data = gated();
    let good = [("t-leak", "good"), ("t-oil", "good")];
    let record = said(&data, &[&good[..], &[("t-start", "no")]].concat());
    let path = walk(&data, &record, TODAY);
    assert!(on_path(&path, "t-start") && !on_path(&path, "t-full") && on_path(&path, "t-after"));
    let [ended] = ended_here(&path)[..] else { panic!("one gate is shut: {:?}", path.ended) };
    assert_eq!(ended.closes, ["trial-run"]);
    assert_eq!(names(&path, &ended.shut), ["t-full"]);
    let record = said(&data, &good);
    let path = walk(&data, &record, TODAY);
    assert_eq!(held_here(&path).len(), 1);
    assert!(on_path(&path, "t-after") && !on_path(&path, "t-full"));
    let record = said(&data, &[&good[..], &[("t-start", "yes")]].concat());
    assert!(on_path(&walk(&data, &record, TODAY), "t-full"));
}

#[test]
fn what_a_mechanic_read_stands_whatever_is_shut() {
    let data = gated();
    let mut record = said(&data, &[("t-leak", "bad")]);
    record.say_for_mechanic(at(&data, "t-start"), Said::Value(Value::One("yes".into())));
    let path = walk(&data, &record, TODAY);
    assert!(on_path(&path, "t-start") && !on_path(&path, "t-after"));
    record.say(at(&data, "t-start"), Said::Value(Value::One("yes".into())));
    assert!(!on_path(&walk(&data, &record, TODAY), "t-start"), "the buyer's own word takes its place");
}

fn plugs() -> Knowledge {
    let kind = json!({ "each": [choice("t-tan"), closing("t-oily", "trial-run", None), closing("t-metal", "trial-end", None)] });
    let run = [one("t-start", &json!([choice("yes"), choice("no")]), &json!({}))];
    trial(&[question("t-plugs", &kind, &json!({}))], &run, &json!([]))
}

fn listed(all: &[&str]) -> Said {
    Said::Value(Value::Each(Each::Listed(all.iter().map(|id| (*id).into()).collect())))
}

#[test]
fn every_closing_choice_of_a_list_ends_what_it_ends() {
    let data = plugs();
    let mut record = Record::new(&data);
    record.say(at(&data, "t-plugs"), listed(&["t-oily", "t-metal"]));
    let path = walk(&data, &record, TODAY);
    let ends: Vec<&str> = path.ended.iter().map(|ended| ended.because.as_str()).collect();
    assert_eq!(ends, ["t-oily ends it.", "t-metal ends it."]);
    assert!(!on_path(&path, "t-start") && !on_path(&path, "t-end"));
}

#[test]
fn a_list_keeps_the_length_it_was_typed_with() {
    let data = plugs();
    let state = |cylinders: u32, said: Said| {
        let mut record = Record::new(&data);
        record.say(at(&data, "cylinders"), Said::Value(Value::Count(cylinders)));
        record.say(at(&data, "t-plugs"), said);
        walk(&data, &record, TODAY).step(at(&data, "t-plugs")).expect("on the path").state
    };
    assert_eq!(state(2, listed(&["t-tan", "t-tan"])), State::Value);
    assert_eq!(state(4, listed(&["t-tan", "t-tan"])), State::Open, "nobody saw the other two");
    assert_eq!(state(4, Said::Value(Value::Each(Each::All("t-tan".into())))), State::Value);
}

#[test]
fn a_follow_up_can_undo_an_end() {
    let undone = json!({ "answer": "t-story", "is": "innocent" });
    let stick = one("t-stick", &json!([choice("dry"), closing("wet", "trial-run", Some(&undone))]), &json!({}));
    let when = json!({ "answer": "t-stick", "is": "wet" });
    let story = one(
        "t-story",
        &json!([choice("innocent"), choice("none")]),
        &json!({ "follows": "t-stick", "when": when }),
    );
    let run = [one("t-start", &json!([choice("yes"), choice("no")]), &json!({}))];
    let data = trial(&[stick, story], &run, &json!([]));
    let ends = |answers: &[(&str, &str)]| walk(&data, &said(&data, answers), TODAY).ended.len();
    assert_eq!(ends(&[("t-stick", "wet")]), 1, "a story nobody told undoes nothing");
    assert_eq!(ends(&[("t-stick", "wet"), ("t-story", "none")]), 1);
    assert_eq!(ends(&[("t-stick", "wet"), ("t-story", "innocent")]), 0);
}

#[test]
fn an_open_second_look_reads_as_the_worst_once_it_was_passed() {
    let untold = json!({ "choice": "still", "when": { "answer": "t-stick", "is": "empty" }, "once-passed": true });
    let stick = one("t-stick", &json!([choice("full"), choice("empty")]), &json!({}));
    let again = one("t-again", &json!([choice("right"), choice("still")]), &json!({ "untold": untold }));
    let told = one("t-told", &json!([choice("yes"), choice("no")]), &json!({ "told": true }));
    let later = one("t-later", &json!([choice("yes"), choice("no")]), &json!({}));
    let data = trial(
        &[stick, again, told, later],
        &[one("t-start", &json!([choice("yes"), choice("no")]), &json!({}))],
        &json!([]),
    );
    let reads = |answers: &[(&str, &str)], again: Option<Said>| {
        let mut record = said(&data, answers);
        if let Some(again) = again {
            record.say(at(&data, "t-again"), again);
        }
        matches!(walk(&data, &record, TODAY).live.standing(at(&data, "t-again")), Standing::Silent(Some(choice)) if *choice == "still")
    };
    assert!(!reads(&[("t-stick", "empty")], None), "it comes next: not yet");
    assert!(!reads(&[("t-stick", "empty"), ("t-told", "yes")], None), "what the seller said passes nothing");
    assert!(reads(&[("t-stick", "empty"), ("t-later", "yes")], None));
    assert!(reads(&[("t-stick", "empty")], Some(Said::CantTell)));
    assert!(reads(&[("t-stick", "empty")], Some(Said::NotDone(String::new()))));
    assert!(!reads(&[("t-stick", "full"), ("t-later", "yes")], None));
}

#[test]
fn texts_and_minutes_fit_the_motor() {
    let rope =
        json!({ "when": { "answer": "start", "is": "rope" }, "ask": "Does the rope pull?", "do": "Pull slowly." });
    let more = json!({ "variants": [rope], "do": "Turn the key.", "minutes": 2, "minutes-cylinder": 1.5 });
    let crank = one("t-crank", &json!([choice("yes"), choice("no")]), &more);
    let data = trial(&[crank], &[one("t-start", &json!([choice("yes"), choice("no")]), &json!({}))], &json!([]));
    let question = data.question(at(&data, "t-crank"));
    let mut record = said(&data, &[("start", "electric")]);
    let path = walk(&data, &record, TODAY);
    let texts = path.view().texts(question);
    assert_eq!((texts.ask, texts.act, texts.brief), ("t-crank?", Some("Turn the key."), "t-crank"));
    assert!((path.view().minutes(question) - 5.0).abs() < 1e-12, "unknown cylinders count as two");
    record = said(&data, &[("start", "rope")]);
    record.say(at(&data, "cylinders"), Said::Value(Value::Count(1)));
    let path = walk(&data, &record, TODAY);
    let texts = path.view().texts(question);
    assert_eq!((texts.ask, texts.act, texts.why), ("Does the rope pull?", Some("Pull slowly."), "It tells."));
    assert!((path.view().minutes(question) - 3.5).abs() < 1e-12);
}

#[test]
fn evidence_words_of_a_case_take_the_place_of_the_usual_ones() {
    let data = gated();
    let mut finding = data.findings[0].clone();
    let fault = FaultIx(0);
    finding.speaks_for = vec![(fault, Strength::Strong)];
    finding.against = Vec::new();
    let when = |answers: &[(&str, &str)]| {
        let record = said(&data, answers);
        let path = walk(&data, &record, TODAY);
        path.view().words_in_force(&finding).0.first().map(|(_, strength)| *strength)
    };
    assert_eq!(when(&[("t-leak", "bad")]), Some(Strength::Strong));
    let test = AnswerTest::AnyOf(vec!["bad".into()]);
    finding.instead = vec![Instead {
        when: Condition::Answer(at(&data, "t-leak"), test),
        speaks_for: vec![(fault, Strength::Hint)],
        against: Vec::new(),
    }];
    let when = |answers: &[(&str, &str)]| {
        let record = said(&data, answers);
        let path = walk(&data, &record, TODAY);
        path.view().words_in_force(&finding).0.first().map(|(_, strength)| *strength)
    };
    assert_eq!(when(&[("t-leak", "bad")]), Some(Strength::Hint));
    assert_eq!(when(&[("t-leak", "good")]), Some(Strength::Strong));
    assert_eq!(when(&[]), Some(Strength::Strong), "what nobody knows changes nothing");
}

/// Of several things ticked each one closes what it closes, as of one choice.
#[test]
fn a_ticked_choice_that_closes_something_closes_it() {
    let kind = json!({ "many": [choice("t-clean"), closing("t-flooded", "trial-run", None), choice("t-salt")] });
    let run = [one("t-start", &json!([choice("yes"), choice("no")]), &json!({}))];
    let data = trial(&[question("t-cowl", &kind, &json!({}))], &run, &json!([]));
    let starts = |ticked: &[&str]| {
        let mut record = Record::new(&data);
        let ticked = ticked.iter().map(|id| (*id).into()).collect();
        record.say(at(&data, "t-cowl"), Said::Value(Value::Many(ticked)));
        on_path(&walk(&data, &record, TODAY), "t-start")
    };
    assert!(starts(&["t-clean"]) && starts(&["t-salt"]));
    assert!(!starts(&["t-flooded"]) && !starts(&["t-flooded", "t-salt"]));
}

/// Whoever ticks that a part could not be seen has not seen it all.
#[test]
fn what_was_ticked_as_not_seen_counts_as_not_seen() {
    let unseen = json!({ "id": "t-covered", "label": "part of it is covered", "unseen": true });
    let kind = json!({ "many": [choice("t-clean"), choice("t-salt"), unseen.clone()] });
    let each = json!({ "each": [choice("t-tan"), unseen.clone()] });
    let data = trial(
        &[
            question("t-cowl", &kind, &json!({})),
            question("t-plugs", &each, &json!({})),
            one("t-leak", &json!([choice("dry"), unseen]), &json!({})),
        ],
        &[one("t-start", &json!([choice("yes"), choice("no")]), &json!({}))],
        &json!([]),
    );
    let seen = |id: &str, value: Value| {
        let mut record = Record::new(&data);
        record.say(at(&data, id), Said::Value(value));
        super::is_seen(&walk(&data, &record, TODAY), at(&data, id))
    };
    let many = |ids: &[&str]| Value::Many(ids.iter().map(|id| (*id).into()).collect());
    assert!(seen("t-cowl", many(&["t-clean"])));
    assert!(!seen("t-cowl", many(&["t-covered"])) && !seen("t-cowl", many(&["t-salt", "t-covered"])));
    assert!(seen("t-plugs", Value::Each(Each::All("t-tan".into()))));
    assert!(!seen("t-plugs", Value::Each(Each::Listed(vec!["t-tan".into(), "t-covered".into()]))));
    assert!(seen("t-leak", Value::One("dry".into())) && !seen("t-leak", Value::One("t-covered".into())));
    assert!(!super::is_seen(&walk(&data, &Record::new(&data), TODAY), at(&data, "t-cowl")), "nothing was said");
}

/// A bound belongs to what it bounds, and a hair's breadth of rounding does not cross it.
#[test]
fn a_bound_is_met_exactly_and_from_one_side() {
    let count = json!({ "count": { "least": 1, "most": 9, "beyond": "It has not." } });
    let data = trial(
        &[question("t-pulls", &count, &json!({}))],
        &[one("t-start", &json!([choice("yes"), choice("no")]), &json!({}))],
        &json!([]),
    );
    let volts = |test: AnswerTest, number: f64| {
        let mut record = Record::new(&data);
        let quantity = crate::units::Quantity::new(number, crate::units::Unit::Volt);
        record.say(at(&data, "start"), Said::Value(Value::One("electric".into())));
        record.say(at(&data, "volts-rest"), Said::Value(Value::Amount(quantity)));
        let path = walk(&data, &record, TODAY);
        path.view().holds(&Condition::Answer(at(&data, "volts-rest"), test))
    };
    let pulls = |test: AnswerTest, number: u32| {
        let mut record = Record::new(&data);
        record.say(at(&data, "t-pulls"), Said::Value(Value::Count(number)));
        walk(&data, &record, TODAY).view().holds(&Condition::Answer(at(&data, "t-pulls"), test))
    };
    for (number, least, most) in
        [(9.5, No, Yes), (9.6 - 1e-6, No, Yes), (9.6, Yes, Yes), (9.6 + 1e-6, Yes, No), (96.0, Yes, No)]
    {
        assert_eq!(volts(AnswerTest::AtLeast(9.6), number), least, "{number} V at least 9.6");
        assert_eq!(volts(AnswerTest::AtMost(9.6), number), most, "{number} V at most 9.6");
    }
    assert_eq!(volts(AnswerTest::AtLeast(9.6), 0.3 * 32.0), Yes, "rounding is no volt");
    for (number, least, most) in [(3, No, Yes), (4, Yes, Yes), (5, Yes, No)] {
        assert_eq!(pulls(AnswerTest::AtLeast(4.0), number), least, "{number} pulls, at least 4");
        assert_eq!(pulls(AnswerTest::AtMost(4.0), number), most, "{number} pulls, at most 4");
    }
}

/// The wet test is read on the cylinders that were low, so many and no more.
#[test]
fn a_wet_reading_is_wanted_of_each_low_cylinder() {
    let data = crate::measure::load_shipped();
    let psi = |number: f64| Some(crate::units::Quantity::new(number, crate::units::Unit::Psi));
    let wanted = |readings: &[f64]| {
        let mut record = Record::new(&data);
        record.say(at(&data, "strokes"), Said::Value(Value::One("four".into())));
        record.say(at(&data, "cylinders"), Said::Value(Value::Count(4)));
        let all = readings.iter().map(|number| psi(*number)).collect();
        record.say(at(&data, "compression"), Said::Value(Value::Readings(all)));
        let path = walk(&data, &record, TODAY);
        let of = |id: &str| super::wanted_entries(&data, at(&data, id), &path.live, TODAY);
        (of("compression"), of("compression-wet"))
    };
    assert_eq!(wanted(&[180.0, 178.0, 182.0, 120.0]), (Some(4), Some(1)));
    assert_eq!(wanted(&[180.0, 110.0, 182.0, 120.0]), (Some(4), Some(2)));
    assert_eq!(wanted(&[180.0, 178.0, 182.0, 179.0]), (Some(4), None), "none is low");
}

/// A hazard this motor does not have is not shown; one it may have is.
#[test]
fn a_hazard_is_shown_unless_the_motor_lacks_it() {
    let mut data = gated();
    let ix = at(&data, "t-oil");
    let hazard = crate::knowledge::HazardIx(0);
    data.hazards[0].when = Some(Condition::Answer(at(&data, "t-leak"), AnswerTest::AnyOf(vec!["bad".into()])));
    data.questions[ix.0].hazards = vec![hazard];
    let shown = |answers: &[(&str, &str)]| {
        let record = said(&data, answers);
        let path = walk(&data, &record, TODAY);
        let mut sitting = super::sitting::Sitting::default();
        sitting.before(&path.view(), ix).with.is_some()
    };
    assert!(shown(&[("t-leak", "bad")]));
    assert!(shown(&[]), "nobody has looked yet");
    assert!(!shown(&[("t-leak", "good")]));
}

/// Where the question the card belongs to is not asked, the card still comes before the run, and once.
#[test]
fn the_card_of_a_run_comes_before_the_first_that_is_asked_of_it() {
    let data = crate::measure::load_shipped();
    let record = Record::new(&data);
    let path = walk(&data, &record, TODAY);
    for card in &data.run_cards {
        let block = data.question(card.before).block.as_ref();
        let mut of_run = data.places().filter(|at| data.question(*at).block.as_ref() == block);
        let later = of_run.rfind(|at| *at > card.before).expect("a run of several looks");
        let mut sitting = super::sitting::Sitting::default();
        let shown = sitting.card(&path.view(), later).expect("its card");
        assert_eq!(shown.before, card.before);
        assert!(sitting.card(&path.view(), later).is_none() && sitting.card(&path.view(), card.before).is_none());
    }
}
