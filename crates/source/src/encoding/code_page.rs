//! Texts of containers that tell the number of a code page. It may be missing, and it may be wrong: a copying program stamps its own.

use super::{Encoding, WINDOWS_1252, decode, decode_declared};

/// The encoding of the texts of a container that declares the code page `page`, and what a person should know of the choice:
/// nothing where all of `sample` is plain ASCII. The declared page is taken unless the texts have letters in it that nobody types.
///
/// ```
/// use windrow_source::encoding::by_code_page;
/// assert_eq!(by_code_page(b"gepr\x81ft", Some(850)).0.name(), "cp850");
/// assert_eq!(by_code_page(b"20 \xB0C, 5.2 \xB5A", Some(437)).0.name(), "windows-1252");
/// ```
#[must_use]
pub fn by_code_page(sample: &[u8], page: Option<u16>) -> (Encoding, Option<String>) {
    let declared = page.and_then(Encoding::of_code_page);
    if sample.is_ascii() {
        return (declared.unwrap_or(WINDOWS_1252), None);
    }
    if let Some(declared) = declared.filter(|declared| fits(*declared, sample)) {
        return (declared, decode_declared(sample, Some(declared)).note());
    }
    let judged = decode(sample);
    let why = match page {
        None => "no code page is declared".to_owned(),
        Some(number) if declared.is_none() => format!("the declared code page {number} is not known"),
        Some(number) => format!("the declared code page {number} does not fit the texts"),
    };
    let note = judged.note().unwrap_or_else(|| format!("text read as {}", judged.encoding.name()));
    (judged.encoding, Some(format!("{why}; {note}")))
}

/// Whether a text has no letters that nobody types: none without meaning, no controls of terminals, no frames and shades.
fn fits(encoding: Encoding, sample: &[u8]) -> bool {
    !encoding.decode(sample).chars().any(|c| matches!(c, '\u{FFFD}' | '\u{80}'..='\u{9F}' | '\u{2500}'..='\u{259F}'))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(sample: &[u8], page: Option<u16>, name: &str, words: Option<&str>) {
        let (encoding, note) = by_code_page(sample, page);
        assert_eq!(encoding.name(), name, "{note:?}");
        assert_eq!(note.is_some(), words.is_some(), "{note:?}");
        assert!(note.unwrap_or_default().contains(words.unwrap_or_default()));
    }

    #[test]
    fn a_declared_page_is_taken_unless_the_texts_contradict_it() {
        check(b"R\x8Esistance M\xBD", Some(10_000), "macintosh", Some("as declared"));
        check(b"gepr\x81ft, 20 \xF8C", Some(1252), "cp850", Some("1252 does not fit"));
        check(b"20 \xB0C, 5.2 \xB5A", Some(437), "windows-1252", Some("437 does not fit"));
        check(b"20 \xF8C, 5.2 \xE6A", None, "cp850", Some("no code page is declared"));
        check(b"20 \xF8C, 5.2 \xE6A", Some(4711), "cp850", Some("4711 is not known"));
        check(b"plain", None, "windows-1252", None);
        check(b"plain", Some(850), "cp850", None);
    }
}
