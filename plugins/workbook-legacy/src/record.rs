//! Records: the pieces that a workbook stream is made of, and the fields inside them.

use windrow_source::spreadsheet::REPAIR;
use windrow_source::{ReadError, Refusal};

/// The record that goes on where the one before it was full.
const CONTINUE: u16 = 0x003C;
/// The record that ends a substream.
pub(crate) const EOF: u16 = 0x000A;

/// A record.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Record<'a> {
    /// What it is.
    pub(crate) id: u16,
    /// Where it stands in the stream.
    pub(crate) offset: usize,
    /// What it holds.
    pub(crate) body: &'a [u8],
}

impl<'a> Record<'a> {
    /// The fields of the record.
    pub(crate) const fn fields(self) -> Fields<'a> {
        Fields { record: self, rest: self.body }
    }

    /// The error of a record that makes no sense.
    pub(crate) fn damaged(self, what: &str) -> ReadError {
        damaged(self.offset, &format!("a record of type 0x{:04X} {what}", self.id))
    }
}

/// The error of a damaged stream.
pub(crate) fn damaged(offset: usize, what: &str) -> ReadError {
    ReadError::new(Refusal::Damaged, format!("at byte {offset} of the workbook stream: {what}"), REPAIR)
}

/// A stream being read record by record; a copy reads on by itself.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Records<'a> {
    stream: &'a [u8],
    offset: usize,
}

impl<'a> Records<'a> {
    /// From the beginning of the stream.
    pub(crate) const fn new(stream: &'a [u8]) -> Self {
        Self { stream, offset: 0 }
    }

    /// From a byte of the stream.
    pub(crate) const fn at(self, offset: usize) -> Self {
        Self { offset, ..self }
    }

    /// Where the next record stands.
    pub(crate) const fn offset(&self) -> usize {
        self.offset
    }

    /// The next record; `None` at the end of the stream.
    pub(crate) fn next(&mut self) -> Result<Option<Record<'a>>, ReadError> {
        let rest = self.stream.get(self.offset..).unwrap_or_default();
        if rest.is_empty() {
            return Ok(None);
        }
        let cut_short = || damaged(self.offset, "the stream is cut short in a record");
        let Some(([id_low, id_high, low, high], rest)) = rest.split_first_chunk() else { return Err(cut_short()) };
        let length = usize::from(u16::from_le_bytes([*low, *high]));
        let body = rest.get(..length).ok_or_else(cut_short)?;
        let record = Record { id: u16::from_le_bytes([*id_low, *id_high]), offset: self.offset, body };
        self.offset += 4 + length;
        Ok(Some(record))
    }

    /// The next record of a substream, which has to have an end.
    pub(crate) fn within(&mut self, what: &str) -> Result<Record<'a>, ReadError> {
        let record = self.next()?.ok_or_else(|| damaged(self.offset, &format!("{what} has no end")))?;
        // What a copying program could not read, it fills with zeros.
        if record.id == 0 && record.body.is_empty() {
            return Err(record.damaged(&format!("stands within {what}")));
        }
        Ok(record)
    }

    /// Passes over a substream up to its end, its first record being read already.
    pub(crate) fn skip_substream(&mut self, what: &str) -> Result<(), ReadError> {
        let mut depth = 1_usize;
        while depth > 0 {
            let record = self.within(what)?;
            match record.id {
                EOF => depth -= 1,
                _ if crate::version::is_beginning(record.id) => depth += 1,
                _ => {}
            }
        }
        Ok(())
    }

    /// What a record holds, with all that continues it.
    pub(crate) fn continued(&mut self, record: Record<'a>) -> Result<Vec<&'a [u8]>, ReadError> {
        let mut parts = vec![record.body];
        let mut ahead = *self;
        while let Some(next) = ahead.next()?.filter(|next| next.id == CONTINUE) {
            parts.push(next.body);
            *self = ahead;
        }
        Ok(parts)
    }
}

/// The fields of a record, taken from the front.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Fields<'a> {
    record: Record<'a>,
    rest: &'a [u8],
}

impl<'a> Fields<'a> {
    /// What is left.
    pub(crate) const fn rest(&self) -> &'a [u8] {
        self.rest
    }

    fn cut_short(&self) -> ReadError {
        self.record.damaged("is too short")
    }

    /// The next `count` bytes.
    pub(crate) fn take(&mut self, count: usize) -> Result<&'a [u8], ReadError> {
        let (taken, rest) = self.rest.split_at_checked(count).ok_or_else(|| self.cut_short())?;
        self.rest = rest;
        Ok(taken)
    }

    fn chunk<const N: usize>(&mut self) -> Result<[u8; N], ReadError> {
        let (chunk, rest) = self.rest.split_first_chunk().ok_or_else(|| self.cut_short())?;
        self.rest = rest;
        Ok(*chunk)
    }

    /// The next byte.
    pub(crate) fn u8(&mut self) -> Result<u8, ReadError> {
        self.chunk().map(u8::from_le_bytes)
    }

    /// The next two bytes.
    pub(crate) fn u16(&mut self) -> Result<u16, ReadError> {
        self.chunk().map(u16::from_le_bytes)
    }

    /// The next four bytes.
    pub(crate) fn u32(&mut self) -> Result<u32, ReadError> {
        self.chunk().map(u32::from_le_bytes)
    }

    /// The next eight bytes.
    pub(crate) fn bytes8(&mut self) -> Result<[u8; 8], ReadError> {
        self.chunk()
    }
}
