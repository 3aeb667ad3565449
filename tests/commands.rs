//! The program as a person meets it, through pipes: asking, keeping, resuming, telling what is wrong.

mod support;

use std::collections::BTreeMap;
use std::fs;
use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::{Command, Stdio};

use serde_json::{Value, json};
use support::talk::{Answering, Sitting};
use support::{TODAY, knowledge, skeg};

fn saved(home: &Path, name: &str) -> Value {
    serde_json::from_str(&fs::read_to_string(home.join(format!("{name}.json"))).unwrap()).unwrap()
}

/// The kept answer of a question, as text.
fn answer(home: &Path, name: &str, id: &str) -> Option<String> {
    let saved = saved(home, name);
    let all = saved["answers"].as_array().unwrap().clone();
    all.iter().find(|answer| answer["id"] == id).and_then(|answer| answer["value"].as_str().map(str::to_owned))
}

#[test]
fn an_interview_is_kept_resumed_and_an_earlier_answer_changed() {
    let home = tempfile::tempdir().unwrap();
    let typed = "monohull\n20 1/4 in\nstraight\n0\nreadable\n60 hp\n1150 lb\ncable\nmechanical\nfresh\n";
    let first = skeg().home(home.path()).args(["start", "tried", "--plain"]).typed(typed).run();
    assert_eq!(first.status, Some(0));
    assert!(first.out.contains("skeg resume tried"), "{}", first.out);
    assert_eq!(saved(home.path(), "tried")["answers"].as_array().unwrap().len(), 10);
    // Back two, one changed; then on where it stopped.
    let second =
        skeg().home(home.path()).args(["resume", "tried", "--plain"]).typed("b\nb\nelectronic\n40 hp\n").run();
    assert_eq!(answer(home.path(), "tried", "boat-controls").as_deref(), Some("electronic"), "{}", second.out);
    assert_eq!(answer(home.path(), "tried", "use-water").as_deref(), Some("fresh"));
    assert_eq!(answer(home.path(), "tried", "claimed-power").as_deref(), Some("40 hp"));
}

#[test]
fn what_cannot_be_read_is_told_with_what_would_be_and_nothing_is_lost() {
    let home = tempfile::tempdir().unwrap();
    let typed = "qwxz\nmonohull\n20 kg\n20 V\n-3 in\nnan\n4000 ft\n20 in\n";
    let ran = skeg().home(home.path()).args(["start", "tried", "--plain"]).typed(typed).run();
    assert_eq!(answer(home.path(), "tried", "boat-kind").as_deref(), Some("monohull"));
    assert_eq!(answer(home.path(), "tried", "transom-height").as_deref(), Some("20 in"));
    for told in ["I don't know \"qwxz\" here", "monohull", "I read 4000 ft", "5 in to 37 in"] {
        assert!(ran.out.contains(told), "{told:?} was not said:\n{}", ran.out);
    }
}

#[test]
fn impossible_answers_in_a_file_are_all_listed() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("a.json");
    let text = r#"{ "answers": { "claimed-year": "3017", "compression": "4000 psi", "cylinders": "3",
        "under-cowl": "clean, salt-crust", "gear-oill": "milky", "gear-oil": "purple", "hours": -5,
        "plugs": ["tan", "oily"], "gps-speed": true } }"#;
    fs::write(&file, text).unwrap();
    let told = skeg().args(["replay", file.to_str().unwrap()]).problem();
    for wanted in [
        "3017",
        "4000 psi",
        "clean",
        "salt-crust",
        "did you mean \"gear-oil\"?",
        "purple",
        "hours",
        "plugs",
        "gps-speed",
    ] {
        assert!(told.contains(wanted), "{wanted:?} is not told:\n{told}");
    }
}

#[test]
fn a_key_that_stands_twice_is_told() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("a.json");
    fs::write(&file, r#"{ "answers": { "gear-oil": "milky", "gear-oil": "dark" } }"#).unwrap();
    assert!(skeg().args(["replay", file.to_str().unwrap()]).problem().contains("gear-oil: answered twice"));
}

