//! Raw shapes to [`Knowledge`]: every name resolved, every rule of the data looked at.
//!
//! [`read_all`] sorts the files into their parts; [`resolve_all`] turns the parts into types. Both gather
//! problems and go on, so that whoever edits the data sees all of them at once.

use std::collections::{HashMap, HashSet};

use serde::Deserialize;
use serde_json::value::RawValue;

use super::condition::{Condition, Named, Names, resolve};
use super::ids::{FaultIx, ItemIx, QuestionIx, StageId};
use super::model::{
    Amount, Basis, Caution, Choice, Fault, Finding, Grade, Item, Kind, Knowledge, Of, Question, Settings, Stage,
    Strength, Untold, Words,
};
use super::raw::{
    Picture, RawAmount, RawCaution, RawChoice, RawCondition, RawFault, RawFinding, RawItem, RawKind, RawOf,
    RawQuestion, RawSettings, RawStage, RawUntold, RawWords, Source, Term,
};
use super::read::{Placed, Problem, ReadStage, Reading};
use super::{File, near};
use crate::units::{Dimension, Unit, parse_quantity};

/// All files, read but not resolved.
#[derive(Default)]
pub struct Parts {
    stages: Vec<ReadStage>,
    faults: Vec<Placed<RawFault>>,
    items: Vec<Placed<RawItem>>,
    settings: Option<Placed<RawSettings>>,
    sources: Vec<Placed<Source>>,
    terms: Vec<Placed<Term>>,
    pictures: Vec<Placed<Picture>>,
}

