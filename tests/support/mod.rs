//! What several test files share: the question data, random interviews, the binary through one builder.
#![allow(dead_code, clippy::manual_is_multiple_of, clippy::cast_possible_wrap)]

pub mod kept;
pub mod kinds;
pub mod talk;

use std::sync::OnceLock;

use jiff::civil::{Date, date};
use skeg::Quantity;
use skeg::load_shipped;
use skeg::{ChoiceId, Kind, Knowledge, QuestionIx};
use skeg::{Context, Each, Record, Said, Value, parse_answer};
use skeg::{walk, wanted_entries};

/// The question data, loaded once.
pub fn knowledge() -> &'static Knowledge {
    static LOADED: OnceLock<Knowledge> = OnceLock::new();
    LOADED.get_or_init(load_shipped)
}

pub const TODAY: Date = date(2026, 5, 1);

/// A question by its id.
pub fn ix(id: &str) -> QuestionIx {
    knowledge().find(id).unwrap_or_else(|| panic!("no question {id}"))
}

/// A record from typed texts.
pub fn record(typed: &[(&str, &str)]) -> Record {
    let mut record = Record::new(knowledge());
    say_all(&mut record, typed);
    record
}

/// Adds typed texts to a record, in asking order.
pub fn say_all(record: &mut Record, typed: &[(&str, &str)]) {
    let mut typed: Vec<(QuestionIx, &str)> = typed.iter().map(|(id, text)| (ix(id), *text)).collect();
    typed.sort_by_key(|(at, _)| *at);
    for (at, text) in typed {
        let path = walk(knowledge(), record, TODAY);
        let wanted = wanted_entries(knowledge(), at, &path.live, TODAY);
        let context = Context { wanted, year: 2026, ..Context::default() };
        let read = parse_answer(knowledge().question(at), text, &context);
        let said =
            read.unwrap_or_else(|refusal| panic!("{}: {}", knowledge().question(at).id, refusal.message)).said;
        record.say(at, said);
    }
}

/// An interview answered at random to its end: each number picks what is said to the next open question.
pub fn random_record(picks: &[u16]) -> Record {
    let mut record = Record::new(knowledge());
    let mut place = 0;
    while let Some(at) = walk(knowledge(), &record, TODAY).next_open() {
        let pick = usize::from(picks[place % picks.len()]) + place;
        let said = random_said(&record, at, pick);
        record.say(at, said);
        place += 1;
    }
    record
}

/// The sound motor of the examples.
pub fn sound_motor() -> Record {
    let text = std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/examples/sound-motor.json")).unwrap();
    skeg::read_answers_file(&text, knowledge(), TODAY).expect("the example is readable").0
}

/// The sound motor of the examples with some answers taken away or changed at random: few stops, so that offers
/// are made and can be compared.
pub fn nearly_sound_record(picks: &[u16]) -> Record {
    let mut record = sound_motor();
    for pick in picks {
        let path = walk(knowledge(), &record, TODAY);
        let pick = usize::from(*pick);
        let step = path.steps[pick % path.steps.len()];
        if pick % 3 == 0 {
            record.answer_mut(step.question).said = None;
            continue;
        }
        let said = random_said(&record, step.question, pick / 3);
        let mut tried = record.clone();
        tried.say(step.question, said);
        // A stop would hide what every other answer does.
        let stopped = !skeg::judge(knowledge(), &tried, TODAY).verdict.stops.is_empty();
        if !stopped || pick % 37 == 0 {
            record = tried;
        }
    }
    record
}

/// One of the things that can be said to a question.
pub fn random_said(record: &Record, at: QuestionIx, pick: usize) -> Said {
    let question = knowledge().question(at);
    if pick % 11 == 0 {
        return Said::CantTell;
    }
    let path = walk(knowledge(), record, TODAY);
    let wanted = wanted_entries(knowledge(), at, &path.live, TODAY);
    let id = |place: usize| question.choices()[place % question.choices().len()].id.clone();
    let value = match &question.kind {
        Kind::One(_) => Value::One(id(pick)),
        Kind::Many(_) => many(question, pick),
        Kind::Each(_) => Value::Each(match wanted {
            Some(count) if pick % 3 == 0 && count > 1 => {
                Each::Listed((0..count).map(|place| id(pick / 3 + place * (pick % 5))).collect())
            }
            _ => Each::All(id(pick)),
        }),
        // An hour at the price of a motor wipes every motor out; the laws are looked at where money means something.
        Kind::Money { .. } if question.id == "labour-rate" => Value::Money((60 + pick % 140) as f64),
        Kind::Amount(_) if question.id == "parts-scale" => {
            Value::Amount(Quantity::new(0.6 + (pick % 17) as f64 / 10.0, skeg::Unit::One))
        }
        Kind::Amount(amount) => {
            let share = (pick % 17) as f64 / 16.0;
            let house = amount.least + (amount.most - amount.least) * share;
            Value::Amount(Quantity::new(house, amount.dimension.house_unit()).to(amount.unit))
        }
        Kind::Readings(amount, _) => Value::Readings(
            (0..wanted.unwrap_or(3))
                .map(|place| {
                    let number = 140.0 - ((pick * (place + 1)) % 9) as f64 * 6.0;
                    let number = if amount.unit == skeg::Unit::Percent { number / 10.0 } else { number };
                    ((pick + place) % 13 != 0 || place == 0).then(|| Quantity::new(number, amount.unit))
                })
                .collect(),
        ),
        Kind::Count { least, most, .. } => Value::Count(least + (pick as u32 % (most - least + 1))),
        Kind::Year { .. } => Value::Year(1995 + (pick % 31) as i16),
        Kind::Money { .. } => Value::Money(((pick % 40) * 125) as f64),
        Kind::Prices { .. } => Value::Prices(vec![(1000 + pick % 4000) as f64, (1100 + pick % 3500) as f64]),
        Kind::Text(skeg::TextForm::CylinderGroups) => Value::Text("1 2".into()),
        Kind::Text(skeg::TextForm::EngineFamily) => Value::Text("HXXXM02.1XXX".into()),
        // Another currency has no costs without the price of parts; both ways have to hold.
        Kind::Text(skeg::TextForm::Currency) => Value::Text(if pick % 5 == 0 { "EUR" } else { "$" }.into()),
        Kind::Text(_) => Value::Text("some words".into()),
    };
    Said::Value(value)
}

