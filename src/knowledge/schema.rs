//! The JSON Schema of a folder of question files, made from the types that read them.

use schemars::{JsonSchema, SchemaGenerator};
use serde_json::{Map, Value, json};

use super::raw::{
    NamedStory, Picture, RawFault, RawFinding, RawHazard, RawItem, RawQuestion, RawRunCard, RawSettings, RawStage,
    RawVisit, Source, Term,
};
use super::synonyms::Synonyms;

/// One schema for a folder as an object: each file's name with its content. Stage files are those whose name begins
/// with a number.
#[must_use]
pub fn schema() -> Value {
    let mut all = SchemaGenerator::default();
    let stage = file(vec![
        ("stage", one::<RawStage>(&mut all)),
        ("questions", list::<RawQuestion>(&mut all)),
        ("findings", list::<RawFinding>(&mut all)),
    ]);
    let files = [
        ("faults.json", vec![("faults", list::<RawFault>(&mut all))]),
        ("costs.json", vec![("settings", one::<RawSettings>(&mut all)), ("items", list::<RawItem>(&mut all))]),
        ("sources.json", vec![("sources", list::<Source>(&mut all))]),
        ("glossary.json", vec![("terms", list::<Term>(&mut all))]),
        ("pictures.json", vec![("pictures", list::<Picture>(&mut all))]),
        ("hazards.json", vec![("hazards", list::<RawHazard>(&mut all)), ("cards", list::<RawRunCard>(&mut all))]),
        ("stories.json", vec![("stories", list::<NamedStory>(&mut all))]),
        ("visit.json", vec![("visit", one::<RawVisit>(&mut all))]),
    ];
    let synonyms = one::<Synonyms>(&mut all);
    let mut files: Map<String, Value> =
        files.into_iter().map(|(name, parts)| (name.to_owned(), file(parts))).collect();
    files.insert("synonyms.json".into(), synonyms);
    json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "a folder of question files, by name",
        "type": "object",
        "patternProperties": { "^[0-9].*\\.json$": stage },
        "properties": files,
        "additionalProperties": false,
        "$defs": all.take_definitions(true),
    })
}

fn one<T: JsonSchema>(all: &mut SchemaGenerator) -> Value {
    all.subschema_for::<T>().into()
}

fn list<T: JsonSchema>(all: &mut SchemaGenerator) -> Value {
    json!({ "type": "array", "items": one::<T>(all) })
}

fn file(parts: Vec<(&str, Value)>) -> Value {
    let required: Vec<&str> = parts.iter().map(|(name, _)| *name).collect();
    let properties: Map<String, Value> =
        parts.into_iter().map(|(name, schema)| (name.to_owned(), schema)).collect();
    json!({ "type": "object", "properties": properties, "required": required, "additionalProperties": false })
}
