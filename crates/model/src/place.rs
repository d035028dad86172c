//! Where something stands in a source, and the steps that led from its text to a value.

use crate::Text;
use serde::{Deserialize, Serialize};
use smol_str::{SmolStrBuilder, format_smolstr};

/// Address of a cell within one source.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct Place {
    /// Sheet name; `None` where the format has no sheets.
    pub sheet: Option<Text>,
    /// `C14` for grids, `line:column` for fixed width, `XPath` for XML, `B4:B20` for a range, empty for the whole sheet.
    pub cell: Text,
}

impl Place {
    /// A place on `sheet` at `cell`.
    #[must_use]
    pub fn new(sheet: Option<&str>, cell: impl Into<Text>) -> Self {
        Self { sheet: sheet.map(Text::from), cell: cell.into() }
    }
}

impl std::fmt::Display for Place {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match (&self.sheet, self.cell.is_empty()) {
            (Some(sheet), false) => write!(f, "sheet {sheet}, cell {}", self.cell),
            (Some(sheet), true) => write!(f, "sheet {sheet}"),
            (None, false) => write!(f, "cell {}", self.cell),
            (None, true) => write!(f, "the whole file"),
        }
    }
}

/// One step of a derivation: what was done, and with what.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Step {
    /// Short code of the step: `text`, `unit`, `scale`, `bound`, `date`, `correction`, …
    pub step: Text,
    /// What it did, in words, with the place that told it.
    pub detail: Text,
}

impl Step {
    /// A step named `step` with its `detail`.
    pub fn new(step: &str, detail: impl Into<Text>) -> Self {
        Self { step: Text::new(step), detail: detail.into() }
    }
}

/// Letters of a zero-based column number, as spreadsheets write them.
///
/// ```
/// assert_eq!(windrow_model::place::column_letters(0), "A");
/// assert_eq!(windrow_model::place::column_letters(27), "AB");
/// ```
#[must_use]
pub fn column_letters(column: u32) -> Text {
    let mut letters = SmolStrBuilder::new();
    // Most significant first: a number of base 26 without a zero.
    let mut place = 1_u64;
    let mut shorter = 0_u64;
    while shorter + place * 26 <= u64::from(column) {
        shorter += place * 26;
        place *= 26;
    }
    let mut rest = u64::from(column) - shorter;
    while place > 0 {
        let digit = u8::try_from(rest / place).unwrap_or(0);
        letters.push(char::from(b'A' + digit));
        rest %= place;
        place /= 26;
    }
    letters.finish()
}

/// `C14`-style address of a zero-based row and column.
///
/// ```
/// assert_eq!(windrow_model::place::a1(13, 2), "C14");
/// ```
#[must_use]
pub fn a1(row: u32, column: u32) -> Text {
    format_smolstr!("{}{}", column_letters(column), row + 1)
}

/// Zero-based row and column of a `C14`-style address; `None` for any other text.
///
/// ```
/// assert_eq!(windrow_model::place::read_a1("C14"), Some((13, 2)));
/// assert_eq!(windrow_model::place::read_a1("14:2"), None);
/// ```
#[must_use]
pub fn read_a1(text: &str) -> Option<(u32, u32)> {
    let digits = text.trim_start_matches(|c: char| c.is_ascii_uppercase());
    let letters = text.strip_suffix(digits).filter(|letters| (1..=4).contains(&letters.len()))?;
    let column = letters.bytes().fold(0u32, |sum, letter| sum * 26 + u32::from(letter - b'A') + 1);
    let row: u32 = digits.parse().ok().filter(|row| *row > 0 && digits.bytes().all(|digit| digit.is_ascii_digit()))?;
    Some((row - 1, column - 1))
}

#[cfg(test)]
mod tests {
    use super::{a1, column_letters, read_a1};

    /// Letters of the last columns of spreadsheets (ISO/IEC 29500 allows 16,384 columns), and where a letter is added.
    #[test]
    fn columns_are_lettered_as_spreadsheets_do() {
        let lettered = [(25, "Z"), (26, "AA"), (701, "ZZ"), (702, "AAA"), (16_383, "XFD")];
        for (column, letters) in lettered {
            assert_eq!(column_letters(column), letters);
        }
        for column in (0..20_000).chain([400_000]) {
            assert_eq!(read_a1(&a1(column + 7, column)), Some((column + 7, column)));
        }
        assert!(column_letters(u32::MAX).len() >= 7);
    }
}
