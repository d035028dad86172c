//! What the style of a cell says of its content, and cells made accordingly.

use crate::number_format::{self, Epoch, Kind, kind, number_cell};
use crate::{Cell, Content};
use windrow_model::{Text, ToText};

use crate::spreadsheet::iso;
use crate::spreadsheet::remarks::Remark;
use crate::spreadsheet::struck::{Run, settle};

/// Serial numbers below this (before March 1900) are no dates of tests but numbers that were given a date format.
const FIRST_DATE: f64 = 61.0;

/// A style, as far as it bears on the content.
#[derive(Debug, Clone, Default)]
pub struct Style {
    /// Number format; `None` for general.
    code: Option<Text>,
    /// What the format shows every number as; `None` where it depends on the number.
    steady: Option<Kind>,
    /// Whether the whole content is struck through.
    struck: bool,
}

/// Zero-based row and column.
pub type Place = (u32, u32);

impl Style {
    /// A style with a format code (`None` or blank for general).
    #[must_use]
    pub fn new(code: Option<String>, struck: bool) -> Self {
        let code = code.filter(|code| !code.trim().is_empty() && !code.eq_ignore_ascii_case("general"));
        let steady = match &code {
            None => Some(Kind::Number),
            Some(code) if code.contains(';') => None,
            Some(code) => Some(kind(code, 1.0)),
        };
        Self { code: code.map(Text::from), steady, struck }
    }

    /// Whether it has no number format.
    #[must_use]
    pub fn is_general(&self) -> bool {
        self.code.is_none()
    }

    /// A cell with the format and strike of the style.
    #[must_use]
    pub fn cell(&self, (row, column): Place, text: impl Into<Text>, content: Content) -> Cell {
        let text = text.into();
        let struck = self.struck.then(|| text.to_string());
        Cell { content, struck, format: self.code.clone(), ..Cell::text(row, column, text) }
    }

    /// The cell of a text with runs; `None` for a blank one.
    #[must_use]
    pub fn text(&self, place: Place, text: &str, runs: &[Run]) -> Option<Cell> {
        let (text, struck) = settle(text, runs, self.struck)?;
        Some(Cell { struck, ..self.cell(place, text, Content::Text) })
    }

    /// The cell of true or false.
    #[must_use]
    pub fn boolean(&self, place: Place, value: bool) -> Cell {
        self.cell(place, if value { "TRUE" } else { "FALSE" }, Content::Bool(value))
    }

    /// The cell of a formula whose result is a text without letters: there is a result, and it is blank.
    #[must_use]
    pub fn without_text(&self, place: Place) -> Cell {
        Cell { struck: None, ..self.cell(place, "", Content::NoResult) }
    }

    /// The cell of a stored number, and what is odd about it.
    #[must_use]
    pub fn number(&self, place: Place, value: f64, epoch: Epoch) -> (Cell, Option<Remark>) {
        self.written_number(place, (value, ""), epoch)
    }

    /// The cell of a stored number that was written as `text`.
    #[must_use]
    pub fn written_number(&self, place: Place, (value, text): (f64, &str), epoch: Epoch) -> (Cell, Option<Remark>) {
        let shortest = || if is_shortest(text) { Text::new(text) } else { value.to_smolstr() };
        let plain = || self.cell(place, shortest(), Content::Number(value));
        if self.steady.unwrap_or_else(|| kind(self.code.as_deref().unwrap_or_default(), value)) == Kind::Number {
            return (plain(), None);
        }
        let shown = number_cell(place.0, place.1, value, self.code.as_deref(), epoch);
        if matches!(shown.content, Content::Date { .. }) && value < FIRST_DATE {
            return (plain(), Some(Remark::SmallDate));
        }
        (self.cell(place, shown.text, shown.content), None)
    }

    /// The cell of a date in ISO 8601, and what is odd about it; what is no date stays text.
    #[must_use]
    pub fn date(&self, place: Place, value: &str, epoch: Epoch) -> (Option<Cell>, Option<Remark>) {
        let as_text = || (self.text(place, value, &[]), None);
        let Some(serial) = iso::serial(value, epoch) else { return as_text() };
        if serial < FIRST_DATE {
            // Programs disagree on the number behind such a date by a day: it cannot be taken back to it.
            return (self.text(place, value, &[]), Some(Remark::EarlyDate));
        }
        let Some(text) = number_format::iso(serial, epoch) else { return as_text() };
        let content = Content::Date { serial, is_1904: epoch == Epoch::Y1904 };
        (Some(self.cell(place, text, content)), None)
    }
}

/// Whether the text of a number is its shortest exact form, so that it need not be made again: a plain decimal of up to 15 digits
/// without zeros at its ends. No two of these are the same floating-point number (15 is `f64::DIGITS`).
fn is_shortest(text: &str) -> bool {
    let digits = text.strip_prefix('-').unwrap_or(text);
    let (whole, decimals) = digits.split_once('.').unwrap_or((digits, "1"));
    let is_plain = |part: &str| !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_digit());
    digits.len() <= f64::DIGITS as usize
        && is_plain(whole)
        && is_plain(decimals)
        && (!whole.starts_with('0') || (whole == "0" && digits.len() > 1))
        && !decimals.ends_with('0')
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::is_shortest;

    #[test]
    fn only_the_shortest_form_is_taken_as_it_is() {
        for text in ["5.2", "-5.2", "120", "0.05", "1500000", "-0.001"] {
            assert!(is_shortest(text), "{text}");
        }
        for text in [
            "",
            "-",
            "0",
            "-0",
            "05",
            "5.20",
            "5.",
            ".5",
            "1e3",
            "5,2",
            "+5",
            "1234567890.123456",
            "5.2000000000000002",
            "00.5",
        ] {
            assert!(!is_shortest(text), "{text}");
        }
    }

    proptest! {
        #[test]
        fn what_is_taken_as_it_is_is_what_would_be_made(text in "-?[0-9]{1,9}(\\.[0-9]{1,8})?") {
            let value: f64 = text.parse().expect("it is a number");
            prop_assert!(!is_shortest(&text) || text == value.to_string());
        }
    }
}
