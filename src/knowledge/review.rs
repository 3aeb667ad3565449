//! What a careful reader of the data would say: words, sentences, and evidence that leaves a question lopsided.
//!
//! Start at [`review`]. Nothing here keeps the program from running; `skeg questions check` tells it.

use std::collections::BTreeSet;

use super::condition::{AnswerTest, Condition, Named};
use super::ids::{ChoiceId, FaultIx, FindingIx, QuestionIx};
use super::model::{Finding, Grade, Kind, Knowledge, Question};
use super::read::Problem;
use super::text::Text;
use super::words::Place;
use super::wrong::Wrong;

/// Words everybody knows, one a line.
const COMMON: &str = include_str!("common-words.txt");
/// Every stage reads at this school grade or easier.
const GRADE: f64 = 7.0;

/// Everything a careful reader would say.
#[must_use]
pub fn review(knowledge: &Knowledge) -> Vec<Problem> {
    let mut found = Vec::new();
    for place in 0..knowledge.stages.len() {
        let index = readability(texts_of_stage(knowledge, place).into_iter());
        if index > GRADE {
            let wrong = Wrong::Grade { index, most: GRADE };
            found.push(knowledge.marks.stage(place, knowledge, "texts", wrong));
        }
    }
    let known = known_words(knowledge);
    for ix in knowledge.places() {
        for word in hard_words(knowledge.question(ix), &known) {
            found.push(knowledge.marks.question(ix, knowledge, "ask", Wrong::HardWord(word)));
        }
        for fault in only_for(knowledge, ix) {
            let wrong = Wrong::FollowUpOnlyAgainst(knowledge.faults[fault.0].id.to_string());
            found.push(knowledge.marks.question(ix, knowledge, "evidence", wrong));
        }
    }
    for ix in (0..knowledge.findings.len()).map(FindingIx) {
        if speaks_for_nothing(knowledge, &knowledge.findings[ix.0]) {
            found.push(knowledge.marks.finding(ix, knowledge, "for", Wrong::SpeaksForNothing));
        }
        if let Some(other) = stands_beside(knowledge, &knowledge.findings[ix.0]) {
            let wrong = Wrong::GoodBesideBad(other.id.to_string());
            found.push(knowledge.marks.finding(ix, knowledge, "when", wrong));
        }
    }
    found
}

/// The problem that a name of one choice reads as another choice of its question.
#[must_use]
pub fn misread(knowledge: &Knowledge, ix: QuestionIx, name: &str, other: &str) -> Problem {
    let wrong = Wrong::ReadsAs { name: name.to_owned(), other: other.to_owned() };
    knowledge.marks.question(ix, knowledge, "words", wrong)
}

/// Automated readability index, Smith and Senter, AMRL-TR-66-220 (1967), formula from memory:
/// 4.71 letters/word + 0.5 words/sentence - 21.43.
#[must_use]
pub fn readability<'t>(texts: impl Iterator<Item = &'t str>) -> f64 {
    let (mut letters, mut words, mut sentences) = (0, 0, 0);
    for text in texts {
        letters += text.chars().filter(|c| c.is_alphanumeric()).count();
        words += text.split_whitespace().filter(|word| word.chars().any(char::is_alphanumeric)).count();
        // A point inside a figure ends no sentence.
        let ended = text.replace(['!', '?'], ".").replace(".\n", ". ");
        sentences += ended.split(". ").filter(|part| part.chars().any(char::is_alphanumeric)).count();
    }
    if words == 0 || sentences == 0 {
        return 0.0;
    }
    4.71 * letters as f64 / words as f64 + 0.5 * words as f64 / sentences as f64 - 21.43
}

/// What the buyer reads of a stage.
fn texts_of_stage(knowledge: &Knowledge, place: usize) -> Vec<&str> {
    let questions = knowledge.questions.iter().filter(|question| question.stage == place);
    let findings = knowledge.findings.iter().filter(|finding| finding.stage == place);
    let told = findings.flat_map(|finding| {
        [Some(&finding.means), finding.innocent.as_ref(), finding.what_to_do.as_ref(), finding.bargain.as_ref()]
    });
    let told = told.flatten().map(Text::as_str);
    questions.flat_map(texts_of).chain(told).chain([knowledge.stages[place].about.as_str()]).collect()
}

