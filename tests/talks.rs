//! What is said, word for word, in whole conversations and by a row of commands: kept in `tests/talks/`, so that the
//! difference shows whatever a change does to what people read.
//!
//! After a change that is meant: `SKEG_WRITE_TALKS=1 cargo test --test talks`; read the difference as a buyer would.

mod support;

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use jiff::civil::{Date, date};
use skeg::{Record, Saved, Store};
use support::talk::{Answering, Sitting};
use support::{knowledge, skeg};
use tempfile::TempDir;

const DAY: Date = date(2026, 5, 3);

fn keep(home: &Path, name: &str, record: Record) {
    let mut saved = Saved::new(name, DAY, knowledge());
    saved.record = record;
    let store = Store::at(home.to_owned());
    let held = store.hold(name).unwrap();
    store.save(&held, &saved, knowledge()).unwrap();
}

fn example(name: &str) -> Record {
    let file = format!("{}/examples/{name}.json", env!("CARGO_MANIFEST_DIR"));
    skeg::read_answers_file(&fs::read_to_string(file).unwrap(), knowledge(), DAY).expect("an example").0
}

/// An example with these answers taken away again.
fn without(name: &str, gone: &[&str]) -> Record {
    let mut record = example(name);
    for id in gone {
        record.answer_mut(support::ix(id)).said = None;
    }
    record
}

/// Holds what was said against what is kept under this name.
fn hold(name: &str, home: &Path, said: &str) {
    let place: PathBuf = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/talks").join(format!("{name}.txt"));
    let said = said.replace(&home.display().to_string(), "HOME");
    if std::env::var_os("SKEG_WRITE_TALKS").is_some() {
        fs::write(&place, &said).unwrap();
    }
    let was = fs::read_to_string(&place).unwrap_or_default();
    let differ = was.lines().zip(said.lines()).enumerate().find(|(_, (was, is))| was != is);
    if let Some((line, (was, is))) = differ {
        panic!("{name}, line {}:\n  was {was}\n  is  {is}", line + 1);
    }
    assert_eq!(was.lines().count(), said.lines().count(), "{name} is longer or shorter");
}

/// A whole talk of somebody who comes to an interview begun that day.
fn talk(columns: usize, mut answering: Answering) -> (TempDir, String) {
    let home = tempfile::tempdir().unwrap();
    keep(home.path(), "kim", Record::new(knowledge()));
    let sat = Sitting::start(home.path(), columns, &["resume", "kim"]).answered(&mut answering);
    assert_eq!(sat.status, Some(0), "{}", sat.err);
    (home, sat.talked)
}

#[test]
fn an_hour_with_an_old_two_stroke() {
    let mut answering = Answering::example("rough-two-stroke").but("visit-minutes", "60");
    answering = answering.leaving_after_the_plan();
    let (home, said) = talk(80, answering);
    hold("an-hour-with-an-old-two-stroke", home.path(), &said);
}

#[test]
fn half_an_hour_on_a_narrow_screen_and_on() {
    let answering = Answering::example("milky-gearcase").but("visit-minutes", "30");
    let (home, said) = talk(40, answering);
    hold("half-an-hour-and-on", home.path(), &said);
}

#[test]
fn somebody_who_knows_nothing() {
    let (home, said) = talk(80, Answering::knowing(BTreeMap::new()));
    hold("who-knows-nothing", home.path(), &said);
}

/// A command, and the lines typed to it.
type Step = (&'static [&'static str], &'static str);

/// Runs them one after the other; what each was, said and ended with.
fn run(home: &Path, steps: &[Step]) -> String {
    let mut said = String::new();
    for (args, typed) in steps {
        let ran = skeg().home(home).args(args.iter().copied()).typed(typed).run();
        let shown = typed.replace('\n', " / ");
        said += &format!("$ skeg {}   [{shown}]\n{}{}= {:?}\n\n", args.join(" "), ran.out, ran.err, ran.status);
    }
    said
}

/// The commands beside the interview, on motors of every sort.
#[test]
fn a_row_of_commands() {
    let home = tempfile::tempdir().unwrap();
    for name in ["sound-motor", "milky-gearcase", "oily-plugs", "wrong-shaft"] {
        keep(home.path(), name, example(name));
    }
    let open = ["gear-oil", "compression", "gear-metal", "midsection", "smoke", "prop-shaft", "noise"];
    keep(home.path(), "half-open", without("sound-motor", &open));
    keep(home.path(), "fresh", Record::new(knowledge()));
    let steps: &[Step] = &[
        (&["list"], ""),
        (&["next", "half-open"], ""),
        (&["next", "half-open", "--minutes", "12"], ""),
        (&["next", "sound-motor"], ""),
        (&["next", "oily-plugs", "--minutes", "30"], ""),
        (&["compare", "sound-motor", "milky-gearcase", "half-open", "wrong-shaft"], ""),
        (&["compare", "sound-motor"], ""),
        (&["sheet", "half-open"], ""),
        (&["sheet", "fresh", "--before"], ""),
        (&["sheet", "half-open", "--before"], ""),
        (&["change", "sound-motor", "compression", "--plain"], "\n4000 psi\n188 130\n188 190 120\n"),
        (&["change", "sound-motor", "gear-oil", "--plain"], "latte\ny\n\n2\n"),
        (&["change", "sound-motor", "asking-price", "--plain"], "12\n39 000\nn\n4100\n"),
        (&["change", "sound-motor", "gear-oill", "--plain"], ""),
        (
            &["change", "half-open", "dipstick", "--plain"],
            "w telltale\na\nn looked at it twice\n\nmilky\ny\n\n2\n3\n-\n.",
        ),
        (&["change", "half-open", "fuel-state", "--plain"], "?\n\n\n\n\nfresh\n"),
        (&["change", "half-open", "leakdown", "--plain"], "12 40 14 %\ny\n"),
        (&["report", "half-open"], ""),
        (&["report", "half-open", "--for", "mechanic"], ""),
        (&["report", "milky-gearcase", "--for", "seller"], ""),
        (&["list"], ""),
        (&["--plain"], "1\n.\n"),
    ];
    let said = run(home.path(), steps);
    hold("a-row-of-commands", home.path(), &said);
}

/// What a mechanic says on the telephone, point by point, and what it makes of the motor.
#[test]
fn a_mechanic_on_the_telephone() {
    let home = tempfile::tempdir().unwrap();
    keep(home.path(), "milky", example("milky-gearcase"));
    keep(home.path(), "rough", example("rough-two-stroke"));
    let steps: &[Step] = &[
        (
            &["take-in", "milky", "--plain"],
            "faulty\n420\nboth seals\nfine\nmaybe\ncan't say\n\n140 150 148\n\n\n\n\n\n\n\n\n\n\n\n\nthe fuel pump weeps\n90\n\ny\ny\n",
        ),
        (&["report", "milky"], ""),
        (
            &["take-in", "rough", "--plain"],
            "fine\n\n-\nfaulty\n1,250.50\n\n?\nb\n\n\n\n\n\n\n\n\n\n\n\n\n\n\n\n\n\n\n\n\n\n\n\n\n\n\n\n\n\n\ny\ny\n",
        ),
        (&["report", "rough", "--for", "mechanic"], ""),
        (&["report", "rough"], ""),
    ];
    let said = run(home.path(), steps);
    hold("a-mechanic-on-the-telephone", home.path(), &said);
}
