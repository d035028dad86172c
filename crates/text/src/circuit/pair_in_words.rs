//! A pair of phases told in words: "between U and V".

use super::{CircuitMeaning, pairs, phases};
use crate::fold::fold;
use crate::marks::is_kind;

/// The pair that a text names between its two phases in capitals, and nothing else. "Between a and b" are words.
///
/// ```
/// use windrow_text::circuit::{Named, read};
/// for text in ["between U and V", "entre U y V", "zwischen L1 und L2"] {
///     assert_eq!(read(text).first().map(|meaning| meaning.named), Some(Named::Pair(0, 1)), "{text}");
/// }
/// assert!(read("between U and earth").iter().all(|meaning| !matches!(meaning.named, Named::Pair(..))));
/// ```
pub(super) fn read(text: &str) -> Vec<CircuitMeaning> {
    let words: Vec<&str> = text.split_whitespace().collect();
    let [between, first, and, second] = words.as_slice() else { return Vec::new() };
    let joins = matches!(fold(and).as_str(), "and" | "und" | "et" | "y") || matches!(*and, "&" | "/" | "-");
    let is_capital = |word: &&str| word.starts_with(char::is_uppercase);
    if !is_kind(&fold(between), "between") || !joins || !is_capital(first) || !is_capital(second) {
        return Vec::new();
    }
    let mut found = pairs(&phases(&fold(first)), &phases(&fold(second)));
    found.retain(|meaning| meaning.naming != Some(super::Naming::Numbered));
    found
}
