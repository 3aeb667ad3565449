//! The buyer's paper: one page to decide by, the stories, the annex.
//!
//! Everything stands once. How many stories are told in full follows from how many words they take: see [`Stories`].

use serde::Serialize;

use crate::knowledge::{Basis, Clearer, Grade, QuestionIx, Story, Text};
use crate::path::Truth;

use super::super::words::{self, with_its_request, within};
use super::after::{self, Beside, Photo, SourceSaid};
use super::costs::Costs;
use super::found::SettledSaid;
use super::measured::Measured;
use super::points::{self, Done};
use super::story::{Once, Tale, in_a_line, likely_said, line_words, stories};
use super::top::{self, ChangeSaid, Price, Step, VerdictSaid, clearer_said};
use super::unseen::{GoodStage, Unseen, good_stages};
use super::{Head, Scene};

/// Words of the first two pages.
const PAGES: usize = 900;
/// Words the first page may take of them.
const FIRST_PAGE: usize = 250;
/// Stories in full, and how many where there are more grave ones than that or the words would not do.
const FULL: usize = 5;
const FEWER: usize = 3;
/// Smaller things that have a line.
const SMALLER: usize = 12;
/// Words a cost counts as, whatever the currency is called.
const COST: usize = 12;
/// From this chance on a smaller thing is a story of its own.
const LIKELY: f64 = 0.30;
/// Words of each part of a story; together at most 120.
const MEANS: usize = 26;
const HARMLESS: usize = 18;
const SETTLES: usize = 18;
const SEEN: usize = 26;
/// The same where a story would be too long.
const SEEN_IN_SHORT: usize = 14;
const SAY: usize = 22;

#[derive(Clone, Debug, Serialize)]
pub struct Buyer {
    pub head: Head,
    pub name: String,
    pub verdict: VerdictSaid,
    pub price: Price,
    pub steps: Vec<Step>,
    pub unlooked: Option<String>,
    pub changes: Vec<ChangeSaid>,
    /// Open checks that could bring a stop.
    pub may_stop: Option<String>,
    pub stories: Stories,
    pub settled: Vec<Done>,
    /// What a mechanic wrote besides.
    pub their_words: Option<String>,
    pub costs: Costs,
    pub good: Vec<GoodStage>,
    pub measured: Measured,
    pub unseen: Unseen,
    pub after: Vec<String>,
    pub service: Option<String>,
    pub notes: Vec<Beside>,
    pub sources: Vec<SourceSaid>,
}

impl Buyer {
    #[must_use]
    pub fn of(scene: &Scene<'_, '_>) -> Self {
        let stories_said = Stories::of(scene);
        let stops = !scene.judgement.verdict.stops.is_empty();
        let told: Vec<QuestionIx> =
            stories(scene).iter().take(stories_said.full.len()).flat_map(Tale::answers).collect();
        Self {
            head: Head::of(scene),
            name: words::typed(scene.meta.name),
            verdict: VerdictSaid::of(scene),
            price: Price::of(scene),
            steps: top::steps(scene),
            unlooked: top::unseen(scene),
            changes: top::changes(scene),
            may_stop: top::may_stop(scene),
            stories: stories_said,
            settled: points::done_points(scene),
            their_words: points::their_words(scene),
            costs: Costs::of(scene),
            good: good_stages(scene),
            measured: Measured::of(scene),
            unseen: Unseen::of(scene),
            after: if stops { Vec::new() } else { after::first_service(scene) },
            service: (!stops).then(|| after::service_title(scene)),
            notes: after::notes(scene, &told),
            sources: after::sources(scene),
        }
    }
}

/// The stories of the second page, and what is left for the annex.
#[derive(Clone, Debug, Serialize)]
pub struct Stories {
    pub full: Vec<StorySaid>,
    /// "A workshop clears: …".
    pub stops: Vec<Group>,
    /// Serious ones by the repair they share.
    pub serious: Vec<Group>,
    pub smaller: Vec<Small>,
    /// Smaller ones for the annex.
    pub smallest: Vec<Small>,
}

/// Several stories in a line.
#[derive(Clone, Debug, Serialize)]
pub struct Group {
    pub by: String,
    pub titles: String,
}

/// A smaller thing in a line.
#[derive(Clone, Debug, Serialize)]
pub struct Small {
    pub title: String,
    pub cost: Option<String>,
}

