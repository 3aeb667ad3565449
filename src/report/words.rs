//! Figures, chances and lists as people say them; one place for all papers and pictures.
//!
//! [`Purse`] writes money in the buyer's currency. Nothing here knows a template or a format.

use crate::answers::parse::plain_text;
use crate::judge::Call;
use crate::knowledge::roles;
use crate::path::Path;

/// A sign longer than this is no sign, and figures go without it.
const LONGEST_SIGN: usize = 16;

/// The buyer's currency and where its sign stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Purse {
    before: String,
    after: String,
}

impl Purse {
    /// US dollars unless a currency was named: a sign stands before the number, a word behind it.
    #[must_use]
    pub fn new(currency: Option<&str>) -> Self {
        let named = currency.map(typed).filter(|named| !named.is_empty());
        let sign = named.unwrap_or_else(|| "$".to_owned());
        let (before, after) = match sign.chars().last() {
            _ if sign.chars().count() > LONGEST_SIGN => (String::new(), String::new()),
            Some('.') => (format!("{sign} "), String::new()),
            Some(last) if !last.is_alphanumeric() => (sign, String::new()),
            _ => (String::new(), format!(" {sign}")),
        };
        Self { before, after }
    }

    /// The currency of an interview.
    #[must_use]
    pub fn of(path: &Path<'_>) -> Self {
        Self::new(path.live.get(roles::CURRENCY))
    }

    /// The sign or word alone; empty when figures go without.
    #[must_use]
    pub fn sign(&self) -> &str {
        if self.before.is_empty() { self.after.trim() } else { self.before.trim() }
    }

    /// A sum that was typed or decided: to the unit, with cents where there are any.
    #[must_use]
    pub fn exact(&self, sum: f64) -> String {
        format!("{}{}{}", self.before, grouped(sum), self.after)
    }

    /// A sum that was worked out, rounded as people say it.
    #[must_use]
    pub fn about(&self, sum: f64) -> String {
        self.exact(rounded(sum))
    }

    /// "$60 to $160", "60 to 160 EUR".
    #[must_use]
    pub fn span(&self, low: f64, high: f64) -> String {
        if low.to_bits() == high.to_bits() {
            return self.exact(low);
        }
        let (low, high) = (rounded(low), rounded(high));
        format!("{}{} to {}", self.before, grouped(low), self.exact(high))
    }
}

/// To the nearest 1 below 20, 5 below 200, 10 below 1000, 50 below 5000, 100 below 20,000, else to two places.
#[must_use]
pub fn rounded(sum: f64) -> f64 {
    let step = match sum.abs() {
        sum if sum < 20.0 => 1.0,
        sum if sum < 200.0 => 5.0,
        sum if sum < 1000.0 => 10.0,
        sum if sum < 5000.0 => 50.0,
        sum if sum < 20_000.0 => 100.0,
        sum => 10f64.powf(sum.log10().floor() - 1.0),
    };
    (sum / step).round() * step
}

/// A number with commas from five figures on, and cents where there are any.
#[must_use]
pub fn grouped(sum: f64) -> String {
    let cents = (sum - sum.round()).abs() >= 0.005;
    let text = if cents { format!("{sum:.2}") } else { format!("{:.0}", sum.round()) };
    let text = if text == "-0" { "0".to_owned() } else { text };
    let (whole, rest) = text.split_at(text.find('.').unwrap_or(text.len()));
    if whole.len() < 5 {
        return text;
    }
    let mut marked = String::new();
    for (place, digit) in whole.chars().enumerate() {
        if place > 0 && (whole.len() - place).is_multiple_of(3) && digit.is_ascii_digit() {
            marked.push(',');
        }
        marked.push(digit);
    }
    marked + rest
}

/// "12 %", never 0 or 100 while it is not sure.
#[must_use]
pub fn percent(chance: f64) -> String {
    match chance * 100.0 {
        small if small > 0.0 && small < 1.0 => "under 1 %".to_owned(),
        large if large < 99.999 => format!("{:.0} %", large.min(99.0)),
        _ => "100 %".to_owned(),
    }
}

/// The verdict in a few words, the same on every screen and paper.
#[must_use]
pub fn call(call: Call) -> &'static str {
    match call {
        Call::Fair => "worth buying at the right price",
        Call::OnlyIf => "only if something serious is settled",
        Call::Undecided => "not to be decided yet",
        Call::WalkAway => "leave it as it stands",
    }
}

/// The words of a text: what stands between blanks and holds a letter or a digit.
#[must_use]
pub fn count(text: &str) -> usize {
    text.split_whitespace().filter(|word| word.contains(char::is_alphanumeric)).count()
}

/// A title as far as its colon.
#[must_use]
pub fn before_colon(title: &str) -> &str {
    title.split_once(':').map_or(title, |(head, _)| head)
}

