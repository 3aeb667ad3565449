//! Tables with their columns lined up, so that they read in any typewriter face.

use unicode_width::UnicodeWidthStr;

#[derive(Clone, Copy, PartialEq)]
enum Side {
    Left,
    Right,
}

/// Pads the cells of a table; the second line says by `---:` which columns stand at the right.
pub fn line_up(lines: &[String]) -> Vec<String> {
    let rows: Vec<Vec<String>> = lines.iter().map(|line| cells(line)).collect();
    let sides: Vec<Side> = rows.get(1).map_or_else(Vec::new, |rule| rule.iter().map(|cell| side(cell)).collect());
    let width_of = |column: usize| {
        let body = rows.iter().enumerate().filter(|(row, _)| *row != 1);
        body.filter_map(|(_, row)| row.get(column)).map(|cell| cell.width()).max().unwrap_or(0).max(3)
    };
    let widths: Vec<usize> = (0..sides.len()).map(width_of).collect();
    let line = |(place, row): (usize, &Vec<String>)| {
        let cells = widths.iter().zip(&sides).enumerate().map(|(column, (width, side))| match (place, side) {
            (1, Side::Left) => "-".repeat(*width),
            (1, Side::Right) => format!("{}:", "-".repeat(width - 1)),
            _ => padded(row.get(column).map_or("", String::as_str), *width, *side),
        });
        format!("| {} |", cells.collect::<Vec<_>>().join(" | "))
    };
    rows.iter().enumerate().map(line).collect()
}

/// The cells of a row; an escaped bar belongs to its cell.
fn cells(line: &str) -> Vec<String> {
    let inner = line.trim().trim_start_matches('|');
    let mut cells = vec![String::new()];
    let mut escaped = false;
    for sign in inner.chars() {
        match sign {
            '|' if !escaped => cells.push(String::new()),
            _ => cells.last_mut().into_iter().for_each(|cell| cell.push(sign)),
        }
        escaped = sign == '\\' && !escaped;
    }
    if cells.last().is_some_and(|last| last.trim().is_empty()) {
        cells.pop();
    }
    cells.iter().map(|cell| cell.split_whitespace().collect::<Vec<_>>().join(" ")).collect()
}

fn side(rule: &str) -> Side {
    if rule.ends_with(':') { Side::Right } else { Side::Left }
}

fn padded(cell: &str, width: usize, side: Side) -> String {
    let blanks = " ".repeat(width.saturating_sub(cell.width()));
    match side {
        Side::Left => format!("{cell}{blanks}"),
        Side::Right => format!("{blanks}{cell}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_stand_under_each_other() {
        let rough = ["|Item|Chance|", "|---|---:|", "| a \\| b, the longer one | 5 % |", "|c|sure|"];
        let lines = line_up(&rough.map(str::to_owned));
        let wanted = [
            "| Item                   | Chance |",
            "| ---------------------- | -----: |",
            "| a \\| b, the longer one |    5 % |",
            "| c                      |   sure |",
        ];
        assert_eq!(lines, wanted);
    }
}
