//! The branching of the question data as one drawing in SVG: a column a stage, from left to right.
//!
//! Start at [`draw`]. A question that is asked only under a condition, that another's condition reads, or that can end
//! something has a box of its own, with its condition in words; those that are always asked are folded into a line.
//! Every condition is also an edge from the question it reads; an early end is a red capsule under its question, and
//! a gate before a run a box with cut corners. All words stand inside boxes, so none can lie over another; letters
//! have one width, so that a box is known to hold its words.

use std::collections::BTreeSet;
use std::fmt::Write as _;

use crate::knowledge::{AnswerTest, Choice, Condition, Knowledge, MeasureTest, Named, Question, QuestionIx, Stage};
use crate::path::{Path, State};
use crate::units::figure;

/// Width of the whole, of the way between two columns, and the height of a line, in points.
const WIDTH: f64 = 2400.0;
const WAY: f64 = 34.0;
const LINE: f64 = 9.2;
/// Size of the letters, and the width of one.
const SIZE: f64 = 8.0;
const LETTER: f64 = 4.82;
const PAD: f64 = 2.4;
const TOP: f64 = 52.0;

/// One box of a column.
#[derive(Clone, Debug, PartialEq)]
struct Cell {
    what: What,
    lines: Vec<String>,
    /// Place of its upper edge.
    y: f64,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum What {
    Question(QuestionIx),
    /// Always asked, folded.
    Folded,
    /// What ends, under the question it belongs to.
    End,
    Gate,
}

impl Cell {
    fn height(&self) -> f64 {
        self.lines.len() as f64 * LINE + 2.0 * PAD
    }
}

/// All columns, each with its cells from the top.
struct Layout<'k> {
    knowledge: &'k Knowledge,
    columns: Vec<Vec<Cell>>,
    /// Letters that fit into a box.
    letters: usize,
    height: f64,
}

/// Draws the graph; with a path what was asked stands out, and what was answered most.
#[must_use]
pub fn draw(knowledge: &Knowledge, taken: Option<&Path<'_>>) -> String {
    let layout = Layout::of(knowledge);
    let height = layout.height;
    let mut text = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {WIDTH} {height:.0}\" width=\"{WIDTH}\" height=\"{height:.0}\" font-family=\"'DejaVu Sans Mono', 'Liberation Mono', monospace\" font-size=\"{SIZE}\">\n<rect width=\"100%\" height=\"100%\" fill=\"#ffffff\"/>\n"
    );
    layout.edges(&mut text, taken);
    for (place, column) in layout.columns.iter().enumerate() {
        layout.title(&mut text, place);
        for cell in column {
            layout.cell(&mut text, place, cell, taken);
        }
    }
    legend(&mut text, taken.is_some());
    text.push_str("</svg>\n");
    text
}

impl<'k> Layout<'k> {
    fn of(knowledge: &'k Knowledge) -> Self {
        let mut layout = Self { knowledge, columns: Vec::new(), letters: 0, height: 0.0 };
        layout.letters = ((layout.width() - 2.0 * PAD) / LETTER) as usize;
        let read = read_by_others(knowledge);
        layout.columns = (0..knowledge.stages.len()).map(|stage| layout.column(stage, &read)).collect();
        let bottoms = layout.columns.iter().filter_map(|column| column.last()).map(|cell| cell.y + cell.height());
        layout.height = bottoms.fold(TOP, f64::max) + 12.0;
        layout
    }

    fn step(&self) -> f64 {
        WIDTH / self.knowledge.stages.len().max(1) as f64
    }

    fn width(&self) -> f64 {
        self.step() - WAY
    }

    fn left(&self, column: usize) -> f64 {
        column as f64 * self.step() + WAY / 2.0
    }

