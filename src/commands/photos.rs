//! Photos from the disk for papers that hold them; the only place that opens them.

use std::fs;
use std::path::Path;

use crate::answers::Record;
use crate::edge;
use crate::report::photo::{Photos, ready};

/// A file larger than this is no photo of a telephone.
const LARGEST: u64 = 80 << 20;

/// Every photo of an interview, or why it can't be shown.
#[must_use]
pub fn of(record: &Record) -> Photos {
    let all = record.entries().flat_map(|(_, answer)| &answer.photos);
    all.map(|photo| (photo.clone(), read(Path::new(photo)))).collect()
}

fn read(path: &Path) -> Result<crate::report::photo::Ready, String> {
    let about = fs::metadata(path).map_err(|_| "it is not there any more".to_owned())?;
    edge::check_regular(path)?;
    if about.len() > LARGEST {
        return Err("it is too large".to_owned());
    }
    ready(&fs::read(path).map_err(|problem| format!("it can't be read ({problem})"))?)
}
