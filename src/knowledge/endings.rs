//! Which choices are asked about once more before they are taken: those that bring a stop or close something.

use super::condition::{AnswerTest, Condition};
use super::ids::{ChoiceId, QuestionIx};
use super::model::{Choice, Finding, Grade, Kind, Question};

/// Marks the choices that close something, or on which a finding graded stop can rest.
pub fn mark(questions: &mut [Question], findings: &[Finding]) {
    let stops: Vec<&Finding> = findings.iter().filter(|finding| finding.grade == Grade::Stop).collect();
    for (place, question) in questions.iter_mut().enumerate() {
        let ix = QuestionIx(place);
        let (Kind::One(choices) | Kind::Many(choices) | Kind::Each(choices)) = &mut question.kind else { continue };
        let ids: Vec<ChoiceId> = choices.iter().map(|choice| choice.id.clone()).collect();
        for choice in choices {
            choice.ends = !choice.closes.is_empty() || stops.iter().any(|stop| brings(stop, ix, choice, &ids));
        }
    }
}

/// Whether this choice alone makes the finding fire, or is the last piece of it.
fn brings(stop: &Finding, ix: QuestionIx, choice: &Choice, all: &[ChoiceId]) -> bool {
    match with(&stop.when, ix, &choice.id) {
        Some(yes) => yes && all.iter().any(|other| with(&stop.when, ix, other) != Some(true)),
        None => stop.last == Some(ix) && all.iter().any(|other| with(&stop.when, ix, other) == Some(false)),
    }
}

/// The condition where nothing but this answer is known; `None` where more must be known.
fn with(condition: &Condition, ix: QuestionIx, choice: &ChoiceId) -> Option<bool> {
    match condition {
        Condition::Answer(at, test) if *at == ix => Some(match test {
            AnswerTest::AnyOf(ids) | AnswerTest::Has(ids) | AnswerTest::Only(ids) => ids.contains(choice),
            AnswerTest::Answered(wanted) => *wanted,
            AnswerTest::AtLeast(_) | AnswerTest::AtMost(_) => false,
        }),
        Condition::Answer(..) | Condition::Measure(..) => None,
        Condition::Not(part) => with(part, ix, choice).map(|yes| !yes),
        Condition::All(parts) => folded(parts, ix, choice, false),
        Condition::Any(parts) => folded(parts, ix, choice, true),
    }
}

/// One part of that worth decides; else all must be known.
fn folded(parts: &[Condition], ix: QuestionIx, choice: &ChoiceId, decides: bool) -> Option<bool> {
    let mut known = true;
    for part in parts {
        match with(part, ix, choice) {
            Some(yes) if yes == decides => return Some(decides),
            Some(_) => {}
            None => known = false,
        }
    }
    known.then_some(!decides)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::load_shipped;

    const OIL: QuestionIx = QuestionIx(0);
    const SMELL: QuestionIx = QuestionIx(1);

    fn is(ix: QuestionIx, choice: &str) -> Condition {
        Condition::Answer(ix, AnswerTest::AnyOf(vec![choice.into()]))
    }

    /// The ids of the second question's choices that are asked about once more, with a stop of that condition.
    fn asked_again(when: Condition, last: QuestionIx) -> Vec<String> {
        let data = load_shipped();
        let mut stop = data.findings.iter().find(|one| one.grade == Grade::Stop).expect("a stop").clone();
        (stop.when, stop.last) = (when, Some(last));
        let ix = data.find("stolen-check").expect("a question of one choice");
        let mut question = data.question(ix).clone();
        let Kind::One(choices) = &mut question.kind else { panic!("one choice") };
        choices.truncate(3);
        for (choice, id) in choices.iter_mut().zip(["yes", "no", "unknown"]) {
            (choice.id, choice.closes) = (id.into(), Vec::new());
        }
        let mut both = [question.clone(), question];
        mark(&mut both, &[stop]);
        let ends = both[SMELL.0].choices().iter().filter(|choice| choice.ends);
        ends.map(|choice| choice.id.to_string()).collect()
    }

    #[test]
    fn a_choice_that_brings_a_stop_is_asked_about_once_more() {
        assert_eq!(asked_again(is(SMELL, "yes"), SMELL), ["yes"]);
        assert_eq!(asked_again(is(OIL, "yes"), OIL), Vec::<String>::new(), "another question's");
        let no = Condition::Not(Box::new(is(SMELL, "no")));
        assert_eq!(asked_again(no, SMELL), ["yes", "unknown"]);
        let told_twice = vec![is(SMELL, "yes"), Condition::Not(Box::new(is(SMELL, "no")))];
        assert_eq!(asked_again(Condition::All(told_twice), SMELL), ["yes"]);
        let one_of = vec![is(SMELL, "yes"), is(SMELL, "no")];
        assert_eq!(asked_again(Condition::Any(one_of), SMELL), ["yes", "no"]);
    }

    /// Of a stop that rests on two answers the last one brings it: the first can still lead elsewhere.
    #[test]
    fn the_last_piece_of_a_stop_is_asked_about_once_more() {
        let both = || Condition::All(vec![is(OIL, "yes"), is(SMELL, "yes")]);
        assert_eq!(asked_again(both(), SMELL), ["yes"]);
        assert_eq!(asked_again(both(), OIL), Vec::<String>::new());
        assert_eq!(asked_again(is(OIL, "yes"), SMELL), Vec::<String>::new(), "it does not hang on it");
        let any = || Condition::Any(vec![is(OIL, "yes"), is(SMELL, "yes")]);
        assert_eq!(asked_again(any(), OIL), ["yes"], "it does alone, whatever is asked last");
    }
}
