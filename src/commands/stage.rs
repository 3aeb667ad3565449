//! What is said between the parts of a visit: what comes, the plan, the page before the drive, the ways on.

use crate::path::Path;
use crate::path::plan::{LeftOut, Plan};
use crate::report::visit;
use crate::talk::{Leave, Talk, Words};

/// What one more short round takes, and a visit without an end.
pub const TEN_MINUTES: f64 = 10.0;
pub const ALL_DAY: f64 = 1440.0;

/// Says what a stage is about.
pub fn open(talk: &mut dyn Talk, path: &Path<'_>, place: usize) {
    let stage = &path.knowledge.stages[place];
    talk.tell(&Words::StageOpens { title: &stage.title, about: &stage.about });
}

/// The plan of the visit on one screen; the whole list behind a key.
///
/// # Errors
/// How the person left.
pub fn plan(talk: &mut dyn Talk, path: &Path<'_>, plan: &Plan) -> Result<(), Leave> {
    talk.tell(&Words::Heading("The plan of your visit".into()));
    talk.tell(&Words::Points(visit::screen(path, plan)));
    if go_on(talk, "Enter goes on; l shows the whole list.", Some("l"))? {
        talk.tell(&Words::Heading("The whole list".into()));
        talk.tell(&Words::Points(visit::whole_list(path, plan)));
        go_on(talk, "Enter goes on.", None)?;
    }
    Ok(())
}

/// A way on when the plan is done.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WayOn {
    TenMinutes,
    AllDay,
    /// A tool turned up that was not reckoned with.
    Tools,
    Stop,
}

/// The ways on when the plan is done, in words; the first says what ten minutes would best go to. Only stopping is
/// left where nothing can be asked, in ten minutes or in a day, and no tool was wanting.
#[must_use]
pub fn ways_on(path: &Path<'_>, more: &Plan, (in_ten, in_a_day): (bool, bool)) -> Vec<(WayOn, String)> {
    let mut ways = Vec::new();
    if in_ten {
        let first = more.looks.iter().take(3).map(|look| path.knowledge.question(look.question));
        let briefs: Vec<&str> = first.map(|question| path.view().texts(question).brief).collect();
        ways.push((WayOn::TenMinutes, format!("ten minutes more: {}", briefs.join(", "))));
    }
    if in_a_day {
        ways.push((WayOn::AllDay, "look on at everything that is open".into()));
    }
    if more.left_out.iter().any(|(_, why)| matches!(why, LeftOut::Tool(_))) {
        ways.push((WayOn::Tools, "a tool is here after all: say which".into()));
    }
    ways.push((WayOn::Stop, "stop here; what is open stays on the list".into()));
    ways
}

/// Before a stage that asks what the seller knows: the message to send, so that there is something to answer with.
///
/// # Errors
/// How the person left.
pub fn ask_the_seller(talk: &mut dyn Talk, path: &Path<'_>, place: usize) -> Result<(), Leave> {
    let page = visit::to_the_seller(path, &path.knowledge.stages[place..=place]);
    if page.is_empty() {
        return Ok(());
    }
    tell(talk, page);
    go_on(talk, "A good place to stop (.) until the seller has answered. Enter goes on.", None).map(|_| ())
}

/// The page before the drive: what is settled from home, what to bring.
///
/// # Errors
/// How the person left.
pub fn leave_home(talk: &mut dyn Talk, path: &Path<'_>, plan: &Plan) -> Result<(), Leave> {
    tell(talk, visit::at_the_door(path, plan));
    go_on(talk, "A good place to stop (.) and drive. Enter goes on.", None).map(|_| ())
}

fn tell(talk: &mut dyn Talk, page: visit::Page) {
    for (heading, points) in page {
        talk.tell(&Words::Heading(heading));
        talk.tell(&Words::Points(points));
    }
}

/// Waits for Enter, or for the one key that shows more: whether it was that. Anything else is no answer to what
/// comes next, and is not taken for one.
///
/// # Errors
/// How the person left.
pub fn go_on(talk: &mut dyn Talk, words: &str, more: Option<&str>) -> Result<bool, Leave> {
    loop {
        match talk.line(words)?.trim() {
            "" => return Ok(false),
            typed if more.is_some_and(|more| typed.eq_ignore_ascii_case(more)) => return Ok(true),
            _ => talk.tell(&Words::Plain("Only Enter counts here, so that nothing is taken for an answer.".into())),
        }
    }
}