#[test]
fn cant_tell_to_everything_is_undecided_and_says_what_was_not_seen() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("a.json");
    let all: serde_json::Map<String, Value> =
        knowledge().questions.iter().map(|question| (question.id.to_string(), "can't tell".into())).collect();
    fs::write(&file, serde_json::json!({ "date": "2026-05-01", "answers": all }).to_string()).unwrap();
    let path = file.to_str().unwrap();
    let json = skeg().args(["replay", path, "--format", "json"]).json();
    assert_eq!(json["verdict"]["call"], "undecided");
    assert!(json["verdict"]["because"].as_array().unwrap().len() >= 8);
    assert!(skeg().args(["replay", path]).ok().contains("Not to be decided yet"));
}

#[test]
fn what_keeps_a_motor_from_running_shuts_the_questions_after() {
    for (answers, shut) in [
        (vec![("dipstick", "empty"), ("dipstick-again", "still-empty")], "cold-start"),
        (vec![("fuel-leak", "leaks")], "cold-start"),
        (vec![("telltale", "none"), ("telltale-cleared", "still-none")], "lanyard"),
    ] {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("a.json");
        let mut all: Value =
            serde_json::from_str(&fs::read_to_string("examples/sound-motor.json").unwrap()).unwrap();
        for (id, value) in &answers {
            all["answers"][*id] = (*value).into();
        }
        fs::write(&file, all.to_string()).unwrap();
        let json = skeg().args(["replay", file.to_str().unwrap(), "--format", "json"]).json();
        let asked: Vec<&str> =
            json["path"].as_array().unwrap().iter().filter_map(|step| step["id"].as_str()).collect();
        assert!(!asked.contains(&shut), "{shut} is asked after {answers:?}");
        assert_eq!(json["verdict"]["call"], "walk-away");
        let report = skeg().args(["replay", file.to_str().unwrap()]).ok();
        let flat = report.split_whitespace().collect::<Vec<_>>().join(" ");
        let because = json["ended"][0]["because"].as_str().unwrap();
        assert!(flat.contains(&because[1..]), "the report does not say why: {because}");
    }
}

#[test]
fn a_damaged_or_newer_save_is_told_and_left_alone() {
    for (text, wanted) in [
        ("{ \"format\": 1, \"na", "damaged"),
        ("not json at all", "damaged"),
        ("{ \"format\": 99, \"anything\": true }", "newer skeg"),
        ("{ \"format\": 1, \"name\": \"x\", \"date\": \"soon\", \"questions\": \"\", \"answers\": [] }", "date"),
    ] {
        let home = tempfile::tempdir().unwrap();
        let file = home.path().join("motor-1.json");
        fs::write(&file, text).unwrap();
        for command in ["resume", "report", "next"] {
            let told = skeg().home(home.path()).args([command, "motor-1"]).problem();
            assert!(told.contains("motor-1.json") && told.contains(wanted), "{told}");
            assert_eq!(fs::read_to_string(&file).unwrap(), text);
        }
        assert!(skeg().home(home.path()).args(["list"]).ok().contains("can't be read"));
    }
}

#[test]
fn a_kill_in_the_middle_of_a_question_loses_no_answered_one() {
    let home = tempfile::tempdir().unwrap();
    let mut child = Command::new(env!("CARGO_BIN_EXE_skeg"))
        .args(["start", "killed", "--plain"])
        .env("SKEG_HOME", home.path())
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let mut input = child.stdin.take().unwrap();
    let mut lines = BufReader::new(child.stdout.take().unwrap()).lines();
    input.write_all(b"monohull\n20 1/4 in\nstraight\n").unwrap();
    input.flush().unwrap();
    // The fourth question is being asked; half an answer is typed.
    let asked = lines.by_ref().map(Result::unwrap).any(|line| line.contains("How far behind the transom"));
    assert!(asked);
    input.write_all(b"1").unwrap();
    input.flush().unwrap();
    child.kill().unwrap();
    child.wait().unwrap();
    assert_eq!(saved(home.path(), "killed")["answers"].as_array().unwrap().len(), 3);
    // The lock died with it.
    let again = skeg().home(home.path()).args(["resume", "killed", "--plain"]).typed("0 in\n").run();
    assert_eq!(answer(home.path(), "killed", "setback").as_deref(), Some("0 in"), "{}", again.out);
}

