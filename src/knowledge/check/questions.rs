//! Questions: first without what they name, so that conditions can be resolved against them, then with it.

use std::collections::{HashMap, HashSet};

use crate::knowledge::condition::{Condition, Named};
use crate::knowledge::ids::{ChoiceId, HazardId, HazardIx, QuestionId, QuestionIx, StageId};
use crate::knowledge::model::{Amount, Choice, Kind, Of, Question, TextForm, Untold, Variant, Words};
use crate::knowledge::raw::{RawAmount, RawChoice, RawHazard, RawKind, RawOf, RawQuestion, RawUntold};
use crate::knowledge::read::{Placed, Problem, ReadStage};
use crate::knowledge::text::Text;
use crate::knowledge::wrong::{Thing, Wrong};
use crate::units::{Dimension, Unit, parse_quantity};

use super::bench::{Bench, unique};
use super::hazards::place_of;

/// All questions without their conditions, so that conditions can be resolved against them.
pub fn outline_questions(
    stages: &[ReadStage],
    stage_ids: &[StageId],
    problems: &mut Vec<Problem>,
) -> (Vec<Question>, HashMap<QuestionId, QuestionIx>) {
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
        problems.push(placed.problem(id, "ask", Wrong::NoQuestionMark));
    }
    if !(raw.minutes.is_finite() && raw.minutes > 0.0) {
        problems.push(placed.problem(id, "minutes", Wrong::NoMinutes));
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
        untold: None,
        seen_only: None,
        seen_also: None,
        brief: raw.brief.clone(),
        ask: raw.ask.clone(),
        act: raw.act.clone(),
        how: raw.how.clone(),
        why: raw.why.clone(),
        variants: Vec::new(),
        told: raw.told,
        place: raw.place,
        rank: raw.rank,
        minutes: raw.minutes,
        minutes_cylinder: raw.minutes_cylinder,
        needs: Vec::new(),
        block: raw.block.clone(),
        hazards: Vec::new(),
        tools: raw.tools.clone(),
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
            check_amount(placed, raw, problems).map_or(Kind::Text(TextForm::Free), Kind::Amount)
        }
        RawKind::Readings(raw) => {
            let amount = RawAmount {
                dimension: raw.dimension.clone(),
                unit: raw.unit.clone(),
                least: raw.least.clone(),
                most: raw.most.clone(),
                usual: raw.usual.clone(),
                beyond: raw.beyond.clone(),
            };
            let of = if raw.of == RawOf::Cylinders { Of::Cylinders } else { Of::LowCylinders };
            check_amount(placed, &amount, problems)
                .map_or(Kind::Text(TextForm::Free), |amount| Kind::Readings(amount, of))
        }
        RawKind::Count(raw) => {
            if raw.least > raw.most {
                problems.push(placed.problem(id, "kind.count", Wrong::NotUnder));
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
        problems.push(placed.problem(id, "kind", Wrong::FewChoices));
    }
    for raw in raws {
        let mut tell = |wrong| problems.push(placed.problem(id, &format!("choice {}", raw.id), wrong));
        for stage in &raw.closes {
            if *stage != "interview" && !stage_ids.contains(stage) {
                let known = stage_ids.iter().map(StageId::as_str).chain(["interview"]);
                tell(Wrong::unknown(Thing::Stage, stage.as_str(), known));
            }
        }
        if raw.closes.is_empty() != raw.because.is_none() {
            tell(Wrong::ClosesAndBecause);
        }
    }
    raws.iter()
        .map(|raw| Choice {
            id: raw.id.clone(),
            label: raw.label.clone(),
            tick: raw.tick.clone(),
            words: raw.words.iter().map(in_lower_case).collect(),
            reply: raw.reply.clone(),
            well: raw.well,
            alone: raw.alone,
            unseen: raw.unseen,
            closes: raw.closes.clone(),
            because: raw.because.clone(),
            closes_unless: None,
            ends: false,
        })
        .collect()
}

/// No name, whatever its case, stands for two choices of a question.
pub fn choices_have_names_of_their_own(placed: &Placed<RawQuestion>, problems: &mut Vec<Problem>) {
    let (RawKind::One(raws) | RawKind::Many(raws) | RawKind::Each(raws)) = &placed.raw.kind else { return };
    let mut names = HashSet::new();
    for raw in raws {
        let words = raw.words.iter().map(|word| word.to_lowercase());
        let own: HashSet<String> = words.chain([raw.id.to_string(), raw.label.to_lowercase()]).collect();
        for name in own {
            if !names.insert(name.clone()) {
                let field = format!("choice {}", raw.id);
                problems.push(placed.problem(placed.raw.id.as_str(), &field, Wrong::TwoChoices(name.clone())));
            }
        }
    }
}

/// Words are compared in lower case; most of them are written so.
fn in_lower_case(word: &Text) -> Text {
    if word.chars().any(char::is_uppercase) { word.to_lowercase().into() } else { word.clone() }
}

