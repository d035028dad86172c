//! Records: kind and length of two bytes each, low byte first, then the body.

use windrow_source::{ReadError, Refusal};

/// Kinds of records, by the published description of the format.
pub(crate) const BEGIN: u16 = 0x00;
pub(crate) const END: u16 = 0x01;
pub(crate) const WINDOW: u16 = 0x07;
pub(crate) const COLUMN_WIDTH: u16 = 0x08;
pub(crate) const INTEGER: u16 = 0x0D;
pub(crate) const NUMBER: u16 = 0x0E;
pub(crate) const LABEL: u16 = 0x0F;
pub(crate) const FORMULA: u16 = 0x10;
pub(crate) const STRING: u16 = 0x33;
pub(crate) const PASSWORD: u16 = 0x4B;
pub(crate) const HIDDEN_COLUMNS: u16 = 0x64;

/// What to do about a damaged file.
pub(crate) const REPAIR: &str = "look for another copy of it, or let a spreadsheet program save it as a workbook";

/// The error of a damaged file.
pub(crate) fn damaged(found: impl Into<String>) -> ReadError {
    ReadError::new(Refusal::Damaged, found, REPAIR)
}

/// A record.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Record<'a> {
    /// Where it begins in the file.
    pub(crate) start: usize,
    pub(crate) kind: u16,
    pub(crate) body: &'a [u8],
}

impl Record<'_> {
    /// Two bytes of the body as a number.
    pub(crate) fn u16(&self, at: usize) -> Option<u16> {
        Some(u16::from_le_bytes(*self.body.get(at..)?.first_chunk()?))
    }

    /// Eight bytes of the body as a floating-point number.
    pub(crate) fn f64(&self, at: usize) -> Option<f64> {
        Some(f64::from_le_bytes(*self.body.get(at..)?.first_chunk()?))
    }
}

/// The records of a file, in order, up to the one that ends it. A file that is cut ends in an error.
#[derive(Debug, Clone)]
pub(crate) struct Records<'a> {
    bytes: &'a [u8],
    next: usize,
    is_done: bool,
}

impl<'a> Records<'a> {
    pub(crate) fn new(bytes: &'a [u8]) -> Self {
        Self { bytes, next: 0, is_done: false }
    }
}

impl<'a> Iterator for Records<'a> {
    type Item = Result<Record<'a>, ReadError>;

    fn next(&mut self) -> Option<Self::Item> {
        if self.is_done {
            return None;
        }
        let start = self.next;
        let record = self.bytes.get(start..).and_then(|rest| {
            let (head, rest) = rest.split_first_chunk::<4>()?;
            let [kind_low, kind_high, length_low, length_high] = *head;
            let length = usize::from(u16::from_le_bytes([length_low, length_high]));
            Some(Record { start, kind: u16::from_le_bytes([kind_low, kind_high]), body: rest.get(..length)? })
        });
        let Some(record) = record else {
            self.is_done = true;
            return Some(Err(damaged(format!(
                "it ends within a record that begins at byte {start}, before its end mark"
            ))));
        };
        self.next = start + 4 + record.body.len();
        self.is_done = record.kind == END;
        Some(Ok(record))
    }
}