macro_rules! outline {
    ($name:ident { $($field:ident : $type:ty),+ }) => {
        #[derive(Deserialize)]
        #[serde(deny_unknown_fields)]
        struct $name<'a> { $(#[serde(borrow)] $field: $type),+ }
    };
}
outline!(Faults { faults: Vec<&'a RawValue> });
outline!(Costs { settings: &'a RawValue, items: Vec<&'a RawValue> });
outline!(Sources { sources: Vec<&'a RawValue> });
outline!(Terms { terms: Vec<&'a RawValue> });
outline!(Pictures { pictures: Vec<&'a RawValue> });

/// Sorts files into their parts; stage files are those whose name begins with a digit, in order of names.
pub fn read_all(files: &[File], problems: &mut Vec<Problem>) -> Parts {
    let mut parts = Parts::default();
    for file in files {
        let mut reading = Reading::new(&file.name, &file.text, problems);
        match file.name.as_str() {
            name if name.starts_with(|first: char| first.is_ascii_digit()) => {
                parts.stages.extend(reading.stage_file());
            }
            "faults.json" => {
                if let Some(Faults { faults }) = reading.outline() {
                    parts.faults = reading.elements(&faults);
                }
            }
            "costs.json" => {
                if let Some(Costs { settings, items }) = reading.outline() {
                    parts.settings = reading.element(settings);
                    parts.items = reading.elements(&items);
                }
            }
            "sources.json" => {
                if let Some(Sources { sources }) = reading.outline() {
                    parts.sources = reading.elements(&sources);
                }
            }
            "glossary.json" => {
                if let Some(Terms { terms }) = reading.outline() {
                    parts.terms = reading.elements(&terms);
                }
            }
            "pictures.json" => {
                if let Some(Pictures { pictures }) = reading.outline() {
                    parts.pictures = reading.elements(&pictures);
                }
            }
            name => problems.push(Problem {
                file: name.to_owned(),
                line: 1,
                id: None,
                field: None,
                message: "not a file of question data: stages begin with a number; beside them faults, costs, sources, glossary, pictures".into(),
            }),
        }
    }
    parts
}

/// What resolving one element needs to look up, and where it puts what is wrong.
struct Bench<'a> {
    questions: &'a [Question],
    by_id: &'a HashMap<super::QuestionId, QuestionIx>,
    sources: &'a HashSet<String>,
    problems: &'a mut Vec<Problem>,
}

impl Bench<'_> {
    fn condition<T>(&mut self, at: &Placed<T>, id: &str, field: &str, raw: &RawCondition) -> Option<Condition> {
        let find = |id: &str| self.by_id.get(id).copied();
        match resolve(raw, &Names { questions: self.questions, find: &find }) {
            Ok(condition) => Some(condition),
            Err(messages) => {
                self.problems.extend(messages.into_iter().map(|message| at.problem(id, field, message)));
                None
            }
        }
    }

    fn optional<T>(
        &mut self,
        at: &Placed<T>,
        id: &str,
        field: &str,
        raw: Option<&RawCondition>,
    ) -> Option<Condition> {
        raw.and_then(|raw| self.condition(at, id, field, raw))
    }

    fn words<T>(&mut self, at: &Placed<T>, id: &str, field: &str, raws: &[RawWords]) -> Vec<Words> {
        raws.iter()
            .filter_map(|raw| {
                let when = self.condition(at, id, field, &raw.when)?;
                Some(Words { when, text: raw.text.clone() })
            })
            .collect()
    }

    fn cautions<T>(&mut self, at: &Placed<T>, id: &str, raws: &[RawCaution]) -> Vec<Caution> {
        raws.iter()
            .map(|raw| Caution {
                level: raw.level,
                text: raw.text.clone(),
                when: self.optional(at, id, "cautions", raw.when.as_ref()),
            })
            .collect()
    }

    fn basis<T>(&mut self, at: &Placed<T>, id: &str, text: &str) -> Basis {
        match text {
            "practice" => Basis::Practice,
            "memory" => Basis::Memory,
            key => {
                if !self.sources.contains(key) {
                    let known = self.sources.iter().map(String::as_str).chain(["practice", "memory"]);
                    let message = format!("there is no source {key:?}{}", near(key, known));
                    self.problems.push(at.problem(id, "basis", message));
                }
                Basis::Published(key.into())
            }
        }
    }
}

/// Turns parts into knowledge; `None` when a part is missing altogether.
pub fn resolve_all(parts: Parts, fingerprint: String, problems: &mut Vec<Problem>) -> Option<Knowledge> {
    let stage_ids: Vec<StageId> = parts.stages.iter().map(|read| read.stage.raw.id.clone()).collect();
    let (mut questions, by_id) = outline_questions(&parts.stages, &stage_ids, problems);
    let sources: HashSet<String> = parts.sources.iter().map(|source| source.raw.id.to_string()).collect();
    let raws: Vec<&Placed<RawQuestion>> = parts.stages.iter().flat_map(|read| &read.questions).collect();
    let mut bench = Bench { questions: &questions, by_id: &by_id, sources: &sources, problems };
    let links: Vec<Links> =
        raws.iter().enumerate().map(|(ix, raw)| links_of(QuestionIx(ix), raw, &mut bench)).collect();
    for (question, links) in questions.iter_mut().zip(links) {
        links.put_into(question);
    }
    let mut bench = Bench { questions: &questions, by_id: &by_id, sources: &sources, problems };
    for raw in raws {
        if let Some(picture) = &raw.raw.picture
            && !parts.pictures.iter().any(|known| known.raw.id == *picture)
        {
            bench.problems.push(raw.problem(
                raw.raw.id.as_str(),
                "picture",
                format!("there is no picture {picture}"),
            ));
        }
    }
    let items = resolve_items(&parts.items, &mut bench);
    let faults = resolve_faults(&parts.faults, &items, &mut bench);
    let settings = resolve_settings(parts.settings.as_ref(), &mut bench);
    let mut findings = Vec::new();
    for (stage, read) in parts.stages.iter().enumerate() {
        for raw in &read.findings {
            findings.extend(resolve_finding(raw, stage, (&faults, &items, &questions), &mut bench));
        }
    }
    unique(parts.stages.iter().flat_map(|read| &read.findings), |raw| raw.id.as_str(), bench.problems);
    let stages = parts.stages.iter().map(|read| resolve_stage(&read.stage, &mut bench)).collect();
    if questions.is_empty() {
        problems.push(Problem {
            file: "questions".into(),
            line: 1,
            id: None,
            field: None,
            message: "there is no stage file: names begin with a number, such as 01-boat.json".into(),
        });
    }
    Some(Knowledge {
        stages,
        questions,
        findings,
        faults,
        items,
        settings: settings?,
        sources: parts.sources.into_iter().map(|source| source.raw).collect(),
        terms: parts.terms.into_iter().map(|term| term.raw).collect(),
        pictures: parts.pictures.into_iter().map(|picture| picture.raw).collect(),
        fingerprint,
        by_id,
    })
}

fn unique<'a, T: 'a>(
    all: impl Iterator<Item = &'a Placed<T>>,
    id: impl Fn(&T) -> &str,
    problems: &mut Vec<Problem>,
) {
    let mut seen = HashSet::new();
    for placed in all {
        let name = id(&placed.raw);
        if !seen.insert(name.to_owned()) {
            problems.push(placed.problem(name, "id", "this id stands twice"));
        }
    }
}

/// All questions without their conditions, so that conditions can be resolved against them.
fn outline_questions(
    stages: &[ReadStage],
    stage_ids: &[StageId],
    problems: &mut Vec<Problem>,
) -> (Vec<Question>, HashMap<super::QuestionId, QuestionIx>) {
    let mut questions = Vec::new();
    let mut by_id = HashMap::new();
    unique(stages.iter().flat_map(|read| &read.questions), |raw| raw.id.as_str(), problems);
    for (stage, read) in stages.iter().enumerate() {
        for placed in &read.questions {
            by_id.entry(placed.raw.id.clone()).or_insert(QuestionIx(questions.len()));
            questions.push(outline_question(placed, stage, stage_ids, problems));
        }
    }
    (questions, by_id)
}

fn outline_question(
    placed: &Placed<RawQuestion>,
    stage: usize,
    stage_ids: &[StageId],
    problems: &mut Vec<Problem>,
) -> Question {
    let raw = &placed.raw;
    let id = raw.id.as_str();
    if !raw.ask.trim_end().ends_with('?') {
        problems.push(placed.problem(id, "ask", "a question ends with a question mark"));
    }
    if !(raw.minutes.is_finite() && raw.minutes > 0.0) {
        problems.push(placed.problem(id, "minutes", "how long it takes is a number above 0"));
    }
    Question {
        id: raw.id.clone(),
        stage,
        follows: None,
        when: None,
        kind: check_kind(placed, stage_ids, problems),
        core: raw.core,
        safety: raw.safety,
        motor: raw.motor,
        private: raw.private,
        card: raw.card,
        untold: None,
        seen_only: None,
        seen_also: None,
        brief: raw.brief.clone(),
        ask: raw.ask.clone(),
        how: raw.how.clone(),
        why: raw.why.clone(),
        minutes: raw.minutes,
        tools: raw.tools.clone(),
        cautions: Vec::new(),
        picture: raw.picture.clone(),
        wait: raw.wait.clone(),
        replies: Vec::new(),
    }
}

fn check_kind(placed: &Placed<RawQuestion>, stage_ids: &[StageId], problems: &mut Vec<Problem>) -> Kind {
    let id = placed.raw.id.as_str();
    match &placed.raw.kind {
        RawKind::One(raws) => Kind::One(check_choices(placed, raws, stage_ids, problems)),
        RawKind::Many(raws) => Kind::Many(check_choices(placed, raws, stage_ids, problems)),
        RawKind::Each(raws) => Kind::Each(check_choices(placed, raws, stage_ids, problems)),
        RawKind::Amount(raw) => {
            check_amount(placed, raw, problems).map_or(Kind::Text(super::TextForm::Free), Kind::Amount)
        }
        RawKind::Readings(raw) => {
            let amount = RawAmount {
                dimension: raw.dimension.clone(),
                unit: raw.unit.clone(),
                least: raw.least.clone(),
                most: raw.most.clone(),
                beyond: raw.beyond.clone(),
            };
            let of = if raw.of == RawOf::Cylinders { Of::Cylinders } else { Of::LowCylinders };
            check_amount(placed, &amount, problems)
                .map_or(Kind::Text(super::TextForm::Free), |amount| Kind::Readings(amount, of))
        }
        RawKind::Count(raw) => {
            if raw.least > raw.most {
                problems.push(placed.problem(id, "kind.count", "least is over most"));
            }
            Kind::Count { least: raw.least, most: raw.most, beyond: raw.beyond.clone() }
        }
        RawKind::Year(raw) => Kind::Year { least: raw.least, beyond: raw.beyond.clone() },
        RawKind::Money(raw) => Kind::Money { most: raw.most, beyond: raw.beyond.clone() },
        RawKind::Prices(raw) => Kind::Prices { most: raw.most, beyond: raw.beyond.clone() },
        RawKind::Text(raw) => Kind::Text(raw.form),
    }
}

fn check_choices(
    placed: &Placed<RawQuestion>,
    raws: &[RawChoice],
    stage_ids: &[StageId],
    problems: &mut Vec<Problem>,
) -> Vec<Choice> {
    let id = placed.raw.id.as_str();
    if raws.len() < 2 {
        problems.push(placed.problem(id, "kind", "a choice needs at least two choices"));
    }
    let mut names = HashSet::new();
    for raw in raws {
        let field = format!("choice {}", raw.id);
        let words = raw.words.iter().map(|word| word.to_lowercase());
        let own: HashSet<String> = words.chain([raw.id.to_string(), raw.label.to_lowercase()]).collect();
        for name in own {
            if !names.insert(name.clone()) {
                problems.push(placed.problem(id, &field, format!("{name:?} names two choices")));
            }
        }
        for stage in &raw.closes {
            if *stage != "interview" && !stage_ids.contains(stage) {
                let known = stage_ids.iter().map(StageId::as_str).chain(["interview"]);
                problems.push(placed.problem(
                    id,
                    &field,
                    format!("closes: there is no stage \"{stage}\"{}", near(stage.as_str(), known)),
                ));
            }
        }
        if raw.closes.is_empty() != raw.because.is_none() {
            problems.push(placed.problem(id, &field, "closes and because go together"));
        }
    }
    raws.iter()
        .map(|raw| Choice {
            id: raw.id.clone(),
            label: raw.label.clone(),
            words: raw.words.iter().map(|word| word.to_lowercase()).collect(),
            reply: raw.reply.clone(),
            alone: raw.alone,
            unseen: raw.unseen,
            closes: raw.closes.clone(),
            because: raw.because.clone(),
        })
        .collect()
}

fn check_amount(placed: &Placed<RawQuestion>, raw: &RawAmount, problems: &mut Vec<Problem>) -> Option<Amount> {
    let id = placed.raw.id.as_str();
    let Some(dimension) = Dimension::from_name(&raw.dimension) else {
        problems.push(placed.problem(id, "dimension", format!("there is no dimension {:?}", raw.dimension)));
        return None;
    };
    // A plain ratio has no unit to write.
    let named = if raw.unit.is_empty() { Some(dimension.house_unit()) } else { Unit::from_symbol(&raw.unit) };
    let Some(unit) = named.filter(|unit| unit.dimension() == dimension) else {
        problems.push(placed.problem(id, "unit", format!("{:?} is no unit of {}", raw.unit, raw.dimension)));
        return None;
    };
    let mut bound = |field: &str, text: &str| match parse_quantity(text, dimension, unit) {
        Ok(quantity) => Some(quantity.house()),
        Err(problem) => {
            problems.push(placed.problem(id, field, problem.to_string()));
            None
        }
    };
    let (least, most) = (bound("least", &raw.least)?, bound("most", &raw.most)?);
    if least >= most {
        problems.push(placed.problem(id, "least", "least is not under most"));
    }
    let bounds = (raw.least.clone(), raw.most.clone());
    Some(Amount { dimension, unit, least, most, bounds, beyond: raw.beyond.clone() })
}

/// The parts of a question that name other questions.
struct Links {
    follows: Option<QuestionIx>,
    when: Option<Condition>,
    seen_only: Option<Condition>,
    seen_also: Option<Condition>,
    cautions: Vec<Caution>,
    replies: Vec<Words>,
    untold: Option<Untold>,
}

impl Links {
    fn put_into(self, question: &mut Question) {
        question.follows = self.follows;
        question.when = self.when;
        question.seen_only = self.seen_only;
        question.seen_also = self.seen_also;
        question.cautions = self.cautions;
        question.replies = self.replies;
        question.untold = self.untold;
    }
}

fn links_of(ix: QuestionIx, placed: &Placed<RawQuestion>, bench: &mut Bench<'_>) -> Links {
    let raw = &placed.raw;
    let id = raw.id.as_str();
    let when = bench.optional(placed, id, "when", raw.when.as_ref());
    if let Some(when) = &when {
        only_earlier(when, ix, placed, bench);
    }
    Links {
        follows: raw.follows.as_ref().and_then(|above| above_of(ix, above, placed, bench)),
        when,
        seen_only: bench.optional(placed, id, "seen-only", raw.seen_only.as_ref()),
        seen_also: bench.optional(placed, id, "seen-also", raw.seen_also.as_ref()),
        cautions: bench.cautions(placed, id, &raw.cautions),
        replies: bench.words(placed, id, "replies", &raw.replies),
        untold: untold_of(ix, placed, bench),
    }
}

/// The question a follow-up follows, which must stand before it.
fn above_of(
    ix: QuestionIx,
    above: &super::QuestionId,
    placed: &Placed<RawQuestion>,
    bench: &mut Bench<'_>,
) -> Option<QuestionIx> {
    let found = bench.by_id.get(above).copied();
    let message = match found {
        Some(above_ix) if above_ix < ix => return Some(above_ix),
        Some(_) => format!("{above} does not stand before it"),
        None => {
            let known = bench.questions.iter().map(|question| question.id.as_str());
            format!("there is no question \"{above}\"{}", near(above.as_str(), known))
        }
    };
    bench.problems.push(placed.problem(placed.raw.id.as_str(), "follows", message));
    None
}

fn untold_of(ix: QuestionIx, placed: &Placed<RawQuestion>, bench: &mut Bench<'_>) -> Option<Untold> {
    let id = placed.raw.id.as_str();
    let (choice, when) = match placed.raw.untold.as_ref()? {
        RawUntold::Always(choice) => (choice, None),
        RawUntold::Sometimes(some) => (&some.choice, bench.condition(placed, id, "untold", &some.when)),
    };
    let question = &bench.questions[ix.0];
    if question.choice(choice).is_none() || !matches!(question.kind, Kind::One(_)) {
        let message = format!("there is no choice \"{choice}\" to read it as");
        bench.problems.push(placed.problem(id, "untold", message));
    }
    if let Some(when) = &when {
        only_earlier(when, ix, placed, bench);
    }
    Some(Untold { choice: choice.clone(), when })
}

/// A question is asked by what stands before it, so that a path always ends.
fn only_earlier(when: &Condition, ix: QuestionIx, placed: &Placed<RawQuestion>, bench: &mut Bench<'_>) {
    let mut late = Vec::new();
    when.visit(&mut |named| match named {
        Named::Question(other) if other >= ix => late.push(bench.questions[other.0].id.to_string()),
        Named::Question(_) => {}
        Named::Measure(measure) => {
            let reads = measure.about().reads.iter().filter_map(|id| bench.by_id.get(*id));
            late.extend(
                reads
                    .filter(|other| **other >= ix)
                    .map(|other| format!("{} (read by {})", bench.questions[other.0].id, measure.about().name)),
            );
        }
    });
    for other in late {
        bench.problems.push(placed.problem(
            placed.raw.id.as_str(),
            "when",
            format!("looks at {other}, which does not stand before it"),
        ));
    }
}

fn resolve_stage(placed: &Placed<RawStage>, bench: &mut Bench<'_>) -> Stage {
    let raw = &placed.raw;
    Stage {
        id: raw.id.clone(),
        title: raw.title.clone(),
        about: raw.about.clone(),
        at_hand: raw.at_hand.clone(),
        cautions: bench.cautions(placed, raw.id.as_str(), &raw.cautions),
        send_ahead: raw.send_ahead.clone(),
        card: raw.card.clone(),
    }
}

fn resolve_items(raws: &[Placed<RawItem>], bench: &mut Bench<'_>) -> Vec<Item> {
    unique(raws.iter(), |raw| raw.id.as_str(), bench.problems);
    let place = |id: &super::ItemId| raws.iter().position(|placed| placed.raw.id == *id).map(ItemIx);
    raws.iter()
        .map(|placed| {
            let raw = &placed.raw;
            let id = raw.id.as_str();
            for spread in [raw.small, raw.middle, raw.large].into_iter().flatten() {
                let rising = |three: [f64; 3]| three[0] >= 0.0 && three[0] <= three[1] && three[1] <= three[2];
                if !rising(spread.parts) || !rising(spread.hours) {
                    bench.problems.push(placed.problem(id, "parts", "low, likely and high must rise, from 0"));
                }
            }
            if raw.large.is_none() {
                bench.problems.push(placed.problem(
                    id,
                    "large",
                    "the largest class needs a spread: smaller ones fall back on it",
                ));
            }
            let covers = raw.covers.iter().filter_map(|smaller| {
                let found = place(smaller);
                if found.is_none() {
                    bench.problems.push(placed.problem(id, "covers", format!("there is no item \"{smaller}\"")));
                }
                found
            });
            Item {
                id: raw.id.clone(),
                title: raw.title.clone(),
                small: raw.small,
                middle: raw.middle,
                large: raw.large,
                covers: covers.collect(),
                sure: bench.optional(placed, id, "sure", raw.sure.as_ref()),
                basis: bench.basis(placed, id, &raw.basis),
            }
        })
        .collect()
}

fn resolve_faults(raws: &[Placed<RawFault>], items: &[Item], bench: &mut Bench<'_>) -> Vec<Fault> {
    unique(raws.iter(), |raw| raw.id.as_str(), bench.problems);
    let mut faults = Vec::new();
    for placed in raws {
        let raw = &placed.raw;
        let id = raw.id.as_str();
        let item = items.iter().position(|item| item.id == raw.item).map(ItemIx);
        if item.is_none() {
            let known = items.iter().map(|item| item.id.as_str());
            let message = format!("there is no item \"{}\"{}", raw.item, near(raw.item.as_str(), known));
            bench.problems.push(placed.problem(id, "item", message));
        }
        let mut priors = Vec::new();
        for prior in &raw.priors {
            if !(prior.chance > 0.0 && prior.chance < 1.0) {
                bench.problems.push(placed.problem(id, "priors", "a chance lies between 0 and 1"));
            }
            priors.push((bench.optional(placed, id, "priors", prior.when.as_ref()), prior.chance));
        }
        if priors.is_empty() {
            bench.problems.push(placed.problem(id, "priors", "at least one chance is needed"));
        }
        faults.push(Fault {
            id: raw.id.clone(),
            title: raw.title.clone(),
            priors,
            exists: bench.optional(placed, id, "exists", raw.exists.as_ref()),
            item: item.unwrap_or(ItemIx(0)),
            settle: raw.settle.clone(),
            after: raw.after.clone(),
            seller: raw.seller.clone(),
            basis: bench.basis(placed, id, &raw.basis),
        });
    }
    faults
}

fn resolve_settings(placed: Option<&Placed<RawSettings>>, bench: &mut Bench<'_>) -> Option<Settings> {
    let Some(placed) = placed else {
        bench.problems.push(Problem {
            file: "costs.json".into(),
            line: 1,
            id: None,
            field: Some("settings".into()),
            message: "the settings are missing".into(),
        });
        return None;
    };
    let raw = &placed.raw;
    let mut power = |field: &str, text: &str| match parse_quantity(text, Dimension::Power, Unit::Horsepower) {
        Ok(quantity) => quantity.house(),
        Err(problem) => {
            bench.problems.push(placed.problem("settings", field, problem.to_string()));
            0.0
        }
    };
    let (power_small, power_middle) =
        (power("power-small", &raw.power_small), power("power-middle", &raw.power_middle));
    let salt = bench.condition(placed, "settings", "salt", &raw.salt)?;
    Some(Settings {
        rate: raw.rate,
        asking_gap: raw.asking_gap,
        salt_hours: raw.salt_hours,
        salt,
        power_small,
        power_middle,
    })
}

fn resolve_finding(
    placed: &Placed<RawFinding>,
    stage: usize,
    (faults, items, questions): (&[Fault], &[Item], &[Question]),
    bench: &mut Bench<'_>,
) -> Option<Finding> {
    let raw = &placed.raw;
    let id = raw.id.as_str();
    if raw.grade == Grade::Stop && raw.clears.is_none() {
        bench.problems.push(placed.problem(id, "clears", "a stop says who can clear it and how"));
    }
    if matches!(raw.grade, Grade::Stop | Grade::Serious) && raw.innocent.is_none() {
        bench.problems.push(placed.problem(
            id,
            "innocent",
            "a stop or serious finding names the innocent reason too",
        ));
    }
    let mut evidence = |field: &str, words: &std::collections::BTreeMap<super::FaultId, Strength>| {
        let mut found = Vec::new();
        for (fault, strength) in words {
            match faults.iter().position(|known| known.id == *fault) {
                Some(place) => found.push((FaultIx(place), *strength)),
                None => {
                    let known = faults.iter().map(|fault| fault.id.as_str());
                    let message = format!("there is no fault \"{fault}\"{}", near(fault.as_str(), known));
                    bench.problems.push(placed.problem(id, field, message));
                }
            }
            if field == "against" && *strength == Strength::Seen {
                bench.problems.push(placed.problem(id, field, "seen speaks only for a fault"));
            }
        }
        found
    };
    let (speaks_for, against) = (evidence("for", &raw.speaks_for), evidence("against", &raw.against));
    let mut costs = Vec::new();
    for wanted in &raw.costs {
        match items.iter().position(|item| item.id == *wanted) {
            Some(place) => costs.push(ItemIx(place)),
            None => bench.problems.push(placed.problem(id, "costs", format!("there is no item \"{wanted}\""))),
        }
    }
    let when = bench.condition(placed, id, "when", &raw.when)?;
    let reads = questions_behind(&when, bench.by_id);
    Some(Finding {
        id: raw.id.clone(),
        stage,
        check: reads.iter().map(|ix| root_of(questions, *ix)).max(),
        last: reads.iter().copied().max(),
        when,
        grade: raw.grade,
        sign: raw.sign.clone().unwrap_or_else(|| id.to_owned()),
        points_to: raw.points_to.clone(),
        title: raw.title.clone(),
        means: raw.means.clone(),
        innocent: raw.innocent.clone(),
        what_to_do: raw.what_to_do.clone(),
        bargain: raw.bargain.clone(),
        mechanic: raw.mechanic.clone(),
        clears: raw.clears.clone(),
        safety: raw.safety,
        costs,
        speaks_for,
        against,
        notes: bench.words(placed, id, "notes", &raw.notes),
        basis: bench.basis(placed, id, &raw.basis),
    })
}

/// The questions a condition can't do without.
fn questions_behind(when: &Condition, by_id: &HashMap<super::QuestionId, QuestionIx>) -> Vec<QuestionIx> {
    let mut all = Vec::new();
    when.visit(&mut |named| match named {
        Named::Question(ix) => all.push(ix),
        Named::Measure(measure) => {
            let about = measure.about();
            let reads = if about.needs.is_empty() { about.reads } else { about.needs };
            all.extend(reads.iter().filter_map(|id| by_id.get(*id).copied()));
        }
    });
    all
}

fn root_of(questions: &[Question], mut ix: QuestionIx) -> QuestionIx {
    while let Some(above) = questions[ix.0].follows {
        ix = above;
    }
    ix
}
