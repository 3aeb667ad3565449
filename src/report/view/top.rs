//! The first page: what is decided and by which story, the money, the next three steps, what nobody looked at, what
//! would change it.

use serde::Serialize;

use crate::judge::{Call, Change, Next};
use crate::knowledge::{Clearer, Grade, QuestionIx, roles};
use crate::path::is_seen;
use crate::path::plan::{beside_the_motor, forbidden};

use super::super::words;
use super::Scene;
use super::story::{Tale, stories};

/// How many things a line names before it counts the rest.
const NAMED: usize = 3;
/// A step of the three says no more than this, in words.
const STEP: usize = 14;

#[derive(Clone, Debug, Serialize)]
pub struct VerdictSaid {
    /// `fair`, `only-if`, `undecided` or `walk-away`.
    pub call: &'static str,
    /// The story or the checks the call rests on.
    pub because: String,
    /// How many more there are like the one that is named.
    pub more: usize,
    /// The shaft does not fit and nothing was decided about it.
    pub fit_open: bool,
    /// "2 more stops, one serious thing and 4 smaller ones".
    pub besides: Option<String>,
    pub checks: usize,
    pub checks_seen: usize,
}

impl VerdictSaid {
    #[must_use]
    pub fn of(scene: &Scene<'_, '_>) -> Self {
        let verdict = &scene.judgement.verdict;
        let tales = stories(scene);
        let graded = |grade: Grade| tales.iter().filter(move |tale| tale.grade() == grade);
        let first =
            |grade: Grade| graded(grade).next().map_or_else(String::new, |tale| tale.lead.title.to_string());
        let (stops, serious, minor) =
            (graded(Grade::Stop).count(), graded(Grade::Serious).count(), graded(Grade::Minor).count());
        let briefs: Vec<String> = verdict.unseen.iter().map(|ix| scene.brief(*ix).to_owned()).collect();
        let (because, more, counts) = match verdict.call {
            Call::WalkAway => (first(Grade::Stop), 0, [stops.saturating_sub(1), serious, minor]),
            Call::Undecided => {
                let named = briefs.len().min(NAMED);
                (named_and(&briefs[..named], briefs.len() - named), briefs.len() - named, [0, serious, minor])
            }
            Call::OnlyIf => {
                let found =
                    verdict.faulty.iter().map(|ix| format!("{}, which a mechanic found faulty", scene.brief(*ix)));
                let because =
                    if serious > 0 { first(Grade::Serious) } else { words::list(&found.collect::<Vec<_>>()) };
                (because, 0, [0, serious.saturating_sub(1), minor])
            }
            Call::Fair => (first(Grade::Minor), 0, [0, 0, minor.saturating_sub(1)]),
        };
        let steps = scene.path().steps.iter().map(|step| step.question);
        let checks: Vec<QuestionIx> = steps.filter(|ix| is_check(scene, *ix)).collect();
        Self {
            call: verdict.call.name(),
            because,
            more,
            fit_open: verdict.undecided_fit.is_some(),
            besides: besides(counts, verdict.call, &first(Grade::Serious)),
            checks_seen: checks.iter().filter(|ix| is_seen(scene.path(), **ix)).count(),
            checks: checks.len(),
        }
    }
}

fn named_and(briefs: &[String], more: usize) -> String {
    if more == 0 { words::list(briefs) } else { format!("{} and {more} more", briefs.join(", ")) }
}

/// "2 more stops, one serious thing and 4 smaller ones"; where nothing else names it, the first serious thing by name.
fn besides([stops, serious, minor]: [usize; 3], call: Call, gravest: &str) -> Option<String> {
    let say = |count: usize, one: &str, many: &str, more: bool| match count {
        0 => None,
        1 => Some(format!("one {}{one}", if more { "more " } else { "" })),
        count => Some(format!("{count} {}{many}", if more { "more " } else { "" })),
    };
    let named = (call == Call::Undecided && serious > 0).then(|| format!("{gravest} (serious)"));
    let unnamed = serious - usize::from(named.is_some());
    let parts: Vec<String> = [
        named.clone(),
        say(stops, "stop", "stops", true),
        say(unnamed, "serious thing", "serious things", call == Call::OnlyIf || named.is_some()),
        say(minor, "smaller thing", "smaller things", call == Call::Fair),
    ]
    .into_iter()
    .flatten()
    .collect();
    (!parts.is_empty()).then(|| words::list(&parts))
}