/// What the buyer reads of a question.
fn texts_of(question: &Question) -> Vec<&str> {
    let mut all: Vec<&str> = vec![&question.ask, &question.why];
    all.extend(question.act.as_deref());
    all.extend(question.how.iter().map(Text::as_str));
    all.extend(question.replies.iter().map(|reply| reply.text.as_str()));
    all.extend(question.wait.iter().map(|wait| wait.text.as_str()));
    for variant in &question.variants {
        all.extend([&variant.ask, &variant.act, &variant.why].into_iter().flatten().map(Text::as_str));
        all.extend(variant.how.iter().flatten().map(Text::as_str));
    }
    for choice in question.choices() {
        all.push(&choice.label);
        all.extend(choice.reply.as_deref());
        all.extend(choice.because.as_deref());
    }
    all
}

fn words_of(text: &str) -> Vec<String> {
    let lower = text.to_lowercase();
    let words = lower.split(|c: char| !c.is_ascii_lowercase() && c != '\'').map(|word| word.trim_matches('\''));
    words.filter(|word| !word.is_empty()).map(str::to_owned).collect()
}

/// Common words and those the glossary tells.
fn known_words(knowledge: &Knowledge) -> BTreeSet<String> {
    let mut known: BTreeSet<String> = COMMON.lines().map(str::to_owned).collect();
    for term in knowledge.terms.iter() {
        known.extend(words_of(&term.term));
        known.extend(term.also.iter().flat_map(|name| words_of(name)));
    }
    known
}

/// Words of a question that are neither.
fn hard_words(question: &Question, known: &BTreeSet<String>) -> BTreeSet<String> {
    let labels = question.choices().iter().map(|choice| choice.label.as_str());
    let all = labels.chain([question.ask.as_str()]).flat_map(words_of);
    all.filter(|word| !known.contains(word) && !known.contains(word.trim_end_matches('s'))).collect()
}

/// Faults a follow-up speaks for while nothing in the data speaks against them: such a look could only ever cost.
fn only_for(knowledge: &Knowledge, ix: QuestionIx) -> BTreeSet<FaultIx> {
    if knowledge.question(ix).follows.is_none() {
        return BTreeSet::new();
    }
    let own = knowledge.findings.iter().filter(|finding| finding.last == Some(ix));
    let spoken = own.flat_map(|finding| finding.speaks_for.iter().map(|(fault, _)| *fault));
    let against = |fault: &FaultIx| {
        knowledge.findings.iter().flat_map(|finding| &finding.against).any(|(about, _)| about == fault)
    };
    spoken.filter(|fault| !against(fault)).collect()
}

/// A stop or serious finding about the motor's soundness that leads to no fault. Findings that combine several looks
/// leave the evidence to those; identity, papers and fit are looked at elsewhere than on the motor.
fn speaks_for_nothing(knowledge: &Knowledge, finding: &Finding) -> bool {
    let grave = matches!(finding.grade, Grade::Stop | Grade::Serious);
    let silent = finding.speaks_for.is_empty() && finding.instead.iter().all(|case| case.speaks_for.is_empty());
    let elsewhere = finding.story.is_some() || !finding.costs.is_empty();
    let on_the_motor = |ix: QuestionIx| {
        let place = knowledge.question(ix).place;
        place.is_some_and(|place| !matches!(place, Place::Home | Place::Seller | Place::Outside))
    };
    let looks = looks_of(knowledge, finding);
    grave && silent && !elsewhere && looks.len() == 1 && looks.iter().all(|ix| on_the_motor(*ix))
}

/// The looks a finding rests on, follow-ups counted as what they follow.
fn looks_of(knowledge: &Knowledge, finding: &Finding) -> BTreeSet<QuestionIx> {
    let mut all = BTreeSet::new();
    finding.when.visit(&mut |named| match named {
        Named::Question(ix) => {
            all.insert(knowledge.root_of(ix));
        }
        Named::Measure(id) => all.extend(knowledge.measure(id).needs.iter().map(|ix| knowledge.root_of(*ix))),
    });
    all
}

