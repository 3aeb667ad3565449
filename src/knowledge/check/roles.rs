//! The questions and items the code speaks of, looked up once.

use std::collections::HashMap;

use crate::knowledge::ids::{ItemIx, QuestionId, QuestionIx};
use crate::knowledge::model::{Choice, Item, Kind, Question};
use crate::knowledge::raw::{RawItem, RawQuestion};
use crate::knowledge::read::{Placed, Problem};
use crate::knowledge::roles::{AboutRole, ITEM_ROLES, ROLES, Wanted};
use crate::knowledge::{near, near_name};

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
    let message = format!("the program counts on a question \"{id}\", and there is none");
    let known = raws.iter().map(|raw| raw.raw.id.as_str());
    let nearest = near_name(id, known).and_then(|like| raws.iter().find(|raw| raw.raw.id == like));
    match nearest.or(raws.first()) {
        Some(at) => {
            let like = near(id, raws.iter().map(|raw| raw.raw.id.as_str()));
            at.problem(id, "id", format!("{message}{like}"))
        }
        None => {
            Problem { file: "questions".into(), line: 1, id: Some(id.into()), field: Some("id".into()), message }
        }
    }
}

/// What keeps a question from being what its role needs.
fn unfit(role: &AboutRole, question: &Question) -> Vec<String> {
    let dimension = |wanted: fn() -> crate::units::Dimension, have: crate::units::Dimension, what: &str| {
        let wanted = wanted();
        let told = || format!("the program counts on {what} of {}, this is of {}", wanted.name(), have.name());
        if wanted == have { Vec::new() } else { vec![told()] }
    };
    match (&role.wanted, &question.kind) {
        (Wanted::One(names), Kind::One(choices)) | (Wanted::Each(names), Kind::Each(choices)) => {
            names.iter().filter_map(|name| without(name, choices)).collect()
        }
        (Wanted::Amount(wanted), Kind::Amount(amount)) => dimension(*wanted, amount.dimension, "an amount"),
        (Wanted::Readings(wanted), Kind::Readings(amount, _)) => dimension(*wanted, amount.dimension, "readings"),
        (Wanted::Text(wanted), Kind::Text(form)) if wanted == form => Vec::new(),
        (Wanted::Count, Kind::Count { .. })
        | (Wanted::Year, Kind::Year { .. })
        | (Wanted::Money, Kind::Money { .. })
        | (Wanted::Prices, Kind::Prices { .. })
        | (Wanted::Any, _) => Vec::new(),
        (wanted, _) => vec![format!("the program counts on its being {}", in_words(*wanted))],
    }
}

fn without(name: &str, choices: &[Choice]) -> Option<String> {
    let known = choices.iter().map(|choice| choice.id.as_str());
    (!choices.iter().any(|choice| choice.id == name))
        .then(|| format!("the program counts on a choice \"{name}\"{}", near(name, known)))
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
        let names = || raws.iter().map(|raw| raw.raw.id.as_str());
        let message = format!("the program counts on an item \"{id}\", and there is none{}", near(id, names()));
        let nearest = near_name(id, names()).and_then(|like| raws.iter().find(|raw| raw.raw.id == like));
        problems.push(match nearest.or(raws.first()) {
            Some(at) => at.problem(id, "id", message),
            None => Problem {
                file: "costs.json".into(),
                line: 1,
                id: Some((*id).into()),
                field: Some("id".into()),
                message,
            },
        });
    }
    places
}
