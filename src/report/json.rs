//! The judgement as JSON, in house units: psi, in, hp, mph, V, h and fractions.
//!
//! The keys are a contract; `--for` leaves out what a paper for that reader must not hold.

use serde::Serialize;
use serde_json::{Map, Value, json};

use crate::judge::{Fired, Judgement};
use crate::knowledge::{FindingIx, Question, Telling};
use crate::measure::{Figure, Outcome};
use crate::path::plan::{Look, spent, visit_minutes};
use crate::path::{Path, State};

use super::view::is_farewell;
use super::{Audience, Meta};

/// Renders the judgement for a reader, indented, ending with a line end.
///
/// # Errors
/// The judgement can't be written as JSON; it names why.
pub fn render(judgement: &Judgement<'_>, meta: &Meta<'_>, audience: Audience) -> Result<String, String> {
    let mut all = Map::new();
    all.insert("name".into(), json!(meta.name));
    all.insert("date".into(), json!(judgement.path.date.to_string()));
    let buyer = audience == Audience::Buyer;
    if audience != Audience::Seller {
        all.insert("verdict".into(), verdict(judgement));
    }
    if audience == Audience::Seller && is_farewell(judgement) {
        // Not even which answers there were: they would tell the reason.
        return pretty(&Value::Object(all));
    }
    all.insert("path".into(), path(&judgement.path, buyer));
    all.insert("ended".into(), ended(&judgement.path));
    all.insert("measures".into(), measures(judgement, buyer));
    all.insert("findings".into(), findings(judgement, audience == Audience::Seller));
    if audience != Audience::Seller {
        let ids = judgement.findings.not_ruled_out.iter().map(|ix| finding_id(judgement, *ix));
        all.insert("not_ruled_out".into(), ids.collect());
    }
    if buyer {
        all.insert("chances".into(), chances(judgement));
        all.insert("money".into(), money(judgement));
        all.insert("plan".into(), plan(judgement));
        all.insert("would_change".into(), would_change(judgement));
        all.insert("next".into(), next(judgement));
    }
    pretty(&Value::Object(all))
}

fn pretty(value: &impl Serialize) -> Result<String, String> {
    serde_json::to_string_pretty(value).map(|text| text + "\n").map_err(|error| error.to_string())
}

fn verdict(judgement: &Judgement<'_>) -> Value {
    json!({ "call": judgement.verdict.call.name(), "because": judgement.verdict.because(&judgement.path) })
}

/// The questions on the path; what the buyer keeps to himself is left out for other readers.
fn path(path: &Path<'_>, buyer: bool) -> Value {
    let told = |question: &Question| buyer || !question.private;
    let steps = path.steps.iter().filter(|step| told(path.knowledge.question(step.question)));
    steps
        .map(|step| {
            let value = match (step.state, &path.record.answer(step.question).said) {
                (State::Value, Some(crate::answers::Said::Value(value))) => json!(value.to_text()),
                _ => Value::Null,
            };
            json!({
                "id": path.knowledge.question(step.question).id,
                "stage": path.knowledge.stage_of(step.question).id,
                "state": step.state.name(),
                "value": value,
            })
        })
        .collect()
}

fn ended(path: &Path<'_>) -> Value {
    let ends = path.ended.iter().map(|ended| {
        json!({
            "stage": path.knowledge.stage_of(ended.after).id,
            "after": path.knowledge.question(ended.after).id,
            "closes": ended.closes,
            "because": ended.because,
        })
    });
    ends.collect()
}

/// All measures; one that reads what the buyer keeps to himself is left out for other readers.
fn measures(judgement: &Judgement<'_>, buyer: bool) -> Value {
    let mut all = Map::new();
    for outcome in judgement.measures.iter().filter(|outcome| buyer || !is_private(judgement, outcome)) {
        let about = judgement.knowledge().measure(outcome.id);
        let value = match outcome.figure {
            Some(Figure::Number(number)) => json!(number),
            Some(Figure::Word(word)) => json!(word),
            None => Value::Null,
        };
        let unit = if about.unit.is_empty() { Value::Null } else { json!(about.unit) };
        all.insert(about.name.into(), json!({ "value": value, "unit": unit, "how": outcome.how }));
    }
    Value::Object(all)
}