/// Whether any finding hangs on a question.
fn is_check(scene: &Scene<'_, '_>, ix: QuestionIx) -> bool {
    scene.knowledge().findings.iter().any(|finding| finding.check == Some(ix))
}

/// The money of the first page.
#[derive(Clone, Debug, Serialize)]
pub struct Price {
    pub asking: Option<String>,
    pub offers: Option<OffersSaid>,
    /// The one thing the price hangs on, where a single ceiling would mislead.
    pub hinge: Option<HingeSaid>,
    /// Worth its parts, and no repair.
    pub write_off: bool,
    /// While a stop stands: who clears the first, and how many more there are.
    pub waits: Option<String>,
    /// Why there is no price, where no stop is the reason.
    pub none_because: Option<String>,
    /// The rows of the small table.
    pub rows: Vec<MoneyRow>,
}

#[derive(Clone, Debug, Serialize)]
pub struct OffersSaid {
    pub ceiling: String,
    pub opening: String,
    pub aim: String,
}

/// The ceiling either way.
#[derive(Clone, Debug, Serialize)]
pub struct HingeSaid {
    pub fault: String,
    pub fine: String,
    pub faulty: String,
}

#[derive(Clone, Debug, Serialize)]
pub struct MoneyRow {
    pub what: String,
    pub sum: String,
}

impl Price {
    #[must_use]
    pub fn of(scene: &Scene<'_, '_>) -> Self {
        let money = &scene.judgement.money;
        let exact = |sum: f64| scene.purse.exact(sum);
        let offers = money.offers.map(|offers| OffersSaid {
            ceiling: exact(offers.ceiling),
            opening: exact(offers.opening),
            aim: exact(offers.aim),
        });
        let stops = !scene.judgement.verdict.stops.is_empty();
        let mut price = Self {
            asking: money.asking.map(exact),
            none_because: money.terms.as_ref().err().filter(|_| !stops).map(ToString::to_string),
            waits: waits(scene),
            hinge: money.hinge.map(|hinge| HingeSaid {
                fault: scene.knowledge().faults[hinge.fault.0].title.to_string(),
                fine: exact(hinge.fine),
                faulty: exact(hinge.faulty),
            }),
            write_off: money.write_off,
            offers,
            rows: Vec::new(),
        };
        price.rows = price.table(scene);
        price
    }

    fn table(&self, scene: &Scene<'_, '_>) -> Vec<MoneyRow> {
        let row = |what: &str, sum: String| MoneyRow { what: what.to_owned(), sum };
        let mut rows: Vec<MoneyRow> = self.asking.iter().map(|sum| row("Asked", sum.clone())).collect();
        if let Some(offers) = &self.offers {
            rows.push(row("Start at", offers.opening.clone()));
            rows.push(row("Aim for", offers.aim.clone()));
            rows.push(row("Leave it above", offers.ceiling.clone()));
        }
        if let Some(hinge) = &self.hinge {
            rows.push(row("Leave it above, if that is fine", hinge.fine.clone()));
            rows.push(row("Leave it above, if it is not", hinge.faulty.clone()));
        }
        if self.offers.is_some() {
            let worth = scene.judgement.money.net.filter(|(low, high)| low < high);
            let said = |(low, high): (f64, f64)| scene.purse.span(low, high);
            rows.extend(worth.map(|worth| row("It may turn out to be worth", said(worth))));
        }
        rows
    }
}

