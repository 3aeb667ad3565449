//! Texts a person typed: free words, and the few that have a shape.

use crate::edge::acts;
use crate::knowledge::TextForm;

use super::{Context, Refusal, Said};

/// The text with control characters, line ends and runs of blanks folded to single blanks.
///
/// What is typed is shown again in a terminal and in papers, where such characters would act.
#[must_use]
pub fn plain_text(typed: &str) -> String {
    let folded: String = typed.chars().map(|c| if acts(c) { ' ' } else { c }).collect();
    folded.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Reads a text of the given form.
pub fn parse_text(form: TextForm, typed: &str, context: &Context) -> Result<String, Refusal> {
    match form {
        TextForm::Currency if typed.chars().any(|c| c.is_ascii_digit()) => Err(Refusal::new(
            "I read a number where I need the money itself. Type its sign or name, such as $, EUR or kr.",
        )),
        TextForm::Free | TextForm::Number | TextForm::Currency => Ok(typed.to_owned()),
        TextForm::EngineFamily => parse_family(typed),
        TextForm::CylinderGroups => {
            let groups = cylinder_groups(typed, context.wanted)?;
            let words = groups.iter().map(|group| group.iter().map(usize::to_string).collect::<Vec<_>>().join(" "));
            Ok(words.collect::<Vec<_>>().join(" / "))
        }
    }
}

/// What to ask where a number is wanted and several words without a figure were typed.
pub fn no_number(form: TextForm, typed: &str) -> Option<String> {
    let words = typed.split_whitespace().count() > 1 && !typed.chars().any(char::is_numeric);
    let asks = "Is that its number, or could you not find one? For not found type -.";
    (form == TextForm::Number && words).then(|| asks.to_owned())
}

/// Twelve letters and digits, with a decimal point among the displacement's places.
fn parse_family(typed: &str) -> Result<String, Refusal> {
    let family: String = typed.chars().filter(|c| !c.is_whitespace()).collect::<String>().to_uppercase();
    if !family.chars().any(|c| c.is_ascii_digit()) {
        let not_found = vec![Said::CantTell.into()];
        return Err(Refusal {
            readings: not_found,
            ..Refusal::new("I see no figure in it. The family name has 12 characters.")
        });
    }
    let strange = family.chars().find(|c| !(c.is_ascii_alphanumeric() || *c == '.'));
    let read = match (strange, family.chars().count()) {
        (None, 12) => return Ok(family),
        (Some(sign), _) => format!("I read {sign:?} in it"),
        (None, count) => format!("I read {count} characters"),
    };
    Err(Refusal::new(format!(
        "{read}. The family name on an emission label has 12: letters, digits, perhaps a point."
    )))
}

/// All cylinders under one head, as people say it.
const ALL: [&str; 7] =
    ["all", "both", "all of them", "all share one", "one head", "all under one head", "same head"];

/// Cylinder numbers that share a head: `1 2 3` or `1 3 / 2 4`.
///
/// # Errors
/// A [`Refusal`] when it is not such a list, names a cylinder twice, or one the motor does not have.
pub fn cylinder_groups(typed: &str, cylinders: Option<usize>) -> Result<Vec<Vec<usize>>, Refusal> {
    let want = "Type the numbers of the cylinders under one head, a / between heads, such as 1 3 / 2 4.";
    if let (Some(count), true) = (cylinders, ALL.contains(&typed.trim().to_lowercase().as_str())) {
        return Ok(vec![(1..=count).collect()]);
    }
    let mut seen = Vec::new();
    let mut groups = Vec::new();
    for part in typed.split(['/', ';', '|']) {
        let mut group = Vec::new();
        for word in part.split([' ', ',', '+']).filter(|word| !word.is_empty()) {
            for number in cylinder_range(word)
                .ok_or_else(|| Refusal::new(format!("I can't read {word:?} as a cylinder. {want}")))?
            {
                if number == 0 || cylinders.is_some_and(|count| number > count) {
                    return Err(Refusal::new(format!("There is no cylinder {number} on this motor. {want}")));
                }
                if seen.contains(&number) {
                    return Err(Refusal::new(format!("Cylinder {number} stands twice. {want}")));
                }
                seen.push(number);
                group.push(number);
            }
        }
        if group.is_empty() {
            return Err(Refusal::new(format!("A head without a cylinder. {want}")));
        }
        groups.push(group);
    }
    Ok(groups)
}

/// `2`, or a run such as `1-3`; no motor has more cylinders than two digits hold.
fn cylinder_range(word: &str) -> Option<std::ops::RangeInclusive<usize>> {
    let number = |text: &str| text.parse::<usize>().ok().filter(|number| *number < 100);
    match word.split_once('-') {
        Some((from, to)) => Some(number(from)?..=number(to)?).filter(|range| !range.is_empty()),
        None => number(word).map(|one| one..=one),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_typed_can_act() {
        assert_eq!(plain_text("  a\u{1b}[2Jb\r\n c\u{202e}d\te "), "a [2Jb c d e");
    }

    #[test]
    fn a_family_name_has_twelve_letters_digits_or_points() {
        assert_eq!(parse_family("hxxxm00.7a1b"), Ok("HXXXM00.7A1B".to_owned()));
        assert_eq!(parse_family("HXXX M00.7 A1B"), Ok("HXXXM00.7A1B".to_owned()));
        for (typed, told) in [
            ("HXXXM00.7A1", "I read 11 characters."),
            ("HXXXM00.7A1BC", "I read 13 characters."),
            ("HXXXM00.7A1#", "I read '#' in it."),
            ("HXXXM", "I see no figure in it."),
        ] {
            let refusal = parse_family(typed).expect_err(typed);
            assert!(refusal.message.starts_with(told), "{}", refusal.message);
        }
    }

    #[test]
    fn heads_are_read_and_refused() {
        assert_eq!(cylinder_groups("1 3 / 2 4", Some(4)), Ok(vec![vec![1, 3], vec![2, 4]]));
        assert_eq!(cylinder_groups("1,2,3", None), Ok(vec![vec![1, 2, 3]]));
        assert_eq!(cylinder_groups("Both", Some(2)), Ok(vec![vec![1, 2]]));
        assert_eq!(cylinder_groups("all", Some(3)), Ok(vec![vec![1, 2, 3]]));
        assert!(cylinder_groups("all", None).is_err());
        assert_eq!(cylinder_groups("1-3; 4-6", Some(6)), Ok(vec![vec![1, 2, 3], vec![4, 5, 6]]));
        for bad in ["1 1", "0 1", "1 5", "a b", "1 2 /", "", "3-1", "1-5"] {
            assert!(cylinder_groups(bad, Some(4)).is_err(), "{bad}");
        }
    }
}
