//! Boxes to tick: `Units:  MΩ [ ]  GΩ [X]` says gigohms.

use regex::Regex;
use std::borrow::Cow;
use std::sync::LazyLock;

static BOX: LazyLock<Option<Regex>> =
    LazyLock::new(|| Regex::new(r"\[\s*(?P<tick>[xX✓✔]?)\s*\]|(?P<empty>[☐□])|(?P<full>[☒☑■])").ok());

/// Longest text that is looked at, in bytes.
const LONGEST: usize = 240;

/// The text with only the options that are ticked, where it offers two or more and some of them, not all, are; else the text itself.
///
/// ```
/// use windrow_text::ticks::chosen;
/// assert_eq!(chosen("Units:  MΩ [ ]  GΩ [X]"), "Units: GΩ");
/// assert_eq!(chosen("☒ as found ☐ after cleaning"), "as found");
/// assert_eq!(chosen("IR [MΩ]"), "IR [MΩ]");
/// ```
#[must_use]
pub fn chosen(text: &str) -> Cow<'_, str> {
    if text.len() > LONGEST || !text.contains(['[', '☐', '☒', '☑', '□', '■']) {
        return Cow::Borrowed(text);
    }
    let Some(boxes) = BOX.as_ref() else { return Cow::Borrowed(text) };
    let marks: Vec<(usize, usize, bool)> = boxes
        .captures_iter(text)
        .filter_map(|found| {
            let whole = found.get(0)?;
            let ticked = found.name("full").is_some() || found.name("tick").is_some_and(|tick| !tick.is_empty());
            Some((whole.start(), whole.end(), ticked))
        })
        .collect();
    let ticked = marks.iter().filter(|(.., ticked)| *ticked).count();
    let (Some(first), Some(last)) = (marks.first(), marks.last()) else { return Cow::Borrowed(text) };
    if marks.len() < 2 || ticked == 0 || ticked == marks.len() {
        return Cow::Borrowed(text);
    }
    let (label, from) = match text.get(..first.0).and_then(|head| head.rfind(':')) {
        Some(colon) => (text.get(..=colon).unwrap_or_default().trim(), colon + 1),
        None => ("", 0),
    };
    // The box stands before each option, or behind it.
    let is_before = text.get(from..first.0).is_some_and(|head| head.trim().is_empty())
        && text.get(last.1..).is_some_and(|tail| !tail.trim().is_empty());
    let mut options = Vec::new();
    for (index, (start, end, ticked)) in marks.iter().enumerate() {
        let option = if is_before {
            text.get(*end..marks.get(index + 1).map_or(text.len(), |next| next.0))
        } else {
            text.get(index.checked_sub(1).and_then(|before| marks.get(before)).map_or(from, |before| before.1)..*start)
        };
        options.extend(option.filter(|_| *ticked).map(|option| option.trim_matches([' ', ',', ';', '/', '|'])));
    }
    Cow::Owned(format!("{label} {}", options.join(", ")).trim().to_owned())
}

/// Whether the text offers options of which boxes choose none.
#[must_use]
pub fn is_open(text: &str) -> bool {
    let boxes = |boxes: &Regex| boxes.find_iter(text).count() >= 2;
    text.len() <= LONGEST && text.contains(['[', '☐', '□', '☒', '■']) && BOX.as_ref().is_some_and(boxes)
}

#[cfg(test)]
mod tests {
    use super::chosen;
    use proptest::prelude::*;

    /// Forms as plants print them; common practice, no source.
    #[test]
    fn only_ticked_options_count() {
        for (text, expected) in [
            ("Units:  MΩ [X]  GΩ [ ]", "Units: MΩ"),
            ("Einheit: ☐ kΩ ☒ MΩ ☐ GΩ", "Einheit: MΩ"),
            ("Stage: [ ] as found [x] after cleaning", "Stage: after cleaning"),
            ("MΩ [ ]  GΩ [ ]", "MΩ [ ]  GΩ [ ]"),
            ("U-E [MΩ]", "U-E [MΩ]"),
        ] {
            assert_eq!(chosen(text), expected);
        }
    }

    proptest! {
        #[test]
        fn any_text_is_survived(text in "[\\[\\]xX ☐☒:MΩa-z]{0,40}") {
            let _ = chosen(&text);
        }
    }
}
