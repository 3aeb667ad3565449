//! Every answers file of `examples/` gives the report that lies beside it, and says what its story says.

mod support;

use std::fs;
use std::path::{Path, PathBuf};

use support::skeg;

fn examples() -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
    let mut all: Vec<PathBuf> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "json"))
        .collect();
    all.sort();
    all
}

/// The papers kept beside an example: for the buyer, the mechanic and the seller.
fn beside(answers: &Path) -> [(&'static str, PathBuf); 3] {
    let named = |ending: &str| {
        let stem = answers.file_stem().unwrap_or_default().to_string_lossy();
        answers.with_file_name(format!("{stem}{ending}.md"))
    };
    [("buyer", named("")), ("mechanic", named("-mechanic")), ("seller", named("-seller"))]
}

#[test]
fn every_example_gives_the_papers_beside_it() {
    let all = examples();
    assert!(all.len() >= 4);
    for answers in &all {
        for (reader, paper) in beside(answers) {
            let given = skeg().args(["replay", answers.to_str().unwrap(), "--for", reader]).ok();
            if std::env::var_os("SKEG_WRITE_EXAMPLES").is_some() {
                fs::write(&paper, &given).unwrap();
            }
            let kept = fs::read_to_string(&paper).unwrap_or_default();
            assert!(given == kept, "{} no longer gives {}", answers.display(), paper.display());
        }
    }
}

#[test]
fn nothing_else_lies_in_the_folder() {
    let all = examples();
    for entry in fs::read_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join("examples")).unwrap() {
        let path = entry.unwrap().path();
        let own =
            all.iter().any(|answers| *answers == path || beside(answers).iter().any(|(_, paper)| *paper == path));
        assert!(own, "{} is left over", path.display());
    }
}

#[test]
fn milky_oil_asks_about_seals_and_gives_a_bargaining_line() {
    let report = skeg().args(["replay", "examples/milky-gearcase.json"]).ok();
    for wanted in ["### The gear oil is milky (serious", "- Say: ", "Gearcase seals: no, never"] {
        assert!(report.contains(wanted), "{wanted:?} is not in the report");
    }
    let json = skeg().args(["replay", "examples/milky-gearcase.json", "--format", "json"]).json();
    assert_eq!(json["verdict"]["call"], "only-if");
    let asked: Vec<&str> = json["path"].as_array().unwrap().iter().filter_map(|step| step["id"].as_str()).collect();
    assert!(asked.contains(&"gear-seals") && asked.contains(&"gear-pressure-test"));
}

#[test]
fn oily_plugs_end_the_powerhead_branch() {
    let json = skeg().args(["replay", "examples/oily-plugs.json", "--format", "json"]).json();
    let asked: Vec<&str> = json["path"].as_array().unwrap().iter().filter_map(|step| step["id"].as_str()).collect();
    assert!(!asked.contains(&"compression") && asked.contains(&"bracket"));
    assert_eq!(json["ended"][0]["after"], "plugs");
    let report = skeg().args(["replay", "examples/oily-plugs.json"]).ok();
    let because = json["ended"][0]["because"].as_str().unwrap();
    let unwrapped = report.split_whitespace().collect::<Vec<_>>().join(" ");
    // The sentence may begin with a capital there.
    assert!(unwrapped.contains(&because[1..]), "the report does not say {because:?}");
}
