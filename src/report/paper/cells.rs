//! The boxes of the numbers: what stands behind the name of each.

use super::super::words::typed;
use super::grid::{COMPRESSION, LEAK_DOWN, ROWS, by_cylinder};

/// What was written in one box.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FilledCell {
    /// The row's key.
    pub row: String,
    /// The box's name, such as `c2` or `cranking`.
    pub name: String,
    pub text: String,
}

/// Reads the boxes of one row. What the buyer had read stands in brackets and is none of it.
#[must_use]
pub fn read(row: &str, body: &str, cylinders: Option<usize>) -> Vec<FilledCell> {
    let body = without_had(body);
    let names = names_of(row, &body, cylinders);
    let words: Vec<&str> = body.split_whitespace().collect();
    let is_name = |word: &str| {
        let bare = word.trim_end_matches([':', '=', '_', '.']).trim_start_matches(['*', '-']);
        names.iter().position(|name| {
            bare.eq_ignore_ascii_case(name)
                || bare.strip_prefix(name.as_str()).is_some_and(|rest| rest.starts_with(['=', ':', '_']))
        })
    };
    if !words.iter().any(|word| is_name(word).is_some()) {
        return by_count(row, &names, &words);
    }
    let mut cells: Vec<FilledCell> = Vec::new();
    for word in words {
        if let Some(place) = is_name(word) {
            let name = names[place].clone();
            let behind = word.trim_start_matches(['*', '-']).get(name.len()..).unwrap_or("");
            cells.push(FilledCell { row: row.to_owned(), name, text: behind.to_owned() });
        } else if let Some(cell) = cells.last_mut() {
            cell.text.push(' ');
            cell.text.push_str(word);
        }
    }
    for cell in &mut cells {
        cell.text = cleaned(&cell.text);
    }
    cells.retain(|cell| !cell.text.is_empty());
    cells
}

/// Bare numbers are the row only when there are as many as boxes.
fn by_count(row: &str, names: &[String], words: &[&str]) -> Vec<FilledCell> {
    let cleaned: Vec<String> = words.iter().map(|word| cleaned(word)).filter(|word| !word.is_empty()).collect();
    let unit = cleaned.last().filter(|word| !word.starts_with(|sign: char| sign.is_ascii_digit() || sign == '?'));
    let count = cleaned.len() - usize::from(unit.is_some());
    if cleaned.is_empty() {
        return Vec::new();
    }
    if count != names.len() {
        return vec![FilledCell { row: row.to_owned(), name: String::new(), text: cleaned.join(" ") }];
    }
    let cell = |(name, text): (&String, &String)| FilledCell {
        row: row.to_owned(),
        name: name.clone(),
        text: unit.map_or_else(|| text.clone(), |unit| format!("{text} {unit}")),
    };
    names.iter().zip(&cleaned).map(cell).collect()
}

/// The names of a row's boxes; a row by cylinder has those that stand in it, without any one for each cylinder.
fn names_of(row: &str, body: &str, cylinders: Option<usize>) -> Vec<String> {
    if row == COMPRESSION || row == LEAK_DOWN {
        let letter = if row == COMPRESSION { 'c' } else { 'l' };
        let named = (1..=12).filter(|number| {
            body.split_whitespace().any(|word| {
                let bare = word.trim_start_matches(['*', '-']);
                let name = format!("{letter}{number}");
                bare.get(..name.len()).is_some_and(|head| head.eq_ignore_ascii_case(&name))
                    && !bare[name.len()..].starts_with(|sign: char| sign.is_ascii_alphanumeric())
            })
        });
        let named: Vec<String> = named.map(|number| format!("{letter}{number}")).collect();
        return if named.is_empty() { by_cylinder(row, cylinders.unwrap_or(0)) } else { named };
    }
    let row = ROWS.iter().find(|known| known.key == row);
    row.map_or_else(Vec::new, |row| row.cells.iter().map(|cell| cell.name.to_owned()).collect())
}

/// The text without `(had 188 190 186)` and the choices printed behind a box.
fn without_had(body: &str) -> String {
    let mut kept = String::new();
    let mut rest = body;
    while let Some(start) = [rest.find("(had"), rest.find("(one of")].into_iter().flatten().min() {
        let Some(end) = rest[start..].find(')') else { break };
        kept.push_str(&rest[..start]);
        rest = &rest[start + end + 1..];
    }
    kept + rest
}

fn cleaned(text: &str) -> String {
    typed(text)
        .trim_matches(['_', '*', '`', ' ', ':', '=', '-', '|'])
        .replace('_', "")
        .trim()
        .trim_end_matches([',', ';'])
        .to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn texts(row: &str, body: &str) -> Vec<(String, String)> {
        read(row, body, Some(3)).into_iter().map(|cell| (cell.name, cell.text)).collect()
    }

    fn pairs(all: &[(&str, &str)]) -> Vec<(String, String)> {
        all.iter().map(|(name, text)| ((*name).to_owned(), (*text).to_owned())).collect()
    }

    #[test]
    fn boxes_are_read_by_their_names() {
        assert_eq!(
            texts("compression", "c1 178 c2 _180_ c3 ____ (had 188 190 186 psi)"),
            pairs(&[("c1", "178"), ("c2", "180")])
        );
        assert_eq!(
            texts("compression", "c1: 12.4 bar\nc2=12.1 bar"),
            pairs(&[("c1", "12.4 bar"), ("c2", "12.1 bar")])
        );
        assert_eq!(
            texts("volts", "rest ____ cranking 10.4 V running 14.1 rpm 1500"),
            pairs(&[("cranking", "10.4 V"), ("running", "14.1"), ("rpm", "1500")])
        );
        assert!(texts("volts", "rest ____ cranking ____ running ____ rpm ____ (had rest 12.6 V)").is_empty());
    }

    #[test]
    fn bare_numbers_count_only_when_there_are_as_many_as_boxes() {
        assert_eq!(
            texts("volts", "12.6 10.2 14.0 1500"),
            pairs(&[("rest", "12.6"), ("cranking", "10.2"), ("running", "14.0"), ("rpm", "1500")])
        );
        assert_eq!(
            texts("compression", "178 180 176 psi"),
            pairs(&[("c1", "178 psi"), ("c2", "180 psi"), ("c3", "176 psi")])
        );
        assert_eq!(texts("volts", "12.6 10.2"), pairs(&[("", "12.6 10.2")]));
    }
}