fn many(question: &skeg::Question, pick: usize) -> Value {
    let choices = question.choices();
    let mut ids: Vec<ChoiceId> = vec![choices[pick % choices.len()].id.clone()];
    let other = &choices[(pick / 7) % choices.len()];
    let alone = |id: &ChoiceId| choices.iter().any(|choice| choice.id == *id && choice.alone);
    if !other.alone && !alone(&ids[0]) && !ids.contains(&other.id) {
        ids.push(other.id.clone());
    }
    ids.sort_by_key(|id| choices.iter().position(|choice| choice.id == *id));
    Value::Many(ids)
}

/// The program, run as a person would: one builder for all tests.
pub struct Skeg {
    command: std::process::Command,
    input: String,
    /// Interviews of this run, unless another home is named.
    home: Option<tempfile::TempDir>,
}

/// A run of the program in a home of its own.
pub fn skeg() -> Skeg {
    let mut command = std::process::Command::new(env!("CARGO_BIN_EXE_skeg"));
    let home = tempfile::tempdir().expect("a folder for interviews");
    command
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .env("SKEG_HOME", home.path())
        .env_remove("NO_COLOR")
        .env_remove("COLUMNS");
    Skeg { command, input: String::new(), home: Some(home) }
}

/// What a run came to.
pub struct Ran {
    pub status: Option<i32>,
    pub out: String,
    pub err: String,
}

impl Skeg {
    pub fn args<S: AsRef<std::ffi::OsStr>>(mut self, args: impl IntoIterator<Item = S>) -> Self {
        self.command.args(args);
        self
    }

    /// Keeps interviews in this folder.
    pub fn home(mut self, home: &std::path::Path) -> Self {
        self.command.env("SKEG_HOME", home);
        self.home = None;
        self
    }

    /// Lines typed, through a pipe.
    pub fn typed(mut self, input: &str) -> Self {
        input.clone_into(&mut self.input);
        self
    }

    pub fn run(mut self) -> Ran {
        use std::io::Write;
        use std::process::Stdio;
        let mut child = self
            .command
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("the program starts");
        // The program may be done before it has read everything.
        let _ = child.stdin.take().expect("a pipe").write_all(self.input.as_bytes());
        let output = child.wait_with_output().expect("the program ends");
        Ran {
            status: output.status.code(),
            out: String::from_utf8(output.stdout).expect("text"),
            err: String::from_utf8(output.stderr).expect("text"),
        }
    }

    /// What it printed; it has to be done without a problem.
    pub fn ok(self) -> String {
        let ran = self.run();
        assert_eq!(ran.status, Some(0), "{}", ran.err);
        ran.out
    }

    /// The same, as JSON.
    pub fn json(self) -> serde_json::Value {
        serde_json::from_str(&self.ok()).expect("JSON")
    }

    /// The problem it told; the status has to be 1.
    pub fn problem(self) -> String {
        let ran = self.run();
        assert_eq!(ran.status, Some(1), "{}{}", ran.out, ran.err);
        ran.err
    }
}

/// Typed answers as the tables of tests write them: `question=typed; question=typed`.
pub fn pairs(row: &str) -> Vec<(&str, &str)> {
    let parts = row.split(';').map(str::trim).filter(|part| !part.is_empty());
    parts.map(|part| part.split_once('=').unwrap_or_else(|| panic!("no `=` in {part:?}"))).collect()
}

/// The rows of such a table: cells between bars; empty lines and lines that begin with `#` are left out.
pub fn rows<const CELLS: usize>(table: &'static str) -> Vec<[&'static str; CELLS]> {
    let lines = table.lines().map(str::trim).filter(|line| !line.is_empty() && !line.starts_with('#'));
    lines
        .map(|line| {
            let cells: Vec<&str> = line.split('|').map(str::trim).collect();
            cells.try_into().unwrap_or_else(|_| panic!("{line:?} has not {CELLS} cells"))
        })
        .collect()
}
