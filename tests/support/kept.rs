//! What an interview comes to, in a line short enough to keep of hundreds: a mark for each part, so that a change tells
//! which part moved. Texts of the data are left out: an edit of words moves nothing.

use std::hash::Hasher;

use serde_json::Value;
use skeg::{Audience, Format, Judgement, Meta, State};
use skeg::{next_planned, plan, render};

use super::knowledge;

/// Minutes the rest of the visit is planned for.
const MINUTES: [f64; 3] = [30.0, 60.0, 90.0];

/// Part and mark, part and mark: the parts of the JSON, and the plans for the rest.
pub fn marks(judgement: &Judgement<'_>) -> String {
    let meta = Meta { name: "kept", date: judgement.path.date, photos_base: None, photos: None };
    let text = render(judgement, &meta, Audience::Buyer, Format::Json).expect("a judgement in JSON");
    let parts: serde_json::Map<String, Value> = serde_json::from_str(&text).expect("JSON");
    let mut line: Vec<String> = parts.iter().map(|(name, part)| format!("{name} {}", mark(&flat(part)))).collect();
    line.extend(MINUTES.map(|minutes| format!("plan-{minutes} {}", mark(&planned(judgement, minutes)))));
    line.join(" ")
}

fn planned(judgement: &Judgement<'_>, minutes: f64) -> String {
    let path = &judgement.path;
    if path.steps.iter().all(|step| step.state != State::Open) {
        return String::new();
    }
    let plan = plan(path, minutes);
    let id = |ix| knowledge().question(ix).id.as_str();
    let looks: Vec<&str> = plan.looks.iter().map(|look| id(look.question)).collect();
    let left: Vec<String> = plan.left_out.iter().map(|(ix, why)| format!("{} {why:?}", id(*ix))).collect();
    format!("{looks:?} {left:?} {:.3} {:?} {}", plan.minutes, next_planned(path, &plan).map(id), plan.holds_core)
}

/// Everything but titles; numbers to six digits, as another mathematics library rounds the last ones otherwise.
fn flat(value: &Value) -> String {
    match value {
        Value::Object(fields) => fields
            .iter()
            .filter(|(name, _)| *name != "title")
            .map(|(name, one)| format!("{name}:{},", flat(one)))
            .collect(),
        Value::Array(all) => all.iter().map(|one| format!("[{}]", flat(one))).collect(),
        Value::Number(number) => format!("{:.5e}", number.as_f64().unwrap_or(f64::NAN)),
        other => other.to_string(),
    }
}

fn mark(text: &str) -> String {
    let mut hasher = fnv::FnvHasher::default();
    hasher.write(text.as_bytes());
    format!("{:06x}", hasher.finish() & 0xFF_FFFF)
}
