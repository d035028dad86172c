//! Records of a binary part: a type, a length, and fields (MS-XLSB 2.1.4).

use std::io::Read;

use windrow_source::spreadsheet::style::Place;
use windrow_source::spreadsheet::{REPAIR, SPLIT};
use windrow_source::{ReadError, Refusal};

/// A part being read record by record.
#[derive(Debug)]
pub(crate) struct Records<R> {
    source: R,
    part: String,
    at: u64,
    payload: Vec<u8>,
}

impl<R: Read> Records<R> {
    /// Begins to read a part.
    pub(crate) fn new(part: &str, source: R) -> Self {
        Self { source, part: part.to_owned(), at: 0, payload: Vec::new() }
    }

    /// Reads the next record and tells its type; `None` at the end of the part.
    pub(crate) fn next(&mut self) -> Result<Option<u16>, ReadError> {
        let Some(first) = self.byte()? else { return Ok(None) };
        let kind = match first & 0x80 {
            0 => u16::from(first),
            _ => u16::from(first & 0x7F) | u16::from(self.needed()? & 0x7F) << 7,
        };
        let mut length = 0_u64;
        for shift in [0, 7, 14, 21] {
            let byte = self.needed()?;
            length |= u64::from(byte & 0x7F) << shift;
            if byte & 0x80 == 0 {
                break;
            }
        }
        self.payload.clear();
        let read = self.source.by_ref().take(length).read_to_end(&mut self.payload);
        let read = read.map_err(|error| self.broken(&error.to_string()))? as u64;
        self.at += read;
        if read < length { Err(self.broken("it ends in the middle")) } else { Ok(Some(kind)) }
    }

    /// What `read` makes of the fields of the record, which must be long enough for it.
    pub(crate) fn parsed<'s, T>(&'s self, read: impl FnOnce(&mut Fields<'s>) -> Option<T>) -> Result<T, ReadError> {
        read(&mut Fields { rest: &self.payload }).ok_or_else(|| self.broken("a record is too short"))
    }

    /// The error that the part is broken here.
    pub(crate) fn broken(&self, what: &str) -> ReadError {
        let found = format!("part {} is damaged at byte {} of its unpacked content: {what}", self.part, self.at);
        ReadError::new(Refusal::Damaged, found, REPAIR)
    }

    /// Refuses a text that is longer than `limit` bytes.
    pub(crate) fn check_length(&self, text: &str, limit: usize) -> Result<(), ReadError> {
        if text.len() <= limit {
            return Ok(());
        }
        let found = format!("part {} has a text of more than {limit} bytes before byte {}", self.part, self.at);
        Err(ReadError::new(Refusal::TooLarge, found, SPLIT))
    }

    fn byte(&mut self) -> Result<Option<u8>, ReadError> {
        let mut byte = [0];
        let read = self.source.read(&mut byte).map_err(|error| self.broken(&error.to_string()))?;
        self.at += read as u64;
        Ok((read == 1).then_some(byte[0]))
    }

    fn needed(&mut self) -> Result<u8, ReadError> {
        self.byte()?.ok_or_else(|| self.broken("it ends in the middle"))
    }
}

/// Fields of a record, taken one after another; `None` past its end.
#[derive(Debug)]
pub(crate) struct Fields<'r> {
    rest: &'r [u8],
}

impl<'r> Fields<'r> {
    /// So many bytes.
    pub(crate) fn bytes(&mut self, count: usize) -> Option<&'r [u8]> {
        let (taken, rest) = self.rest.split_at_checked(count)?;
        self.rest = rest;
        Some(taken)
    }

    /// A byte.
    pub(crate) fn u8(&mut self) -> Option<u8> {
        self.bytes(1)?.first().copied()
    }

    /// A whole number of two bytes.
    pub(crate) fn u16(&mut self) -> Option<u16> {
        self.bytes(2)?.try_into().ok().map(u16::from_le_bytes)
    }

    /// A whole number of four bytes.
    pub(crate) fn u32(&mut self) -> Option<u32> {
        self.bytes(4)?.try_into().ok().map(u32::from_le_bytes)
    }

    /// A floating-point number.
    pub(crate) fn f64(&mut self) -> Option<f64> {
        self.bytes(8)?.try_into().ok().map(f64::from_le_bytes)
    }

    /// A number in the short form of four bytes: whole or the upper half of a float, perhaps in hundredths (2.5.123).
    pub(crate) fn short_number(&mut self) -> Option<f64> {
        let bits = self.u32()?;
        let number =
            if bits & 2 == 0 { f64::from_bits(u64::from(bits & !3) << 32) } else { f64::from(bits.cast_signed() >> 2) };
        Some(if bits & 1 == 0 { number } else { number / 100.0 })
    }

    /// A text with its length before it; `None` also stands for a text that says it is not there.
    pub(crate) fn text(&mut self) -> Option<String> {
        let letters = usize::try_from(self.u32()?).ok()?;
        let units =
            self.bytes(letters.checked_mul(2)?)?.chunks_exact(2).map(|pair| u16::from_le_bytes([pair[0], pair[1]]));
        Some(char::decode_utf16(units).map(|letter| letter.unwrap_or(char::REPLACEMENT_CHARACTER)).collect())
    }

    /// The first corner and the last of an area: row, row, column, column.
    pub(crate) fn corners(&mut self) -> Option<(Place, Place)> {
        let (top, bottom, left, right) = (self.u32()?, self.u32()?, self.u32()?, self.u32()?);
        Some(((top, left), (bottom, right)))
    }
}
