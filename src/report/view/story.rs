//! Stories: everything that stands against a motor, each trouble told once.
//!
//! Start at [`stories`]. Which finding belongs to which story is a fact of the question data
//! ([`crate::knowledge::Story`]); here they get their lead, their cost and their order.

use crate::answers::{Outcome, Settled};
use crate::judge::{Chance, Fired, Line, grade_of, overtaken};
use crate::knowledge::{Clearer, Finding, Grade, ItemIx, QuestionIx, Story, Strength};

use super::super::words;
use super::{Scene, Seen};

/// One trouble of a motor, with all that was found of it.
#[derive(Clone, Debug)]
pub struct Tale<'s, 'k> {
    pub story: Story,
    /// What fired, the lead first, the rest in the order of the data.
    pub fired: Vec<&'s Fired>,
    /// The finding that heads it.
    pub lead: &'k Finding,
    /// How grave it is now, with what a mechanic found and priced.
    grade: Grade,
    pub chance: Option<&'s Chance>,
    /// What it may cost, where costs are known.
    pub line: Option<&'s Line>,
    /// The story in which the same repair stands already, or a larger one that takes it in.
    pub paid_with: Option<Story>,
}

impl<'s, 'k> Tale<'s, 'k> {
    #[must_use]
    pub fn grade(&self) -> Grade {
        self.grade
    }

    /// Who clears it, while it is a stop.
    #[must_use]
    pub fn clearer(&self) -> Option<Clearer> {
        (self.grade() == Grade::Stop).then(|| self.lead.clears_by.unwrap_or(Clearer::Workshop))
    }

    /// Chance to be paid times what it costs on average.
    #[must_use]
    pub fn weight(&self) -> f64 {
        self.line.map_or(0.0, |line| line.chance * line.size.mean())
    }

    /// Whether anything about safety stands in it.
    #[must_use]
    pub fn is_safety(&self, scene: &Scene<'_, '_>) -> bool {
        self.findings(scene).any(|finding| finding.safety)
    }

    pub fn findings<'f>(&'f self, scene: &Scene<'_, 'k>) -> impl Iterator<Item = &'k Finding> + use<'f, 's, 'k> {
        let knowledge = scene.knowledge();
        self.fired.iter().map(move |fired| &knowledge.findings[fired.finding.0])
    }

    /// The answers behind all of it: those of the lead first, both parts in asking order.
    #[must_use]
    pub fn answers(&self) -> Vec<QuestionIx> {
        lead_then_rest(&self.fired)
    }
}

/// The story a finding belongs to on this motor: its own, or where its words are others here (two low cylinders that
/// share a head), that of the fault it then speaks for most strongly.
fn story_here(scene: &Scene<'_, '_>, fired: &Fired) -> Story {
    let finding = &scene.knowledge().findings[fired.finding.0];
    let story = scene.knowledge().story_of(fired.finding);
    let (words, _) = scene.path().view().words_in_force(finding);
    let strength = |of: &Story| {
        let own = words.iter().filter(|(fault, _)| *of == Story::Fault(*fault)).map(|(_, strength)| *strength);
        own.max()
    };
    let most = words.iter().max_by_key(|(_, strength)| *strength).map(|(fault, _)| Story::Fault(*fault));
    let changed = words != finding.speaks_for.as_slice();
    let is_fault = matches!(story, Story::Fault(_));
    most.filter(|most| changed && is_fault && strength(most) > strength(&story)).unwrap_or(story)
}

/// The answers behind findings: those of the first, then those of the others, each in asking order. A line is cut at
/// its end, and what the paper is about must not be what is cut.
pub fn lead_then_rest(fired: &[&Fired]) -> Vec<QuestionIx> {
    let (lead, rest) = fired.split_at(fired.len().min(1));
    let mut all: Vec<QuestionIx> = Vec::new();
    for part in [lead, rest] {
        let mut answers: Vec<QuestionIx> = part.iter().flat_map(|fired| fired.answers.iter().copied()).collect();
        answers.sort_unstable();
        answers.dedup();
        answers.retain(|ix| !all.contains(ix));
        all.append(&mut answers);
    }
    all
}

