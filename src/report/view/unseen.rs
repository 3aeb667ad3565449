//! What was not checked and why: core checks first, then the rest by stage, early ends, and what stays possible.

use serde::Serialize;

use crate::answers::{Standing, Value};
use crate::knowledge::{Grade, QuestionIx};
use crate::path::{State, Step, is_seen};

use super::super::words;
use super::{Scene, Seen};

/// So many findings that nobody can rule out are named.
const LEFT: usize = 6;
/// So many questions that were not asked are named.
const OPEN: usize = 30;

/// Everything nobody has seen.
#[derive(Clone, Debug, Serialize)]
pub struct Unseen {
    pub core: Vec<Seen>,
    pub stages: Vec<StageGaps>,
    /// Not dealt with yet, in one line.
    pub open: Option<String>,
    pub open_count: usize,
    pub ended: Vec<EndSaid>,
    /// Read as their untold choice.
    pub untold: Vec<Seen>,
    pub stops_left: Option<String>,
}

/// What was left out in one part, by name.
#[derive(Clone, Debug, Serialize)]
pub struct StageGaps {
    pub stage: String,
    pub briefs: String,
}

/// What came out well in one part of the motor.
#[derive(Clone, Debug, Serialize)]
pub struct GoodStage {
    pub stage: String,
    pub fine: usize,
    pub seen: usize,
}

/// An early end: what was said, why it ends there, and what it shut.
#[derive(Clone, Debug, Serialize)]
pub struct EndSaid {
    pub brief: String,
    pub said: String,
    pub because: String,
    pub shut: Option<String>,
}

impl Unseen {
    pub(super) fn of(scene: &Scene<'_, '_>) -> Self {
        let core = &scene.judgement.verdict.unseen;
        let steps = || {
            scene.path().steps.iter().filter(|step| !core.contains(&step.question) && scene.may_tell(step.question))
        };
        let open: Vec<String> = steps()
            .filter(|step| step.state == State::Open && !reads_as_untold(scene, step.question))
            .map(|step| scene.brief(step.question).to_owned())
            .collect();
        let untold = scene.path().steps.iter().filter(|step| reads_as_untold(scene, step.question));
        Self {
            core: core.iter().map(|ix| gap(scene, *ix)).collect(),
            stages: by_stage(scene, steps()),
            open_count: open.len(),
            open: (!open.is_empty()).then(|| open[..open.len().min(OPEN)].join(", ")),
            ended: ends(scene),
            untold: untold.filter_map(|step| scene.seen(step.question)).collect(),
            stops_left: left(scene, Grade::Stop),
        }
    }
}

/// Whether a question without a value is read the careful way; it is told there and not again.
fn reads_as_untold(scene: &Scene<'_, '_>, ix: QuestionIx) -> bool {
    matches!(scene.path().live.standing(ix), Standing::Silent(Some(_)))
}

/// An answer that shows nothing is quoted; otherwise the reason why there is none.
fn gap(scene: &Scene<'_, '_>, ix: QuestionIx) -> Seen {
    let question = scene.knowledge().question(ix);
    let said = match scene.path().live.standing(ix) {
        Standing::Value(value) => format!("\"{}\", which shows nothing", scene.value_said(question, value)),
        _ => scene.why_silent(ix),
    };
    Seen { brief: words::capital(&question.brief), said, taken_as: None, typed: false }
}

/// What was answered with "can't tell" or "not done", and answers that show nothing.
fn by_stage<'p>(scene: &Scene<'_, '_>, steps: impl Iterator<Item = &'p Step>) -> Vec<StageGaps> {
    let mut stages: Vec<(usize, Vec<String>)> = Vec::new();
    for step in steps {
        let shows_nothing =
            step.state == State::Value && is_check(scene, step.question) && !is_seen(scene.path(), step.question);
        if !(shows_nothing || matches!(step.state, State::CantTell | State::NotDone))
            || reads_as_untold(scene, step.question)
        {
            continue;
        }
        let question = scene.knowledge().question(step.question);
        match stages.last_mut().filter(|(stage, _)| *stage == question.stage) {
            Some((_, briefs)) => briefs.push(question.brief.to_string()),
            None => stages.push((question.stage, vec![question.brief.to_string()])),
        }
    }
    let said = |(stage, briefs): (usize, Vec<String>)| StageGaps {
        stage: words::before_colon(&scene.knowledge().stages[stage].title).to_owned(),
        briefs: briefs.join(", "),
    };
    stages.into_iter().map(said).collect()
}

/// Of what was looked at in each part, how much came out well.
pub(super) fn good_stages(scene: &Scene<'_, '_>) -> Vec<GoodStage> {
    let knowledge = scene.knowledge();
    let fired = |ix: QuestionIx, good: bool| {
        scene.judgement.findings.fired.iter().any(|fired| {
            let finding = &knowledge.findings[fired.finding.0];
            finding.check == Some(ix) && (finding.grade == Grade::Good) == good && (good || !fired.cleared)
        })
    };
    let mut stages: Vec<GoodStage> = Vec::new();
    for step in scene.path().steps.iter().filter(|step| knowledge.question(step.question).follows.is_none()) {
        let (good, bad) = (fired(step.question, true), fired(step.question, false));
        if !(good || bad) || !is_seen(scene.path(), step.question) {
            continue;
        }
        let title = &knowledge.stage_of(step.question).title;
        if stages.last().is_none_or(|last| last.stage != title.as_str()) {
            stages.push(GoodStage { stage: title.to_string(), fine: 0, seen: 0 });
        }
        if let Some(last) = stages.last_mut() {
            last.seen += 1;
            last.fine += usize::from(!bad);
        }
    }
    stages.retain(|stage| stage.fine > 0);
    stages
}

/// Whether any finding hangs on a question.
pub(super) fn is_check(scene: &Scene<'_, '_>, ix: QuestionIx) -> bool {
    scene.knowledge().findings.iter().any(|finding| finding.check == Some(ix))
}

fn ends(scene: &Scene<'_, '_>) -> Vec<EndSaid> {
    let said = scene.path().ended.iter().map(|ended| {
        let question = scene.knowledge().question(ended.after);
        let shut: Vec<String> = ended.shut.iter().map(|ix| scene.brief(*ix).to_owned()).collect();
        EndSaid {
            brief: words::capital(&question.brief),
            said: match &ended.choice {
                Some(choice) => scene.value_said(question, &Value::One(choice.clone())),
                None => scene.seen(ended.after).map_or_else(String::new, |seen| seen.said),
            },
            because: words::sentence(&ended.because),
            shut: (!shut.is_empty()).then(|| words::list(&shut)),
        }
    });
    said.collect()
}

/// Findings of a grade that nobody can rule out, in words.
fn left(scene: &Scene<'_, '_>, grade: Grade) -> Option<String> {
    let findings = scene.judgement.findings.not_ruled_out.iter().map(|ix| &scene.knowledge().findings[ix.0]);
    let titles: Vec<&str> =
        findings.filter(|finding| finding.grade == grade).map(|finding| finding.title.as_str()).collect();
    let named = titles.len().min(LEFT);
    let more = if titles.len() > named { format!("; and {} more", titles.len() - named) } else { String::new() };
    (!titles.is_empty()).then(|| format!("{}{more}", titles[..named].join("; ")))
}
