//! One broken folder a rule of the data: each brings exactly the problem it should, by its code.

mod support;

use std::collections::BTreeMap;

use serde_json::{Value as Json, json};
use skeg::load;
use skeg::{File, embedded_files, review};

/// The shipped files as JSON, by name.
struct Files(BTreeMap<String, Json>);

impl Files {
    fn shipped() -> Self {
        let read = |file: File| (file.name, serde_json::from_str(&file.text).expect("a shipped file"));
        Self(embedded_files().into_iter().map(read).collect())
    }

    fn written(&self) -> Vec<File> {
        self.0.iter().map(|(name, json)| File { name: name.clone(), text: json.to_string() }).collect()
    }

    /// An element of a list in any file, by its id.
    fn find(&mut self, list: &str, id: &str) -> &mut Json {
        let all = self.0.values_mut().filter_map(|file| file.get_mut(list)?.as_array_mut()).flatten();
        all.into_iter().find(|one| one["id"] == id).unwrap_or_else(|| panic!("no {id} among {list}"))
    }

    fn question(&mut self, id: &str) -> &mut Json {
        self.find("questions", id)
    }

    fn finding(&mut self, id: &str) -> &mut Json {
        self.find("findings", id)
    }

    /// Any finding of that grade that speaks for a fault.
    fn any_finding(&mut self, grade: &str) -> &mut Json {
        let all = self.0.values_mut().filter_map(|file| file.get_mut("findings")?.as_array_mut()).flatten();
        let speaks = |one: &Json| one["for"].as_object().is_some_and(|words| !words.is_empty());
        all.into_iter().find(|one| one["grade"] == grade && speaks(one)).expect("such a finding")
    }

    fn file(&mut self, name: &str) -> &mut Json {
        self.0.get_mut(name).expect("a file of that name")
    }

    fn choice(&mut self, question: &str, choice: &str) -> &mut Json {
        let kind = &mut self.question(question)["kind"];
        let kind = kind.as_object_mut().and_then(|kind| kind.values_mut().next()).expect("a kind");
        let all = kind.as_array_mut().expect("choices");
        all.iter_mut().find(|one| one["id"] == choice).expect("a choice")
    }
}

type Break = fn(&mut Files);