/// Who clears the first stop, and how many more wait.
fn waits(scene: &Scene<'_, '_>) -> Option<String> {
    let tales = stories(scene);
    let mut stops = tales.iter().filter(|tale| tale.grade() == Grade::Stop);
    let first = stops.next()?;
    let others = stops.count();
    let who = first.clearer().map_or("", clearer_said);
    let more = match others {
        0 => String::new(),
        1 => " One more stop waits behind it.".to_owned(),
        count => format!(" {count} more stops wait behind it."),
    };
    Some(format!("No price before {who} has cleared the first stop.{more}"))
}

/// Who it is, in words.
#[must_use]
pub fn clearer_said(clearer: Clearer) -> &'static str {
    match clearer {
        Clearer::Police => "the police",
        Clearer::Office => "an office or the maker's dealer",
        Clearer::Workshop => "a workshop",
        Clearer::Seller => "the seller",
        Clearer::OtherBoat => "another boat",
    }
}

/// One of the next three steps.
#[derive(Clone, Debug, Serialize)]
pub struct Step {
    /// "Check", "Ask", "Pay for".
    pub act: &'static str,
    pub what: String,
}

/// Check, ask, pay for: each in a line.
#[must_use]
pub fn steps(scene: &Scene<'_, '_>) -> Vec<Step> {
    let tales = stories(scene);
    let all = [check_step(scene), ask_step(scene, &tales), pay_step(scene, &tales)];
    all.into_iter().flatten().collect()
}

fn check_step(scene: &Scene<'_, '_>) -> Option<Step> {
    let checks = &scene.judgement.checks;
    // While a stop stands, no other look is worth taking: some of them would start a motor that must not run.
    if !scene.judgement.verdict.stops.is_empty() {
        return None;
    }
    // What only a workshop or an office can tell, what the seller refused or a missing tool forbids is nobody's next
    // look.
    let path = scene.path();
    let can_be_had =
        |next: &&Next| beside_the_motor(path, next.question) && forbidden(path, next.question).is_none();
    let next = checks.first.iter().chain(&checks.ranked).find(can_be_had)?;
    let minutes = words::grouped(next.minutes.ceil());
    Some(Step { act: "Check", what: format!("{}, about {minutes} min", scene.brief(next.question)) })
}

/// Of the story that weighs most: whoever can clear it is asked, else the seller.
fn ask_step(scene: &Scene<'_, '_>, tales: &[Tale<'_, '_>]) -> Option<Step> {
    let first = tales.first()?;
    let whom = match first.clearer() {
        Some(Clearer::Police) => "the police, from somewhere else, about this",
        Some(Clearer::Office) => "the office that gives papers, or a dealer, about this",
        Some(Clearer::OtherBoat) => "yourself whether it has to be this boat",
        _ => "the seller about this",
    };
    let about =
        first.lead.check.map_or_else(|| scene.knowledge().story_title(first.story), |check| scene.brief(check));
    Some(Step { act: "Ask", what: shortened(&format!("{whom}: {about}")) })
}

fn pay_step(scene: &Scene<'_, '_>, tales: &[Tale<'_, '_>]) -> Option<Step> {
    let money = &scene.judgement.money;
    if tales.iter().any(|tale| tale.grade() == Grade::Stop) {
        return Some(Step { act: "Pay for", what: "nothing before the first stop is cleared".to_owned() });
    }
    let (worth, fee) = money.look.zip(money.fee)?;
    let sum = scene.purse.exact(if fee.typical { words::rounded(fee.sum) } else { fee.sum });
    let missing = left_to_a_workshop(scene);
    let what = if !missing.is_empty() {
        format!("a workshop, {sum}, for what nobody saw: {}", words::list(&missing))
    } else if money.look_pays() == Some(true) {
        format!("a workshop's look, {sum}: it may save up to {}", scene.purse.about(worth))
    } else {
        format!("nothing yet: a workshop's look at {sum} would not pay for itself")
    };
    Some(Step { act: "Pay for", what: shortened(&what) })
}

