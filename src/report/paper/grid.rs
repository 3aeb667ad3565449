//! The numbers of a mechanic's paper: which rows there are, how they are printed, what each box is an answer to.
//!
//! One table serves the paper that goes out and the reader of the one that comes back, so that no box can be
//! printed that nobody reads. A box is known by its own name, wherever lines were broken or joined.

use crate::knowledge::roles::{self, AnyRole};

/// What is done with what stands in a box.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Goes {
    /// An answer to this question.
    Answer(AnyRole),
    /// It has no question of its own and is kept as the mechanic's words.
    Note,
}

/// One box of a row.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Cell {
    /// Stands before the box; no other box of the paper has it.
    pub name: &'static str,
    pub goes: Goes,
    /// Behind the box, to be read by people.
    pub unit: &'static str,
    /// What may stand there, for those who fill it in on a screen.
    pub hint: &'static str,
}

/// One row: a key and its boxes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Row {
    pub key: &'static str,
    pub title: &'static str,
    pub cells: &'static [Cell],
}

const fn cell(name: &'static str, goes: Goes, unit: &'static str, hint: &'static str) -> Cell {
    Cell { name, goes, unit, hint }
}

/// The key of the row of compression, whose boxes are one a cylinder.
pub const COMPRESSION: &str = "compression";
/// The key of the row of leak-down.
pub const LEAK_DOWN: &str = "leak-down";

/// All rows but the two that have a box a cylinder, in the order they are printed.
pub const ROWS: &[Row] = &[
    Row {
        key: "tested",
        title: "How compression was tested",
        cells: &[cell("block", Goes::Note, "", "cold / warm"), cell("throttle", Goes::Note, "", "open / shut")],
    },
    Row {
        key: "oiled",
        title: "The low cylinders again, oil in them",
        cells: &[cell("wet", Goes::Answer(roles::COMPRESSION_WET.any), "", "")],
    },
    Row {
        key: "air",
        title: "Air of the leak-down heard at",
        cells: &[cell(
            "heard",
            Goes::Answer(roles::LEAK_WHERE.any),
            "",
            "crankcase / exhaust / intake / cylinder / water",
        )],
    },
    Row {
        key: "gearcase-test",
        title: "Gearcase, pressure and vacuum",
        cells: &[
            cell("result", Goes::Answer(roles::GEAR_PRESSURE_TEST.any), "", "held / dropped"),
            cell("pressure", Goes::Note, "", ""),
            cell("vacuum", Goes::Note, "", ""),
            cell("minutes", Goes::Note, "", ""),
        ],
    },
    Row {
        key: "run",
        title: "The run",
        cells: &[
            cell("on", Goes::Answer(roles::RUN_WHERE.any), "", "muffs / tank / water"),
            cell("oil", Goes::Answer(roles::GEAR_OIL_AFTER.any), "", "unchanged / hazy / milky / burnt"),
            cell("revs", Goes::Answer(roles::FULL_REVS.any), "", ""),
        ],
    },
    Row {
        key: "volts",
        title: "Volts",
        cells: &[
            cell("rest", Goes::Answer(roles::VOLTS_REST.any), "", ""),
            cell("cranking", Goes::Answer(roles::VOLTS_CRANKING.any), "", ""),
            cell("running", Goes::Answer(roles::VOLTS_RUNNING.any), "", ""),
            cell("rpm", Goes::Answer(roles::VOLTS_REVS.any), "", ""),
        ],
    },
    Row {
        key: "motor",
        title: "Heads, hours, codes",
        cells: &[
            cell("heads", Goes::Answer(roles::HEADS_EVEN.any), "", "even / hot-one / all-hot"),
            cell("hours", Goes::Answer(roles::HOURS.any), "", ""),
            cell("codes", Goes::Answer(roles::UNIT_REPORT.any), "", "none / which"),
        ],
    },
];

/// The box for the number of cylinders, where the buyer did not know it.
pub const CYLINDERS: Cell = cell("cylinders", Goes::Answer(roles::CYLINDERS.any), "", "");

/// Boxes of a row of readings, by cylinder: `c1` to `c6`, `l1` to `l6`.
#[must_use]
pub fn by_cylinder(key: &str, cylinders: usize) -> Vec<String> {
    let letter = if key == COMPRESSION { 'c' } else { 'l' };
    (1..=cylinders).map(|number| format!("{letter}{number}")).collect()
}

/// Lines of boxes: `compression: c1 ____  c2 ____`, four a line, each line under its key.
#[must_use]
pub fn lines(key: &str, cells: &[String], behind: &str) -> Vec<String> {
    let mut all: Vec<String> = cells
        .chunks(4)
        .map(|chunk| {
            let boxes: Vec<String> = chunk.iter().map(|cell| format!("{cell} ____")).collect();
            format!("{key}: {}", boxes.join("  "))
        })
        .collect();
    if let Some(last) = all.last_mut()
        && !behind.is_empty()
    {
        last.push_str("  ");
        last.push_str(behind);
    }
    all
}
