//! Rounds of tests within a year: "before the season | after the season", "Spring | Autumn", "1. Hj | 2. Hj".

use crate::circuit;
use crate::date::named_season;
use crate::fold::fold;
use crate::marks::is_kind;

/// Most words of such a heading.
const MOST_WORDS: usize = 6;

/// Whether a heading says which round of tests of a year its column holds, and nothing of what was measured.
///
/// ```
/// use windrow_text::round::names_round;
/// assert!(names_round("Antes de la cosecha") && names_round("nach der Kampagne") && names_round("Autumn") && names_round("1. Hj"));
/// assert!(!names_round("After 10 min") && !names_round("Pump 1") && !names_round("vor Ort") && !names_round("U-E"));
/// ```
#[must_use]
pub fn names_round(text: &str) -> bool {
    let folded = fold(text.trim());
    let folded = folded.trim();
    if is_kind(folded, "half_of_year") {
        return true;
    }
    let words: Vec<&str> = folded.split(' ').filter(|word| !word.is_empty()).collect();
    let Some((first, rest)) = words.split_first() else { return false };
    let is_plain = words.len() <= MOST_WORDS && !folded.contains(|c: char| c.is_ascii_digit());
    let is_season = || words.len() <= 2 && words.iter().all(|word| named_season(word).is_some());
    // "nach Masse" and "vor Ort" tell where.
    let is_lead = || {
        is_kind(first, "round_lead")
            && !rest.iter().any(|word| circuit::is_earth_alone(word) || circuit::is_earth_word(word) || *word == "ort")
    };
    is_plain && (is_season() || is_lead())
}
