//! Laws of the judgement over random interviews: what must never happen, whatever was answered.

mod support;

use proptest::prelude::*;
use skeg::{Call, Judgement, judge, rounded};
use skeg::{Choice, ChoiceId, Grade, Kind, QuestionIx};
use skeg::{Outcome, Record, Said, Settled, Value};
use skeg::{State, walk};
use support::{TODAY, knowledge, nearly_sound_record, random_record};

/// How many motors each law is tried on; `SKEG_LAWS` tries more.
fn motors() -> u32 {
    std::env::var("SKEG_LAWS").ok().and_then(|count| count.parse().ok()).unwrap_or(48)
}

fn judged(record: &Record) -> Judgement<'_> {
    judge(knowledge(), record, TODAY)
}

fn ceiling(judgement: &Judgement<'_>) -> f64 {
    // With a stop there is no price at all, which is the worst there is; at a hinge none is said, but there is one.
    judgement.money.reckoned.map_or(-1.0, rounded)
}

/// How bad an answer is by the findings its question, or a follow-up left open, makes fire: good −1, nothing 0,
/// minor 1, serious 2, stop 3.
fn badness(judgement: &Judgement<'_>, question: QuestionIx) -> i32 {
    let findings = judgement.findings.fired.iter().map(|fired| &knowledge().findings[fired.finding.0]);
    let rests = |last: QuestionIx| knowledge().root_of(last) == question || looks_again(last, question);
    let own = findings.filter(|finding| finding.last.is_some_and(rests)).map(|finding| match finding.grade {
        Grade::Good => -1,
        Grade::Minor => 1,
        Grade::Serious => 2,
        Grade::Stop => 3,
    });
    let all: Vec<i32> = own.collect();
    if all.iter().all(|bad| *bad < 0) {
        all.into_iter().min().unwrap_or(0)
    } else {
        all.into_iter().max().unwrap_or(0)
    }
}

/// A second look at what another question saw, such as the dipstick wiped and read again, counts with the first.
fn looks_again(last: QuestionIx, first: QuestionIx) -> bool {
    [("dipstick-again", "dipstick")].contains(&(id_of(last), id_of(first)))
}

fn id_of(ix: QuestionIx) -> &'static str {
    knowledge().question(ix).id.as_str()
}

/// The record with another value at a question, its follow-ups unanswered.
fn with(record: &Record, question: QuestionIx, said: Option<Said>) -> Record {
    let mut changed = record.clone();
    changed.answer_mut(question).said = said;
    for other in knowledge().places().filter(|other| *other != question && knowledge().root_of(*other) == question)
    {
        changed.answer_mut(other).said = None;
    }
    changed
}

/// The questions asked, follow-ups of one question left out, and what ended early.
fn asked(record: &Record, without: QuestionIx) -> Vec<QuestionIx> {
    let path = walk(knowledge(), record, TODAY);
    path.steps.iter().map(|step| step.question).filter(|ix| knowledge().root_of(*ix) != without).collect()
}

/// The questions on the path that take one choice and follow nothing.
fn choosable(record: &Record) -> Vec<QuestionIx> {
    let path = walk(knowledge(), record, TODAY);
    let one = |ix: &QuestionIx| matches!(knowledge().question(*ix).kind, Kind::One(_));
    let steps = path.steps.iter().map(|step| step.question).filter(one);
    steps.filter(|ix| knowledge().question(*ix).follows.is_none() && !knowledge().question(*ix).motor).collect()
}

fn picks() -> impl Strategy<Value = Vec<u16>> {
    prop::collection::vec(any::<u16>(), 40..160)
}

fn few() -> impl Strategy<Value = Vec<u16>> {
    prop::collection::vec(any::<u16>(), 0..25)
}

/// Every choice of every question against every other, on the sound motor of the examples.
#[test]
fn on_a_sound_motor_no_worse_answer_raises_the_ceiling() {
    let record = nearly_sound_record(&[]);
    let (mut compared, mut broken) = (0, Vec::new());
    for question in choosable(&record) {
        compared += compare_choices(&record, question, true, &mut broken);
    }
    assert!(broken.is_empty(), "{}", broken.join("\n"));
    assert!(compared > 100, "only {compared} pairs were compared");
}