#[test]
fn two_programs_cannot_write_one_interview() {
    let home = tempfile::tempdir().unwrap();
    let mut child = Command::new(env!("CARGO_BIN_EXE_skeg"))
        .args(["start", "held", "--plain"])
        .env("SKEG_HOME", home.path())
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let mut lines = BufReader::new(child.stdout.take().unwrap()).lines();
    assert!(lines.by_ref().map(Result::unwrap).any(|line| line.contains("What kind of boat")));
    let told = skeg().home(home.path()).args(["resume", "held", "--plain"]).typed("monohull\n").problem();
    assert!(told.contains("another skeg is busy"), "{told}");
    drop(child.stdin.take());
    assert!(child.wait().unwrap().success());
}

#[cfg(unix)]
#[test]
fn a_signal_leaves_everything_saved_and_says_how_to_go_on() {
    for (signal, status) in [("INT", 130), ("TERM", 143), ("HUP", 129)] {
        let home = tempfile::tempdir().unwrap();
        let mut child = Command::new(env!("CARGO_BIN_EXE_skeg"))
            .args(["start", "stopped", "--plain"])
            .env("SKEG_HOME", home.path())
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let mut input = child.stdin.take().unwrap();
        input.write_all(b"monohull\n").unwrap();
        input.flush().unwrap();
        let mut lines = BufReader::new(child.stdout.take().unwrap()).lines();
        assert!(lines.by_ref().map(Result::unwrap).any(|line| line.starts_with("How far is it")));
        let kill = Command::new("kill").args([format!("-{signal}"), child.id().to_string()]).status().unwrap();
        assert!(kill.success());
        assert_eq!(child.wait().unwrap().code(), Some(status), "{signal}");
        assert_eq!(answer(home.path(), "stopped", "boat-kind").as_deref(), Some("monohull"));
    }
}

#[test]
fn words_that_nobody_knows_get_a_suggestion() {
    let home = tempfile::tempdir().unwrap();
    skeg().home(home.path()).args(["start", "harbour", "--plain"]).typed("monohull\n").run();
    assert!(skeg().home(home.path()).args(["report", "harbor"]).problem().contains("did you mean \"harbour\"?"));
    assert!(
        skeg()
            .home(home.path())
            .args(["change", "harbour", "gear-oill"])
            .problem()
            .contains("did you mean \"gear-oil\"?")
    );
    assert!(skeg().home(home.path()).args(["start", "harbour"]).problem().contains("already"));
    assert!(skeg().home(home.path()).args(["start", "../x"]).problem().contains("letters, digits"));
    assert_eq!(skeg().args(["nonsense"]).run().status, Some(2));
}

#[test]
fn a_file_nobody_here_wrote_is_not_written_over() {
    let home = tempfile::tempdir().unwrap();
    let out = home.path().join("mine.md");
    fs::write(&out, "my own words").unwrap();
    let target = out.to_str().unwrap();
    let run = |more: &[&str]| {
        skeg().home(home.path()).args(["replay", "examples/sound-motor.json", "-o", target]).args(more.to_vec())
    };
    assert!(run(&[]).problem().contains("--force"));
    assert_eq!(fs::read_to_string(&out).unwrap(), "my own words");
    assert_eq!(run(&["--force"]).run().status, Some(0));
    // What skeg wrote and nobody touched may be written again.
    assert_eq!(run(&[]).run().status, Some(0));
    fs::write(&out, "touched").unwrap();
    assert!(run(&[]).problem().contains("did not write it"));
    let lost = home.path().join("no/such/x.md");
    let told = skeg()
        .home(home.path())
        .args(["replay", "examples/sound-motor.json", "-o", lost.to_str().unwrap()])
        .problem();
    assert!(told.contains("there is no folder"), "{told}");
}

#[test]
fn problems_of_the_question_files_are_told_with_file_line_id_and_field() {
    let folder = tempfile::tempdir().unwrap();
    let copy = folder.path().join("q");
    skeg().args(["questions", "copy", copy.to_str().unwrap()]).ok();
    assert!(
        skeg()
            .args(["questions", "check", "--questions", copy.to_str().unwrap()])
            .ok()
            .contains("no problem found")
    );
    let file = copy.join("07-gearcase.json");
    let text = fs::read_to_string(&file).unwrap();
    let broken =
        text.replacen("\"is\": \"milky\"", "\"is\": \"milkey\"", 1).replacen("\"brief\":", "\"breif\":", 1);
    fs::write(&file, broken).unwrap();
    let told = skeg().args(["questions", "check", "--questions", copy.to_str().unwrap()]).problem();
    assert!(told.contains("07-gearcase.json:"), "{told}");
    assert!(told.contains("breif"), "{told}");
    let line: usize = told.split("07-gearcase.json:").nth(1).unwrap().split(':').next().unwrap().parse().unwrap();
    assert!(line > 1);
}