    fn column(&self, stage: usize, read: &BTreeSet<QuestionIx>) -> Vec<Cell> {
        let mut cells = self.gates(&self.knowledge.stages[stage]);
        let mut folded = 0;
        for ix in self.knowledge.places().filter(|ix| self.knowledge.question(*ix).stage == stage) {
            let question = self.knowledge.question(ix);
            let ends = self.ends(question);
            if question.when.is_none() && question.follows.is_none() && ends.is_empty() && !read.contains(&ix) {
                folded += 1;
                continue;
            }
            cells.extend(fold(&mut folded));
            let mut lines = vec![question.id.to_string()];
            if let Some(when) = &question.when {
                lines.extend(self.wrapped(&format!("if {}", words(self.knowledge, when))));
            } else if let Some(above) = question.follows {
                lines.extend(self.wrapped(&format!("after {}", self.knowledge.question(above).id)));
            }
            cells.push(Cell { what: What::Question(ix), lines, y: 0.0 });
            cells.extend(ends.into_iter().map(|end| Cell { what: What::End, lines: self.wrapped(&end), y: 0.0 }));
        }
        cells.extend(fold(&mut folded));
        let mut y = TOP;
        for cell in &mut cells {
            cell.y = y;
            let apart = if cell.what == What::End { 2.5 } else { 4.5 };
            y += cell.height() + apart;
        }
        cells
    }

    fn gates(&self, stage: &Stage) -> Vec<Cell> {
        let gates = stage.gates.iter().map(|gate| {
            let mut checks: Vec<&str> =
                gate.needs.iter().map(|need| self.knowledge.question(need.check).id.as_str()).collect();
            checks.dedup();
            let before = gate.questions.first().map_or("", |ix| self.knowledge.question(*ix).id.as_str());
            let text = format!("gate {}, before {before}: {}", gate.id, checks.join(", "));
            Cell { what: What::Gate, lines: self.wrapped(&text), y: 0.0 }
        });
        gates.collect()
    }

    /// What the choices of a question end, a line for all that end the same.
    fn ends(&self, question: &Question) -> Vec<String> {
        let mut all: Vec<(String, Vec<&str>)> = Vec::new();
        for choice in question.choices().iter().filter(|choice: &&Choice| !choice.closes.is_empty()) {
            let closed = if choice.closes.len() >= self.knowledge.stages.len() {
                "the interview".to_owned()
            } else {
                choice.closes.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ")
            };
            match all.iter_mut().find(|(other, _)| *other == closed) {
                Some((_, choices)) => choices.push(choice.id.as_str()),
                None => all.push((closed, vec![choice.id.as_str()])),
            }
        }
        all.into_iter().map(|(closed, choices)| format!("{} ends {closed}", choices.join(", "))).collect()
    }

    fn wrapped(&self, text: &str) -> Vec<String> {
        let options = textwrap::Options::new(self.letters).break_words(true);
        textwrap::wrap(text, options).into_iter().map(std::borrow::Cow::into_owned).collect()
    }

    /// Column and cell of a question that has a box.
    fn at(&self, ix: QuestionIx) -> Option<(usize, &Cell)> {
        let column = self.knowledge.question(ix).stage;
        let cell = self.columns[column].iter().find(|cell| cell.what == What::Question(ix))?;
        Some((column, cell))
    }

    /// An edge to every conditional question from each question that its condition reads.
    fn edges(&self, text: &mut String, taken: Option<&Path<'_>>) {
        for ix in self.knowledge.places() {
            let Some((column, cell)) = self.at(ix) else { continue };
            for source in sources(self.knowledge, ix) {
                let Some((from_column, from)) = self.at(source) else { continue };
                let asked = taken.is_some_and(|path| path.step(ix).is_some() && path.step(source).is_some());
                let (ink, wide) = match (taken, asked) {
                    (Some(_), true) => ("#0b5d6b", 1.6),
                    (Some(_), false) => ("#d5d5d5", 0.7),
                    (None, _) => ("#5a7d86", 0.8),
                };
                let (from_y, to_y) = (from.y + LINE * 0.75, cell.y + LINE * 0.75);
                let to_x = self.left(column);
                let way = if column == from_column {
                    // Down the side of the column.
                    let out = to_x - WAY * 0.4;
                    format!("M {to_x:.1} {from_y:.1} C {out:.1} {from_y:.1} {out:.1} {to_y:.1} {to_x:.1} {to_y:.1}")
                } else {
                    let from_x = self.left(from_column) + self.width();
                    let half = WAY * 0.9;
                    format!(
                        "M {from_x:.1} {from_y:.1} C {:.1} {from_y:.1} {:.1} {to_y:.1} {to_x:.1} {to_y:.1}",
                        from_x + half,
                        to_x - half
                    )
                };
                let _ =
                    writeln!(text, "<path d=\"{way}\" fill=\"none\" stroke=\"{ink}\" stroke-width=\"{wide}\"/>");
            }
        }
    }

