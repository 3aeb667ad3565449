//! After buying; notes and photos; sources.

use std::path::{Component, Path, PathBuf};

use serde::Serialize;

use crate::answers::Outcome;
use crate::judge::Chance;
use crate::knowledge::roles::FIRST_SERVICE;
use crate::knowledge::{Basis, Known, QuestionIx, SourceId};

use super::super::words::{self, typed};
use super::super::{Meta, photo};
use super::Scene;

/// A fault with this chance has its word in the first season.
const LIKELY: f64 = 0.20;

/// From here on a fault is likelier than not: it is put right before the motor is used.
const LIKELIER_THAN_NOT: f64 = 0.50;

/// So many of them are told.
const STEPS: usize = 4;

/// What to do in the first weeks, by the faults that are likeliest: what each fault's data says for afterwards, or
/// for before the first trip where it is likelier than not.
pub(super) fn first_service(scene: &Scene<'_, '_>) -> Vec<String> {
    let likely = |chance: &&Chance| chance.chance >= LIKELY && chance.settled != Some(Outcome::Fine);
    let mut faults: Vec<&Chance> = scene.judgement.chances.iter().filter(likely).collect();
    faults.sort_by(|a, b| b.chance.total_cmp(&a.chance).then(a.fault.cmp(&b.fault)));
    let step = |chance: &Chance| {
        let fault = &scene.knowledge().faults[chance.fault.0];
        let first = fault.first.as_ref().filter(|_| chance.chance >= LIKELIER_THAN_NOT);
        words::within(first.unwrap_or(&fault.after), 22)
    };
    faults.into_iter().map(step).take(STEPS).collect()
}

/// The title of the service every used motor gets.
pub(super) fn service_title(scene: &Scene<'_, '_>) -> String {
    let item = scene.knowledge().bought(FIRST_SERVICE);
    words::capital(&scene.knowledge().items[item.0].title)
}

/// A note or photos beside a question.
#[derive(Clone, Debug, Serialize)]
pub struct Beside {
    pub brief: String,
    pub note: Option<String>,
    pub photos: Vec<Photo>,
}

#[derive(Clone, Debug, Serialize)]
pub struct Photo {
    pub label: String,
    /// What it shows, by the question it was taken for.
    pub of: String,
    /// Where it is, ready to stand in a link of any format.
    pub link: String,
    /// The picture itself, for papers that hold it.
    pub picture: Option<Picture>,
    /// Why it is not there.
    pub problem: Option<String>,
}

#[derive(Clone, Debug, Serialize)]
pub struct Picture {
    pub address: String,
    pub width: u32,
    pub height: u32,
}

/// Notes, and photos that stand beside no story.
pub(super) fn notes(scene: &Scene<'_, '_>, told: &[QuestionIx]) -> Vec<Beside> {
    let beside = |(ix, answer): (QuestionIx, &crate::answers::Answer)| Beside {
        brief: words::capital(scene.brief(ix)),
        note: answer.note.as_deref().map(typed).filter(|note| !note.is_empty()),
        photos: if told.contains(&ix) { Vec::new() } else { photos_of(scene, &[ix]) },
    };
    let all = scene.record().entries().map(beside);
    all.filter(|beside| beside.note.is_some() || !beside.photos.is_empty()).collect()
}

/// The photos taken for these questions.
pub(super) fn photos_of(scene: &Scene<'_, '_>, questions: &[QuestionIx]) -> Vec<Photo> {
    let of = |ix: &QuestionIx| {
        let brief = scene.brief(*ix).to_owned();
        let photos = scene.record().answer(*ix).photos.iter();
        photos.map(move |photo| photo_of(scene.meta, photo, &brief)).collect::<Vec<_>>()
    };
    questions.iter().flat_map(of).collect()
}

fn photo_of(meta: &Meta<'_>, photo: &str, of: &str) -> Photo {
    let place = relative(Path::new(photo), meta.photos_base);
    let ready = meta.photos.and_then(|photos| photos.get(photo));
    let picture =
        |ready: &photo::Ready| Picture { address: ready.address.clone(), width: ready.width, height: ready.height };
    Photo {
        label: typed(photo),
        of: words::capital(of),
        link: link_to(&place.to_string_lossy()),
        picture: ready.and_then(|ready| ready.as_ref().ok()).map(picture),
        problem: ready.and_then(|ready| ready.as_ref().err()).cloned(),
    }
}

/// The way from the report's folder to the photo, where both are known from the same place on.
fn relative(photo: &Path, base: Option<&Path>) -> PathBuf {
    let winds = |base: &Path| base.components().any(|part| matches!(part, Component::ParentDir));
    let comparable = |base: &&Path| base.is_absolute() == photo.is_absolute() && !winds(base);
    let Some(base) = base.filter(comparable) else { return photo.to_owned() };
    let shared = base.components().zip(photo.components()).take_while(|(a, b)| a == b).count();
    if shared == 0 && photo.is_absolute() {
        // Another drive: there is no way from here.
        return photo.to_owned();
    }
    let up = base.components().skip(shared).map(|_| Component::ParentDir);
    up.chain(photo.components().skip(shared)).collect()
}