fn is_private(judgement: &Judgement<'_>, outcome: &Outcome) -> bool {
    let knowledge = judgement.knowledge();
    knowledge.measure(outcome.id).reads.iter().any(|ix| knowledge.question(*ix).private)
}

fn findings(judgement: &Judgement<'_>, for_seller: bool) -> Value {
    let knowledge = judgement.knowledge();
    let told = |fired: &&Fired| !for_seller || knowledge.findings[fired.finding.0].seller == Telling::Told;
    let fired = judgement.findings.fired.iter().filter(told).map(|fired| {
        let finding = &knowledge.findings[fired.finding.0];
        let answers: Vec<_> = fired.answers.iter().map(|ix| &knowledge.question(*ix).id).collect();
        let mut one = json!({
            "id": finding.id,
            "grade": finding.grade.name(),
            "title": finding.title,
            "answers": answers,
            "basis": finding.basis.name(),
        });
        if fired.cleared {
            one["cleared"] = json!(true);
        }
        one
    });
    fired.collect()
}

fn finding_id(judgement: &Judgement<'_>, ix: FindingIx) -> Value {
    json!(judgement.knowledge().findings[ix.0].id)
}

fn chances(judgement: &Judgement<'_>) -> Value {
    let knowledge = judgement.knowledge();
    let each = judgement.chances.iter();
    Value::Object(
        each.map(|chance| (knowledge.faults[chance.fault.0].id.to_string(), json!(chance.chance))).collect(),
    )
}

fn money(judgement: &Judgement<'_>) -> Value {
    let money = &judgement.money;
    let cost = money.cost.as_ref().map(|cost| {
        json!({
            "mean": cost.mean(),
            "p10": cost.quantile(0.1),
            "p50": cost.quantile(0.5),
            "p90": cost.quantile(0.9),
        })
    });
    json!({
        "value": money.value.as_ref().map(crate::judge::Value::mean),
        "ordinary": money.ordinary,
        "cost": cost,
        "opening": money.offers.map(|offers| offers.opening),
        "aim": money.offers.map(|offers| offers.aim),
        "ceiling": money.offers.map(|offers| offers.ceiling),
        "know_all": money.know_all,
        "look": money.look,
        "least": money.how_sure.map(|sure| sure.least),
        "most": money.how_sure.map(|sure| sure.most),
        "net_p10": money.net.map(|(low, _)| low),
        "net_p90": money.net.map(|(_, high)| high),
        "write_off": money.net.map(|_| money.write_off),
        "hinge": money.hinge.map(|hinge| {
            let fault = &judgement.knowledge().faults[hinge.fault.0].id;
            json!({ "fault": fault, "fine": hinge.fine, "faulty": hinge.faulty })
        }),
        "waterfall": waterfall(judgement),
    })
}

/// The steps from adverts to the ceiling; null where there is no single ceiling.
fn waterfall(judgement: &Judgement<'_>) -> Value {
    let steps = &judgement.money.waterfall;
    if steps.is_empty() {
        return Value::Null;
    }
    steps.iter().map(|step| json!({ "what": step.what.name(judgement.knowledge()), "sum": step.sum })).collect()
}

fn would_change(judgement: &Judgement<'_>) -> Value {
    let each = judgement.changes.most.iter().map(|change| {
        json!({
            "id": judgement.knowledge().question(change.question).id,
            "to": change.to.to_text(),
            "call": change.call.name(),
            "ceiling": change.ceiling,
        })
    });
    each.collect()
}

/// The looks of the visit that are left, for the minutes there are.
fn plan(judgement: &Judgement<'_>) -> Value {
    let path = &judgement.path;
    let left = (visit_minutes(path) - spent(path)).max(0.0);
    let looks = crate::path::plan::plan(path, left).looks;
    let one = |look: &Look| json!({ "id": path.knowledge.question(look.question).id, "minutes": look.minutes });
    looks.iter().map(one).collect()
}

fn next(judgement: &Judgement<'_>) -> Value {
    let all = judgement.checks.first.iter().chain(&judgement.checks.ranked);
    all.map(|next| {
        json!({
            "id": judgement.knowledge().question(next.question).id,
            "worth": next.worth,
            "minutes": next.minutes,
        })
    })
    .collect()
}