/// The sentences of a text, each with its end.
#[must_use]
pub fn sentences(text: &str) -> Vec<&str> {
    let mut all = Vec::new();
    let mut start = 0;
    let ends = text.match_indices(". ").chain(text.match_indices("? ")).chain(text.match_indices("! "));
    let mut ends: Vec<usize> = ends.map(|(place, _)| place + 1).collect();
    ends.sort_unstable();
    for end in ends.into_iter().chain([text.len()]) {
        let sentence = text[start..end].trim();
        if !sentence.is_empty() {
            all.push(sentence);
        }
        start = end;
    }
    all
}

/// As many whole sentences as have no more than so many words; the first in any case.
#[must_use]
pub fn within(text: &str, most: usize) -> String {
    let mut kept = String::new();
    for sentence in sentences(text) {
        if !kept.is_empty() && count(&kept) + count(sentence) > most {
            break;
        }
        if !kept.is_empty() {
            kept.push(' ');
        }
        kept.push_str(sentence);
    }
    kept
}

/// The same for what is to be said to somebody: the question at its end is kept, and before it what there is room for.
#[must_use]
pub fn with_its_request(text: &str, most: usize) -> String {
    let all = sentences(text);
    let Some((request, before)) = all.split_last().filter(|(last, _)| last.ends_with('?')) else {
        return within(text, most);
    };
    let room = most.saturating_sub(count(request));
    let fits = before.first().is_some_and(|first| count(first) <= room);
    if fits { format!("{} {request}", within(&before.join(" "), room)) } else { (*request).to_owned() }
}

/// A part of a whole in thousandths, for a bar.
#[must_use]
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // held between nought and a thousand
pub fn thousandths(part: f64, whole: f64) -> u32 {
    if whole > 0.0 { (part / whole * 1000.0).round().clamp(0.0, 1000.0) as u32 } else { 0 }
}

/// "a", "a and b", "a, b and c".
#[must_use]
pub fn list(words: &[String]) -> String {
    match words.split_last() {
        None => String::new(),
        Some((only, [])) => only.clone(),
        Some((last, others)) => format!("{} and {last}", others.join(", ")),
    }
}

/// Clauses, no more than so many: "a; b; c; and 4 more".
#[must_use]
pub fn short_list(clauses: &[String], most: usize) -> String {
    if clauses.len() <= most + 1 {
        return clauses.join("; ");
    }
    format!("{}; and {} more", clauses[..most].join("; "), clauses.len() - most)
}

/// With a capital first letter.
#[must_use]
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// With a capital first letter and a full stop.
#[must_use]
pub fn sentence(text: &str) -> String {
    let text = text.trim();
    let end = if text.is_empty() || text.ends_with(['.', '?', '!']) { "" } else { "." };
    format!("{}{end}", capital(text))
}

/// What a person typed, on one line, without characters that act or that no paper may hold.
#[must_use]
pub fn typed(text: &str) -> String {
    let fit = |c: &char| *c != '\u{61c}' && !matches!(u32::from(*c) & 0xFFFF, 0xFFFE | 0xFFFF | 0xFDD0..=0xFDEF);
    plain_text(&text.chars().filter(fit).collect::<String>())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn signs_stand_before_and_words_behind() {
        for (currency, said) in [
            (None, "$4100"),
            (Some("$"), "$4100"),
            (Some("US$"), "US$4100"),
            (Some("\u{20ac}"), "\u{20ac}4100"),
            (Some("EUR"), "4100 EUR"),
            (Some("kr"), "4100 kr"),
            (Some("Fr."), "Fr. 4100"),
            (Some("pounds\n"), "4100 pounds"),
            (Some(" "), "$4100"),
            (Some("what the bank at the corner gives"), "4100"),
        ] {
            assert_eq!(Purse::new(currency).exact(4100.0), said);
        }
    }

    #[test]
    fn sums_are_said_as_people_say_them() {
        let purse = Purse::new(None);
        for (sum, said) in [
            (0.0, "$0"),
            (3.4, "$3"),
            (187.0, "$185"),
            (333.0, "$330"),
            (1333.0, "$1350"),
            (12_345.0, "$12,300"),
            (1_234_567.0, "$1,200,000"),
        ] {
            assert_eq!(purse.about(sum), said);
        }
        assert_eq!(purse.exact(1999.5), "$1999.50");
        assert_eq!(purse.span(61.0, 158.0), "$60 to $160");
        assert_eq!(Purse::new(Some("EUR")).span(61.0, 158.0), "60 to 160 EUR");
        assert_eq!(purse.span(412.0, 412.0), "$412");
        assert_eq!(grouped(123_456.0), "123,456");
    }

    #[test]
    fn no_chance_is_said_to_be_certain() {
        assert_eq!(percent(0.998), "99 %");
        assert_eq!(percent(0.004), "under 1 %");
    }

    #[test]
    fn lists_are_said() {
        let words = ["a", "b", "c", "d", "e"].map(str::to_owned);
        assert_eq!(list(&words[..2]), "a and b");
        assert_eq!(short_list(&words, 3), "a; b; c; and 2 more");
        assert_eq!(short_list(&words, 4), "a; b; c; d; e");
        assert_eq!(capital("gear oil"), "Gear oil");
    }
}