/// Compares all choices of a question; how many pairs there were, and which broke the law.
///
/// An early end is compared only where all it shuts is well: of what was seen behind it nothing counts any more.
///
/// Nor is not having looked a milder answer, nor what the motor is a better or a worse answer (no belt, a throttle by wire), nor a missing look that only
/// holds the run until it is made up for.
fn compare_choices(record: &Record, question: QuestionIx, across_ends: bool, broken: &mut Vec<String>) -> usize {
    let mut outcomes: Vec<(i32, f64, ChoiceId, Vec<QuestionIx>, bool)> = Vec::new();
    let own = |choice: &Choice| choice.unseen || ["none-fitted", "by-wire"].contains(&choice.id.as_str());
    for choice in knowledge().question(question).choices().iter().filter(|choice| !own(choice)) {
        let changed = with(record, question, Some(Said::Value(Value::One(choice.id.clone()))));
        let judgement = judged(&changed);
        outcomes.push((
            badness(&judgement, question),
            ceiling(&judgement),
            choice.id.clone(),
            asked(&changed, question),
            !judgement.path.held.is_empty(),
        ));
    }
    let mut compared = 0;
    for (bad_a, ceiling_a, id_a, asked_a, holds_a) in &outcomes {
        for (bad_b, ceiling_b, id_b, asked_b, holds_b) in &outcomes {
            let alike = asked_a == asked_b || across_ends && (*holds_a || !holds_b);
            if bad_a > bad_b && alike {
                compared += 1;
                let dearer =
                    beyond_ordinary(record, question, id_a) + 1e-6 >= beyond_ordinary(record, question, id_b);
                if ceiling_a > ceiling_b || !dearer {
                    let id = &knowledge().question(question).id;
                    broken
                        .push(format!("{id}: {id_a} ({bad_a}) has {ceiling_a}, {id_b} ({bad_b}) has {ceiling_b}"));
                }
            }
        }
    }
    compared
}

