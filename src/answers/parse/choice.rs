//! Choices by id, number, label or listed word, exactly as they stand; other words are read in [`super::said`].

use std::collections::BTreeSet;

use crate::knowledge::{Choice, ChoiceId, Text};

use crate::answers::Each;
use crate::answers::record::Said;
use crate::answers::value::Value;

use super::{Proposal, Refusal};

/// One choice.
pub fn parse_one(choices: &[Choice], typed: &str) -> Result<ChoiceId, Refusal> {
    let places = exactly(choices, typed);
    match places.as_slice() {
        [one] => Ok(choices[*one].id.clone()),
        [] => Err(unknown(choices, typed)),
        several => Err(unclear(choices, typed, several)),
    }
}

/// One or more choices, in the order of the data; a lone one can't stand with others.
pub fn parse_many(choices: &[Choice], typed: &str) -> Result<Vec<ChoiceId>, Refusal> {
    let picked: BTreeSet<usize> = parse_list(choices, typed)?.into_iter().collect();
    let lone = picked.iter().find(|place| choices[**place].alone);
    if let (Some(lone), true) = (lone, picked.len() > 1) {
        let others = picked.iter().filter(|place| *place != lone).map(|place| choices[*place].id.as_str());
        let others = others.collect::<Vec<_>>().join(", ");
        let lone = &choices[*lone].id;
        return Err(Refusal::new(format!(
            "{lone} and {others} can't both be so. Type {lone} alone, or leave it out."
        )));
    }
    Ok(picked.into_iter().map(|place| choices[place].id.clone()).collect())
}

/// One choice a cylinder; one typed once stands for all.
pub fn parse_each(choices: &[Choice], typed: &str, wanted: Option<usize>) -> Result<Each, Refusal> {
    let all_of = |text: &str| text.strip_prefix("all ").map(str::trim).map(str::to_owned);
    let typed = all_of(&typed.to_lowercase()).unwrap_or_else(|| typed.to_owned());
    let picked = parse_list(choices, &typed)?;
    if let Some(wanted) = wanted
        && picked.len() != 1
        && picked.len() != wanted
    {
        return Err(Refusal::new(format!(
            "I read {} for {wanted} cylinders. One word for each, in order from cylinder 1, or one when all are alike.",
            picked.len()
        )));
    }
    let ids: Vec<ChoiceId> = picked.into_iter().map(|place| choices[place].id.clone()).collect();
    Ok(match <[ChoiceId; 1]>::try_from(ids) {
        Ok([all]) => Each::All(all),
        Err(ids) => Each::Listed(ids),
    })
}

/// The choices of a list, in typed order: parts between commas and the like, else word by word.
fn parse_list(choices: &[Choice], typed: &str) -> Result<Vec<usize>, Refusal> {
    if let [one] = exactly(choices, typed).as_slice() {
        return Ok(vec![*one]);
    }
    let marked = typed.replace(" and ", ",").replace(" & ", ",").replace(" + ", ",");
    let mut picked = Vec::new();
    for part in marked.split([',', ';', '/']).map(str::trim).filter(|part| !part.is_empty()) {
        picked.extend(parse_part(choices, part)?);
    }
    if picked.is_empty() { Err(unknown(choices, typed)) } else { Ok(picked) }
}

fn parse_part(choices: &[Choice], part: &str) -> Result<Vec<usize>, Refusal> {
    if let [one] = exactly(choices, part).as_slice() {
        return Ok(vec![*one]);
    }
    let each: Vec<Vec<usize>> = part.split_whitespace().map(|word| exactly(choices, word)).collect();
    if !each.is_empty() && each.iter().all(|found| found.len() == 1) {
        return Ok(each.into_iter().flatten().collect());
    }
    Err(unknown(choices, part))
}

/// Lower case, hyphens and other marks as single blanks.
fn normal(text: &str) -> String {
    let spaced: String = text.to_lowercase().chars().map(|c| if c.is_alphanumeric() { c } else { ' ' }).collect();
    spaced.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Choices whose number, id, label or one of whose words is exactly this.
fn exactly(choices: &[Choice], typed: &str) -> Vec<usize> {
    // Answers files and saves hold ids, and no other choice has an id for a name.
    if let Some(place) = choices.iter().position(|choice| choice.id == typed) {
        return vec![place];
    }
    let wanted = normal(typed);
    if let Ok(number) = wanted.parse::<usize>() {
        return if (1..=choices.len()).contains(&number) { vec![number - 1] } else { Vec::new() };
    }
    (0..choices.len()).filter(|place| names(&choices[*place]).any(|name| name == wanted)).collect()
}

/// All names of a choice, normalised.
fn names(choice: &Choice) -> impl Iterator<Item = String> {
    let own = [choice.id.as_str(), choice.label.as_str()];
    own.into_iter().chain(choice.words.iter().map(Text::as_str)).map(normal)
}

pub fn unknown(choices: &[Choice], typed: &str) -> Refusal {
    let names: Vec<String> = choices.iter().map(|choice| choice.id.to_string()).collect();
    let near = crate::knowledge::near(&normal(typed), names.iter().map(String::as_str));
    let near = near.strip_prefix(", did").map_or_else(String::new, |rest| format!(" Did{rest}"));
    let message = format!(
        "I don't know {typed:?} here.{near} I take a number from 1 to {}, or one of: {}.",
        choices.len(),
        names.join(", ")
    );
    Refusal { strange: true, ..Refusal::new(message) }
}

fn unclear(choices: &[Choice], typed: &str, places: &[usize]) -> Refusal {
    let readings = places.iter().map(|place| Said::Value(Value::One(choices[*place].id.clone())));
    super::said::unclear(choices, typed, readings.map(Proposal::from).collect())
}
