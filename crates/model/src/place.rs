//! Where something stands in a source, and the steps that led from its text to a value.

use serde::{Deserialize, Serialize};

/// Address of a cell within one source.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct Place {
    /// Sheet name; `None` where the format has no sheets.
    pub sheet: Option<String>,
    /// `C14` for grids, `line:column` for fixed width, `XPath` for XML, `B4:B20` for a range, empty for the whole sheet.
    pub cell: String,
}

impl Place {
    /// A place on `sheet` at `cell`.
    #[must_use]
    pub fn new(sheet: Option<&str>, cell: impl Into<String>) -> Self {
        Self { sheet: sheet.map(str::to_owned), cell: cell.into() }
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
    pub step: String,
    /// What it did, in words, with the place that told it.
    pub detail: String,
}

impl Step {
    /// A step named `step` with its `detail`.
    pub fn new(step: &str, detail: impl Into<String>) -> Self {
        Self { step: step.to_owned(), detail: detail.into() }
    }
}

/// Letters of a zero-based column number, as spreadsheets write them.
///
/// ```
/// assert_eq!(windrow_model::place::column_letters(0), "A");
/// assert_eq!(windrow_model::place::column_letters(27), "AB");
/// ```
#[must_use]
pub fn column_letters(column: u32) -> String {
    let mut letters = Vec::with_capacity(3);
    let mut rest = column + 1;
    while rest > 0 {
        let digit = u8::try_from((rest - 1) % 26).unwrap_or(0);
        letters.push(char::from(b'A' + digit));
        rest = (rest - 1) / 26;
    }
    letters.iter().rev().collect()
}

/// `C14`-style address of a zero-based row and column.
///
/// ```
/// assert_eq!(windrow_model::place::a1(13, 2), "C14");
/// ```
#[must_use]
pub fn a1(row: u32, column: u32) -> String {
    format!("{}{}", column_letters(column), row + 1)
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