/// One story told in full.
#[derive(Clone, Debug, Serialize)]
pub struct StorySaid {
    pub title: String,
    /// `stop`, `serious` or `minor`.
    pub weight: &'static str,
    pub seen: String,
    pub likely: Option<String>,
    pub means: String,
    pub note: Option<String>,
    pub innocent: Option<String>,
    pub cost: Option<String>,
    pub say: Option<String>,
    pub settles: Option<String>,
    pub safety: bool,
    /// p, c or m.
    pub basis: &'static str,
    pub last: Option<SettledSaid>,
    pub photos: Vec<Photo>,
    #[serde(skip)]
    seen_words: usize,
}

impl Stories {
    fn of(scene: &Scene<'_, '_>) -> Self {
        let tales = stories(scene);
        let grave = tales.iter().filter(|tale| tale.grade() != Grade::Minor).count();
        let mut full = if grave > FULL { FEWER } else { FULL };
        let mut laid = laid_out(scene, &tales, full);
        while laid.words() + FIRST_PAGE > PAGES && full > FEWER {
            full -= 1;
            laid = laid_out(scene, &tales, full);
        }
        while laid.words() + FIRST_PAGE > PAGES && !laid.smaller.is_empty() {
            laid.smallest.extend(laid.smaller.pop());
        }
        laid
    }

    fn words(&self) -> usize {
        let count = words::count;
        let full: usize = self.full.iter().map(StorySaid::words).sum();
        let groups =
            self.stops.iter().chain(&self.serious).map(|group| count(&group.by) + count(&group.titles) + 2);
        let small = self.smaller.iter().map(|small| count(&small.title) + small.cost.as_ref().map_or(0, |_| 4));
        full + groups.sum::<usize>() + small.sum::<usize>() + 30
    }
}

impl StorySaid {
    fn words(&self) -> usize {
        let some = |text: &Option<String>| text.as_deref().map_or(0, words::count);
        let all = [&self.likely, &self.note, &self.innocent, &self.say, &self.settles];
        words::count(&self.title)
            + self.seen_words
            + self.cost.as_ref().map_or(0, |_| COST)
            + words::count(&self.means)
            + all.into_iter().map(some).sum::<usize>()
            + 13
    }
}

fn laid_out(scene: &Scene<'_, '_>, tales: &[Tale<'_, '_>], full: usize) -> Stories {
    let mut once = Once::default();
    let (told, rest) = tales.split_at(in_full(tales, full));
    let said: Vec<StorySaid> = told.iter().map(|tale| story_said(scene, tale, &mut once)).collect();
    let of = |grade: Grade| rest.iter().filter(move |tale| tale.grade() == grade);
    let mut smaller: Vec<Small> = of(Grade::Minor).map(|tale| small_said(scene, tale)).collect();
    let smallest = smaller.split_off(smaller.len().min(SMALLER));
    Stories {
        full: said,
        stops: by_clearer(of(Grade::Stop)),
        serious: by_repair(scene, of(Grade::Serious)),
        smaller,
        smallest,
    }
}

/// Grave stories in any case, smaller ones while they are likely.
fn in_full(tales: &[Tale<'_, '_>], most: usize) -> usize {
    let worth = |tale: &&Tale<'_, '_>| {
        tale.grade() != Grade::Minor || tale.chance.is_some_and(|chance| chance.to_pay() >= LIKELY)
    };
    tales.iter().take(most).take_while(worth).count()
}

fn story_said(scene: &Scene<'_, '_>, tale: &Tale<'_, '_>, once: &mut Once) -> StorySaid {
    let lead = tale.lead;
    let view = scene.path().view();
    let note = lead.notes.iter().find(|note| view.holds(&note.when) == Truth::Yes);
    let fault = scene.knowledge().story_fault(tale.story).map(|fault| &scene.knowledge().faults[fault.0]);
    let named = match tale.story {
        Story::Named(place) => Some(&scene.knowledge().stories[place]),
        _ => None,
    };
    let settles = lead
        .clears
        .clone()
        .or_else(|| fault.map(|fault| fault.settle.clone()))
        .or_else(|| named.and_then(|story| story.settle.clone()));
    let say = lead
        .bargain
        .as_deref()
        .map(|text| with_its_request(text, SAY))
        .or_else(|| named.and_then(|story| story.seller.as_ref().map(Text::to_string)));
    let seen = once.tell(scene, &tale.answers());
    let mut said = StorySaid {
        seen_words: line_words(&seen).min(SEEN),
        title: words::capital(&lead.title),
        weight: tale.grade().name(),
        seen: within_parts(&in_a_line(&seen), SEEN),
        likely: likely_said(scene, tale),
        means: within(&lead.means, MEANS),
        note: note.map(|note| within(&note.text, HARMLESS)),
        innocent: lead.innocent.as_deref().map(|text| within(text, HARMLESS)),
        cost: cost_said(scene, tale),
        say,
        settles: settles.map(|text| within(&text, SETTLES)),
        safety: tale.is_safety(scene),
        basis: letter(&lead.basis),
        last: points::last_said(scene, scene.knowledge().story_id(tale.story)),
        photos: after::photos_of(scene, &tale.answers()),
    };
    if said.words() > 120 {
        said.note = None;
    }
    // Where room is short the request alone is said.
    if said.words() > 120 {
        said.say = said.say.map(|text| with_its_request(&text, 1));
    }
    if said.words() > 120 {
        said.seen = within_parts(&in_a_line(&seen), SEEN_IN_SHORT);
        said.seen_words = said.seen_words.min(SEEN_IN_SHORT);
    }
    if said.words() > 120 {
        said.means = within(&lead.means, 1);
    }
    if said.words() > 120 {
        said.say = None;
    }
    said
}

