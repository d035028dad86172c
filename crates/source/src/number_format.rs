//! What a number is under its spreadsheet format code: a plain number, a date, or a time.
//!
//! The stored number is the truth and the code says only how it is shown; but a date *is* a number whose code shows it as one.
//! Codes are judged here for every container, because libraries differ and some take the unit in `0.0 MΩ` or `0 días` for a
//! date. The rules follow ECMA-376 part 1, 18.8.30 and 18.8.31, with one addition: a section with a digit placeholder (`0`, `#`,
//! `?`) shows a number, whatever letters stand around it.

mod code;
#[cfg(test)]
mod tests;

use jiff::civil::{Date, Time};
use jiff::{SignedDuration, ToSpan};
use windrow_model::Text;

use crate::grid::{Cell, Content};
pub use code::{Kind, kind, section};

/// Day that serial numbers count from.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum Epoch {
    /// 1 is 1 January 1900, and 60 is a 29 February 1900 that never was.
    #[default]
    Y1900,
    /// 0 is 1 January 1904.
    Y1904,
}

/// The last day that spreadsheets show, 31 December 9999, in the 1900 system.
const LAST_SERIAL: f64 = 2_958_465.0;
/// Days between the two epochs.
const DAYS_BETWEEN: f64 = 1_462.0;
/// Milliseconds of a day; spreadsheets keep times to the millisecond.
const DAY_MS: f64 = 86_400_000.0;

/// The cell of a stored number under a format code (`None` for general): number, date or time, with the text that goes with it.
///
/// ```
/// use windrow_source::number_format::{Epoch, number_cell};
/// assert_eq!(number_cell(0, 0, 31850.0, Some("dd/mm/yy"), Epoch::Y1900).text, "1987-03-14");
/// assert_eq!(number_cell(0, 0, 5.2, Some("0.0 MΩ"), Epoch::Y1900).text, "5.2");
/// ```
#[must_use]
pub fn number_cell(row: u32, column: u32, value: f64, code: Option<&str>, epoch: Epoch) -> Cell {
    let code = code.filter(|code| !code.is_empty() && !code.eq_ignore_ascii_case("general"));
    let plain = Cell { format: code.map(Text::from), ..Cell::number(row, column, value) };
    let dated = |text: String| {
        let content = Content::Date { serial: value, is_1904: epoch == Epoch::Y1904 };
        Cell { content, text: text.into(), ..plain.clone() }
    };
    match code.map_or(Kind::Number, |code| kind(code, value)) {
        Kind::Number => plain,
        Kind::Date => iso(value, epoch).map(dated).unwrap_or(plain),
        Kind::Duration => {
            let seconds = (value * DAY_MS).round() / 1000.0;
            Cell { content: Content::Duration(seconds), text: clock(seconds).into(), ..plain }
        }
    }
}

/// A serial number as ISO 8601: the date alone for a whole day, else with the time, to the millisecond. `None` for what no
/// spreadsheet shows as a date: before the epoch or after the year 9999.
///
/// ```
/// use windrow_source::number_format::{Epoch, iso};
/// assert_eq!(iso(36526.75, Epoch::Y1900).as_deref(), Some("2000-01-01T18:00:00"));
/// ```
#[must_use]
pub fn iso(serial: f64, epoch: Epoch) -> Option<String> {
    let shift = if epoch == Epoch::Y1904 { DAYS_BETWEEN } else { 0.0 };
    if !(serial >= 0.0 && serial + shift < LAST_SERIAL + 1.0) {
        return None;
    }
    let serial_ms = (serial * DAY_MS).round();
    let day = (serial_ms / DAY_MS).floor();
    let ms = serial_ms - day * DAY_MS;
    let date = date_text(day + shift, epoch)?;
    if ms == 0.0 {
        return Some(date);
    }
    #[expect(clippy::cast_possible_truncation, reason = "a whole number below 86,400,000")]
    let time = Time::midnight().checked_add(SignedDuration::from_millis(ms as i64)).ok()?;
    Some(format!("{date}T{time}"))
}

/// The day with a whole serial number counted as in the 1900 system.
fn date_text(day: f64, epoch: Epoch) -> Option<String> {
    #[expect(clippy::cast_possible_truncation, reason = "a whole number, at most the last serial and one day")]
    let day = day as i64;
    if day == 60 && epoch == Epoch::Y1900 {
        return Some("1900-02-29".to_owned());
    }
    // Before the day that never was, the count is one off.
    let days = if day < 60 && epoch == Epoch::Y1900 { day + 1 } else { day };
    let date = Date::new(1899, 12, 30).ok()?.checked_add(days.days()).ok()?;
    Some(date.to_string())
}

/// Seconds as a clock shows them: `10:00:00`, `30:15:00` for durations over a day, `-00:00:01.5`.
#[must_use]
pub fn clock(seconds: f64) -> String {
    #[expect(clippy::cast_possible_truncation, reason = "a float beyond the whole numbers becomes the last of them")]
    let all_ms = (seconds * 1000.0).round() as i64;
    let sign = if all_ms < 0 { "-" } else { "" };
    let ms = all_ms.unsigned_abs();
    let whole = format!("{sign}{:02}:{:02}:{:02}", ms / 3_600_000, ms / 60_000 % 60, ms / 1000 % 60);
    match ms % 1000 {
        0 => whole,
        rest => format!("{whole}.{}", format!("{rest:03}").trim_end_matches('0')),
    }
}

/// Code of a built-in format (ECMA-376 part 1, 18.8.30; currencies as in a US setup); `None` for general and for numbers that
/// only a FORMAT record or style of the file can explain.
#[must_use]
pub fn built_in(id: u16) -> Option<&'static str> {
    Some(match id {
        1 => "0",
        2 => "0.00",
        3 => "#,##0",
        4 => "#,##0.00",
        5 => "$#,##0_);($#,##0)",
        6 => "$#,##0_);[Red]($#,##0)",
        7 => "$#,##0.00_);($#,##0.00)",
        8 => "$#,##0.00_);[Red]($#,##0.00)",
        9 => "0%",
        10 => "0.00%",
        11 => "0.00E+00",
        12 => "# ?/?",
        13 => "# ??/??",
        14 => "mm-dd-yy",
        15 => "d-mmm-yy",
        16 => "d-mmm",
        17 => "mmm-yy",
        18 => "h:mm AM/PM",
        19 => "h:mm:ss AM/PM",
        20 => "h:mm",
        21 => "h:mm:ss",
        22 => "m/d/yy h:mm",
        37 => "#,##0_);(#,##0)",
        38 => "#,##0_);[Red](#,##0)",
        39 => "#,##0.00_);(#,##0.00)",
        40 => "#,##0.00_);[Red](#,##0.00)",
        41 => "_(* #,##0_);_(* (#,##0);_(* \"-\"_);_(@_)",
        42 => "_($* #,##0_);_($* (#,##0);_($* \"-\"_);_(@_)",
        43 => "_(* #,##0.00_);_(* (#,##0.00);_(* \"-\"??_);_(@_)",
        44 => "_($* #,##0.00_);_($* (#,##0.00);_($* \"-\"??_);_(@_)",
        45 => "mm:ss",
        46 => "[h]:mm:ss",
        47 => "mm:ss.0",
        48 => "##0.0E+0",
        49 => "@",
        _ => return None,
    })
}
