//! The mechanic's paper: one page to read and fill in, a second for what is in order. No money, no chances.

use serde::Serialize;

use crate::answers::{SELLER_SAYS, Standing, Value};
use crate::knowledge::roles::{self, AnyRole, SerialMatches};
use crate::knowledge::{Grade, Kind, Place, QuestionIx};
use crate::path::{Path, Truth, is_seen};
use crate::units::{Quantity, figure};

use super::super::paper::grid::{self, Goes};
use super::super::paper::state_code;
use super::super::words;
use super::points::{self, CheckLine, Done, PointSaid};
use super::{Head, Scene};

/// What a workshop asks first, line by line; the title has power, strokes and year.
const FACTS: [&[AnyRole]; 4] = [
    &[roles::SERIAL_NUMBER.any, roles::SERIAL_MATCHES.any, roles::LABEL_FAMILY.any],
    &[roles::HOURS.any, roles::HOURS_SOURCE.any, roles::KEPT_IN.any],
    &[roles::CYLINDERS.any, roles::FUEL_SYSTEM.any, roles::START.any, roles::SHAFT_LENGTH.any, roles::TRIM.any],
    // Plain fuel from a workshop's own tank ends a two-stroke that wants its oil mixed in.
    &[roles::OIL_MIX.any],
];
/// Points on the first page, and as many more over the page; further ones are named in a line.
const FIRST: usize = 5;
const MORE: usize = 10;
/// Words of the first page.
const PAGE: usize = 400;
/// Words of the facts: a fixed number, so that what was typed moves no point to another page.
const FACTS_WORDS: usize = 40;
/// Words of the first page besides facts, points and boxes: headings, what to do, the last lines.
const FRAME: usize = 110;

/// Lines of what the seller said, and letters of each.
const HEARSAY: usize = 6;
const HEARSAY_LETTERS: usize = 80;

#[derive(Clone, Debug, Serialize)]
pub struct Mechanic {
    pub head: Head,
    pub name: String,
    /// Tells a paper of an older state of the interview.
    pub state: String,
    /// Facts, a line each: "412 h, by an hour meter, lived in salt water".
    pub facts: Vec<String>,
    pub points: Vec<PointSaid>,
    /// Over the page.
    pub more: Vec<PointSaid>,
    /// Named only.
    pub rest: Option<String>,
    pub checks: Vec<CheckLine>,
    /// What only the seller's word stands for: "Telltale - he says it runs strong".
    pub hearsay: Vec<String>,
    pub grid: Vec<GridRow>,
    pub also: Vec<&'static str>,
    pub in_order: Vec<StageOrder>,
    pub done: Vec<Done>,
    /// The same paper as Markdown with `&` and `<` written out: what a filled-in form is sent back as.
    pub text: String,
}

/// A row of boxes.
#[derive(Clone, Debug, Serialize)]
pub struct GridRow {
    pub key: String,
    pub title: String,
    pub cells: Vec<GridCell>,
    /// As they are printed, ready for a fenced block.
    pub lines: Vec<String>,
    /// What the buyer had read.
    pub had: Option<String>,
}

#[derive(Clone, Debug, Serialize)]
pub struct GridCell {
    pub name: String,
    pub hint: String,
    pub number: bool,
}

/// What is in order in one part of the motor.
#[derive(Clone, Debug, Serialize)]
pub struct StageOrder {
    pub stage: String,
    pub briefs: String,
}

impl Mechanic {
    #[must_use]
    pub fn of(scene: &Scene<'_, '_>) -> Self {
        let mut points = points::open_points(scene);
        let checks = points::open_checks(scene);
        let grid = grid_of(scene);
        let facts = facts(scene);
        let count = words::count;
        let boxes: usize = grid
            .iter()
            .flat_map(|row| &row.lines)
            .chain(checks.iter().map(|check| &check.line))
            .map(|line| count(line))
            .sum();
        let mut used = FRAME + FACTS_WORDS + boxes;
        let fits = |point: &&PointSaid| {
            used += count(&point.seen) + count(&point.ask) + count(&point.line) + if point.stop { 6 } else { 1 };
            used <= PAGE
        };
        let first = points.iter().take(FIRST).take_while(fits).count().max(1).min(points.len());
        let mut more = points.split_off(first);
        let rest = more.split_off(more.len().min(MORE));
        let rest: Vec<String> = rest.into_iter().map(|point| point.title).collect();
        Self {
            head: Head::of(scene),
            name: words::typed(scene.meta.name),
            state: state_code(scene.knowledge(), scene.record()),
            facts,
            points,
            more,
            rest: (!rest.is_empty()).then(|| rest.join("; ")),
            checks,
            hearsay: hearsay(scene),
            grid,
            also: super::super::paper::ALSO.to_vec(),
            in_order: in_order(scene),
            done: points::done_points(scene),
            text: String::new(),
        }
    }
}

