//! "MΩ, 500 V; (1) in kΩ; (2) at 250 V": notes on numbered signs that stand behind each other in one text.

use regex::Regex;
use std::sync::LazyLock;

/// Where the numbered signs of a text begin notes: at its beginning, or behind the end of a clause.
fn beginnings(text: &str) -> Vec<usize> {
    static SIGN: LazyLock<Option<Regex>> =
        LazyLock::new(|| Regex::new(r"(?:^|[;,.\n]|\s{2})\s*(\([1-9]\))\s*[=:]?\s*[^\W\d_]").ok());
    let found = SIGN.as_ref().into_iter().flat_map(|sign| sign.captures_iter(text));
    found.filter_map(|found| found.get(1).map(|sign| sign.start())).collect()
}

/// The notes of a text, each from its sign on; the whole text where it holds no second one.
pub(crate) fn parts(text: &str) -> Vec<&str> {
    let starts = beginnings(text);
    if starts.is_empty() {
        return vec![text];
    }
    let ends = starts.iter().skip(1).copied().chain([text.len()]);
    let notes = starts.iter().zip(ends).filter_map(|(from, to)| text.get(*from..to));
    notes.map(|note| note.trim().trim_end_matches([';', ',', ' '])).collect()
}

/// What a text says before its first note, where it says anything.
pub(super) fn before(text: &str) -> &str {
    let first = beginnings(text).into_iter().next().filter(|at| *at > 0);
    let before = first.and_then(|at| text.get(..at)).map(|before| before.trim_end_matches([' ', ';', ',']));
    before.filter(|before| !before.is_empty()).unwrap_or(text)
}

#[cfg(test)]
mod tests {
    use super::{before, parts};

    #[test]
    fn numbered_notes_are_told_apart() {
        let text = "Isolement en MΩ, 500 V ; (1) en kΩ ; (2) mesuré sous 250 V";
        assert_eq!(parts(text), ["(1) en kΩ", "(2) mesuré sous 250 V"]);
        assert_eq!(before(text), "Isolement en MΩ, 500 V");
        assert_eq!((parts("(1) at 250 V"), before("(1) at 250 V")), (vec!["(1) at 250 V"], "(1) at 250 V"));
        assert_eq!(before("Pump house (2), motors 1 to 4"), "Pump house (2), motors 1 to 4");
    }
}
