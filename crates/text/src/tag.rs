//! Tags and serial numbers.

mod numbered;

pub use numbered::numbered;

use crate::fold::mend;

/// Words longer than this are words, not parts of a tag.
const LONGEST_PART: usize = 7;

/// How much `text` looks like a plant tag (letters and digits, separators), 0 to 1. `"P-101A"` is high, `"Pump 102"`
/// middling, `"remarks"` 0.
#[must_use]
pub fn likeness(text: &str) -> f32 {
    let text = text.trim();
    if text.is_empty() || text.len() > 28 || !text.is_ascii() {
        return 0.0;
    }
    let letters = text.bytes().filter(u8::is_ascii_alphabetic).count();
    let digits = text.bytes().filter(u8::is_ascii_digit).count();
    let known =
        text.bytes().all(|b| b.is_ascii_alphanumeric() || matches!(b, b'-' | b'.' | b'/' | b'_' | b' ' | b'#' | b'+'));
    if letters == 0 || digits == 0 || !known {
        return 0.0;
    }
    let words: Vec<&str> = text.split([' ', '-', '.', '/', '_', '#', '+']).filter(|part| !part.is_empty()).collect();
    if words.len() > 6 || words.iter().any(|word| word.len() > 10) {
        return 0.0;
    }
    let has_long_word = words.iter().any(|word| word.len() >= LONGEST_PART || is_word(word));
    match (text.starts_with(|c: char| c.is_ascii_alphabetic()), has_long_word) {
        (true, false) => 0.9,
        (true, true) => 0.5,
        (false, false) if text.contains('-') => 0.6,
        (false, _) => 0.15,
    }
}

/// A word in lower case or with a capital only: a name, not a code.
fn is_word(part: &str) -> bool {
    part.len() >= 4 && part.bytes().skip(1).all(|b| b.is_ascii_lowercase())
}

/// How much `text` looks like a maker's serial number, 0 to 1.
#[must_use]
pub fn serial_likeness(text: &str) -> f32 {
    let text = text.trim();
    if text.len() < 4 || text.len() > 24 || !text.is_ascii() {
        return 0.0;
    }
    let digits = text.bytes().filter(u8::is_ascii_digit).count();
    let known = text.bytes().all(|b| b.is_ascii_alphanumeric() || matches!(b, b'-' | b'/' | b'.' | b' '));
    if !known || digits < 3 {
        return 0.0;
    }
    let long_numbers = text.split(|c: char| !c.is_ascii_digit()).filter(|run| run.len() >= 4).count();
    match long_numbers {
        0 => 0.2,
        1 => 0.6,
        _ => 0.9,
    }
}

/// Folded form in which spellings of one tag meet: upper case, separators dropped, leading zeros of number groups dropped
/// (`"p.101-A"`, `"P 101A"`, `"P-0101A"` all give `P101A`). Slips of O/0 and I/1 are not folded here.
///
/// ```
/// use windrow_text::tag::fold;
/// assert_eq!(fold("p.101-A"), fold("P-0101A"));
/// ```
#[must_use]
pub fn fold(text: &str) -> String {
    let text = mend(text);
    let mut out = String::with_capacity(text.len());
    let mut in_number = false;
    let mut pending_zero = false;
    for c in text.chars() {
        if c == '0' && !in_number {
            pending_zero = true;
            continue;
        }
        if c.is_ascii_digit() {
            in_number = true;
            pending_zero = false;
        } else if pending_zero {
            out.push('0');
            pending_zero = false;
        }
        if !c.is_ascii_digit() {
            in_number = false;
        }
        if c.is_alphanumeric() {
            out.extend(c.to_uppercase());
        }
    }
    if pending_zero {
        out.push('0');
    }
    out
}

/// The tag that "Pump 102" would abbreviate to: initial of the word and the number (`P102`). A weak signal: many words share
/// an initial, so it counts only where the same site has such a tag and nothing contradicts.
///
/// ```
/// assert_eq!(windrow_text::tag::initials("Pump 102B").as_deref(), Some("P102B"));
/// assert_eq!(windrow_text::tag::initials("Compr. 51").as_deref(), Some("C51"));
/// assert_eq!(windrow_text::tag::initials("P-102"), None);
/// ```
#[must_use]
pub fn initials(text: &str) -> Option<String> {
    let (word, number) = text.trim().split_once([' ', '\u{a0}'])?;
    let word = word.trim_end_matches('.');
    let number = number.trim();
    let is_name = word.chars().count() >= 3 && word.chars().all(char::is_alphabetic);
    let is_number = number.starts_with(|c: char| c.is_ascii_digit()) && number.len() <= 6;
    if !is_name || !is_number {
        return None;
    }
    let initial = word.chars().next()?;
    Some(fold(&format!("{initial}{number}")))
}

#[cfg(test)]
mod tests {
    use super::{fold, likeness, serial_likeness};

    #[test]
    fn tags_are_told_from_words_and_numbers() {
        for tag in ["P-101A", "osl p-101a", "OSL/P101-B", "2-CW-P-2B", "KKS 10LAC"] {
            assert!(likeness(tag) >= 0.5, "{tag}");
        }
        assert!((0.3..0.7).contains(&likeness("Pump 102")));
        for other in ["remarks", "1200", "14.3.87", "Insulation resistance"] {
            assert!(likeness(other) < 0.3, "{other}");
        }
        assert!(serial_likeness("58554-5801") > 0.8);
        assert!(serial_likeness("P-12") < 0.3);
    }

    #[test]
    fn spellings_of_one_tag_meet() {
        for spelling in ["P-101A", "P101A", "P.101A", "p 101a", "P-0101A", "P/101/A"] {
            assert_eq!(fold(spelling), "P101A", "{spelling}");
        }
        assert_ne!(fold("P-10"), fold("P-1"));
        assert_ne!(fold("P-100"), fold("P-1"));
    }
}