/// Facts of the motor, what belongs together in one line. Without a colon: a name with one could be taken for a key. What a person typed is a number or a code here, and is shown as one.
fn facts(scene: &Scene<'_, '_>) -> Vec<String> {
    let other_number = scene.path().live.get(roles::SERIAL_MATCHES) == Some(SerialMatches::No);
    let said = |role: &AnyRole| {
        // That it agrees needs no word.
        if *role == roles::SERIAL_MATCHES.any {
            return other_number.then(|| "the papers are for another number".to_owned());
        }
        let ix = Some(scene.knowledge().ask(*role)).filter(|ix| scene.may_tell(*ix))?;
        let question = scene.knowledge().question(ix);
        let said = match scene.path().live.standing(ix) {
            // A number of which no sign can be read was still given: the line stays, whatever was typed.
            Standing::Value(Value::Text(text)) => {
                Some(code_like(text)).filter(|code| !code.is_empty()).unwrap_or("?".into())
            }
            Standing::Value(value) => scene.value_said(question, value),
            _ => return None,
        };
        (!said.is_empty()).then(|| phrase(*role, &said)).flatten()
    };
    let lines = FACTS.iter().map(|line| line.iter().filter_map(said).collect::<Vec<_>>().join(", "));
    lines.filter(|line| !line.is_empty()).map(|line| words::capital(&line)).collect()
}

/// What the seller said of things nobody looked at, and how the seller explains what was found. Letters, digits and commas only, so that nothing in it is taken for
/// a key or a box; words that name a sum are not for this paper.
fn hearsay(scene: &Scene<'_, '_>) -> Vec<String> {
    let sum = |words: &str| {
        words.contains(['$', '\u{20ac}', '\u{a3}'])
            || words.split(|c: char| !c.is_ascii_digit()).any(|digits| digits.len() > 2)
    };
    let told = scene.record().entries().filter_map(|(ix, answer)| {
        let standing = scene.path().live.standing(ix);
        let question = scene.knowledge().question(ix);
        let tale = match standing {
            Standing::Value(Value::Text(text)) if question.told && question.place.is_some() => Some(text.as_str()),
            _ => None,
        };
        let noted = || answer.note.as_deref().and_then(|note| note.split_once(SELLER_SAYS)).map(|(_, words)| words);
        let words = tale.or_else(noted)?;
        let fits = |sign: &char| sign.is_alphanumeric() || matches!(sign, ' ' | ',' | '\'');
        let plain: String = words::typed(words).chars().filter(fits).take(HEARSAY_LETTERS).collect();
        let plain = Some(plain.trim()).filter(|plain| !plain.is_empty() && !sum(words));
        let brief = words::capital(scene.brief(ix));
        // A tale was asked for: its line stays, whatever was typed.
        let plain = if tale.is_some() { plain.or(Some("?")) } else { plain };
        let seen = matches!(standing, Standing::Value(_)) && tale.is_none();
        plain.filter(|_| !seen && scene.may_tell(ix)).map(|plain| format!("{brief} - {plain}"))
    });
    told.take(HEARSAY).collect()
}