/// A path as a relative link: every byte that is not plain is written as `%XX`, so that nothing typed can be taken
/// for a scheme, the end of the link or a tag. Where drives have letters, one stands behind a slash.
fn link_to(path: &str) -> String {
    let path = if cfg!(windows) { path.replace('\\', "/") } else { path.to_owned() };
    let has_drive =
        cfg!(windows) && path.starts_with(|c: char| c.is_ascii_alphabetic()) && path[1..].starts_with(":/");
    let (drive, below) =
        if has_drive { (format!("/{}", &path[..2]), &path[2..]) } else { (String::new(), &path[..]) };
    let plain = |byte: u8| byte.is_ascii_alphanumeric() || b"-._/".contains(&byte);
    let below =
        below.bytes().map(|byte| if plain(byte) { char::from(byte).to_string() } else { format!("%{byte:02X}") });
    drive + &below.collect::<String>()
}

/// A source the paper rests on.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SourceSaid {
    pub title: String,
    pub what: String,
    /// How it is known: read, worked out, or remembered.
    pub known: &'static str,
}

/// The sources of what was found, and of the arithmetic that every such paper uses.
pub(super) fn sources(scene: &Scene<'_, '_>) -> Vec<SourceSaid> {
    let knowledge = scene.knowledge();
    let findings = scene.judgement.findings.fired.iter().map(|fired| &knowledge.findings[fired.finding.0].basis);
    let faults = scene.judgement.chances.iter().map(|chance| &knowledge.faults[chance.fault.0].basis);
    let mut keys: Vec<&SourceId> = findings
        .chain(faults)
        .filter_map(|basis| match basis {
            Basis::Published(key) => Some(key),
            Basis::Practice | Basis::Memory => None,
        })
        .collect();
    let arithmetic = scene.judgement.money.cost.is_some();
    keys.extend(
        knowledge
            .sources
            .iter()
            .map(|source| &source.id)
            .filter(|id| arithmetic && ["pert", "evpi"].contains(&id.as_str())),
    );
    let used = knowledge.sources.iter().filter(|source| keys.contains(&&source.id));
    used.map(|source| SourceSaid {
        title: source.title.to_string(),
        what: source.what.to_string(),
        known: match source.known {
            Known::Read => "read",
            Known::Computed => "worked out anew",
            Known::Memory => "from memory",
        },
    })
    .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn meta(photos_base: Option<&Path>) -> Meta<'_> {
        Meta { name: "m", date: jiff::civil::date(2026, 5, 3), photos_base, photos: None }
    }

    #[test]
    fn photos_are_linked_from_where_the_paper_stands() {
        let base = Some(Path::new("/home/a/papers"));
        for (photo, link) in [
            ("/home/a/papers/plug 1.jpg", "plug%201.jpg"),
            ("/home/a/photos/x.jpg", "../photos/x.jpg"),
            ("photos/x.jpg", "photos/x.jpg"),
        ] {
            assert_eq!(photo_of(&meta(base), photo, "plug").link, link);
        }
    }

    #[cfg(windows)]
    #[test]
    fn photos_on_a_drive_are_linked_from_its_root() {
        assert_eq!(photo_of(&meta(None), r"C:\a b\x.jpg", "plug").link, "/C:/a%20b/x.jpg");
        let papers = Some(Path::new(r"C:\a\papers"));
        assert_eq!(photo_of(&meta(papers), r"C:\a\photos\x.jpg", "plug").link, "../photos/x.jpg");
        assert_eq!(photo_of(&meta(papers), r"D:\x.jpg", "plug").link, "/D:/x.jpg");
    }

    #[test]
    fn a_paper_in_a_folder_beside_finds_its_photos() {
        assert_eq!(photo_of(&meta(Some(Path::new("papers"))), "photos/x.jpg", "plug").link, "../photos/x.jpg");
        assert_eq!(photo_of(&meta(Some(Path::new(""))), "photos/x.jpg", "plug").link, "photos/x.jpg");
        assert_eq!(photo_of(&meta(Some(Path::new("../papers"))), "photos/x.jpg", "plug").link, "photos/x.jpg");
    }

    #[test]
    fn no_path_makes_a_scheme_or_ends_a_link() {
        assert_eq!(photo_of(&meta(None), "javascript:alert(1)", "plug").link, "javascript%3Aalert%281%29");
        assert_eq!(photo_of(&meta(None), "a\">)](x", "plug").link, "a%22%3E%29%5D%28x");
        assert_eq!(photo_of(&meta(None), "a\nb", "plug").label, "a b");
    }
}