/// A rule by its code, and a slip that breaks it.
const RULES: &[(&str, Break)] = &[
    ("not-a-data-file", |files| {
        files.0.insert("notes.json".into(), json!({}));
    }),
    ("too-many-questions", |files| {
        let list = files.file("07-gearcase.json")["questions"].as_array_mut().expect("questions");
        let again = list.last().expect("a question").clone();
        list.extend(std::iter::repeat_n(again, 20_000));
    }),
    ("id-twice", |files| {
        let list = files.file("07-gearcase.json")["questions"].as_array_mut().expect("questions");
        let again = list.last().expect("a question").clone();
        list.push(again);
    }),
    ("unknown-name", |files| files.question("gear-seals")["when"] = json!({ "answer": "gear-oyl", "is": "milky" })),
    ("unknown-name", |files| files.finding("gear-oil-milky")["for"]["gearcase-seels"] = json!("fair")),
    ("unknown-name", |files| files.finding("gear-oil-milky")["basis"] = json!("a friend")),
    ("unknown-name", |files| files.question("gear-oil")["picture"] = json!("no-such-drawing")),
    ("unknown-name", |files| files.question("gear-oil")["hazards"] = json!(["dragons"])),
    ("unknown-name", |files| files.question("gear-oil")["block"] = json!("run-9")),
    ("unknown-name", |files| files.find("faults", "gears")["item"] = json!("gear-box")),
    ("unknown-choice", |files| {
        files.question("gear-seals")["when"] = json!({ "answer": "gear-oil", "any-of": ["milkyy"] });
    }),
    ("condition-head", |files| files.question("gear-seals")["when"] = json!({ "is": "milky" })),
    ("condition-head", |files| files.question("gear-seals")["when"] = json!({ "answer": "gear-oil", "all": [] })),
    ("test-alone", |files| files.question("gear-seals")["when"] = json!({ "all": [], "is": "milky" })),
    ("any-of-nothing", |files| files.question("gear-seals")["when"] = json!({ "any": [] })),
    ("one-test", |files| {
        files.question("gear-seals")["when"] = json!({ "answer": "gear-oil", "is": "milky", "any-of": ["hazy"] });
    }),
    ("wrong-test", |files| {
        files.question("gear-seals")["when"] = json!({ "answer": "gear-oil", "has": ["milky"] });
    }),
    ("wrong-test", |files| files.question("gear-seals")["when"] = json!({ "measure": "age", "is": "old" })),
    ("word-never", |files| {
        files.finding("compression-is-even")["when"] = json!({ "measure": "compression-state", "is": "flat" });
    }),
    ("bad-amount", |files| {
        files.question("gear-seals")["when"] = json!({ "answer": "claimed-power", "at-least": "ten feet" });
    }),
    ("not-a-number", |files| {
        files.question("gear-seals")["when"] = json!({ "answer": "cylinders", "at-least": "two" });
    }),
    ("bounds", |files| files.question("volts-rest")["kind"]["amount"]["least"] = json!("90 V")),
    ("not-rising", |files| files.find("items", "inspection")["large"]["parts"] = json!([200.0, 100.0, 300.0])),
    ("chance-outside", |files| files.find("faults", "gears")["priors"] = json!([{ "chance": 1.0 }])),
    ("no-chance", |files| files.find("faults", "gears")["priors"] = json!([])),
    ("no-question-mark", |files| files.question("gear-oil")["ask"] = json!("Look at the oil.")),
    ("no-minutes", |files| files.question("gear-oil")["minutes"] = json!(0)),
    ("name-of-two-choices", |files| {
        files.choice("gear-metal", "paste")["words"] = json!(["a very odd word"]);
        files.choice("gear-metal", "chips")["words"] = json!(["a very odd word"]);
    }),
    ("closes-and-because", |files| files.choice("gear-metal", "chips")["because"] = json!("It is bad.")),
    ("closes-nothing", |files| {
        files.choice("gear-metal", "chips")["closes-unless"] = json!({ "answer": "gear-oil", "is": "dark" });
    }),
    ("looks-too-late", |files| files.question("gear-oil")["when"] = json!({ "answer": "afloat", "is": "bogs" })),
    ("looks-too-late", |files| {
        files.question("gear-oil")["when"] = json!({ "measure": "charge", "is": "sound" });
    }),
    ("follows-later", |files| files.question("gear-oil")["follows"] = json!("afloat")),
    ("follows-later", |files| files.question("gear-oil")["follows"] = json!("gear-oil")),
    ("follows-apart", |files| files.question("skeg")["follows"] = json!("gear-oil")),
    ("untold-choice", |files| files.question("stiff-where")["untold"] = json!("engine")),
    ("stop-without-clears", |files| {
        files.any_finding("stop").as_object_mut().expect("a finding").remove("clears");
    }),
    ("no-innocent", |files| {
        files.any_finding("serious").as_object_mut().expect("a finding").remove("innocent");
    }),
    ("seen-against", |files| files.any_finding("minor")["against"] = json!({ "exhaust": "seen" })),
    ("not-spoken-for", |files| files.finding("gear-oil-milky")["main"] = json!("belt")),
    ("fires-on-nothing", |files| {
        files.any_finding("minor")["when"] = json!({ "not": { "answer": "gear-oil", "is": "milky" } });
    }),
];

/// The same for slips whose harm spreads: what can't be read or is of another kind is missed wherever it is named.
const SPREADING: &[(&str, Break)] = &[
    ("few-choices", |files| {
        let kind = json!({ "one": [{ "id": "yes", "label": "yes" }] });
        files.question("serial-matches")["kind"] = kind;
    }),
    ("no-unit", |files| files.question("volts-rest")["kind"]["amount"]["unit"] = json!("psi")),
    ("unreadable", |files| files.question("gear-oil")["askk"] = json!("What?")),
    ("unreadable", |files| files.finding("gear-oil-milky")["grade"] = json!("grave")),
    ("no-settings", |files| {
        files.0.remove("costs.json");
    }),
    ("unknown-name", |files| {
        let stages = files.file("visit.json")["visit"]["sheet"][2]["stages"].as_array_mut().expect("stages");
        stages.push(json!("powerhed"));
    }),
    ("not-one-side", |files| {
        let stages = files.file("visit.json")["visit"]["sheet"][2]["stages"].as_array_mut().expect("stages");
        stages.pop();
    }),
    ("no-visit", |files| {
        files.0.remove("visit.json");
    }),
    ("unknown-name", |files| files.question("volts-rest")["kind"]["amount"]["dimension"] = json!("volts")),
    ("role-missing", |files| files.find("items", "inspection")["id"] = json!("inspections")),
    ("role-dimension", |files| {
        let amount = &mut files.question("altitude")["kind"]["amount"];
        (amount["dimension"], amount["unit"]) = (json!("mass"), json!("kg"));
        (amount["least"], amount["most"]) = (json!("0 kg"), json!("9 kg"));
    }),
    ("role-kind", |files| {
        files.question("serial-number")["kind"] = json!({ "money": { "most": 9.0, "beyond": "no" } });
    }),
    ("role-kind", |files| files.question("currency")["kind"] = json!({ "text": { "form": "free" } })),
    ("role-choice", |files| {
        files.choice("hull-bottom", "flat-hard-chine")["id"] = json!("flat");
    }),
];

