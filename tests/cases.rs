//! Buyers with what is expected of them: every folder of `tests/cases`, found by walking.

mod support;

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::LazyLock;

use serde::Deserialize;
use serde_json::{Map, Value};
use skeg::State;
use skeg::{ChoiceId, Grade, QuestionIx};
use skeg::{Judgement, judge};
use skeg::{Standing, Value as Said};
use support::{TODAY, kept, knowledge};

/// One buyer.
#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct Case {
    /// One sentence; kept for whoever reads the folder.
    story: String,
    /// An answers file of `examples/` to start from; none: nothing answered.
    base: Option<String>,
    #[serde(default)]
    answers: Map<String, Value>,
    #[serde(default)]
    without: Vec<String>,
    /// Day of the interview; none: that of the examples.
    date: Option<String>,
    /// Everything that is asked and not answered is answered "can't tell".
    #[serde(default)]
    rest_unknown: bool,
    expect: Expect,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case", default)]
#[derive(Default)]
struct Expect {
    verdict: String,
    findings: Vec<String>,
    no_findings: Vec<String>,
    asked: Vec<String>,
    not_asked: Vec<String>,
    /// Questions after which something ended early.
    ended: Vec<String>,
    measures: Map<String, Value>,
    /// Faults whose chance is at least so much.
    likely: Map<String, Value>,
    /// Whether offers are made.
    offers: Option<bool>,
    /// Whether a core check counts as seen.
    seen: Vec<String>,
    not_seen: Vec<String>,
}

fn folders() -> Vec<PathBuf> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/cases");
    let entries = fs::read_dir(root).unwrap().map(|entry| entry.unwrap().path());
    let mut all: Vec<PathBuf> = entries.filter(|path| path.is_dir()).collect();
    all.sort();
    all
}

/// A case, judged.
struct Judged {
    name: String,
    case: Case,
    judgement: Judgement<'static>,
}

/// All cases, judged once.
fn all() -> &'static [Judged] {
    static ALL: LazyLock<Vec<Judged>> = LazyLock::new(|| folders().iter().map(|folder| judged(folder)).collect());
    &ALL
}

fn judged(folder: &Path) -> Judged {
    let text = fs::read_to_string(folder.join("case.json")).unwrap();
    let case: Case = serde_json::from_str(&text).unwrap_or_else(|error| panic!("{}: {error}", folder.display()));
    let mut answers = Map::new();
    if let Some(base) = &case.base {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples").join(base);
        let file: Value = serde_json::from_str(&fs::read_to_string(path).unwrap()).unwrap();
        answers.clone_from(file["answers"].as_object().unwrap());
    }
    answers.extend(case.answers.clone());
    answers.retain(|id, _| !case.without.contains(id));
    if case.rest_unknown {
        for question in &knowledge().questions {
            answers.entry(question.id.to_string()).or_insert_with(|| "can't tell".into());
        }
    }
    let day = case.date.as_deref().unwrap_or("2026-05-03");
    let file = serde_json::json!({ "date": day, "answers": answers }).to_string();
    let read = skeg::read_answers_file(&file, knowledge(), TODAY);
    let (record, date) = read.unwrap_or_else(|problems| panic!("{}: {}", folder.display(), problems.join("; ")));
    let name = folder.file_name().unwrap().to_string_lossy().into_owned();
    Judged { name, case, judgement: judge(knowledge(), Box::leak(Box::new(record)), date) }
}

/// What the buyers of the cases, and others by chance, come to. After a change that is meant:
/// `SKEG_WRITE_JUDGED=1 cargo test --test cases`; what moved is told by part.
#[test]
fn what_buyers_come_to_moves_only_when_it_is_meant() {
    let mut lines: Vec<String> =
        all().iter().map(|buyer| format!("{}: {}", buyer.name, kept::marks(&buyer.judgement))).collect();
    for number in 0..BY_CHANCE {
        let mut record = match number % 4 {
            0 => support::nearly_sound_record(&picks(number, 5)),
            _ => support::random_record(&picks(number, 40)),
        };
        // Of every second one the rest is still open.
        if number % 2 == 1 {
            let from = knowledge().questions.len() * usize::from(number % 7 + 1) / 8;
            for ix in knowledge().places().skip(from) {
                record.answer_mut(ix).said = None;
            }
        }
        lines.push(format!("by chance {number}: {}", kept::marks(&judge(knowledge(), &record, TODAY))));
    }
    let place = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/judged/buyers.txt");
    if std::env::var_os("SKEG_WRITE_JUDGED").is_some() {
        fs::write(&place, lines.join("\n") + "\n").expect("what they come to is kept");
    }
    let was = fs::read_to_string(&place).expect("what they came to");
    let moved: Vec<String> = was.lines().zip(&lines).filter_map(|(was, is)| moved(was, is)).collect();
    assert!(moved.is_empty(), "{} buyers come to something else:\n{}", moved.len(), moved.join("\n"));
    assert_eq!(was.lines().count(), lines.len());
}

