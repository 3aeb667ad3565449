//! The files sorted into their parts, read but not resolved.

use serde::Deserialize;
use serde_json::value::RawValue;

use crate::knowledge::File;
use crate::knowledge::raw::{
    NamedStory, Picture, RawFault, RawHazard, RawItem, RawRunCard, RawSettings, RawVisit, Source, Term,
};
use crate::knowledge::read::{Placed, Problem, ReadStage, Reading};
use crate::knowledge::synonyms::Synonyms;
use crate::knowledge::wrong::Wrong;

/// All files, read but not resolved.
#[derive(Default)]
pub struct Parts {
    pub stages: Vec<ReadStage>,
    pub faults: Vec<Placed<RawFault>>,
    pub items: Vec<Placed<RawItem>>,
    pub settings: Option<Placed<RawSettings>>,
    pub sources: Vec<Placed<Source>>,
    pub terms: Vec<Placed<Term>>,
    pub pictures: Vec<Placed<Picture>>,
    pub hazards: Vec<Placed<RawHazard>>,
    pub cards: Vec<Placed<RawRunCard>>,
    pub stories: Vec<Placed<NamedStory>>,
    pub visit: Option<Placed<RawVisit>>,
    pub synonyms: Option<Placed<Synonyms>>,
}

macro_rules! outline {
    ($name:ident { $($field:ident : $type:ty),+ }) => {
        #[derive(Deserialize)]
        #[serde(deny_unknown_fields)]
        struct $name<'a> { $(#[serde(borrow)] $field: $type),+ }
    };
}
outline!(Faults { faults: Vec<&'a RawValue> });
outline!(Costs { settings: &'a RawValue, items: Vec<&'a RawValue> });
outline!(Sources { sources: Vec<&'a RawValue> });
outline!(Terms { terms: Vec<&'a RawValue> });
outline!(Pictures { pictures: Vec<&'a RawValue> });
outline!(Hazards { hazards: Vec<&'a RawValue>, cards: Vec<&'a RawValue> });
outline!(Visit { visit: &'a RawValue });
outline!(Stories { stories: Vec<&'a RawValue> });

/// Sorts files into their parts; stage files are those whose name begins with a digit, in order of names.
pub fn read_all(files: &[File], problems: &mut Vec<Problem>) -> Parts {
    let mut parts = Parts::default();
    for file in files {
        let mut reading = Reading::new(&file.name, &file.text, problems);
        match file.name.as_str() {
            name if name.starts_with(|first: char| first.is_ascii_digit()) => {
                parts.stages.extend(reading.stage_file());
            }
            "faults.json" => {
                if let Some(Faults { faults }) = reading.outline() {
                    parts.faults = reading.elements(&faults);
                }
            }
            "costs.json" => {
                if let Some(Costs { settings, items }) = reading.outline() {
                    parts.settings = reading.element(settings);
                    parts.items = reading.elements(&items);
                }
            }
            "sources.json" => {
                if let Some(Sources { sources }) = reading.outline() {
                    parts.sources = reading.elements(&sources);
                }
            }
            "glossary.json" => {
                if let Some(Terms { terms }) = reading.outline() {
                    parts.terms = reading.elements(&terms);
                }
            }
            "pictures.json" => {
                if let Some(Pictures { pictures }) = reading.outline() {
                    parts.pictures = reading.elements(&pictures);
                }
            }
            "hazards.json" => {
                if let Some(Hazards { hazards, cards }) = reading.outline() {
                    parts.hazards = reading.elements(&hazards);
                    parts.cards = reading.elements(&cards);
                }
            }
            "visit.json" => {
                if let Some(Visit { visit }) = reading.outline() {
                    parts.visit = reading.element(visit);
                }
            }
            "stories.json" => {
                if let Some(Stories { stories }) = reading.outline() {
                    parts.stories = reading.elements(&stories);
                }
            }
            "synonyms.json" => {
                if let Some(all) = reading.outline() {
                    parts.synonyms = reading.element(all);
                }
            }
            name => problems.push(Problem::of_file(name, Wrong::NotADataFile)),
        }
    }
    parts
}
