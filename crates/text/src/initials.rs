//! Initials of persons, whose letters look like symbols and units.

use crate::fold::fold;
use crate::vocabulary;
use std::borrow::Cow;

/// A text without the initials of persons ("signed T.N."), whose letters may be short for quantities: none are those that a known term
/// or unit is written in ("P.I.", "R.H.", "D.C.").
///
/// ```
/// use windrow_text::initials::without_initials;
/// assert_eq!(without_initials("Done: T.N., 500 V D.C."), "Done: , 500 V D.C.");
/// ```
#[must_use]
pub fn without_initials(text: &str) -> Cow<'_, str> {
    let is_person = |word: &str| {
        let letters: Vec<&str> = word.split('.').collect();
        let [first, others @ .., ""] = letters.as_slice() else { return false };
        let is_letter = |part: &&str| part.chars().count() == 1 && part.chars().all(char::is_uppercase);
        !others.is_empty()
            && others.len() <= 2
            && is_letter(first)
            && others.iter().all(is_letter)
            && !is_term(&letters.concat())
    };
    let words = || text.split([' ', ',', ';', ':', '(', ')']);
    if !words().any(is_person) {
        return Cow::Borrowed(text);
    }
    let kept = words().filter(|word| is_person(word)).fold(text.to_owned(), |kept, word| kept.replacen(word, "", 1));
    Cow::Owned(kept)
}

/// Whether capitals are short for a term or a unit, or say that a voltage is direct or alternating.
fn is_term(letters: &str) -> bool {
    let folded = fold(letters);
    let spaced: Vec<String> = folded.chars().map(String::from).collect();
    let words: Vec<&str> = spaced.iter().map(String::as_str).collect();
    matches!(folded.as_str(), "dc" | "ac" | "cc" | "ca")
        || !crate::unit::read(letters, None).is_empty()
        || !vocabulary::hits(&[&folded]).is_empty()
        || vocabulary::hits(&words).iter().any(|hit| hit.to - hit.from == words.len())
}

/// "E.-M. V.", "J. K.-L.": three capitals or more, each with a dot and parted by a hyphen or blank, are a person's.
pub(crate) fn are_initials(text: &str) -> bool {
    let is_initial = |part: &str| {
        let mut letters = part.chars();
        letters.next().is_some_and(char::is_uppercase) && letters.as_str() == "."
    };
    let parts: Vec<&str> = text.split([' ', '-']).filter(|part| !part.is_empty()).collect();
    parts.len() >= 3 && parts.into_iter().all(is_initial)
}