/// Buyers answered by chance.
const BY_CHANCE: u16 = 160;

/// Numbers that are the same everywhere (Numerical Recipes, the quick generator; from memory).
fn picks(seed: u16, count: usize) -> Vec<u16> {
    let next = |last: &u32| Some(last.wrapping_mul(1_664_525).wrapping_add(1_013_904_223));
    std::iter::successors(Some(u32::from(seed) * 7919 + 1), next)
        .skip(3)
        .take(count)
        .map(|it| (it >> 16) as u16)
        .collect()
}

/// Which parts differ, none: the lines are the same.
fn moved(was: &str, is: &str) -> Option<String> {
    let (name, _) = is.split_once(": ").unwrap_or((is, ""));
    let parts = |line: &str| {
        line.split_once(": ").map_or(Vec::new(), |(_, marks)| marks.split(' ').map(str::to_owned).collect())
    };
    let (old, new): (Vec<String>, Vec<String>) = (parts(was), parts(is));
    let differ = new.chunks(2).zip(old.chunks(2)).filter(|(new, old)| new != old).map(|(new, _)| new[0].clone());
    (was != is).then(|| format!("{name}: {}", differ.collect::<Vec<_>>().join(", ")))
}

#[test]
fn every_buyer_gets_what_is_expected() {
    assert!(all().len() >= 25, "only {} buyers", all().len());
    let mut wrong = Vec::new();
    for Judged { name, case, judgement } in all() {
        assert!(!case.story.is_empty(), "{name} has no story");
        wrong.extend(differences(&case.expect, judgement).into_iter().map(|told| format!("{name}: {told}")));
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

fn differences(expect: &Expect, judgement: &Judgement<'_>) -> Vec<String> {
    let mut wrong = Vec::new();
    let mut hold = |holds: bool, told: String| {
        if !holds {
            wrong.push(told);
        }
    };
    let call = judgement.verdict.call.name();
    let because = judgement.verdict.because(&judgement.path).join(", ");
    hold(call == expect.verdict, format!("the verdict is {call} ({because}), not {}", expect.verdict));
    let fired: BTreeSet<&str> = fired(judgement);
    for id in &expect.findings {
        hold(fired.contains(id.as_str()), format!("{id} does not fire"));
    }
    for finding in judgement.findings.places().map(|ix| &knowledge().findings[ix.0]) {
        // What decides the verdict has to be expected; small things may stand beside it.
        let decides = matches!(finding.grade, Grade::Stop | Grade::Serious);
        let named = expect.findings.iter().any(|id| *id == finding.id.as_str());
        hold(named || !decides, format!("{} fires and is not expected", finding.id));
    }
    for id in &expect.no_findings {
        let known = knowledge().findings.iter().any(|finding| finding.id.as_str() == id);
        hold(known && !fired.contains(id.as_str()), format!("{id} fires, or there is no such finding"));
    }
    let asked = |id: &String| judgement.path.step(support::ix(id)).is_some();
    for id in &expect.asked {
        hold(asked(id), format!("{id} is not asked"));
    }
    for id in &expect.not_asked {
        hold(!asked(id), format!("{id} is asked"));
    }
    let ended: Vec<&str> =
        judgement.path.ended.iter().map(|ended| knowledge().question(ended.after).id.as_str()).collect();
    hold(ended == expect.ended, format!("it ended after {ended:?}, not {:?}", expect.ended));
    for (id, least) in &expect.likely {
        let chance = judgement.chances.iter().find(|chance| knowledge().faults[chance.fault.0].id.as_str() == id);
        let chance = chance.unwrap_or_else(|| panic!("no fault {id} on this motor")).chance;
        assert!(chance >= least.as_f64().expect("a chance"), "{id}: {chance}");
    }
    for (id, wanted) in &expect.measures {
        let outcome = judgement.measures.iter().find(|outcome| knowledge().measure(outcome.id).name == id);
        let found = outcome.and_then(|outcome| outcome.figure);
        let same = match (found, wanted) {
            (Some(skeg::Figure::Word(word)), Value::String(wanted)) => word == wanted,
            (Some(skeg::Figure::Number(number)), wanted) => {
                wanted.as_f64().is_some_and(|wanted| (number - wanted).abs() < 0.01 * wanted.abs().max(0.1))
            }
            (None, Value::Null) => true,
            _ => false,
        };
        hold(same, format!("{id} is {found:?}, not {wanted}"));
    }
    if let Some(offers) = expect.offers {
        hold(judgement.money.offers.is_some() == offers, format!("offers are made: {}", !offers));
    }
    let unseen: BTreeSet<&str> =
        judgement.verdict.unseen.iter().map(|ix: &QuestionIx| knowledge().question(*ix).id.as_str()).collect();
    for id in &expect.seen {
        hold(!unseen.contains(id.as_str()), format!("{id} does not count as seen"));
    }
    for id in &expect.not_seen {
        hold(unseen.contains(id.as_str()), format!("{id} counts as seen"));
    }
    wrong
}

fn fired<'j>(judgement: &'j Judgement<'_>) -> BTreeSet<&'j str> {
    judgement.findings.fired.iter().map(|fired| knowledge().findings[fired.finding.0].id.as_str()).collect()
}

#[test]
fn nothing_else_lies_in_the_folders() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/cases");
    for entry in fs::read_dir(root).unwrap() {
        let path = entry.unwrap().path();
        assert!(path.is_dir() || path.file_name().is_some_and(|name| name == "README.md"), "{}", path.display());
    }
    for folder in folders() {
        let files: Vec<_> = fs::read_dir(&folder).unwrap().map(|entry| entry.unwrap().file_name()).collect();
        assert_eq!(files, ["case.json"], "{}", folder.display());
    }
}

/// Every finding is fired by one buyer and withheld by another; every question is reached.
#[test]
fn the_buyers_meet_every_finding_and_every_question() {
    let (mut fired_once, mut withheld_once) = (BTreeSet::new(), BTreeSet::new());
    let mut reached = BTreeSet::new();
    for Judged { judgement, .. } in all() {
        let here: BTreeSet<String> = fired(judgement).into_iter().map(str::to_owned).collect();
        let all = knowledge().findings.iter().map(|finding| finding.id.to_string());
        withheld_once.extend(all.filter(|id| !here.contains(id)));
        fired_once.extend(here);
        let answered = judgement.path.steps.iter().filter(|step| step.state == State::Value);
        reached.extend(answered.map(|step| step.question));
    }
    let never: Vec<&str> = knowledge()
        .findings
        .iter()
        .map(|finding| finding.id.as_str())
        .filter(|id| !fired_once.contains(*id) || !withheld_once.contains(*id))
        .collect();
    assert!(never.is_empty(), "not fired by one and withheld by another: {}", never.join(", "));
    let unreached: Vec<&str> = knowledge()
        .places()
        .filter(|ix| !reached.contains(ix))
        .map(|ix| knowledge().question(ix).id.as_str())
        .collect();
    assert!(unreached.is_empty(), "answered by nobody: {}", unreached.join(", "));
}

/// Every answer that ends a part, or all, early is given by one buyer, and ends it.
#[test]
fn the_buyers_meet_every_early_end() {
    let mut met: BTreeSet<(QuestionIx, ChoiceId)> = BTreeSet::new();
    for Judged { judgement, .. } in all() {
        for ended in &judgement.path.ended {
            match judgement.path.live.standing(ended.after) {
                Standing::Value(Said::One(choice)) => {
                    met.insert((ended.after, choice.clone()));
                }
                Standing::Value(Said::Many(choices)) => {
                    met.extend(choices.iter().map(|choice| (ended.after, choice.clone())));
                }
                Standing::Value(Said::Each(each)) => {
                    met.extend(each.choices().iter().map(|choice| (ended.after, choice.clone())));
                }
                _ => {}
            }
        }
    }
    for ix in knowledge().places() {
        let question = knowledge().question(ix);
        for choice in question.choices().iter().filter(|choice| !choice.closes.is_empty()) {
            assert!(met.contains(&(ix, choice.id.clone())), "nobody ends at {} {}", question.id, choice.id);
        }
    }
}
