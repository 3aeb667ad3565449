//! The notices of everything built in: `SKEG_WRITE_LICENCES=1 cargo test --test licences` writes them anew from the
//! packages' own files; without it the test holds that none is missing.

mod support;

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;
use std::fs;
use std::path::Path;
use std::process::Command;

use serde_json::Value;
use support::skeg;

const NOTICES: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/src/licences/notices.txt");

/// One package that is linked in, on whatever system.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Package {
    name: String,
    version: String,
    licence: String,
    folder: String,
}

impl Package {
    fn title(&self) -> String {
        format!("{} {}", self.name, self.version)
    }
}

/// The systems that are written for: what another one's half of a package asks for is linked nowhere.
const SYSTEMS: [&str; 4] =
    ["x86_64-unknown-linux-gnu", "x86_64-pc-windows-gnu", "aarch64-apple-darwin", "aarch64-linux-android"];

/// All packages the program is linked with, from the lock file; what only builds or tests it is left out.
fn packages() -> BTreeSet<Package> {
    SYSTEMS.into_iter().flat_map(packages_on).collect()
}

fn packages_on(system: &str) -> BTreeSet<Package> {
    let ran = Command::new(env!("CARGO"))
        .args(["metadata", "--format-version", "1", "--locked", "--filter-platform", system])
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .expect("cargo runs");
    assert!(ran.status.success(), "{}", String::from_utf8_lossy(&ran.stderr));
    let all: Value = serde_json::from_slice(&ran.stdout).expect("JSON");
    let nodes: BTreeMap<&str, &Value> = all["resolve"]["nodes"]
        .as_array()
        .expect("nodes")
        .iter()
        .map(|node| (node["id"].as_str().unwrap_or(""), node))
        .collect();
    let root = all["resolve"]["root"].as_str().expect("the program's own package");
    let mut reached: BTreeSet<&str> = BTreeSet::new();
    let mut ahead = vec![root];
    while let Some(id) = ahead.pop() {
        if !reached.insert(id) {
            continue;
        }
        for dependency in nodes[id]["deps"].as_array().into_iter().flatten() {
            let linked = |kind: &Value| kind["kind"].is_null();
            if dependency["dep_kinds"].as_array().is_some_and(|kinds| kinds.iter().any(linked)) {
                ahead.extend(dependency["pkg"].as_str());
            }
        }
    }
    let text = |value: &Value| value.as_str().unwrap_or("").to_owned();
    let packages = all["packages"].as_array().expect("packages").iter();
    packages
        .filter(|package| package["id"].as_str().is_some_and(|id| id != root && reached.contains(id)))
        .map(|package| Package {
            name: text(&package["name"]),
            version: text(&package["version"]),
            licence: text(&package["license"]),
            folder: Path::new(&text(&package["manifest_path"]))
                .parent()
                .map_or_else(String::new, |folder| folder.to_string_lossy().into_owned()),
        })
        .collect()
}

/// The licence files of a package, in the order of their names.
fn texts(package: &Package) -> Vec<String> {
    let mut files: Vec<_> = fs::read_dir(&package.folder)
        .expect("a package's folder")
        .filter_map(Result::ok)
        .filter(|file| {
            let name = file.file_name().to_string_lossy().to_uppercase();
            ["LICENSE", "LICENCE", "COPYING", "NOTICE", "UNLICENSE", "COPYRIGHT"]
                .iter()
                .any(|head| name.starts_with(head))
        })
        .map(|file| file.path())
        .filter(|path| path.is_file())
        .collect();
    files.sort();
    files.iter().filter_map(|file| fs::read_to_string(file).ok()).map(|text| text.replace("\r\n", "\n")).collect()
}

/// All notices, each text once with the packages it stands in.
fn notices() -> String {
    let packages = packages();
    let mut all = String::from("What is built into skeg, and under which terms.\n\n");
    for package in &packages {
        let _ = writeln!(all, "{}: {}", package.title(), package.licence);
    }
    // Many differ only in where their lines break.
    let same = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let mut by_text: BTreeMap<String, Vec<String>> = BTreeMap::new();
    let mut order: Vec<String> = Vec::new();
    for package in &packages {
        for text in texts(package) {
            let text = text.trim_end().to_owned();
            if !by_text.contains_key(&same(&text)) {
                order.push(text.clone());
            }
            by_text.entry(same(&text)).or_default().push(package.title());
        }
    }
    for text in order {
        let _ = write!(all, "\n{}\n{}\n\n{text}\n", "-".repeat(76), by_text[&same(&text)].join(", "));
    }
    all
}

#[test]
fn the_notices_hold_every_package_that_is_linked_in() {
    if std::env::var_os("SKEG_WRITE_LICENCES").is_some() {
        fs::write(NOTICES, notices()).unwrap();
    }
    let kept = fs::read_to_string(NOTICES).unwrap();
    let told = skeg().args(["licences"]).ok();
    assert!(told.contains("Apache License") && told.contains("MIT") && told.ends_with(&kept), "{told}");
    for package in packages() {
        let line = format!("{}: {}\n", package.title(), package.licence);
        assert!(
            kept.contains(&line),
            "{line} is not among the notices: SKEG_WRITE_LICENCES=1 cargo test --test licences"
        );
        assert!(!package.licence.is_empty(), "{}", package.name);
    }
}
