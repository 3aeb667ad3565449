//! Preparing a turn: all that a way of talking needs to ask one question.

use std::sync::Arc;

use crate::answers::LateReader;
use crate::answers::parse::{Market, dollar_in};
use crate::answers::{Context, Said, Value};
use crate::knowledge::{CardLine, Knowledge, Question, QuestionIx, Term, roles};
use crate::path::plan::Plan;
use crate::path::sitting::Sitting;
use crate::path::{Path, State, wanted_entries};
use crate::talk::{Card, Earlier, Turn};

use super::visit;

/// Prepares the turn of a question on the path.
#[must_use]
pub fn prepare<'a>(
    path: &'a Path<'a>,
    ix: QuestionIx,
    reader: &Arc<LateReader>,
    (plan, budget): (&Plan, f64),
    sitting: &mut Sitting,
) -> Turn<'a> {
    let knowledge = path.knowledge;
    let question = knowledge.question(ix);
    let view = path.view();
    let answer = path.record.answer(ix);
    Turn {
        ix,
        question,
        context: context(path, ix, reader),
        texts: view.texts(question),
        header: visit::header(path, plan, ix, budget),
        card: card_of(path, ix, plan, sitting),
        warned: sitting.before(&view, ix),
        tools: visit::tools(path, ix),
        minutes: view.minutes(question),
        picture: question.picture.as_ref().and_then(|id| knowledge.picture(id)),
        wait: question.wait.as_ref(),
        terms: terms_in(knowledge, question),
        glossary: &knowledge.terms,
        before: answer.said.as_ref().map(said_text),
        note: answer.note.as_deref(),
        photos: &answer.photos,
        so_far: so_far(path),
    }
}

/// The card of a run before its first question, with what fits this motor and this plan.
fn card_of<'a>(path: &'a Path<'a>, ix: QuestionIx, plan: &Plan, sitting: &mut Sitting) -> Option<Card<'a>> {
    let view = path.view();
    let card = sitting.card(&view, ix)?;
    let comes = |look: QuestionIx| {
        look == ix || plan.holds(look) || path.step(look).is_some_and(|step| step.state == State::Value)
    };
    let shown = |lines: &'a [CardLine]| -> Vec<&'a str> {
        let fitting = view.lines(lines).into_iter().filter(|line| line.look.is_none_or(comes));
        fitting.map(|line| line.text.as_str()).collect()
    };
    Some(Card { title: &card.title, level: card.level, cautions: shown(&card.cautions), watch: shown(&card.watch) })
}

fn context(path: &Path<'_>, ix: QuestionIx, reader: &Arc<LateReader>) -> Context {
    Context {
        wanted: wanted_entries(path.knowledge, ix, &path.live, path.date),
        year: path.date.year(),
        currency: path.live.get(roles::CURRENCY).map(str::to_owned),
        market: market(path, ix),
        reader: Some(Arc::clone(reader)),
    }
}

/// What a price can be held against: the power, and where the price asked for is not what is being read, that.
fn market(path: &Path<'_>, ix: QuestionIx) -> Market {
    let live = &path.live;
    let asking = live.get(roles::ASKING_PRICE).filter(|_| ix != path.knowledge.ask(roles::ASKING_PRICE.any));
    Market {
        prices: asking.into_iter().collect(),
        power: live.get(roles::CLAIMED_POWER).map(|power| power.0),
        dollar: dollar_in(live.get(roles::CURRENCY), live.get(roles::PARTS_SCALE)),
    }
}

/// What was said, as text that typed again gives the same.
fn said_text(said: &Said) -> String {
    match said {
        Said::Value(value) => value.to_text(),
        Said::CantTell => "can't tell".into(),
        Said::NotDone(reason) if reason.is_empty() => "not done".into(),
        Said::NotDone(reason) => format!("not done: {reason}"),
    }
}

/// What was said, in words for people: labels instead of ids.
#[must_use]
pub fn said_words(question: &Question, said: &Said) -> String {
    let label = |id: &crate::knowledge::ChoiceId| {
        question.choice(id).map_or_else(|| id.to_string(), |choice| choice.label.to_string())
    };
    match said {
        Said::Value(Value::One(choice)) => label(choice),
        Said::Value(Value::Many(choices)) => choices.iter().map(label).collect::<Vec<_>>().join("; "),
        Said::Value(Value::Each(each)) if each.alike().is_some() => {
            each.alike().map_or_else(String::new, |all| format!("all: {}", label(all)))
        }
        Said::Value(Value::Each(each)) => {
            let each = each
                .choices()
                .iter()
                .enumerate()
                .map(|(place, choice)| format!("{}: {}", place + 1, label(choice)));
            each.collect::<Vec<_>>().join("; ")
        }
        other => said_text(other),
    }
}

fn so_far<'a>(path: &Path<'a>) -> Vec<Earlier<'a>> {
    let said = path.steps.iter().filter_map(|step| {
        let question = path.knowledge.question(step.question);
        let said = path.record.answer(step.question).said.as_ref()?;
        Some(Earlier { ix: step.question, brief: &question.brief, text: said_words(question, said) })
    });
    said.collect()
}

/// The glossary's words that stand in a question, in the order of the glossary.
fn terms_in<'a>(knowledge: &'a Knowledge, question: &Question) -> Vec<&'a Term> {
    let mut text = format!(" {} ", words_of(&question.ask));
    for choice in question.choices() {
        text.push_str(&words_of(&choice.label));
        text.push(' ');
    }
    let stands = |name: &str| {
        // Most are told apart by their first word.
        let first = name.split(|c: char| !c.is_alphanumeric()).find(|word| !word.is_empty()).unwrap_or_default();
        if !text.contains(&first.to_lowercase()) {
            return false;
        }
        let name = words_of(name);
        text.contains(&format!(" {name} ")) || text.contains(&format!(" {name}s "))
    };
    knowledge.terms.iter().filter(|term| stands(&term.term) || term.also.iter().any(|name| stands(name))).collect()
}

/// Lower case, everything but letters and digits as single blanks.
fn words_of(text: &str) -> String {
    let spaced: String = text.to_lowercase().chars().map(|c| if c.is_alphanumeric() { c } else { ' ' }).collect();
    spaced.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::load_shipped;

    /// The trade's words of a question, by any of their names, and none that only begins alike.
    #[test]
    fn the_words_of_a_question_are_found() {
        let data = load_shipped();
        let of = |id: &str| {
            let ix = data.find(id).expect("a question");
            terms_in(&data, data.question(ix)).into_iter().map(|term| term.term.to_string()).collect::<Vec<_>>()
        };
        assert!(of("telltale").iter().any(|term| term.contains("telltale")), "{:?}", of("telltale"));
        assert!(of("primer-bulb").iter().any(|term| term.contains("bulb")), "{:?}", of("primer-bulb"));
        assert!(!of("asking-price").iter().any(|term| term.contains("telltale") || term.contains("bulb")));
    }
}