/// All stories that stand, in the order they are told: stops that only an office or the seller clears, other stops,
/// then serious ones, then smaller ones; within each the dearest first.
#[must_use]
pub fn stories<'s, 'k>(scene: &Scene<'s, 'k>) -> Vec<Tale<'s, 'k>> {
    let mut tales: Vec<Tale<'s, 'k>> = Vec::new();
    for fired in &scene.judgement.findings.fired {
        let finding = &scene.knowledge().findings[fired.finding.0];
        if finding.grade == Grade::Good || fired.cleared {
            continue;
        }
        let story = story_here(scene, fired);
        match tales.iter_mut().find(|tale| tale.story == story) {
            Some(tale) => tale.fired.push(fired),
            None => tales.push(Tale {
                story,
                fired: vec![fired],
                lead: finding,
                grade: finding.grade,
                chance: None,
                line: None,
                paid_with: None,
            }),
        }
    }
    for tale in &mut tales {
        lead_first(scene, tale);
        let fault = scene.knowledge().story_fault(tale.story);
        tale.chance = fault.and_then(|fault| scene.judgement.chances.iter().find(|chance| chance.fault == fault));
        tale.line =
            item_of(scene, tale).and_then(|item| scene.judgement.money.lines.iter().find(|line| line.item == item));
    }
    tales.sort_by(|a, b| {
        rank(a).cmp(&rank(b)).then(b.weight().total_cmp(&a.weight())).then(a.lead.id.cmp(&b.lead.id))
    });
    pay_once(scene, &mut tales);
    tales
}

fn rank(tale: &Tale<'_, '_>) -> u8 {
    match (tale.grade(), tale.clearer()) {
        (Grade::Stop, Some(Clearer::Police | Clearer::Office | Clearer::Seller | Clearer::OtherBoat)) => 0,
        (Grade::Stop, _) => 1,
        (Grade::Serious, _) => 2,
        _ => 3,
    }
}

/// The gravest finding heads a story; of equal ones the hardest to clear, then the one that speaks most strongly.
fn lead_first<'k>(scene: &Scene<'_, 'k>, tale: &mut Tale<'_, 'k>) {
    let knowledge = scene.knowledge();
    let fault = knowledge.story_fault(tale.story);
    let key = |fired: &&Fired| {
        let finding = &knowledge.findings[fired.finding.0];
        let hard = match finding.clears_by {
            Some(Clearer::Police | Clearer::Office) => 0,
            Some(Clearer::Workshop) | None => 1,
            Some(Clearer::Seller | Clearer::OtherBoat) => 2,
        };
        let words = finding.speaks_for.iter().filter(|(about, _)| fault.is_none_or(|fault| fault == *about));
        let strength: Option<Strength> = words.map(|(_, strength)| *strength).max();
        (grade_of(scene.path(), fired), hard, std::cmp::Reverse(strength), fired.finding)
    };
    if let Some(lead) = tale.fired.iter().copied().min_by_key(key) {
        tale.fired.retain(|fired| fired.finding != lead.finding);
        tale.fired.insert(0, lead);
        tale.lead = &knowledge.findings[lead.finding.0];
        tale.grade = grade_of(scene.path(), lead);
    }
}

/// What has to be paid for a story: the repair of its fault, what it makes necessary to buy, or the repair of the
/// fault its findings speak for most strongly.
fn item_of(scene: &Scene<'_, '_>, tale: &Tale<'_, '_>) -> Option<ItemIx> {
    let knowledge = scene.knowledge();
    match tale.story {
        Story::Fault(fault) => Some(knowledge.faults[fault.0].item),
        Story::Item(item) => Some(item),
        Story::Named(_) | Story::Alone(_) => {
            let bought = tale.findings(scene).find_map(|finding| finding.costs.first().copied());
            let words = tale.findings(scene).flat_map(|finding| finding.speaks_for.iter());
            bought.or_else(|| {
                words.max_by_key(|(_, strength)| *strength).map(|(fault, _)| knowledge.faults[fault.0].item)
            })
        }
    }
}

/// From here on a larger repair is likely enough to say that a smaller one is paid with it.
const LIKELY: f64 = 0.5;