#[test]
fn everything_the_buyer_keeps_to_himself_stays_out_of_other_papers() {
    for audience in ["seller", "mechanic"] {
        let json =
            skeg().args(["replay", "examples/milky-gearcase.json", "--format", "json", "--for", audience]).json();
        for key in ["chances", "money", "next"] {
            assert!(json.get(key).is_none(), "{audience} sees {key}");
        }
        assert_eq!(json.get("verdict").is_none(), audience == "seller");
        assert_eq!(json.get("not_ruled_out").is_none(), audience == "seller");
        let text = json.to_string();
        for figure in ["4350", "comparables", "inspection-fee"] {
            assert!(!text.contains(figure), "{audience} sees {figure}");
        }
    }
}

/// What is typed as it is asked and what stands in an answers file are kept alike.
#[test]
fn more_answers_than_anybody_gives_are_refused_at_once() {
    let many: serde_json::Map<String, Value> = (0..20_001).map(|n| (format!("q{n}"), "x".into())).collect();
    let told = skeg::read_answers_file(&json!({ "answers": many }).to_string(), knowledge(), TODAY).unwrap_err();
    assert!(told.len() == 1 && told[0].contains("20000"), "{}", told[0]);
}

#[test]
fn a_talk_and_an_answers_file_give_the_same_saved_answers() {
    for example in ["sound-motor", "milky-gearcase", "oily-plugs", "wrong-shaft"] {
        let home = tempfile::tempdir().unwrap();
        let mut answering = Answering::example(example);
        let sat = Sitting::start(home.path(), 80, &["start", "typed"]).answered(&mut answering);
        assert_eq!(sat.status, Some(0), "{}", sat.err);

        let kept = saved(home.path(), "typed");
        let text = fs::read_to_string(format!("examples/{example}.json")).unwrap();
        let mut file: Value = serde_json::from_str(&text).unwrap();
        // Who is asked what the file does not know can't tell.
        for ix in &answering.asked {
            let id = knowledge().question(*ix).id.as_str();
            if file["answers"][id].is_null() {
                file["answers"][id] = "can't tell".into();
            }
        }
        // Where the band ends is not asked of somebody who does not know where it begins.
        if !answering.asked.contains(&support::ix("rated-to")) {
            file["answers"]["rated-to"] = file["answers"]["rated-from"].clone();
        }
        let date: jiff::civil::Date = kept["date"].as_str().unwrap().parse().unwrap();
        file["date"] = kept["date"].clone();
        let (record, _) = skeg::read_answers_file(&file.to_string(), knowledge(), date).unwrap();
        let mut replayed = skeg::Saved::new("typed", date, knowledge());
        replayed.record = record;
        let replayed: Value = serde_json::from_str(&replayed.to_text(knowledge())).unwrap();
        let all = |saved: &Value| -> BTreeMap<String, Value> {
            let answers = saved["answers"].as_array().unwrap();
            answers.iter().map(|answer| (answer["id"].as_str().unwrap().to_owned(), answer.clone())).collect()
        };
        let (kept, replayed) = (all(&kept), all(&replayed));
        let ids = kept.keys().chain(replayed.keys());
        let differ: Vec<_> = ids.filter(|id| kept.get(*id) != replayed.get(*id)).collect();
        assert!(differ.is_empty(), "{example}: {differ:?}\n{}", sat.talked);
    }
}

