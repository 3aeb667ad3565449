//! `skeg questions`: check, draw, describe and copy the question files.

use std::fs;
use std::sync::Arc;

use serde_json::json;

use crate::answers::reading;
use crate::cli::{CheckFormat, Output, Questions};
use crate::edge;
use crate::knowledge::{self, Knowledge, Problem};
use crate::measure;
use crate::path::walk;
use crate::report::graph;
use crate::store::Store;

use super::{Bench, Ending, Surroundings, load, open, out, output, question_files, told};

/// Runs one of them.
pub fn run(what: &Questions, around: Surroundings) -> Result<Ending, String> {
    let text = match what {
        Questions::Check { format } => return check(*format, &around),
        Questions::Draw { name, output } => return draw(around, name.as_deref(), output),
        Questions::Schema => schema()?,
        Questions::Copy { folder } => copy(folder)?,
        Questions::Read { file } => super::read::lines(&Arc::new(load(&around)?), file.as_deref(), &around)?,
    };
    out::print(&text).map(|()| Ending::Done)
}

/// Everything that is wrong with the question files, and what a careful reader would say of them.
fn check(format: CheckFormat, around: &Surroundings) -> Result<Ending, String> {
    let loaded = measure::load(&question_files(around)?);
    let found = match &loaded {
        Ok(knowledge) => {
            let mut found = knowledge::review(knowledge);
            found.extend(reading::misread(knowledge));
            found
        }
        Err(problems) => problems.clone(),
    };
    match (format, loaded) {
        (CheckFormat::Json, _) => out::print(&as_json(&found)?)?,
        (CheckFormat::Text, Ok(knowledge)) if found.is_empty() => out::print(&summary(&knowledge))?,
        (CheckFormat::Text, _) => return Err(told(&found)),
    }
    Ok(if found.is_empty() { Ending::Done } else { Ending::Found })
}

fn as_json(found: &[Problem]) -> Result<String, String> {
    let all: Vec<_> = found
        .iter()
        .map(|problem| {
            json!({
                "code": problem.wrong.code(), "file": problem.file, "line": problem.line, "id": problem.id,
                "field": problem.field, "message": problem.wrong.to_string(),
            })
        })
        .collect();
    serde_json::to_string_pretty(&json!({ "problems": all }))
        .map(|text| text + "\n")
        .map_err(|error| error.to_string())
}

fn summary(knowledge: &Knowledge) -> String {
    format!(
        "{} stages, {} questions, {} findings, {} faults, {} cost items, {} sources, {} words, {} pictures: no problem found\n",
        knowledge.stages.len(),
        knowledge.questions.len(),
        knowledge.findings.len(),
        knowledge.faults.len(),
        knowledge.items.len(),
        knowledge.sources.len(),
        knowledge.terms.len(),
        knowledge.pictures.len()
    )
}

/// The graph as a picture; of an interview with its path marked.
fn draw(around: Surroundings, name: Option<&str>, output: &Output) -> Result<Ending, String> {
    let bench = Bench { knowledge: Arc::new(load(&around)?), store: Store::at(around.home.clone()), around };
    let saved = name.map(|name| open::whole(&bench, name)).transpose()?;
    let path = saved.as_ref().map(|saved| walk(&bench.knowledge, &saved.record, saved.date));
    output::put(&bench, output, &graph::draw(&bench.knowledge, path.as_ref()))
}

fn schema() -> Result<String, String> {
    serde_json::to_string_pretty(&knowledge::schema()).map(|text| text + "\n").map_err(|error| error.to_string())
}

fn copy(folder: &std::path::Path) -> Result<String, String> {
    let told = |path: &std::path::Path, error: std::io::Error| format!("can't write {}: {error}", edge::path(path));
    fs::create_dir_all(folder).map_err(|error| told(folder, error))?;
    let files = knowledge::embedded_files();
    if let Some(file) = files.iter().find(|file| folder.join(&file.name).exists()) {
        return Err(format!("{} is there already: name an empty folder", edge::path(&folder.join(&file.name))));
    }
    for file in &files {
        let path = folder.join(&file.name);
        fs::write(&path, &file.text).map_err(|error| told(&path, error))?;
    }
    Ok(format!(
        "{} files copied to {}; use them with --questions {}\n",
        files.len(),
        edge::path(folder),
        edge::path(folder)
    ))
}
