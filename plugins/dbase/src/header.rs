//! The header of a table: sizes, language and fields.

use windrow_source::{ReadError, Refusal};

use crate::field::Field;

/// Size of the fixed part of the header, and of the description of a field, bytes.
const FIXED: usize = 32;
/// The same of dBase 7.
const FIXED_7: usize = 68;
const FIELD_7: usize = 48;
/// Byte that ends the list of fields.
const END: u8 = 0x0D;
/// What to do about a damaged table.
pub(crate) const REPAIR: &str = "look for another copy of it, or export it again from the program that wrote it";

/// What the header tells.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Header {
    /// Number of records.
    pub(crate) records: usize,
    /// Where the first record begins.
    pub(crate) start: usize,
    /// Bytes of a record, with the mark of deletion before its fields.
    pub(crate) width: usize,
    /// Number of the language, for the code page; 0 where it is not told.
    pub(crate) language: u8,
    /// Fields in their order.
    pub(crate) fields: Vec<Field>,
}

/// The error of a damaged table.
pub(crate) fn damaged(found: impl Into<String>) -> ReadError {
    ReadError::new(Refusal::Damaged, found, REPAIR)
}

impl Header {
    /// Reads the header at the beginning of `bytes`; whether the records are there is not looked at.
    pub(crate) fn of(bytes: &[u8]) -> Result<Self, ReadError> {
        let fixed: &[u8; FIXED] =
            bytes.first_chunk().ok_or_else(|| damaged(format!("the table ends within its header of {FIXED} bytes")))?;
        let start = usize::from(u16::from_le_bytes([fixed[8], fixed[9]]));
        let width = usize::from(u16::from_le_bytes([fixed[10], fixed[11]]));
        let records = u32::from_le_bytes([fixed[4], fixed[5], fixed[6], fixed[7]]);
        let header = bytes.get(..start).ok_or_else(|| {
            damaged(format!("the header tells its size as {start} bytes, and the file has {}", bytes.len()))
        })?;
        let fields = fields_of(header, fixed[0], width)?;
        let records = usize::try_from(records).unwrap_or(usize::MAX);
        Ok(Self { records, start, width, language: fixed[29], fields })
    }
}

/// The fields, in the form of dBase 7 where its version is told and they fill the record.
fn fields_of(header: &[u8], version: u8, width: usize) -> Result<Vec<Field>, ReadError> {
    if version & 7 == 4 {
        let fields = described(header, FIXED_7, FIELD_7, Field::of_dbase_7);
        if fields.as_ref().is_some_and(|fields| fill(fields, width)) {
            return Ok(fields.unwrap_or_default());
        }
    }
    let broken = || damaged("the list of fields in the header has no end or makes no sense");
    let fields = described(header, FIXED, FIXED, Field::of).ok_or_else(broken)?;
    if fill(&fields, width) {
        return Ok(fields);
    }
    // Texts longer than 255 letters have the upper half of their length where numbers have their decimals.
    let long: Vec<Field> = fields.iter().cloned().map(Field::with_long_text).collect();
    if fill(&long, width) {
        return Ok(long);
    }
    let sum: usize = fields.iter().map(|field| field.width).sum();
    Err(damaged(format!("the fields need {} bytes, and the header tells records of {width}", sum + 1)))
}

/// Descriptions of fields from `start` on; `None` if their list has no end or one of them makes no sense.
fn described(header: &[u8], start: usize, size: usize, field: fn(&[u8]) -> Option<Field>) -> Option<Vec<Field>> {
    let mut fields = Vec::new();
    for description in header.get(start..)?.chunks(size) {
        if description.first() == Some(&END) {
            return Some(fields).filter(|fields| !fields.is_empty());
        }
        fields.push(field(description)?);
    }
    // Some programs leave the end mark out where the header is full.
    ((header.len() - start).is_multiple_of(size) && !fields.is_empty()).then_some(fields)
}

/// Whether the fields and the mark of deletion fill a record.
fn fill(fields: &[Field], width: usize) -> bool {
    fields.iter().map(|field| field.width).sum::<usize>() + 1 == width
}