    fn title(&self, text: &mut String, column: usize) {
        let stage = &self.knowledge.stages[column];
        let x = self.left(column);
        for (place, line) in self.wrapped(&stage.title).iter().take(2).enumerate() {
            let y = 26.0 + place as f64 * LINE;
            let _ = writeln!(text, "<text x=\"{x:.1}\" y=\"{y:.1}\" font-weight=\"bold\">{}</text>", xml(line));
        }
    }

    fn cell(&self, text: &mut String, column: usize, cell: &Cell, taken: Option<&Path<'_>>) {
        let (x, y, wide, high) = (self.left(column), cell.y, self.width(), cell.height());
        let state = match (cell.what, taken) {
            (What::Question(ix), Some(path)) => Some(path.step(ix).map(|step| step.state)),
            _ => None,
        };
        let (fill, ink) = match (cell.what, state) {
            (What::End, _) => ("#fbeaea", "#a02020"),
            (What::Gate, _) => ("#fff7e0", "#8a6a00"),
            (What::Folded, _) => ("#ffffff", "#ffffff"),
            (_, Some(None)) => ("#f4f4f4", "#bbbbbb"),
            (_, Some(Some(State::Open))) => ("#ffffff", "#0b5d6b"),
            (_, Some(Some(_))) => ("#d9eef2", "#0b5d6b"),
            (_, None) => ("#ffffff", "#333333"),
        };
        let heavy = matches!(cell.what, What::Question(ix) if self.knowledge.question(ix).core);
        let stroke = if heavy { 2.0 } else { 0.8 };
        if cell.what == What::Gate {
            let cut = 6.0;
            let _ = writeln!(
                text,
                "<path d=\"M {:.1} {y:.1} H {:.1} L {:.1} {:.1} V {:.1} L {:.1} {:.1} H {:.1} L {x:.1} {:.1} V {:.1} Z\" fill=\"{fill}\" stroke=\"{ink}\" stroke-width=\"{stroke}\"/>",
                x + cut,
                x + wide - cut,
                x + wide,
                y + cut,
                y + high - cut,
                x + wide - cut,
                y + high,
                x + cut,
                y + high - cut,
                y + cut
            );
        } else {
            let round = if cell.what == What::End { 8.0 } else { 1.5 };
            let _ = writeln!(
                text,
                "<rect x=\"{x:.1}\" y=\"{y:.1}\" width=\"{wide:.1}\" height=\"{high:.1}\" rx=\"{round}\" fill=\"{fill}\" stroke=\"{ink}\" stroke-width=\"{stroke}\"/>"
            );
        }
        for (place, line) in cell.lines.iter().enumerate() {
            let bold = place == 0 && matches!(cell.what, What::Question(_));
            let weight = if bold { " font-weight=\"bold\"" } else { "" };
            let grey = if cell.what == What::Folded { " fill=\"#666666\"" } else { "" };
            let base = y + PAD + (place as f64 + 0.78) * LINE;
            let _ = writeln!(text, "<text x=\"{:.1}\" y=\"{base:.1}\"{weight}{grey}>{}</text>", x + PAD, xml(line));
        }
    }
}

/// Text that stands for itself between tags.
fn xml(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;")
}

/// A line for the questions in between that are always asked.
fn fold(folded: &mut usize) -> Option<Cell> {
    let count = std::mem::take(folded);
    (count > 0).then(|| Cell { what: What::Folded, lines: vec![format!("+ {count} always asked")], y: 0.0 })
}

/// The questions a question's own condition reads, what it follows among them.
fn sources(knowledge: &Knowledge, ix: QuestionIx) -> BTreeSet<QuestionIx> {
    let question = knowledge.question(ix);
    let mut all: BTreeSet<QuestionIx> = question.follows.into_iter().collect();
    if let Some(when) = &question.when {
        when.visit(&mut |named| match named {
            Named::Question(source) => {
                all.insert(source);
            }
            Named::Measure(measure) => all.extend(knowledge.measures[measure.0].needs.iter().copied()),
        });
    }
    all.remove(&ix);
    all
}