fn check_amount(placed: &Placed<RawQuestion>, raw: &RawAmount, problems: &mut Vec<Problem>) -> Option<Amount> {
    let id = placed.raw.id.as_str();
    let Some(dimension) = Dimension::from_name(&raw.dimension) else {
        problems.push(placed.problem(
            id,
            "dimension",
            Wrong::unknown(
                Thing::Dimension,
                &raw.dimension,
                Dimension::ALL.iter().map(|dimension| dimension.name()),
            ),
        ));
        return None;
    };
    // A plain ratio has no unit to write.
    let named = if raw.unit.is_empty() { Some(dimension.house_unit()) } else { Unit::from_symbol(&raw.unit) };
    let Some(unit) = named.filter(|unit| unit.dimension() == dimension) else {
        problems.push(placed.problem(
            id,
            "unit",
            Wrong::NoUnitOf { unit: raw.unit.to_string(), dimension: raw.dimension.to_string() },
        ));
        return None;
    };
    let mut bound = |field: &str, text: &str| match parse_quantity(text, dimension, unit) {
        Ok(quantity) => Some(quantity.house()),
        Err(problem) => {
            problems.push(placed.problem(id, field, Wrong::BadAmount(problem)));
            None
        }
    };
    let (least, most) = (bound("least", &raw.least)?, bound("most", &raw.most)?);
    let usual = raw.usual.as_ref().and_then(|[low, high]| Some((bound("usual", low)?, bound("usual", high)?)));
    if least >= most {
        problems.push(placed.problem(id, "least", Wrong::NotUnder));
    }
    let bounds = (raw.least.clone(), raw.most.clone());
    Some(Amount { dimension, unit, least, most, bounds, usual, beyond: raw.beyond.clone() })
}

/// The parts of a question that name other questions.
pub struct Links {
    follows: Option<QuestionIx>,
    when: Option<Condition>,
    seen_only: Option<Condition>,
    seen_also: Option<Condition>,
    replies: Vec<Words>,
    untold: Option<Untold>,
    variants: Vec<Variant>,
    needs: Vec<QuestionIx>,
    hazards: Vec<HazardIx>,
    closes_unless: Vec<(ChoiceId, Condition)>,
}

impl Links {
    /// Puts them in their places.
    pub fn put_into(self, question: &mut Question) {
        question.follows = self.follows;
        question.when = self.when;
        question.seen_only = self.seen_only;
        question.seen_also = self.seen_also;
        question.replies = self.replies;
        question.untold = self.untold;
        question.variants = self.variants;
        question.needs = self.needs;
        question.hazards = self.hazards;
        let (Kind::One(choices) | Kind::Many(choices) | Kind::Each(choices)) = &mut question.kind else { return };
        for (id, unless) in self.closes_unless {
            if let Some(choice) = choices.iter_mut().find(|choice| choice.id == id) {
                choice.closes_unless = Some(unless);
            }
        }
    }
}

/// Resolves the links of a question.
pub fn links_of(
    ix: QuestionIx,
    placed: &Placed<RawQuestion>,
    hazards: &[Placed<RawHazard>],
    bench: &mut Bench<'_>,
) -> Links {
    let raw = &placed.raw;
    let id = raw.id.as_str();
    let when = bench.optional(placed, id, "when", raw.when.as_ref());
    if let Some(when) = &when {
        only_earlier(when, ix, placed, bench);
    }
    let known: Vec<&HazardId> = hazards.iter().map(|hazard| &hazard.raw.id).collect();
    Links {
        follows: raw.follows.as_ref().and_then(|above| above_of(ix, above, placed, bench)),
        when,
        seen_only: bench.optional(placed, id, "seen-only", raw.seen_only.as_ref()),
        seen_also: bench.optional(placed, id, "seen-also", raw.seen_also.as_ref()),
        replies: bench.words(placed, id, "replies", &raw.replies),
        untold: untold_of(ix, placed, bench),
        variants: variants_of(ix, placed, bench),
        needs: raw.needs.iter().filter_map(|need| bench.question(placed, id, "needs", need)).collect(),
        hazards: raw.hazards.iter().filter_map(|name| place_of(name, &known, (placed, id), bench)).collect(),
        closes_unless: closes_unless_of(ix, placed, bench),
    }
}

fn variants_of(ix: QuestionIx, placed: &Placed<RawQuestion>, bench: &mut Bench<'_>) -> Vec<Variant> {
    let mut variants = Vec::new();
    for raw in &placed.raw.variants {
        let Some(when) = bench.condition(placed, placed.raw.id.as_str(), "variants", &raw.when) else { continue };
        only_earlier(&when, ix, placed, bench);
        variants.push(Variant {
            when,
            brief: raw.brief.clone(),
            ask: raw.ask.clone(),
            act: raw.act.clone(),
            how: raw.how.clone(),
            why: raw.why.clone(),
            tools: raw.tools.clone(),
            workshop: raw.workshop,
        });
    }
    variants
}

