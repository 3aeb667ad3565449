//! The questions and items the code speaks of, looked up once.

use std::collections::HashMap;

use crate::knowledge::ids::{ItemIx, QuestionId, QuestionIx};
use crate::knowledge::model::{Choice, Item, Kind, Question};
use crate::knowledge::near_name;
use crate::knowledge::raw::{RawItem, RawQuestion};
use crate::knowledge::read::{Placed, Problem};
use crate::knowledge::roles::{AboutRole, ITEM_ROLES, ROLES, Wanted};
use crate::knowledge::wrong::{Thing, Wrong};
use crate::units::Dimension;

/// The place of each role's question, in the order of [`ROLES`]; none where it is missing.
pub fn resolve_roles(
    raws: &[&Placed<RawQuestion>],
    questions: &[Question],
    by_id: &HashMap<QuestionId, QuestionIx>,
    problems: &mut Vec<Problem>,
) -> Vec<Option<QuestionIx>> {
    let mut places = Vec::new();
    for (place, role) in ROLES.iter().enumerate() {
        let found = by_id.get(role.id).copied();
        let first = ROLES[..place].iter().all(|before| before.id != role.id);
        match found {
            Some(ix) => {
                let told = |message| raws[ix.0].problem(role.id, "kind", message);
                problems.extend(unfit(role, &questions[ix.0]).into_iter().map(told));
            }
            None if first => problems.push(missing(role.id, raws)),
            None => {}
        }
        places.push(found);
    }
    places
}

/// A question of that id is missing; told at the one whose name is nearest.
fn missing(id: &str, raws: &[&Placed<RawQuestion>]) -> Problem {
    let near = near_name(id, raws.iter().map(|raw| raw.raw.id.as_str()));
    let wrong = role_missing(Thing::Question, id, near);
    match raws.iter().find(|raw| near.is_some_and(|near| raw.raw.id == near)).or(raws.first()) {
        Some(at) => at.problem(id, "id", wrong),
        None => Problem::of_file("questions", wrong),
    }
}

fn role_missing(thing: Thing, id: &str, near: Option<&str>) -> Wrong {
    Wrong::RoleMissing { thing, name: id.to_owned(), near: near.map(str::to_owned) }
}

/// What keeps a question from being what its role needs.
fn unfit(role: &AboutRole, question: &Question) -> Vec<Wrong> {
    let dimension = |wanted: fn() -> Dimension, found: Dimension| {
        let wanted = wanted();
        if wanted == found { Vec::new() } else { vec![Wrong::RoleDimension { wanted, found }] }
    };
    match (&role.wanted, &question.kind) {
        (Wanted::One(names), Kind::One(choices)) | (Wanted::Each(names), Kind::Each(choices)) => {
            names.iter().filter_map(|name| without(name, choices)).collect()
        }
        (Wanted::Amount(wanted), Kind::Amount(amount)) | (Wanted::Readings(wanted), Kind::Readings(amount, _)) => {
            dimension(*wanted, amount.dimension)
        }
        (Wanted::Count, Kind::Count { .. })
        | (Wanted::Year, Kind::Year { .. })
        | (Wanted::Money, Kind::Money { .. })
        | (Wanted::Prices, Kind::Prices { .. })
        | (Wanted::Any, _) => Vec::new(),
        (Wanted::Text(wanted), Kind::Text(form)) if wanted == form => Vec::new(),
        (wanted, _) => vec![Wrong::RoleKind { wanted: in_words(*wanted) }],
    }
}

fn without(name: &str, choices: &[Choice]) -> Option<Wrong> {
    if choices.iter().any(|choice| choice.id == name) {
        return None;
    }
    let near = near_name(name, choices.iter().map(|choice| choice.id.as_str()));
    Some(Wrong::RoleChoice { name: name.to_owned(), near: near.map(str::to_owned) })
}

fn in_words(wanted: Wanted) -> String {
    match wanted {
        Wanted::One(_) => "one choice".into(),
        Wanted::Each(_) => "one choice a cylinder".into(),
        Wanted::Amount(dimension) => format!("an amount of {}", dimension().name()),
        Wanted::Readings(dimension) => format!("readings of {}", dimension().name()),
        Wanted::Count => "a count".into(),
        Wanted::Year => "a year".into(),
        Wanted::Money => "money".into(),
        Wanted::Prices => "prices".into(),
        Wanted::Text(form) => format!("a text of the form {form:?}").to_lowercase(),
        Wanted::Any => "anything".into(),
    }
}

/// The place of each item role, in the order of [`ITEM_ROLES`].
pub fn resolve_item_roles(raws: &[Placed<RawItem>], items: &[Item], problems: &mut Vec<Problem>) -> Vec<ItemIx> {
    let mut places = Vec::new();
    for id in ITEM_ROLES {
        if let Some(place) = items.iter().position(|item| item.id == *id) {
            places.push(ItemIx(place));
            continue;
        }
        let near = near_name(id, raws.iter().map(|raw| raw.raw.id.as_str()));
        let wrong = role_missing(Thing::Item, id, near);
        let nearest = raws.iter().find(|raw| near.is_some_and(|near| raw.raw.id == near));
        problems.push(match nearest.or(raws.first()) {
            Some(at) => at.problem(id, "id", wrong),
            None => Problem::of_file("costs.json", wrong),
        });
    }
    places
}