/// A fact with the words it needs to be understood alone; `None` where it tells nothing.
fn phrase(role: AnyRole, said: &str) -> Option<String> {
    let before = |words: &str| Some(format!("{words} {said}"));
    match role {
        role if role == roles::SERIAL_NUMBER.any => before("serial number"),
        role if role == roles::LABEL_FAMILY.any => before("emission label"),
        role if role == roles::HOURS_SOURCE.any => before("by"),
        // Who does not know says nothing of the water.
        role if role == roles::KEPT_IN.any => said.ends_with("water").then(|| format!("lived in {said}")),
        role if role == roles::CYLINDERS.any && said == "1" => Some("one cylinder".to_owned()),
        role if role == roles::CYLINDERS.any => Some(format!("{said} cylinders")),
        // What stands behind the comma explains it to a first-timer.
        role if role == roles::FUEL_SYSTEM.any || role == roles::TRIM.any && !said.starts_with("by ") => {
            said.split(',').next().map(str::to_owned)
        }
        role if role == roles::START.any => before("starts"),
        role if role == roles::OIL_MIX.any => before("oil for this two-stroke -"),
        role if role == roles::SHAFT_LENGTH.any => before("shaft"),
        role if role == roles::TRIM.any && said.starts_with("by ") => before("tilts"),
        _ => Some(said.to_owned()),
    }
}

/// Letters, digits and the few signs a number plate has.
fn code_like(text: &str) -> String {
    let fits = |sign: &char| sign.is_alphanumeric() || matches!(sign, '-' | '/' | '.' | ' ');
    words::typed(text).chars().filter(fits).take(30).collect::<String>().trim().to_owned()
}

/// The rows of boxes, compression and leak-down first.
fn grid_of(scene: &Scene<'_, '_>) -> Vec<GridRow> {
    let cylinders = scene.path().live.cylinders();
    let count = cylinders.unwrap_or(4);
    let mut rows = Vec::new();
    if cylinders.is_none() {
        rows.push(row(grid::CYLINDERS.name, "Cylinders", &[(grid::CYLINDERS.name, "")], None));
    }
    rows.push(by_cylinder(scene, grid::COMPRESSION, "Compression", count));
    rows.push(by_cylinder(scene, grid::LEAK_DOWN, "Leak-down, percent", count));
    for known in grid::ROWS.iter().filter(|known| applies(scene, known)) {
        let cells: Vec<(&str, &str)> = known
            .cells
            .iter()
            .filter(|cell| cell_applies(scene, cell.goes))
            .map(|cell| (cell.name, cell.hint))
            .collect();
        rows.push(row(known.key, known.title, &cells, had(scene, known)));
    }
    rows
}

fn applies(scene: &Scene<'_, '_>, row: &grid::Row) -> bool {
    row.cells.iter().any(|cell| cell_applies(scene, cell.goes) && cell.goes != Goes::Note)
        || row.cells.iter().all(|cell| cell.goes == Goes::Note)
}

/// A box for what this motor cannot have is not printed.
fn cell_applies(scene: &Scene<'_, '_>, goes: Goes) -> bool {
    match goes {
        Goes::Note => true,
        Goes::Answer(role) => may_be_read(scene.path(), role),
    }
}

/// Whether a workshop can read this on the motor, shut or not.
#[must_use]
pub fn may_be_read(path: &Path<'_>, role: AnyRole) -> bool {
    let ix = path.knowledge.ask(role);
    // The low cylinders have to be known first.
    if role == roles::COMPRESSION_WET.any {
        return path.step(ix).is_some();
    }
    let shut = path.ended.iter().any(|ended| ended.shut.contains(&ix));
    let when = path.knowledge.question(path.knowledge.root_of(ix)).when.as_ref();
    shut || path.live.standing(ix) != Standing::DoesNotApply
        || when.is_none_or(|when| path.view().holds(when) != Truth::No)
}

fn row(key: &str, title: &str, cells: &[(&str, &str)], had: Option<String>) -> GridRow {
    let boxes: Vec<String> = cells
        .iter()
        .map(|(name, hint)| match (*name == key, hint.is_empty()) {
            (true, _) => "____".to_owned(),
            (_, true) => format!("{name} ____"),
            (_, false) => format!("{name} ____ (one of {hint})"),
        })
        .collect();
    GridRow {
        key: key.to_owned(),
        title: title.to_owned(),
        cells: cells
            .iter()
            .map(|(name, hint)| GridCell {
                name: (*name).to_owned(),
                hint: (*hint).to_owned(),
                number: hint.is_empty(),
            })
            .collect(),
        lines: broken(key, &boxes, had.as_deref()),
        had,
    }
}