/// A repair that stands in an earlier story, or a likely larger one that takes it in, is not counted again.
fn pay_once(scene: &Scene<'_, '_>, tales: &mut [Tale<'_, '_>]) {
    let items = &scene.knowledge().items;
    for place in 0..tales.len() {
        let (before, rest) = tales.split_at_mut(place);
        let Some(item) = rest[0].line.map(|line| line.item) else { continue };
        let pays = |other: &&Tale<'_, '_>| {
            let takes_in = |line: &Line| items[line.item.0].covers.contains(&item) && line.chance >= LIKELY;
            other.line.is_some_and(|line| line.item == item || takes_in(line))
        };
        rest[0].paid_with = before.iter().find(pays).map(|other| other.story);
    }
}

/// What a mechanic last said of a story, if it settles it and no newer answer speaks again.
#[must_use]
pub fn settled_outcome(scene: &Scene<'_, '_>, story: Story) -> Option<Outcome> {
    let id = scene.knowledge().story_id(story);
    let last = scene.record().settled.iter().rev().find(|settled| settled.point == id);
    let newer =
        |settled: &&Settled| overtaken(scene.path()).iter().any(|(other, _)| std::ptr::eq(*other, *settled));
    last.filter(|settled| !newer(settled)).map(|settled| settled.outcome).filter(|said| *said != Outcome::CantSay)
}

/// Evidence is told once in a paper: this remembers what stands already.
#[derive(Debug, Default)]
pub struct Once(Vec<QuestionIx>);

impl Once {
    /// What was seen of these questions and does not stand in this paper yet, in asking order. What the motor is
    /// (two strokes, three cylinders) is no evidence beside what was seen of it.
    pub fn tell(&mut self, scene: &Scene<'_, '_>, answers: &[QuestionIx]) -> Vec<Seen> {
        let mut fresh: Vec<QuestionIx> = answers.iter().copied().filter(|ix| !self.0.contains(ix)).collect();
        let is_fact = |ix: &QuestionIx| scene.knowledge().question(*ix).motor;
        if !fresh.iter().all(is_fact) {
            fresh.retain(|ix| !is_fact(ix));
        }
        self.0.extend(&fresh);
        fresh.into_iter().filter_map(|ix| scene.seen(ix)).collect()
    }
}

/// A person's own words in a line of evidence are cut to so many, and counted as so many: what was typed must not
/// move a story to another page.
pub const TYPED: usize = 14;

/// What was seen, in one line: "gear oil: milky; line on the shaft: yes".
#[must_use]
pub fn in_a_line(seen: &[Seen]) -> String {
    let said = |one: &Seen| {
        let said = if one.typed { first_words(&one.said, TYPED) } else { one.said.clone() };
        match &one.taken_as {
            Some(taken) => format!("{}: {said}, so it is taken as \"{taken}\"", one.brief),
            None => format!("{}: {said}", one.brief),
        }
    };
    seen.iter().map(said).collect::<Vec<_>>().join("; ")
}

/// The words of such a line.
#[must_use]
pub fn line_words(seen: &[Seen]) -> usize {
    let one = |one: &Seen| {
        let said = if one.typed { TYPED } else { words::count(&one.said) };
        words::count(&one.brief) + said + one.taken_as.as_deref().map_or(0, |taken| words::count(taken) + 5)
    };
    seen.iter().map(one).sum()
}

fn first_words(text: &str, most: usize) -> String {
    let all: Vec<&str> = text.split_whitespace().collect();
    if all.len() <= most { text.to_owned() } else { format!("{} \u{2026}\"", all[..most].join(" ")) }
}

/// "most likely", by the chance: the program says these words, the texts of the data never do.
#[must_use]
pub fn chance_word(chance: f64) -> &'static str {
    match chance {
        high if high >= 0.90 => "almost always",
        likely if likely >= 0.60 => "most likely",
        often if often >= 0.30 => "often",
        _ => "may",
    }
}

/// What a story comes to with its chance word: "Most likely the gearcase seals leak (93 %)."
#[must_use]
pub fn likely_said(scene: &Scene<'_, '_>, tale: &Tale<'_, '_>) -> Option<String> {
    let chance = tale.chance?;
    let title = &scene.knowledge().faults[chance.fault.0].title;
    if chance.sure {
        return Some(format!("{}: this was seen, so it is sure.", words::capital(title)));
    }
    let figure = words::percent(chance.chance);
    Some(match chance_word(chance.chance) {
        "may" => format!("It may be that {title} ({figure})."),
        word => format!("{}, {title} ({figure}).", words::capital(word)),
    })
}
