//! What the code relies on in the question data: every rename of it is told, none passes.

mod support;

use serde_json::Value as Json;
use skeg::load;
use skeg::{File, Problem, Wrong, embedded_files, review};
use skeg::{ITEM_ROLES, ROLES, Wanted};
use support::skeg;

/// The shipped files with every text that is exactly `old` made another, as someone renames throughout.
fn renamed(old: &str, new: &str, only: &dyn Fn(&Json) -> bool) -> Vec<File> {
    let mut files = embedded_files();
    for file in files.iter_mut().filter(|file| file.text.contains(old)) {
        let mut json: Json = serde_json::from_str(&file.text).expect("a shipped file");
        rename(&mut json, old, new, only);
        file.text = json.to_string();
    }
    files
}

fn rename(json: &mut Json, old: &str, new: &str, only: &dyn Fn(&Json) -> bool) {
    match json {
        Json::String(text) if text == old => new.clone_into(text),
        Json::Array(parts) => parts.iter_mut().for_each(|part| rename(part, old, new, only)),
        Json::Object(fields) => {
            if fields.contains_key(old) {
                let value = fields.remove(old).expect("a field");
                fields.insert(new.to_owned(), value);
            }
            for (name, part) in fields.iter_mut() {
                // Names of measures and words of the schema stay what they are.
                if !["measure", "of", "form", "dimension"].contains(&name.as_str())
                    && (name != "is" && name != "any-of" || only(part))
                {
                    rename(part, old, new, only);
                }
            }
        }
        _ => {}
    }
}

fn problems(files: &[File]) -> Vec<Problem> {
    load(files).err().unwrap_or_default()
}

#[test]
fn every_question_the_code_speaks_of_is_missed_when_it_is_renamed() {
    for role in ROLES {
        let other = format!("{}s", role.id);
        let files = renamed(role.id, &other, &|_| true);
        let found = problems(&files);
        let missed =
            |problem: &&Problem| problem.wrong.code() == "role-missing" && problem.id.as_deref() == Some(role.id);
        let told = found.iter().find(missed).unwrap_or_else(|| panic!("{} renamed passes: {found:?}", role.id));
        let text = told.to_string();
        assert!(text.contains(role.id) && text.contains("did you mean"), "{text} of {found:?}");
        assert!(told.line > 0, "{text}");
        let file = files.iter().find(|file| *file.name == *told.file).expect("the file it names");
        assert!(file.text.contains(&format!("\"id\":\"{other}\"")), "{text}");
    }
}

#[test]
fn every_choice_the_code_tells_apart_is_missed_when_it_is_renamed() {
    let mut looked_at = 0;
    for role in ROLES {
        let (Wanted::One(names) | Wanted::Each(names)) = role.wanted else { continue };
        for name in names {
            let mut files = embedded_files();
            for file in &mut files {
                let mut json: Json = serde_json::from_str(&file.text).expect("a shipped file");
                rename_choice(&mut json, role.id, name);
                file.text = json.to_string();
            }
            let found = problems(&files);
            let told = found.iter().any(|problem| {
                problem.wrong.code() == "role-choice" && problem.to_string().contains(&format!("{name:?}"))
            });
            assert!(told, "{}: {name} renamed passes: {found:?}", role.id);
            looked_at += 1;
        }
    }
    assert!(looked_at > 15, "{looked_at}");
}

/// Renames a choice of a question, in the question and in every condition on it.
fn rename_choice(json: &mut Json, question: &str, choice: &str) {
    let new = format!("{choice}-x");
    let choices = |json: &mut Json| {
        for kind in ["one", "many", "each"] {
            let Some(all) = json["kind"].get_mut(kind).and_then(Json::as_array_mut) else { continue };
            all.iter_mut().filter(|one| one["id"] == choice).for_each(|one| one["id"] = new.as_str().into());
        }
    };
    match json {
        Json::Array(parts) => parts.iter_mut().for_each(|part| rename_choice(part, question, choice)),
        Json::Object(fields) => {
            let names_it = fields.get("answer").is_some_and(|answer| answer == question);
            for test in ["is", "any-of", "has", "only"] {
                if let (true, Some(test)) = (names_it, fields.get_mut(test)) {
                    rename(test, choice, &new, &|_| true);
                }
            }
            fields.values_mut().for_each(|part| rename_choice(part, question, choice));
            if json["id"] == question && json["kind"].is_object() {
                choices(json);
            }
        }
        _ => {}
    }
}