fn closes_unless_of(
    ix: QuestionIx,
    placed: &Placed<RawQuestion>,
    bench: &mut Bench<'_>,
) -> Vec<(ChoiceId, Condition)> {
    let (RawKind::One(choices) | RawKind::Many(choices) | RawKind::Each(choices)) = &placed.raw.kind else {
        return Vec::new();
    };
    let id = placed.raw.id.as_str();
    let mut all = Vec::new();
    for choice in choices {
        let Some(raw) = &choice.closes_unless else { continue };
        if choice.closes.is_empty() {
            bench.problems.push(placed.problem(id, "closes-unless", Wrong::ClosesNothing));
        }
        let Some(unless) = bench.condition(placed, id, "closes-unless", raw) else { continue };
        // It is looked at once the follow-ups of its question are behind.
        for other in late(&unless, &|other| other > ix && !bench.stands_below(other, ix), bench) {
            let wrong = Wrong::TooLate { other, where_it_is: "is no follow-up and stands behind it" };
            bench.problems.push(placed.problem(id, "closes-unless", wrong));
        }
        all.push((choice.id.clone(), unless));
    }
    all
}

/// Refuses a follow-up that does not stand right behind what it follows and the other follow-ups of it: it would be
/// asked out of place, and an early end would take effect before it.
pub fn follow_ups_stand_right_behind(raws: &[&Placed<RawQuestion>], bench: &mut Bench<'_>) {
    for (place, raw) in raws.iter().enumerate() {
        let (ix, Some(above)) = (QuestionIx(place), bench.written[place]) else { continue };
        let between = (above.0 + 1..ix.0).map(QuestionIx).find(|other| !bench.stands_below(*other, above));
        if let Some(between) = between.filter(|_| above < ix) {
            let name = |ix: QuestionIx| bench.questions[ix.0].id.to_string();
            let wrong = Wrong::FollowsApart { above: name(above), between: name(between) };
            bench.problems.push(raw.problem(raw.raw.id.as_str(), "follows", wrong));
        }
    }
}

/// The question a follow-up follows, which must stand before it.
fn above_of(
    ix: QuestionIx,
    above: &QuestionId,
    placed: &Placed<RawQuestion>,
    bench: &mut Bench<'_>,
) -> Option<QuestionIx> {
    let found = bench.by_id.get(above).copied();
    let wrong = match found {
        Some(above_ix) if above_ix < ix => return Some(above_ix),
        Some(_) => Wrong::FollowsLater(above.to_string()),
        None => {
            let known = bench.questions.iter().map(|question| question.id.as_str());
            Wrong::unknown(Thing::Question, above.as_str(), known)
        }
    };
    bench.problems.push(placed.problem(placed.raw.id.as_str(), "follows", wrong));
    None
}

fn untold_of(ix: QuestionIx, placed: &Placed<RawQuestion>, bench: &mut Bench<'_>) -> Option<Untold> {
    let id = placed.raw.id.as_str();
    let (choice, when, once_passed) = match placed.raw.untold.as_ref()? {
        RawUntold::Always(choice) => (choice, None, false),
        RawUntold::Sometimes(some) => {
            (&some.choice, bench.optional(placed, id, "untold", some.when.as_ref()), some.once_passed)
        }
    };
    let question = &bench.questions[ix.0];
    if question.choice(choice).is_none() || !matches!(question.kind, Kind::One(_)) {
        bench.problems.push(placed.problem(id, "untold", Wrong::UntoldChoice(choice.to_string())));
    }
    if let Some(when) = &when {
        only_earlier(when, ix, placed, bench);
    }
    Some(Untold { choice: choice.clone(), when, once_passed })
}

/// A question is asked by what stands before it, so that a path always ends.
fn only_earlier(when: &Condition, ix: QuestionIx, placed: &Placed<RawQuestion>, bench: &mut Bench<'_>) {
    for other in late(when, &|other| other >= ix, bench) {
        bench.problems.push(placed.problem(
            placed.raw.id.as_str(),
            "when",
            Wrong::TooLate { other, where_it_is: "does not stand before it" },
        ));
    }
}

/// What a condition looks at that stands too late, in words.
pub fn late(when: &Condition, too_late: &dyn Fn(QuestionIx) -> bool, bench: &Bench<'_>) -> Vec<String> {
    let mut late = Vec::new();
    when.visit(&mut |named| match named {
        Named::Question(other) if too_late(other) => late.push(bench.questions[other.0].id.to_string()),
        Named::Question(_) => {}
        Named::Measure(measure) => {
            let about = &bench.measures[measure.0];
            let reads = about.reads.iter().filter(|other| too_late(**other));
            late.extend(reads.map(|other| format!("{} (read by {})", bench.questions[other.0].id, about.name)));
        }
    });
    late
}
