//! `skeg questions`: check, draw, describe and copy the question files.

use std::fmt::Write as _;
use std::fs;

use serde_json::json;

use crate::cli::{CheckFormat, Questions};
use crate::edge;
use crate::knowledge::{self, Choice, Knowledge, Problem};
use crate::measure;

use super::{Ending, Surroundings, load, out, question_files, told};

/// Runs one of them.
pub fn run(what: &Questions, around: &Surroundings) -> Result<Ending, String> {
    let text = match what {
        Questions::Check { format } => return check(*format, around),
        Questions::Draw => draw(&load(around)?),
        Questions::Schema => schema()?,
        Questions::Copy { folder } => copy(folder)?,
        Questions::Read { file } => super::read::lines(&load(around)?, file.as_deref(), around)?,
    };
    out::print(&text).map(|()| Ending::Done)
}

/// Everything that is wrong with the question files, and what a careful reader would say of them.
fn check(format: CheckFormat, around: &Surroundings) -> Result<Ending, String> {
    let loaded = measure::load(&question_files(around)?);
    let found = match &loaded {
        Ok(knowledge) => knowledge::review(knowledge),
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

/// The graph in the DOT language: stages as clusters, follow-ups as arrows, early ends as dashed arrows.
fn draw(knowledge: &Knowledge) -> String {
    let mut text = String::from("digraph questions {\n  rankdir=LR;\n  node [shape=box];\n");
    for (place, stage) in knowledge.stages.iter().enumerate() {
        let _ = writeln!(text, "  subgraph \"cluster_{}\" {{\n    label={:?};", stage.id, stage.title);
        for question in knowledge.questions.iter().filter(|question| question.stage == place) {
            let shape = if question.core { " [penwidth=3]" } else { "" };
            let _ = writeln!(text, "    \"{}\"{shape};", question.id);
        }
        text.push_str("  }\n");
    }
    for question in &knowledge.questions {
        if let Some(above) = question.follows {
            let _ = writeln!(text, "  \"{}\" -> \"{}\";", knowledge.question(above).id, question.id);
        }
        for choice in question.choices().iter().filter(|choice: &&Choice| !choice.closes.is_empty()) {
            for stage in &choice.closes {
                let _ = writeln!(
                    text,
                    "  \"{}\" -> \"end of {stage}\" [style=dashed, label=\"{}\"];",
                    question.id, choice.id
                );
            }
        }
    }
    text.push_str("}\n");
    text
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