fn read_by_others(knowledge: &Knowledge) -> BTreeSet<QuestionIx> {
    knowledge.places().flat_map(|ix| sources(knowledge, ix)).collect()
}

/// A condition in words: `gear-oil milky or hazy, and strokes four`.
fn words(knowledge: &Knowledge, condition: &Condition) -> String {
    let joined = |parts: &[Condition], with: &str| {
        let all: Vec<String> = parts.iter().map(|part| words(knowledge, part)).collect();
        all.join(with)
    };
    match condition {
        Condition::Answer(ix, test) => format!("{} {}", knowledge.question(*ix).id, answer_words(test)),
        Condition::Measure(id, test) => format!("{} {}", knowledge.measures[id.0].name, measure_words(test)),
        Condition::All(parts) => joined(parts, ", and "),
        Condition::Any(parts) => joined(parts, ", or "),
        Condition::Not(part) => format!("not ({})", words(knowledge, part)),
    }
}

fn answer_words(test: &AnswerTest) -> String {
    let listed = |choices: &[crate::knowledge::ChoiceId], with: &str| {
        choices.iter().map(ToString::to_string).collect::<Vec<_>>().join(with)
    };
    match test {
        AnswerTest::AnyOf(choices) => listed(choices, " or "),
        AnswerTest::Has(choices) => format!("has {}", listed(choices, " or ")),
        AnswerTest::Only(choices) => format!("only {}", listed(choices, " or ")),
        AnswerTest::AtLeast(least) => format!("at least {}", figure(*least, 2)),
        AnswerTest::AtMost(most) => format!("at most {}", figure(*most, 2)),
        AnswerTest::Answered(true) => "has a value".to_owned(),
        AnswerTest::Answered(false) => "has no value".to_owned(),
    }
}

fn measure_words(test: &MeasureTest) -> String {
    match test {
        MeasureTest::AnyOf(words) => words.join(" or "),
        MeasureTest::Above(least) => format!("above {}", figure(*least, 2)),
        MeasureTest::Below(most) => format!("below {}", figure(*most, 2)),
    }
}

fn legend(text: &mut String, marked: bool) {
    let more = if marked { "   Filled: answered. White: asked, open. Grey: not asked." } else { "" };
    let _ = writeln!(
        text,
        "<text x=\"{:.1}\" y=\"12\">From left to right as it is asked. Heavy frame: core. A line leads from what a condition reads. Red capsule: an early end. Cut corners: a gate before a run.{more}</text>",
        WAY / 2.0
    );
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::testing::KNOWLEDGE;

    #[test]
    fn the_shipped_graph_fits_a_wide_screen_and_no_word_leaves_its_box() {
        let layout = Layout::of(&KNOWLEDGE);
        assert!(layout.height <= 1000.0, "{}", layout.height);
        for column in &layout.columns {
            for pair in column.windows(2) {
                assert!(pair[0].y + pair[0].height() <= pair[1].y, "{pair:?}");
            }
            let widest = column.iter().flat_map(|cell| &cell.lines).map(|line| line.chars().count()).max();
            assert!(widest.unwrap_or(0) <= layout.letters, "{widest:?} of {}", layout.letters);
        }
    }

    #[test]
    fn every_condition_and_every_early_end_is_drawn() {
        let layout = Layout::of(&KNOWLEDGE);
        let svg = draw(&KNOWLEDGE, None);
        let mut edges = 0;
        for ix in KNOWLEDGE.places() {
            let question = KNOWLEDGE.question(ix);
            if question.when.is_some() || question.follows.is_some() {
                assert!(layout.at(ix).is_some(), "{}", question.id);
            }
            for source in sources(&KNOWLEDGE, ix) {
                assert!(layout.at(source).is_some(), "{} reads what is folded", question.id);
                edges += 1;
            }
            for choice in question.choices().iter().filter(|choice| !choice.closes.is_empty()) {
                let column = &layout.columns[question.stage];
                let told = column.iter().filter(|cell| cell.what == What::End);
                assert!(
                    told.into_iter().any(|cell| cell.lines.join(" ").contains(choice.id.as_str())),
                    "{}",
                    choice.id
                );
            }
        }
        assert_eq!(svg.matches("fill=\"none\" stroke=").count(), edges);
        assert!(edges > 50, "{edges}");
    }
}
