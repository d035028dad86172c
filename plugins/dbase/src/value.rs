//! The value of a field in a record.

use windrow_source::encoding::Encoding;
use windrow_source::number_format::{Epoch, iso, number_cell};
use windrow_source::spreadsheet::iso::serial;
use windrow_source::{Cell, Content};

use crate::field::{Field, Kind};

/// What a field of a record tells.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Value {
    /// Nothing.
    Empty,
    /// A cell, at row 0 and column 0.
    Cell(Cell),
    /// A text where something else should stand; what should.
    Odd(Cell, &'static str),
    /// Something that stands elsewhere or is not read.
    NotRead,
}

/// Serial numbers below this (before March 1900) are counted differently by different programs.
const FIRST_DATE: f64 = 61.0;
/// Day number (Julian) of the day 0 of serial numbers, 30 December 1899.
const DAY_0: f64 = 2_415_019.0;
/// Milliseconds of a day.
const DAY_MS: f64 = 86_400_000.0;

/// Reads the bytes of a field.
pub(crate) fn value(field: &Field, bytes: &[u8], encoding: Encoding) -> Value {
    match field.kind {
        Kind::Text | Kind::VariableText => text(bytes, encoding),
        Kind::Digits => digits(bytes, field.decimals, encoding),
        Kind::Day => day(bytes, encoding),
        Kind::Truth => truth(bytes, encoding),
        Kind::Integer => binary(bytes, |bytes| f64::from(i32::from_le_bytes(*bytes)), 0),
        Kind::Double => binary(bytes, |bytes| f64::from_le_bytes(*bytes), 0),
        #[expect(clippy::cast_precision_loss, reason = "sums of money are exact in 53 bits")]
        Kind::Currency => binary(bytes, |bytes| i64::from_le_bytes(*bytes) as f64 / 10_000.0, 4),
        Kind::Moment => moment(bytes),
        Kind::Nulls => Value::Empty,
        Kind::Memo | Kind::Other(_) if bytes.iter().all(|byte| matches!(byte, b' ' | b'0' | 0)) => Value::Empty,
        Kind::Memo | Kind::Other(_) => Value::NotRead,
    }
}

/// Letters, without what fills the field up; blanks before them may mean something.
fn letters(bytes: &[u8], encoding: Encoding) -> Option<String> {
    let end = bytes.iter().rposition(|byte| !matches!(byte, b' ' | 0))?;
    let text = encoding.decode(bytes.get(..=end)?).replace('\0', "");
    Some(text).filter(|text| !text.trim().is_empty())
}

fn text(bytes: &[u8], encoding: Encoding) -> Value {
    letters(bytes, encoding).map_or(Value::Empty, |text| Value::Cell(Cell::text(0, 0, text)))
}

/// A text that should be something else.
fn odd(bytes: &[u8], encoding: Encoding, wanted: &'static str) -> Value {
    letters(bytes, encoding).map_or(Value::Empty, |text| Value::Odd(Cell::text(0, 0, text.trim()), wanted))
}

fn digits(bytes: &[u8], decimals: u8, encoding: Encoding) -> Value {
    let number = std::str::from_utf8(bytes).ok().map(|text| text.trim_matches([' ', '\0'])).filter(|text| {
        let is_number = |c: char| c.is_ascii_digit() || matches!(c, '+' | '-' | '.' | 'e' | 'E');
        text.contains(|c: char| c.is_ascii_digit()) && text.chars().all(is_number)
    });
    match number.and_then(|text| text.parse().ok()).filter(|number: &f64| number.is_finite()) {
        Some(number) => number_with(number, decimals),
        // A field full of asterisks is a number that did not fit.
        None => odd(bytes, encoding, "a number"),
    }
}

/// A number with the decimals that its field keeps.
fn number_with(number: f64, decimals: u8) -> Value {
    let code = (decimals > 0).then(|| format!("0.{}", "0".repeat(usize::from(decimals.min(30)))));
    Value::Cell(number_cell(0, 0, number, code.as_deref(), Epoch::Y1900))
}

fn day(bytes: &[u8], encoding: Encoding) -> Value {
    if bytes.iter().all(|byte| matches!(byte, b'0' | b' ' | 0)) {
        return Value::Empty;
    }
    let dashed = |digits: &str| Some(format!("{}-{}-{}", digits.get(..4)?, digits.get(4..6)?, digits.get(6..)?));
    let written = std::str::from_utf8(bytes).ok().filter(|digits| digits.bytes().all(|byte| byte.is_ascii_digit()));
    match written.and_then(dashed).and_then(|text| serial(&text, Epoch::Y1900)) {
        Some(serial) if serial >= FIRST_DATE => date(serial),
        _ => odd(bytes, encoding, "a date"),
    }
}

fn date(serial: f64) -> Value {
    match iso(serial, Epoch::Y1900) {
        Some(text) => {
            let content = Content::Date { serial, is_1904: false };
            Value::Cell(Cell { content, ..Cell::text(0, 0, text) })
        }
        None => Value::NotRead,
    }
}

fn truth(bytes: &[u8], encoding: Encoding) -> Value {
    let told = |value, text: &str| Value::Cell(Cell { content: Content::Bool(value), ..Cell::text(0, 0, text) });
    match bytes {
        b"T" | b"t" | b"Y" | b"y" => told(true, "TRUE"),
        b"F" | b"f" | b"N" | b"n" => told(false, "FALSE"),
        b"?" => Value::Empty,
        _ => odd(bytes, encoding, "true or false"),
    }
}

fn binary<const N: usize>(bytes: &[u8], number: fn(&[u8; N]) -> f64, decimals: u8) -> Value {
    match bytes.first_chunk().map(number).filter(|number| number.is_finite()) {
        Some(number) => number_with(number, decimals),
        None => Value::NotRead,
    }
}

/// A day number and milliseconds.
fn moment(bytes: &[u8]) -> Value {
    let [a, b, c, d, ms @ ..] = bytes else { return Value::NotRead };
    let Some(ms) = ms.first_chunk() else { return Value::NotRead };
    let (day, ms) = (u32::from_le_bytes([*a, *b, *c, *d]), u32::from_le_bytes(*ms));
    if day == 0 {
        return Value::Empty;
    }
    let serial = f64::from(day) - DAY_0 + f64::from(ms) / DAY_MS;
    if serial >= FIRST_DATE { date(serial) } else { Value::NotRead }
}
