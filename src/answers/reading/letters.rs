//! Letters to words: case, apostrophes, contractions with and without one, and the marks that part clauses.

/// A piece of a sentence.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Piece {
    Word(String),
    /// A comma, a full stop, a dash: a clause ends.
    Stop,
    /// `and`, `+`, `/`: the next thing of a list.
    And,
    /// `or`, `nor`: a denial reaches over it.
    Or,
}

/// Contractions as they are typed in a hurry, and what they stand for.
const HURRIED: [(&str, &str); 33] = [
    ("dont", "do not"),
    ("doesnt", "does not"),
    ("didnt", "did not"),
    ("isnt", "is not"),
    ("arent", "are not"),
    ("wasnt", "was not"),
    ("werent", "were not"),
    ("wont", "will not"),
    ("wouldnt", "would not"),
    ("cant", "can not"),
    ("cannot", "can not"),
    ("couldnt", "could not"),
    ("couldn", "could not"),
    ("shouldnt", "should not"),
    ("hasnt", "has not"),
    ("havent", "have not"),
    ("hadnt", "had not"),
    ("aint", "is not"),
    ("mustnt", "must not"),
    ("neednt", "need not"),
    ("theres", "there is"),
    ("thats", "that is"),
    ("whats", "what is"),
    ("heres", "here is"),
    ("hes", "he is"),
    ("shes", "she is"),
    ("ive", "i have"),
    ("im", "i am"),
    ("youd", "you would"),
    ("theyre", "they are"),
    ("theyve", "they have"),
    ("noone", "nobody"),
    ("arnt", "are not"),
];

/// The pieces of a text, in lower case.
pub fn pieces(text: &str) -> Vec<Piece> {
    let lower = text.to_lowercase().replace(['\u{2019}', '\u{2018}', '`', '\u{b4}'], "'");
    let letters: Vec<char> = lower.chars().collect();
    let mut pieces = Vec::new();
    let mut word = String::new();
    for (place, letter) in letters.iter().copied().enumerate() {
        let before = place.checked_sub(1).and_then(|before| letters.get(before)).copied().unwrap_or(' ');
        let after = letters.get(place + 1).copied().unwrap_or(' ');
        let in_number = before.is_ascii_digit() && after.is_ascii_digit();
        let inside = letter.is_alphanumeric()
            || (letter == '\'' && before.is_alphabetic() && after.is_alphabetic())
            || (in_number && matches!(letter, '.' | ',' | ':'));
        if inside {
            word.push(letter);
            continue;
        }
        close(&mut word, &mut pieces);
        match letter {
            '+' | '&' => pieces.push(Piece::And),
            '/' if !in_number => pieces.push(Piece::And),
            '%' => pieces.push(Piece::Word("percent".into())),
            '\u{b0}' => pieces.push(Piece::Word("degrees".into())),
            ',' | '.' | ';' | ':' | '!' | '?' | '(' | ')' | '\u{2013}' | '\u{2014}' => pieces.push(Piece::Stop),
            '-' if before == ' ' && after == ' ' => pieces.push(Piece::Stop),
            _ => {}
        }
    }
    close(&mut word, &mut pieces);
    pieces
}

/// Ends a word: opens a contraction, splits a number from its unit.
fn close(word: &mut String, pieces: &mut Vec<Piece>) {
    let word = std::mem::take(word);
    let mut push = |text: &str| {
        pieces.push(match text {
            "and" | "plus" | "n" => Piece::And,
            "or" | "nor" => Piece::Or,
            _ => Piece::Word(text.to_owned()),
        });
        if text == "nor" {
            pieces.push(Piece::Word("not".into()));
        }
    };
    if word.is_empty() {
        return;
    }
    if let Some((_, open)) = HURRIED.iter().find(|(hurried, _)| *hurried == word.replace('\'', "")) {
        return open.split(' ').for_each(push);
    }
    if let Some((head, tail)) = word.split_once('\'') {
        push(head.strip_suffix('n').filter(|_| tail == "t").unwrap_or(head));
        return match tail {
            "t" => push("not"),
            "re" => push("are"),
            "ve" => push("have"),
            "ll" => push("will"),
            "d" => push("would"),
            "m" => push("am"),
            _ => {}
        };
    }
    let digits = word.len() - word.trim_start_matches(|c: char| c.is_ascii_digit() || ".,:".contains(c)).len();
    let (number, unit) = word.split_at(digits);
    if number.is_empty() || unit.is_empty() || matches!(unit, "st" | "nd" | "rd" | "th") {
        return push(&word);
    }
    push(number);
    push(unit);
}

#[cfg(test)]
mod tests {
    use super::*;

    fn words(text: &str) -> String {
        let shown = pieces(text).into_iter().map(|piece| match piece {
            Piece::Word(word) => word,
            Piece::Stop => ",".into(),
            Piece::And => "&".into(),
            Piece::Or => "|".into(),
        });
        shown.collect::<Vec<_>>().join(" ")
    }

    #[test]
    fn contractions_open_with_and_without_their_apostrophe() {
        for text in ["won't budge", "wont budge", "WON\u{2019}T budge"] {
            assert_eq!(words(text), "will not budge", "{text}");
        }
        assert_eq!(words("couldn't get at it"), "could not get at it");
        assert_eq!(words("it's the seller's"), "it the seller");
        for (text, open) in [
            ("it'd", "it would"),
            ("they've", "they have"),
            ("we're", "we are"),
            ("I'll", "i will"),
            ("I'm", "i am"),
        ] {
            assert_eq!(words(text), open);
        }
    }

    #[test]
    fn clauses_lists_and_numbers_are_told_apart() {
        assert_eq!(words("dark, no cloud"), "dark , no cloud");
        assert_eq!(words("oil and salt/nest"), "oil & salt & nest");
        assert_eq!(words("40% left, 85\u{b0}C"), "40 percent left , 85 degrees c");
        assert_eq!(words("1,250 h or 12.5"), "1,250 h | 12.5");
        assert_eq!(words("2-stroke"), "2 stroke");
        assert_eq!(words("10min 2nd"), "10 min 2nd");
    }
}