/// Core looks that nobody took and that a workshop can: not whose motor it is, not its number, and not a start for
/// which one only has to come back when it has stood overnight.
fn left_to_a_workshop(scene: &Scene<'_, '_>) -> Vec<String> {
    let own = [roles::OWNERSHIP.any, roles::SERIAL_PLATE.any, roles::COLD_START.any]
        .map(|role| scene.knowledge().ask(role));
    let unseen = scene.judgement.verdict.unseen.iter().filter(|ix| !own.contains(ix));
    unseen.map(|ix| scene.brief(*ix).to_owned()).collect()
}

/// No more words than a step has.
fn shortened(text: &str) -> String {
    let all: Vec<&str> = text.split_whitespace().collect();
    if all.len() <= STEP { text.to_owned() } else { format!("{} …", all[..STEP].join(" ")) }
}

/// What nobody looked at that could change the decision.
#[must_use]
pub fn unseen(scene: &Scene<'_, '_>) -> Option<String> {
    let checks = &scene.judgement.checks;
    let core = scene.judgement.verdict.unseen.iter().copied();
    let listed = checks.first.iter().chain(&checks.ranked).map(|next| next.question);
    let mut all: Vec<QuestionIx> = Vec::new();
    for ix in core.chain(listed) {
        if !all.contains(&ix) {
            all.push(ix);
        }
    }
    let briefs: Vec<String> = all.iter().take(NAMED).map(|ix| scene.brief(*ix).to_owned()).collect();
    (!briefs.is_empty()).then(|| words::list(&briefs))
}

/// One other answer, and what would follow from it.
#[derive(Clone, Debug, Serialize)]
pub struct ChangeSaid {
    pub brief: String,
    pub answer: String,
    /// `fair`, `only-if`, `undecided` or `walk-away`.
    pub call: &'static str,
    /// The ceiling that would follow; none where no price can be named.
    pub ceiling: Option<String>,
    pub leave_it: bool,
    /// It was looked at, and would have to be wrong.
    pub seen: bool,
}

#[must_use]
pub fn changes(scene: &Scene<'_, '_>) -> Vec<ChangeSaid> {
    let said = |change: &Change| {
        let question = scene.knowledge().question(change.question);
        ChangeSaid {
            brief: words::capital(&question.brief),
            answer: scene.value_in_short(question, &change.to),
            call: change.call.name(),
            ceiling: change.ceiling.map(|ceiling| scene.purse.exact(ceiling)),
            leave_it: change.call == Call::WalkAway,
            seen: is_seen(scene.path(), change.question),
        }
    };
    let mut all: Vec<ChangeSaid> = Vec::new();
    for change in scene.judgement.changes.most.iter().map(said) {
        // A second round of the same readings would say the same.
        let twice = |other: &ChangeSaid| (&other.answer, &other.ceiling) == (&change.answer, &change.ceiling);
        if !all.iter().any(twice) {
            all.push(change);
        }
    }
    all.truncate(NAMED);
    // What nobody has looked at yet comes first.
    all.sort_by_key(|change| change.seen);
    all
}

/// Open checks that could still bring a stop, in a line.
#[must_use]
pub fn may_stop(scene: &Scene<'_, '_>) -> Option<String> {
    let all = &scene.judgement.changes.stops;
    let named = all.len().min(NAMED);
    let briefs: Vec<String> = all[..named].iter().map(|ix| scene.brief(*ix).to_owned()).collect();
    (named > 0).then(|| named_and(&briefs, all.len() - named))
}

/// The screen at the end of an interview: at most 75 words, the rest behind a key.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct VerdictScreen {
    pub decision: String,
    /// One line, or why there is no price.
    pub money: Option<String>,
    /// "Check: gear oil, about 5 min".
    pub next: Vec<String>,
    pub unseen: Option<String>,
    /// The rest of the first page, a line each.
    pub rest: Vec<String>,
}
