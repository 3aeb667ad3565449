//! The files sorted into their parts, read but not resolved.

use std::sync::Arc;

use serde::Deserialize;
use serde::de::DeserializeOwned;
use serde_json::value::RawValue;

use crate::knowledge::File;
use crate::knowledge::packed::{FILES, Late, Packed, unpack};
use crate::knowledge::raw::{
    NamedStory, Picture, RawFault, RawFinding, RawHazard, RawItem, RawQuestion, RawRunCard, RawSettings, RawStage,
    RawVisit, Source, Term,
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
    /// What stands in these was looked at before the program was built.
    pub proven: bool,
}

impl Parts {
    pub fn question_count(&self) -> usize {
        self.stages.iter().map(|read| read.questions.len()).sum()
    }
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

#[derive(Deserialize)]
struct StageFile {
    stage: RawStage,
    questions: Vec<RawQuestion>,
    findings: Vec<RawFinding>,
}

/// The shipped files as the build packed them, but for those that are unpacked late.
pub fn unpack_all(files: &[Packed]) -> Parts {
    let mut parts = Parts { proven: true, ..Parts::default() };
    for Packed { name, bytes } in files {
        let file: Arc<str> = (*name).into();
        match *name {
            name if name.starts_with(|first: char| first.is_ascii_digit()) => {
                let StageFile { stage, questions, findings } = unpack(bytes);
                parts.stages.push(ReadStage {
                    stage: one(&file, stage),
                    questions: all(&file, questions),
                    findings: all(&file, findings),
                });
            }
            "faults.json" => parts.faults = all(&file, unpack::<PackedFaults>(bytes).faults),
            "costs.json" => {
                let PackedCosts { settings, items } = unpack(bytes);
                (parts.settings, parts.items) = (Some(one(&file, settings)), all(&file, items));
            }
            "sources.json" => parts.sources = all(&file, unpack::<PackedSources>(bytes).sources),
            "hazards.json" => {
                let PackedHazards { hazards, cards } = unpack(bytes);
                (parts.hazards, parts.cards) = (all(&file, hazards), all(&file, cards));
            }
            "visit.json" => parts.visit = Some(one(&file, unpack::<PackedVisit>(bytes).visit)),
            "stories.json" => parts.stories = all(&file, unpack::<PackedStories>(bytes).stories),
            _ => {}
        }
    }
    parts
}

/// A shipped element; where it stands is never asked.
fn one<T>(file: &Arc<str>, raw: T) -> Placed<T> {
    Placed { file: Arc::clone(file), line: 0, raw }
}

fn all<T>(file: &Arc<str>, raws: Vec<T>) -> Vec<Placed<T>> {
    raws.into_iter().map(|raw| one(file, raw)).collect()
}

macro_rules! packed {
    ($($name:ident { $($field:ident : $type:ty),+ })+) => {$(
        #[derive(Deserialize)]
        struct $name { $($field: $type),+ }
    )+};
}
packed! {
    PackedFaults { faults: Vec<RawFault> }
    PackedCosts { settings: RawSettings, items: Vec<RawItem> }
    PackedSources { sources: Vec<Source> }
    PackedTerms { terms: Vec<Term> }
    PackedPictures { pictures: Vec<Picture> }
    PackedHazards { hazards: Vec<RawHazard>, cards: Vec<RawRunCard> }
    PackedVisit { visit: RawVisit }
    PackedStories { stories: Vec<NamedStory> }
}

/// What most runs do without.
pub struct Lates {
    pub terms: Late<Vec<Term>>,
    pub pictures: Late<Vec<Picture>>,
    pub synonyms: Late<Synonyms>,
}

/// What was read of them; of the shipped data the way to it.
pub fn lates(
    proven: bool,
    terms: Vec<Placed<Term>>,
    pictures: Vec<Placed<Picture>>,
    synonyms: Option<Placed<Synonyms>>,
) -> Lates {
    if proven {
        return Lates {
            terms: Late::new(|| shipped("glossary.json", |packed: PackedTerms| packed.terms)),
            pictures: Late::new(|| shipped("pictures.json", |packed: PackedPictures| packed.pictures)),
            synonyms: Late::new(|| shipped("synonyms.json", |packed: Synonyms| packed)),
        };
    }
    Lates {
        terms: terms.into_iter().map(|term| term.raw).collect::<Vec<_>>().into(),
        pictures: pictures.into_iter().map(|picture| picture.raw).collect::<Vec<_>>().into(),
        synonyms: synonyms.map(|placed| placed.raw).unwrap_or_default().into(),
    }
}

fn shipped<P: DeserializeOwned, T: Default>(name: &str, part: fn(P) -> T) -> T {
    FILES.iter().find(|file| file.name == name).map(|file| part(unpack(file.bytes))).unwrap_or_default()
}
