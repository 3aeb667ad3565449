//! What is said between the parts of a visit: what comes, the plan, the page before the drive, the ways on.

use crate::path::Path;
use crate::path::plan::Plan;
use crate::report::visit;
use crate::talk::{Talk, Words};

/// What one more short round takes, and a visit without an end.
pub const TEN_MINUTES: f64 = 10.0;
pub const ALL_DAY: f64 = 1440.0;

/// Says what a stage is about.
pub fn open(talk: &mut dyn Talk, path: &Path<'_>, place: usize) {
    let stage = &path.knowledge.stages[place];
    talk.tell(&Words::StageOpens { title: &stage.title, about: &stage.about });
}

/// The plan of the visit on one screen; the whole list behind a key.
pub fn plan(talk: &mut dyn Talk, path: &Path<'_>, plan: &Plan) {
    talk.tell(&Words::Heading("The plan of your visit".into()));
    talk.tell(&Words::Points(visit::screen(path, plan)));
    if let Ok(typed) = talk.line("Enter goes on; l shows the whole list.")
        && typed.trim().eq_ignore_ascii_case("l")
    {
        talk.tell(&Words::Points(visit::whole_list(path, plan)));
        let _ = talk.line("Enter goes on.");
    }
}

/// The ways on when the plan is done, the first with what ten minutes would best go to.
#[must_use]
pub fn ways_on(path: &Path<'_>, more: &Plan) -> Vec<String> {
    let briefs =
        more.looks.iter().take(3).map(|look| path.view().texts(path.knowledge.question(look.question)).brief);
    vec![
        format!("ten minutes more: {}", briefs.collect::<Vec<_>>().join(", ")),
        "look on at everything that is open".into(),
        "stop here; what is open stays on the list".into(),
    ]
}

/// The page before the drive: what is settled from home, what to bring, what to send the seller.
pub fn leave_home(talk: &mut dyn Talk, path: &Path<'_>, plan: &Plan) {
    for (heading, points) in visit::before(path, plan) {
        talk.tell(&Words::Heading(heading));
        talk.tell(&Words::Points(points));
    }
    let _ = talk.line("A good place to stop (.) and drive. Enter goes on.");
}