/// What a careful reader would say of a slip that keeps nothing from running.
const REMARKS: &[(&str, Break)] = &[
    ("hard-word", |files| files.question("gear-oil")["ask"] = json!("What viscosity comes out?")),
    ("reading-grade", |files| {
        let hard =
            "Notwithstanding considerable deterioration, lubrication characteristics demonstrated acceptability";
        let long = vec![hard; 400].join(" and ");
        files.question("gear-oil")["why"] = json!(long);
    }),
    ("speaks-for-nothing", |files| {
        let finding = files.finding("gear-metal-chips");
        let fields = finding.as_object_mut().expect("a finding");
        fields.remove("instead");
        finding["for"] = json!({});
    }),
];

/// The codes of everything that is wrong with files.
fn codes(files: &Files) -> Vec<&'static str> {
    match load(&files.written()) {
        Ok(knowledge) => review(&knowledge).iter().map(|problem| problem.wrong.code()).collect(),
        Err(problems) => problems.iter().map(|problem| problem.wrong.code()).collect(),
    }
}

#[test]
fn every_broken_rule_is_told_by_its_code() {
    let mut missed = Vec::new();
    for (place, (code, slip)) in RULES.iter().chain(SPREADING).enumerate() {
        let mut files = Files::shipped();
        slip(&mut files);
        match load(&files.written()) {
            Ok(_) => missed.push(format!("{place} {code}: passes")),
            Err(problems) => {
                if !problems.iter().any(|problem| problem.wrong.code() == *code) {
                    missed.push(format!("{place} {code}: {problems:?}"));
                }
                assert!(problems.iter().all(|problem| !problem.to_string().is_empty() && problem.line > 0));
            }
        }
    }
    assert!(missed.is_empty(), "{}", missed.join("\n"));
}

#[test]
fn a_slip_brings_no_other_problem_with_it() {
    for (code, slip) in RULES {
        let mut files = Files::shipped();
        slip(&mut files);
        let found = codes(&files);
        assert!(found.iter().all(|other| other == code), "{code} brings {found:?}");
    }
}

#[test]
fn what_a_careful_reader_would_say_is_told_by_its_code() {
    assert_eq!(codes(&Files::shipped()), Vec::<&str>::new(), "the shipped files have nothing to be said of");
    for (code, slip) in REMARKS {
        let mut files = Files::shipped();
        slip(&mut files);
        let found = codes(&files);
        assert!(found.contains(code), "{code} is not told: {found:?}");
    }
}

/// A slip of the pen is told with what was meant.
#[test]
fn an_unknown_name_is_told_with_the_nearest_one() {
    for (slip, meant) in [
        ((|files| files.question("gear-oil")["minutess"] = json!(2)) as Break, "did you mean \"minutes\"?"),
        (|files| files.finding("gear-oil-milky")["grade"] = json!("seriuos"), "did you mean \"serious\"?"),
        (
            |files| files.question("gear-seals")["when"] = json!({ "answer": "gear-oyl", "is": "milky" }),
            "did you mean \"gear-oil\"?",
        ),
    ] {
        let mut files = Files::shipped();
        slip(&mut files);
        let told: Vec<String> =
            load(&files.written()).expect_err("a slip").iter().map(ToString::to_string).collect();
        assert!(told.iter().any(|one| one.contains(meant)), "{meant} is not told: {told:?}");
    }
}

/// A role that two places of the code share is missed once.
#[test]
fn what_is_missing_is_told_once() {
    let ids: Vec<&str> = skeg::ROLES.iter().map(|role| role.id).collect();
    let mut twice: Vec<&str> =
        ids.iter().enumerate().filter(|(place, id)| ids[..*place].contains(id)).map(|(_, id)| *id).collect();
    twice.dedup();
    assert!(!twice.is_empty(), "no two places share a role any more");
    for id in twice {
        let mut files = Files::shipped();
        files.question(id)["id"] = json!(format!("{id}-gone"));
        let problems = load(&files.written()).expect_err("a role is missing");
        let told = problems.iter().filter(|one| one.wrong.code() == "role-missing").count();
        assert_eq!(told, 1, "{id}");
    }
}

/// A count of which only one is possible is odd and no slip; one that can't be at all is.
#[test]
fn the_least_may_be_the_most_and_not_over_it() {
    let with = |least: u32| {
        let mut files = Files::shipped();
        let count = &mut files.question("cylinders")["kind"]["count"];
        (count["least"], count["most"]) = (json!(least), json!(4));
        codes(&files)
    };
    assert!(!with(4).contains(&"bounds") && with(5).contains(&"bounds"));
}