/// Boxes in lines of at most the columns of a keyed line, each under its key.
fn broken(key: &str, boxes: &[String], had: Option<&str>) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    let behind = had.into_iter().flat_map(|had| had.split(", ")).map(|had| format!("(had {had})"));
    for part in boxes.iter().cloned().chain(behind) {
        match lines.last_mut() {
            Some(last) if last.len() + 2 + part.len() <= points::KEYED => {
                last.push_str("  ");
                last.push_str(&part);
            }
            _ => lines.push(format!("{key}: {part}")),
        }
    }
    lines
}

fn by_cylinder(scene: &Scene<'_, '_>, key: &str, title: &str, count: usize) -> GridRow {
    let names = grid::by_cylinder(key, count);
    let role = if key == grid::COMPRESSION { roles::COMPRESSION.any } else { roles::LEAKDOWN.any };
    let had = match scene.path().live.value(role) {
        Some(Value::Readings(readings)) => Some(readings_in_short(readings)),
        _ => None,
    };
    let mut lines = grid::lines(key, &names, "");
    if let (Some(had), Some(last)) = (&had, lines.last_mut()) {
        let behind = format!("(had {had})");
        if last.len() + 2 + behind.len() <= points::KEYED {
            last.push_str(&format!("  {behind}"));
        } else {
            lines.push(format!("{key}: {behind}"));
        }
    }
    let cells = names.into_iter().map(|name| GridCell { name, hint: String::new(), number: true }).collect();
    GridRow { key: key.to_owned(), title: title.to_owned(), cells, lines, had }
}

/// Readings without more places than a gauge has.
fn readings_in_short(readings: &[Option<Quantity>]) -> String {
    let said = |reading: &Option<Quantity>| reading.map_or_else(|| "?".to_owned(), |one| figure(one.number, 1));
    let unit = readings.iter().flatten().next().map_or("", |one| one.unit.symbol());
    let all: Vec<String> = readings.iter().map(said).collect();
    format!("{} {unit}", all.join(" ")).trim_end().to_owned()
}

/// What the buyer had read of a row, each with the name of its box.
fn had(scene: &Scene<'_, '_>, row: &grid::Row) -> Option<String> {
    let said = |cell: &grid::Cell| match cell.goes {
        Goes::Answer(role) => {
            let ix = Some(scene.knowledge().ask(role)).filter(|ix| is_seen(scene.path(), *ix))?;
            let value = scene.path().live.value(role)?;
            Some(format!("{} {}", cell.name, scene.value_in_short(scene.knowledge().question(ix), value)))
        }
        Goes::Note => None,
    };
    let all: Vec<String> = row.cells.iter().filter_map(said).collect();
    (!all.is_empty()).then(|| all.join(", "))
}

/// What was seen beside the motor to be in order, by its parts; what a seller told from afar is none of it.
fn in_order(scene: &Scene<'_, '_>) -> Vec<StageOrder> {
    let knowledge = scene.knowledge();
    let fired = scene.judgement.findings.fired.iter();
    let good = fired.filter(|fired| knowledge.findings[fired.finding.0].grade == Grade::Good);
    let checks = good.filter_map(|fired| knowledge.findings[fired.finding.0].check);
    let chosen = |ix: &QuestionIx| {
        scene.may_tell(*ix)
            && knowledge.question(*ix).place != Some(Place::Home)
            && matches!(
                knowledge.question(*ix).kind,
                Kind::One(_) | Kind::Many(_) | Kind::Each(_) | Kind::Readings(..)
            )
    };
    let mut all: Vec<QuestionIx> = checks.filter(chosen).collect();
    all.sort_unstable();
    all.dedup();
    let mut stages: Vec<(usize, Vec<String>)> = Vec::new();
    for ix in all {
        let question = knowledge.question(ix);
        match stages.last_mut().filter(|(stage, _)| *stage == question.stage) {
            Some((_, briefs)) => briefs.push(question.brief.to_string()),
            None => stages.push((question.stage, vec![question.brief.to_string()])),
        }
    }
    let said = |(stage, briefs): (usize, Vec<String>)| StageOrder {
        stage: words::before_colon(&knowledge.stages[stage].title).to_owned(),
        briefs: briefs.join(", "),
    };
    stages.into_iter().map(said).collect()
}