/// Clauses as long as there is room.
fn within_parts(text: &str, most: usize) -> String {
    if words::count(text) <= most {
        return text.to_owned();
    }
    let mut kept = String::new();
    let all: Vec<&str> = text.split("; ").collect();
    for (place, part) in all.iter().enumerate() {
        if place > 0 && words::count(&kept) + words::count(part) > most {
            return format!("{kept}; and {} more", all.len() - place);
        }
        if place > 0 {
            kept.push_str("; ");
        }
        kept.push_str(part);
    }
    kept
}

/// "$250 to $460 at a workshop", "paid with what stands under …".
fn cost_said(scene: &Scene<'_, '_>, tale: &Tale<'_, '_>) -> Option<String> {
    let knowledge = scene.knowledge();
    let line = tale.line?;
    if let Some(with) = tale.paid_with {
        return Some(format!("paid with this: {}", knowledge.story_title(with)));
    }
    let span = scene.purse.span(line.size.low, line.size.high);
    let fixed = line.size.low.to_bits() == line.size.high.to_bits();
    let sure = line.sure && line.chance >= 1.0;
    Some(match (fixed, sure) {
        (true, _) => format!("{span}, as the mechanic named it"),
        (_, true) => format!("{span}, sure to come"),
        _ => format!("{span}; chance that you pay it {}", words::percent(line.chance)),
    })
}

fn small_said(scene: &Scene<'_, '_>, tale: &Tale<'_, '_>) -> Small {
    let cost = tale.line.filter(|line| tale.paid_with.is_none() && line.chance >= 0.05);
    Small {
        title: words::capital(&tale.lead.title),
        cost: cost.map(|line| scene.purse.span(line.size.low, line.size.high)),
    }
}

fn by_clearer<'t>(tales: impl Iterator<Item = &'t Tale<'t, 't>>) -> Vec<Group> {
    let mut groups: Vec<(Option<Clearer>, Vec<String>)> = Vec::new();
    for tale in tales {
        let who = tale.clearer();
        match groups.iter_mut().find(|(known, _)| *known == who) {
            Some((_, titles)) => titles.push(tale.lead.title.to_string()),
            None => groups.push((who, vec![tale.lead.title.to_string()])),
        }
    }
    let said = |(who, titles): (Option<Clearer>, Vec<String>)| Group {
        by: words::capital(who.map_or("", clearer_said)),
        titles: titles.join("; "),
    };
    groups.into_iter().map(said).collect()
}

fn by_repair<'t>(scene: &Scene<'_, '_>, tales: impl Iterator<Item = &'t Tale<'t, 't>>) -> Vec<Group> {
    let mut groups: Vec<(String, Vec<String>)> = Vec::new();
    for tale in tales {
        let by = match tale.line {
            Some(line) => words::capital(&scene.knowledge().items[line.item.0].title),
            None => "Nothing to repair".to_owned(),
        };
        match groups.iter_mut().find(|(known, _)| *known == by) {
            Some((_, titles)) => titles.push(tale.lead.title.to_string()),
            None => groups.push((by, vec![tale.lead.title.to_string()])),
        }
    }
    groups.into_iter().map(|(by, titles)| Group { by, titles: titles.join("; ") }).collect()
}

/// What a story rests on, as a letter that the paper explains once.
#[must_use]
pub fn letter(basis: &Basis) -> &'static str {
    match basis {
        Basis::Published(_) => "p",
        Basis::Practice => "c",
        Basis::Memory => "m",
    }
}
