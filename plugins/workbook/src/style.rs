//! What the style of a cell says of its content.

use windrow_source::number_format::{Epoch, Kind, kind, number_cell};
use windrow_source::{Cell, Content};

/// Serial numbers below this (before March 1900) are no dates of tests but numbers that were given a date format.
const FIRST_DATE: f64 = 61.0;

/// A style, as far as it bears on the content.
#[derive(Debug, Clone, Default)]
pub(crate) struct Style {
    /// Number format; `None` for general.
    code: Option<String>,
    /// What the format shows every number as; `None` where it depends on the number.
    steady: Option<Kind>,
    /// Whether the whole content is struck through.
    pub(crate) struck: bool,
}

impl Style {
    /// A style with a format code (`None` or blank for general).
    pub(crate) fn new(code: Option<String>, struck: bool) -> Self {
        let code = code.filter(|code| !code.trim().is_empty() && !code.eq_ignore_ascii_case("general"));
        let steady = match &code {
            None => Some(Kind::Number),
            Some(code) if code.contains(';') => None,
            Some(code) => Some(kind(code, 1.0)),
        };
        Self { code, steady, struck }
    }

    /// The format code as cells carry it.
    pub(crate) fn format(&self) -> Option<String> {
        self.code.clone()
    }

    /// The cell of a stored number, and whether its format asked for a date that it cannot be.
    pub(crate) fn number(&self, (row, column): (u32, u32), value: f64, epoch: Epoch) -> (Cell, bool) {
        let plain = || Cell { format: self.format(), ..Cell::number(row, column, value) };
        if self.steady == Some(Kind::Number) {
            return (plain(), false);
        }
        let cell = number_cell(row, column, value, self.code.as_deref(), epoch);
        let is_date = matches!(cell.content, Content::Date { .. });
        if is_date && value < FIRST_DATE { (plain(), true) } else { (cell, false) }
    }
}