/// `skeg` alone: what is unfinished first, then what can be done with what there is.
#[test]
fn the_program_alone_leads_to_everything_there_is() {
    let home = tempfile::tempdir().unwrap();
    skeg().home(home.path()).args(["start", "kim", "--plain"]).typed("monohull\n").ok();
    let run = |typed: &str| {
        let ran = skeg().home(home.path()).args(["--plain"]).typed(typed).run();
        assert_eq!(ran.status, Some(0), "{}", ran.err);
        ran.out
    };
    assert!(run("1\n.\n").contains("Back with kim"));
    let said = run("2\n2\nboat-kind\n1\n.\n");
    assert!(said.contains("You said: ") && said.contains("Enter keeps it"), "{said}");
    let said = run("2\n2\nflux\n\n");
    assert!(said.contains("No answer given so far has \"flux\" in it"), "{said}");
    for (number, who) in [("1", "buyer"), ("2", "mechanic"), ("3", "seller")] {
        let said = run(&format!("2\n3\n{number}\n"));
        let file = home.path().join("reports").join(format!("kim-{who}.html"));
        assert!(said.contains("It lies at") && fs::read_to_string(&file).unwrap().contains("<html"), "{said}");
    }
    // With two there is a comparison, and each is asked for.
    skeg().home(home.path()).args(["start", "lee", "--plain"]).typed("").ok();
    let said = run("3\n4\n");
    assert!(said.contains("kim") && said.contains("lee") && said.contains("Look at"), "{said}");
    let said = run("3\n1\n.\n");
    assert!(said.contains("motor-1"), "{said}");
}

#[test]
fn the_branching_is_drawn_and_a_taken_path_marked() {
    let home = tempfile::tempdir().unwrap();
    let plain = skeg().home(home.path()).args(["questions", "draw"]).ok();
    assert!(plain.starts_with("<svg") && plain.trim_end().ends_with("</svg>"), "{plain}");
    skeg().home(home.path()).args(["start", "kim", "--plain"]).typed("monohull\n").ok();
    let marked = skeg().home(home.path()).args(["questions", "draw", "--for", "kim"]).ok();
    assert_ne!(plain, marked);
    // One answer is given: one box is filled.
    let filled = "fill=\"#d9eef2\"";
    assert_eq!((plain.matches(filled).count(), marked.matches(filled).count()), (0, 1));
    assert!(skeg().home(home.path()).args(["questions", "draw", "--for", "kimm"]).problem().contains("kimm"));
}

/// Who knows nothing comes to the end all the same, and is not consoled at every question.
#[test]
fn a_talk_with_somebody_who_knows_nothing_comes_to_its_end() {
    let home = tempfile::tempdir().unwrap();
    let mut answering = Answering::knowing(BTreeMap::new());
    let sat = Sitting::start(home.path(), 40, &["start", "kim"]).answered(&mut answering);
    assert_eq!(sat.status, Some(0), "{}", sat.err);
    assert!(answering.asked.len() > 60);
    assert_eq!(sat.talked.matches("nobody has to know everything").count(), 1);
    // A look a run waits for is offered twice, no other.
    for ix in &answering.asked {
        assert!(answering.asked.iter().filter(|other| *other == ix).count() <= 2);
    }
    let widest = sat.talked.lines().filter(|line| !line.contains(home.path().to_str().unwrap()));
    assert!(widest.clone().all(|line| line.chars().count() <= 40), "{:?}", widest.max_by_key(|line| line.len()));
}

/// A tool that was not reckoned with may be there after all; then what needs it is asked.
#[test]
fn a_tool_may_turn_up_at_the_end_of_the_plan() {
    let home = tempfile::tempdir().unwrap();
    let mut answering = Answering::example("sound-motor").but("visit-tools", "meter, drain-kit, plug-spanner");
    let sat = Sitting::start(home.path(), 80, &["start", "kim"]).answered(&mut answering);
    assert!(!answering.asked.contains(&support::ix("run-where")));
    assert!(sat.talked.contains("a tool is here after all"), "{}", sat.talked);

    let mut answering = Answering::example("sound-motor");
    let mut sitting = Sitting::start(home.path(), 80, &["resume", "kim"]);
    while let Some(said) = sitting.until_a_line_is_wanted() {
        if said.contains("a tool is here after all") && !said.contains("look on at everything") {
            sitting.type_line("a tool");
        } else {
            sitting.type_line(&answering.line(&said));
        }
    }
    let sat = sitting.ended();
    assert_eq!(answer(home.path(), "kim", "run-where").as_deref(), Some("tank"), "{}", sat.talked);
    assert_eq!(answer(home.path(), "kim", "cold-start").as_deref(), Some("at-once"), "{}", sat.talked);
}

#[test]
fn a_question_folder_that_is_not_there_is_told_by_its_path() {
    let told = skeg().args(["--questions", "no/such/folder", "questions", "check"]).problem();
    assert!(told.contains("can't read the questions in no/such/folder"), "{told}");
}