#[test]
fn every_item_the_code_speaks_of_is_missed_when_it_is_renamed() {
    for id in ITEM_ROLES {
        let found = problems(&renamed(id, &format!("{id}s"), &|_| true));
        let told = found.iter().find(|problem| problem.wrong.code() == "role-missing");
        let told = told.unwrap_or_else(|| panic!("{id} renamed passes"));
        assert_eq!(told.file, "costs.json");
    }
}

#[test]
fn a_question_of_another_kind_is_told() {
    let swap = |id: &str, kind: Json| {
        let mut files = embedded_files();
        for file in &mut files {
            let mut json: Json = serde_json::from_str(&file.text).expect("a shipped file");
            let Some(all) = json.get_mut("questions").and_then(Json::as_array_mut) else { continue };
            all.iter_mut().filter(|one| one["id"] == id).for_each(|one| one["kind"] = kind.clone());
            file.text = json.to_string();
        }
        problems(&files)
    };
    let length = serde_json::json!({ "amount": {
        "dimension": "length", "unit": "in", "least": "1 in", "most": "9 in", "beyond": "that is not it"
    } });
    let told = swap("volts-rest", length);
    assert!(told.iter().any(|problem| matches!(problem.wrong, Wrong::RoleDimension { .. })), "{told:?}");
    let told = swap("asking-price", serde_json::json!({ "text": {} }));
    assert!(told.iter().any(|problem| matches!(problem.wrong, Wrong::RoleKind { .. })), "{told:?}");
}

/// Outside the one file that lists what the code speaks of, no id of the data stands in it as a text.
#[test]
fn no_id_stands_as_a_text_in_the_program() {
    let ids: Vec<&str> = ROLES.iter().map(|role| role.id).chain(ITEM_ROLES.iter().copied()).collect();
    let mut odd = Vec::new();
    sources(std::path::Path::new("src"), &mut |path, text| {
        let name = path.to_string_lossy();
        let tested = name.contains("tests") || name.contains("testing") || name.ends_with("roles.rs");
        let code = text.split("#[cfg(test)]").next().unwrap_or_default();
        let lines = code.lines().enumerate().filter(|(_, line)| !line.trim_start().starts_with("//"));
        for (place, line) in lines.filter(|_| !tested) {
            // A word that is an id and a plain word too is looked at where it is looked up.
            let looks_up = |id: &&&str| {
                line.contains(&format!("(\"{id}\")")) || id.contains('-') && line.contains(&format!("\"{id}\""))
            };
            odd.extend(ids.iter().filter(looks_up).map(|id| format!("{name}:{}: {id}", place + 1)));
        }
    });
    // Names of measures and figures of the JSON that share a name with a question.
    odd.retain(|line| !line.ends_with(": leakdown") && !line.ends_with(": hours"));
    assert!(odd.is_empty(), "{}", odd.join("\n"));
}

fn sources(folder: &std::path::Path, see: &mut dyn FnMut(&std::path::Path, &str)) {
    for entry in std::fs::read_dir(folder).expect("a folder of sources") {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            sources(&path, see);
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            see(&path, &std::fs::read_to_string(&path).expect("a source"));
        }
    }
}

#[test]
fn the_shipped_files_have_nothing_a_careful_reader_would_say() {
    let knowledge = load(&embedded_files()).expect("the shipped data has no problem");
    let found: Vec<String> = review(&knowledge).iter().map(ToString::to_string).collect();
    assert!(found.is_empty(), "{}", found.join("\n"));
}

#[test]
fn problems_are_told_to_tools_with_their_code_and_place() {
    let folder = tempfile::tempdir().expect("a folder");
    for file in renamed("asking-price", "price-asked", &|_| true) {
        std::fs::write(folder.path().join(&file.name), &file.text).expect("written");
    }
    let questions = folder.path().to_str().expect("a path");
    let ran = skeg().args(["questions", "check", "--format", "json", "--questions", questions]).run();
    assert_eq!(ran.status, Some(1), "{}", ran.err);
    let json: Json = serde_json::from_str(&ran.out).expect("JSON");
    let first = &json["problems"][0];
    for field in ["code", "file", "line", "id", "field", "message"] {
        assert!(!first[field].is_null(), "{field}: {first}");
    }
    assert!(json["problems"].as_array().expect("a list").iter().any(|one| one["code"] == "role-missing"));
}