/// A bad finding that one and the same answer fires beside this good one, and that says the contrary.
fn stands_beside<'k>(knowledge: &'k Knowledge, good: &Finding) -> Option<&'k Finding> {
    if good.grade != Grade::Good {
        return None;
    }
    let on = only_question(&good.when)?;
    let contrary = |bad: &&Finding| {
        bad.grade != Grade::Good
            && only_question(&bad.when) == Some(on)
            && bad.speaks_for.iter().any(|(fault, _)| good.against.iter().any(|(about, _)| about == fault))
    };
    let answers = answers_of(knowledge.question(on));
    let both = |bad: &&Finding| answers.iter().any(|answer| holds(&good.when, answer) && holds(&bad.when, answer));
    knowledge.findings.iter().filter(contrary).find(both)
}

/// The question a condition looks at, where it looks at choices of one alone.
fn only_question(when: &Condition) -> Option<QuestionIx> {
    let mut all = BTreeSet::new();
    let mut measures = false;
    when.visit(&mut |named| match named {
        Named::Question(ix) => {
            all.insert(ix);
        }
        Named::Measure(_) => measures = true,
    });
    let one = if all.len() == 1 { all.first().copied() } else { None };
    one.filter(|_| !measures)
}

/// Every answer of one choice, and of a list every pair.
fn answers_of(question: &Question) -> Vec<Vec<&ChoiceId>> {
    let choices: Vec<&ChoiceId> = question.choices().iter().map(|choice| &choice.id).collect();
    let mut all: Vec<Vec<&ChoiceId>> = choices.iter().map(|choice| vec![*choice]).collect();
    if matches!(question.kind, Kind::Many(_) | Kind::Each(_)) {
        let alone = |id: &ChoiceId| question.choice(id).is_some_and(|choice| choice.alone);
        for (place, one) in choices.iter().enumerate() {
            let others = choices[place + 1..].iter().filter(|other| !alone(one) && !alone(other));
            all.extend(others.map(|other| vec![*one, *other]));
        }
    }
    all
}

/// Whether a condition on choices of one question is yes for an answer.
fn holds(when: &Condition, answer: &[&ChoiceId]) -> bool {
    match when {
        Condition::Answer(_, AnswerTest::AnyOf(wanted) | AnswerTest::Has(wanted)) => {
            answer.iter().any(|choice| wanted.contains(choice))
        }
        Condition::Answer(_, AnswerTest::Only(wanted)) => answer.iter().all(|choice| wanted.contains(choice)),
        Condition::Answer(_, AnswerTest::Answered(answered)) => *answered,
        Condition::Answer(..) | Condition::Measure(..) => false,
        Condition::All(parts) => parts.iter().all(|part| holds(part, answer)),
        Condition::Any(parts) => parts.iter().any(|part| holds(part, answer)),
        Condition::Not(part) => !holds(part, answer),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::load_shipped;

    /// The Automated Readability Index by hand: 4.71 letters a word, half a word a sentence, less 21.43.
    #[test]
    fn the_grade_is_that_of_the_formula() {
        let ten = "abcde abcde abcde abcde abcde abcde abcde abcde abcde abcde.";
        let by_hand = 4.71 * 5.0 + 0.5 * 10.0 - 21.43;
        assert!((readability([ten].into_iter()) - by_hand).abs() < 1e-9);
        let two = "abcde abcde abcde. Abcde abcde, abcde? ";
        let by_hand = 4.71 * 5.0 + 0.5 * 3.0 - 21.43;
        assert!((readability([two, two].into_iter()) - by_hand).abs() < 1e-9);
        let figure = "It is 9.6 here.";
        let by_hand = 4.71 * (4.0 + 2.0 + 4.0) / 4.0 + 0.5 * 4.0 - 21.43;
        assert!((readability([figure].into_iter()) - by_hand).abs() < 1e-9, "a point in a figure ends nothing");
        assert_eq!(readability([""].into_iter()), 0.0);
    }

    /// Two choices that stand together are one answer; what stands alone has no company.
    #[test]
    fn the_answers_of_a_list_are_its_choices_and_their_pairs() {
        let knowledge = load_shipped();
        for question in knowledge.questions.iter().filter(|one| matches!(one.kind, Kind::Many(_) | Kind::Each(_))) {
            let all = answers_of(question);
            let free = question.choices().iter().filter(|choice| !choice.alone).count();
            assert_eq!(all.len(), question.choices().len() + free * (free - 1) / 2, "{}", question.id);
            let company = all.iter().filter(|answer| answer.len() == 2).flatten();
            let lone = |id: &&ChoiceId| question.choice(id).is_some_and(|choice| choice.alone);
            assert_eq!(company.copied().find(lone), None, "{}", question.id);
        }
    }
}
