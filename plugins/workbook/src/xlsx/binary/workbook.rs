//! The binary workbook part.

use windrow_source::number_format::Epoch;
use windrow_source::spreadsheet::budget::too_many;
use windrow_source::{Limits, ReadError};

use crate::package::Package;
use crate::xlsx::workbook::{Book, Entry};

use super::record::{Fields, Records};

/// Properties of the workbook.
const PROPERTIES: u16 = 153;
/// A sheet.
const SHEET: u16 = 156;

/// Reads the workbook part.
pub(crate) fn read(package: &mut Package<'_>, part: &str, limits: &Limits) -> Result<Book, ReadError> {
    let mut records = Records::new(part, package.part(part)?);
    let mut book = Book::default();
    while let Some(kind) = records.next()? {
        match kind {
            PROPERTIES if records.parsed(Fields::u32)? & 1 == 1 => book.epoch = Epoch::Y1904,
            SHEET => book.sheets.push(records.parsed(entry)?),
            _ => {}
        }
        if book.sheets.len() > limits.sheets {
            return Err(too_many("sheets", book.sheets.len(), limits.sheets));
        }
    }
    Ok(book)
}

fn entry(fields: &mut Fields<'_>) -> Option<Entry> {
    let (state, _id) = (fields.u32()?, fields.u32()?);
    Some(Entry { relation: fields.text()?, name: fields.text()?, hidden: state != 0 })
}