proptest! {
    #![proptest_config(ProptestConfig { cases: motors(), failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_worse_answer_never_raises_the_ceiling(picks in few(), which in any::<usize>()) {
        let record = nearly_sound_record(&picks);
        let questions = choosable(&record);
        for offset in 0..6 {
            let question = questions[(which % questions.len() + offset * 7) % questions.len()];
            let mut broken = Vec::new();
            compare_choices(&record, question, false, &mut broken);
            prop_assert!(broken.is_empty(), "{}", broken.join("\n"));
        }
    }

    #[test]
    fn not_looking_is_never_better_than_a_clean_look(picks in few(), which in any::<usize>()) {
        let record = nearly_sound_record(&picks);
        let questions = choosable(&record);
        for offset in 0..6 {
            let question = questions[(which % questions.len() + offset * 11) % questions.len()];
            let unlooked = with(&record, question, None);
            let blind = ceiling(&judged(&unlooked));
            for choice in knowledge().question(question).choices() {
                let changed = with(&record, question, Some(Said::Value(Value::One(choice.id.clone()))));
                let judgement = judged(&changed);
                if badness(&judgement, question) < 0 && asked(&changed, question) == asked(&unlooked, question) {
                    prop_assert!(
                        blind <= ceiling(&judgement),
                        "{}: open has {blind}, {} has {}", knowledge().question(question).id, choice.id, ceiling(&judgement)
                    );
                }
            }
        }
    }

    #[test]
    fn more_bad_signs_never_cost_less(picks in few()) {
        let record = nearly_sound_record(&picks);
        let path = walk(knowledge(), &record, TODAY);
        for step in path.steps.iter().filter(|step| matches!(knowledge().question(step.question).kind, Kind::Many(_))) {
            let bad: Vec<ChoiceId> = knowledge().question(step.question).choices().iter()
                .filter(|choice| !choice.alone).map(|choice| choice.id.clone()).collect();
            if *knowledge().question(step.question).id.as_str() == *"included" {
                continue; // what comes with the motor: ticking is good
            }
            let mut before = f64::MIN;
            for count in 1..=bad.len() {
                let changed = with(&record, step.question, Some(Said::Value(Value::Many(bad[..count].to_vec()))));
                let cost = judged(&changed).money.cost.map_or(0.0, |cost| cost.mean());
                // A sign that shuts the trial afloat takes what only the trial could show off the path: a trifle.
                prop_assert!(cost >= before * 0.99 - 1e-6, "{} with {count} signs costs {cost}, with fewer {before}", knowledge().question(step.question).id);
                before = cost;
            }
        }
    }

    #[test]
    fn offers_and_worths_keep_their_order(picks in few()) {
        let record = nearly_sound_record(&picks);
        let judgement = judged(&record);
        let money = &judgement.money;
        if let Some(offers) = money.offers {
            prop_assert!(judgement.verdict.stops.is_empty());
            prop_assert!(offers.opening <= offers.aim && offers.aim <= offers.ceiling);
            prop_assert!(money.asking.is_none_or(|asking| offers.ceiling <= asking));
            prop_assert!(money.value.as_ref().is_some_and(|value| offers.ceiling <= value.mean() + 1e-6));
            prop_assert!(offers.opening >= 0.0);
            let sum: f64 = money.waterfall.iter().map(|step| step.sum).sum();
            prop_assert!((sum - offers.ceiling).abs() < 1e-9, "the waterfall gives {sum}, the ceiling is {}", offers.ceiling);
            let sure = money.how_sure.expect("a range beside each ceiling");
            prop_assert!(sure.least <= offers.ceiling && offers.ceiling <= sure.most && sure.least < sure.most, "{sure:?} {offers:?}");
        }
        if let Some(hinge) = money.hinge {
            prop_assert!(money.offers.is_none() && money.how_sure.is_none() && money.waterfall.is_empty());
            prop_assert!(hinge.faulty <= hinge.fine && !money.write_off);
            prop_assert!(judgement.verdict.call != Call::Fair, "{hinge:?}");
        }
        prop_assert!(money.know_all.is_none_or(|worth| worth >= 0.0));
        prop_assert!(money.look.is_none_or(|look| look >= 0.0 && money.know_all.is_some_and(|all| look <= all)));
        for next in judgement.checks.first.iter().chain(&judgement.checks.ranked) {
            prop_assert!(next.worth.is_none_or(|worth| worth >= 0.0));
        }
        let all: Vec<QuestionIx> = judgement.checks.ranked.iter().map(|next| next.question).collect();
        let mut before = 0.0;
        for count in 0..=all.len().min(6) {
            let together = judgement.checks.together(&all[..count]);
            prop_assert!(together >= before - 1e-6, "one look more is worth less: {together} after {before}");
            before = together;
        }
    }

    #[test]
    fn fine_never_lowers_and_faulty_never_raises_the_ceiling(picks in few()) {
        let record = nearly_sound_record(&picks);
        let judgement = judged(&record);
        let troubles = judgement.findings.fired.iter().filter(|fired| knowledge().findings[fired.finding.0].grade != Grade::Good);
        let mut points: Vec<&str> = troubles.map(|fired| knowledge().story_id(knowledge().story_of(fired.finding))).collect();
        points.extend(knowledge().faults.iter().step_by(7).map(|fault| fault.id.as_str()));
        points.sort_unstable();
        points.dedup();
        let before = judgement.money.reckoned.unwrap_or(-1.0);
        for point in points {
            let after = |outcome: Outcome| {
                let mut record = record.clone();
                record.settled.push(Settled::new(point, outcome));
                judged(&record).money.reckoned.unwrap_or(-1.0)
            };
            let (fine, faulty) = (after(Outcome::Fine), after(Outcome::Faulty));
            prop_assert!(fine >= before - 1e-6, "{point} fine: {before} becomes {fine}");
            prop_assert!(faulty <= before + 1e-6, "{point} faulty: {before} becomes {faulty}");
        }
    }

    #[test]
    fn no_price_while_the_owner_is_in_doubt(picks in picks(), which in 0usize..5) {
        let (question, choice) = [
            ("ownership", "not-shown"), ("serial-plate", "altered"), ("serial-matches", "no"),
            ("stolen-check", "hit"), ("second-number", "differs"),
        ][which];
        let mut record = random_record(&picks);
        if question == "second-number" {
            record.say(support::ix("serial-plate"), Said::Value(Value::One("worn".into())));
        }
        record.say(support::ix(question), Said::Value(Value::One(choice.into())));
        // An earlier end would keep the question off the path.
        record.answer_mut(support::ix("accept-shaft-change")).said = None;
        if question != "stolen-check" {
            record.answer_mut(support::ix("stolen-check")).said = None;
        }
        let judgement = judged(&record);
        prop_assert!(judgement.path.step(support::ix(question)).is_some());
        prop_assert!(judgement.money.offers.is_none() && judgement.money.know_all.is_none());
    }

    #[test]
    fn an_answer_changed_and_changed_back_restores_all(picks in picks(), which in any::<usize>(), other in any::<u16>()) {
        let record = random_record(&picks);
        let path = walk(knowledge(), &record, TODAY);
        let step = path.steps[which % path.steps.len()];
        let mut changed = record.clone();
        changed.say(step.question, support::random_said(&record, step.question, usize::from(other)));
        let _ = judged(&changed);
        changed.answer_mut(step.question).said = record.answer(step.question).said.clone();
        prop_assert_eq!(&changed, &record);
        prop_assert_eq!(walk(knowledge(), &changed, TODAY).steps, path.steps);
    }

    #[test]
    fn a_path_ends_and_asks_nothing_twice(picks in picks()) {
        let record = random_record(&picks);
        let path = walk(knowledge(), &record, TODAY);
        prop_assert!(path.steps.iter().all(|step| step.state != State::Open));
        let mut seen = std::collections::BTreeSet::new();
        prop_assert!(path.steps.iter().all(|step| seen.insert(step.question)));
    }

    #[test]
    fn unknown_is_never_fine(picks in picks()) {
        // Taking answers away never turns a motor that was not called fair into one that is.
        let record = random_record(&picks);
        let call = judged(&record).verdict.call;
        let mut poorer = record.clone();
        for ix in knowledge().places().filter(|ix| knowledge().question(*ix).core) {
            poorer.say(ix, Said::CantTell);
        }
        let poor = judged(&poorer).verdict.call;
        prop_assert!(poor != skeg::Call::Fair && poor != skeg::Call::OnlyIf, "{call:?} became {poor:?}");
    }

    #[test]
    fn what_was_said_typed_again_gives_the_same(picks in picks()) {
        let record = random_record(&picks);
        for (ix, answer) in record.entries() {
            if let Some(Said::Value(value)) = &answer.said {
                let context = skeg::Context { year: 2026, ..skeg::Context::default() };
                let again = skeg::parse_answer(knowledge().question(ix), &value.to_text(), &context);
                prop_assert_eq!(again.map(|read| read.said), Ok(Said::Value(value.clone())), "{}", knowledge().question(ix).id);
            }
        }
    }
}

/// Every check of the shipped data keeps today's chance on average: no clamp inside worths.
#[test]
fn looks_keep_todays_chance() {
    let record = Record::new(knowledge());
    let judgement = judged(&record);
    assert!(judgement.checks.ranked.len() > 20, "an open interview has many useful checks");
    let looks = judgement.checks.expectations();
    assert!(looks.len() > 20, "only {} looks tell of a fault", looks.len());
    for (today, expected) in looks {
        assert!(0.0 < today && today < 1.0, "{today} is no chance of an open fault");
        assert!((today - expected).abs() < 1e-9, "{today} became {expected}");
    }
}

fn beyond_ordinary(record: &Record, question: QuestionIx, choice: &ChoiceId) -> f64 {
    let changed = with(record, question, Some(Said::Value(Value::One(choice.clone()))));
    let money = judged(&changed).money;
    // What the motor can't have at all is in neither; only what goes beyond ordinary upkeep comes off the price.
    money.cost.map_or(0.0, |cost| cost.mean()) - money.ordinary.unwrap_or(0.0)
}
