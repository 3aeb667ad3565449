//! Opening and closing a stage in talk; and what is settled once the part at home is done.

use std::collections::BTreeSet;

use crate::judge;
use crate::knowledge::{CardLine, Grade, Stage};
use crate::path::{Path, State};
use crate::talk::{Talk, Words};

/// Says what a stage is about, what to have at hand, how long, and the cautions that matter.
pub fn open(talk: &mut dyn Talk, path: &Path<'_>, place: usize) {
    let stage = &path.knowledge.stages[place];
    let minutes = open_minutes(path, place);
    let cautions = path.view().cautions(&stage.cautions);
    talk.tell(&Words::StageOpens {
        title: &stage.title,
        about: &stage.about,
        at_hand: &stage.at_hand,
        minutes,
        cautions: cautions.into_iter().map(|caution| (caution.level, caution.text.as_str())).collect(),
    });
}

fn open_minutes(path: &Path<'_>, place: usize) -> f64 {
    let open = path.steps.iter().filter(|step| step.state == State::Open);
    let questions =
        open.map(|step| path.knowledge.question(step.question)).filter(|question| question.stage == place);
    questions.map(|question| question.minutes + question.wait.as_ref().map_or(0.0, |wait| wait.minutes)).sum()
}

/// Says what was learned in one line; after the last stage at home, what is settled from there.
pub fn close(talk: &mut dyn Talk, path: &Path<'_>, place: usize) {
    let findings = &path.knowledge.findings;
    let tells = |ix: crate::knowledge::QuestionIx| path.knowledge.question(ix).stage == place;
    // A stage that can find nothing, such as the price, has nothing to sum up.
    if findings.iter().any(|finding| finding.check.is_some_and(tells)) {
        talk.tell(&Words::StageCloses(learned(path, place)));
    }
    let stage = &path.knowledge.stages[place];
    if !stage.send_ahead.is_empty() && path.steps.iter().any(|step| step.state == State::Open) {
        leave_home(talk, path, place, stage);
    }
}

/// What the findings of a stage come to.
fn learned(path: &Path<'_>, place: usize) -> String {
    let found = judge::look(path);
    let of_stage: Vec<_> = found
        .places()
        .map(|ix| &path.knowledge.findings[ix.0])
        .filter(|finding| finding.check.is_some_and(|check| path.knowledge.question(check).stage == place))
        .collect();
    let mut bad: Vec<_> = of_stage.iter().filter(|finding| finding.grade != Grade::Good).collect();
    bad.sort_by_key(|finding| finding.grade);
    let good = of_stage.len() - bad.len();
    let signs = |count: usize| super::said::count(count, "good sign");
    match bad.as_slice() {
        [] if good == 0 => "Learned here: nothing for or against the motor yet.".into(),
        [] => format!("Learned here: {}, nothing against the motor.", signs(good)),
        bad => {
            let titles: Vec<&str> = bad.iter().take(3).map(|finding| finding.title.as_str()).collect();
            let more = if bad.len() > 3 { format!(" and {} more", bad.len() - 3) } else { String::new() };
            let good = if good > 0 { format!("; {}", signs(good)) } else { String::new() };
            format!("Learned here: {}{more}{good}.", titles.join("; "))
        }
    }
}

/// What is settled from home, what to bring, what to send the seller, and that this is a good place to stop.
fn leave_home(talk: &mut dyn Talk, path: &Path<'_>, place: usize, stage: &Stage) {
    talk.tell(&Words::Heading("Settled from home".into()));
    let found = judge::look(path);
    let settled: Vec<String> = found
        .places()
        .map(|ix| &path.knowledge.findings[ix.0])
        .filter(|finding| finding.stage <= place)
        .map(|finding| finding.title.clone())
        .collect();
    if settled.is_empty() {
        talk.tell(&Words::Plain(
            "Nothing is settled yet: too little was known. That is no reason not to go.".into(),
        ));
    } else {
        talk.tell(&Words::Points(settled));
    }
    let tools = bring(path);
    if !tools.is_empty() {
        talk.tell(&Words::Heading("Bring".into()));
        talk.tell(&Words::Plain(format!("{}.", tools.join(", "))));
    }
    talk.tell(&Words::Heading("Send the seller, ready to copy".into()));
    let fitting = |lines: &[CardLine]| -> Vec<String> {
        path.view().lines(lines).into_iter().map(|line| line.text.clone()).collect()
    };
    talk.tell(&Words::Points(fitting(&stage.send_ahead)));
    let ready = fitting(&stage.have_ready);
    if !ready.is_empty() {
        talk.tell(&Words::Heading("And to have ready, if it can be done".into()));
        talk.tell(&Words::Points(ready));
    }
    talk.tell(&Words::Plain(
        "This is a good place to stop. Everything from here on is looked at beside the motor: stop with a point, carry on when you stand there.".into(),
    ));
}

/// The tools of the questions ahead, each once, in order of need.
#[must_use]
pub fn bring(path: &Path<'_>) -> Vec<String> {
    let mut seen = BTreeSet::new();
    let ahead = path.knowledge.places().filter(|ix| {
        let open = path.step(*ix).is_some_and(|step| step.state == State::Open);
        let later = matches!(path.live.standing(*ix), crate::answers::Standing::MayApply);
        open || (later && path.ended.iter().all(|ended| !ended.shut.contains(ix)))
    });
    let tools = ahead.flat_map(|ix| path.knowledge.question(ix).tools.iter());
    tools.filter(|tool| seen.insert(tool.to_lowercase())).cloned().collect()
}
