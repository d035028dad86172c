//! Texts in records, with the fonts of their runs: letters of a code page up to Excel 95, UTF-16 after that.

use windrow_source::ReadError;
use windrow_source::encoding::{Encoding, WINDOWS_1252};

use crate::record::{Fields, Record};

/// A text, and where in it (bytes) another font begins.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Rich {
    /// The letters.
    pub(crate) text: String,
    /// Byte and index of the font from there on, sorted.
    pub(crate) runs: Vec<(usize, u16)>,
}

impl Rich {
    /// Letters of a code page with runs that begin at given bytes.
    pub(crate) fn of_bytes(bytes: &[u8], encoding: Encoding, runs: &[(usize, u16)]) -> Self {
        let mut rich = Self::default();
        let mut start = 0;
        for (at, font) in runs {
            let at = (*at).clamp(start, bytes.len());
            rich.text.push_str(&encoding.decode(bytes.get(start..at).unwrap_or_default()));
            rich.runs.push((rich.text.len(), *font));
            start = at;
        }
        rich.text.push_str(&encoding.decode(bytes.get(start..).unwrap_or_default()));
        rich
    }

    /// UTF-16 with runs that begin at given units.
    fn of_units(units: &[u16], runs: &[(usize, u16)]) -> Self {
        let mut rich = Self::default();
        let mut start = 0;
        let push = |text: &mut String, part: Option<&[u16]>| {
            let letters = char::decode_utf16(part.unwrap_or_default().iter().copied());
            text.extend(letters.map(|letter| letter.unwrap_or(char::REPLACEMENT_CHARACTER)));
        };
        for (at, font) in runs {
            let at = (*at).clamp(start, units.len());
            push(&mut rich.text, units.get(start..at));
            rich.runs.push((rich.text.len(), *font));
            start = at;
        }
        push(&mut rich.text, units.get(start..));
        rich
    }
}

/// A byte text with its length before it, in one byte.
pub(crate) fn short_bytes(fields: &mut Fields<'_>, encoding: Encoding) -> Result<String, ReadError> {
    let length = fields.u8()?;
    let bytes = fields.take(usize::from(length))?;
    Ok(encoding.decode(bytes).into_owned())
}

/// A byte text with its length before it, in two bytes; the length may count more than is there.
pub(crate) fn long_bytes<'a>(fields: &mut Fields<'a>) -> Result<&'a [u8], ReadError> {
    let length = fields.u16()?;
    fields.take(usize::from(length))
}

/// The parts of a record and of those that continue it, read as one; where letters go on in the next part, a byte says anew how
/// wide they are.
#[derive(Debug)]
pub(crate) struct Parts<'a> {
    record: Record<'a>,
    rest: &'a [u8],
    coming: std::vec::IntoIter<&'a [u8]>,
}

impl<'a> Parts<'a> {
    /// Parts of `record` from `start` of the first one on.
    pub(crate) fn new(record: Record<'a>, parts: Vec<&'a [u8]>, start: usize) -> Self {
        let mut coming = parts.into_iter();
        let rest = coming.next().and_then(|part| part.get(start..)).unwrap_or_default();
        Self { record, rest, coming }
    }

    /// Goes to the next part that holds something.
    fn advance(&mut self) -> Result<(), ReadError> {
        while self.rest.is_empty() {
            self.rest = self.coming.next().ok_or_else(|| self.record.damaged("ends within a text"))?;
        }
        Ok(())
    }

    /// Whether nothing is left.
    pub(crate) fn is_at_end(&self) -> bool {
        self.rest.is_empty() && self.coming.as_slice().iter().all(|part| part.is_empty())
    }

    fn u8(&mut self) -> Result<u8, ReadError> {
        self.advance()?;
        let (first, rest) = self.rest.split_first().ok_or_else(|| self.record.damaged("ends within a text"))?;
        self.rest = rest;
        Ok(*first)
    }

    fn u16(&mut self) -> Result<u16, ReadError> {
        Ok(u16::from_le_bytes([self.u8()?, self.u8()?]))
    }

    fn skip(&mut self, mut count: usize) -> Result<(), ReadError> {
        while count > 0 {
            self.advance()?;
            let step = count.min(self.rest.len());
            self.rest = self.rest.get(step..).unwrap_or_default();
            count -= step;
        }
        Ok(())
    }

    /// `count` letters, the byte that says how wide they are being `flags`.
    fn units(&mut self, count: usize, mut flags: u8) -> Result<Vec<u16>, ReadError> {
        let mut units = Vec::with_capacity(count.min(self.rest.len()));
        loop {
            let width = if flags & 1 == 0 { 1 } else { 2 };
            let here = (self.rest.len() / width).min(count - units.len());
            let (letters, rest) = self.rest.split_at_checked(here * width).unwrap_or((self.rest, &[]));
            if width == 1 {
                // Some programs put letters of the Windows code page where the upper byte of UTF-16 should be zero.
                units.extend(WINDOWS_1252.decode(letters).encode_utf16());
            } else {
                units.extend(letters.chunks_exact(2).map(|pair| u16::from_le_bytes([pair[0], pair[1]])));
            }
            self.rest = rest;
            if units.len() >= count {
                return Ok(units);
            }
            if !self.rest.is_empty() {
                return Err(self.record.damaged("ends within a letter"));
            }
            flags = self.u8()?;
        }
    }

    /// A text of `count` letters without runs, with the byte that says how wide they are before them.
    pub(crate) fn letters(&mut self, count: usize) -> Result<String, ReadError> {
        let flags = self.u8()?;
        Ok(Rich::of_units(&self.units(count, flags)?, &[]).text)
    }

    /// A text with its length before it, in two bytes, and with its runs and what else it carries.
    pub(crate) fn rich(&mut self) -> Result<Rich, ReadError> {
        let count = usize::from(self.u16()?);
        let flags = self.u8()?;
        let run_count = if flags & 8 == 0 { 0 } else { self.u16()? };
        let extra = if flags & 4 == 0 { 0 } else { u32::from(self.u16()?) | u32::from(self.u16()?) << 16 };
        let units = self.units(count, flags)?;
        let runs = self.runs(usize::from(run_count))?;
        // How it is spoken, for languages that need to tell.
        self.skip(usize::try_from(extra).unwrap_or(usize::MAX))?;
        Ok(Rich::of_units(&units, &runs))
    }

    fn runs(&mut self, count: usize) -> Result<Vec<(usize, u16)>, ReadError> {
        (0..count).map(|_| Ok((usize::from(self.u16()?), self.u16()?))).collect()
    }

    /// A text whose runs stand behind it with a count of their own.
    pub(crate) fn with_runs_behind(&mut self) -> Result<Rich, ReadError> {
        let count = usize::from(self.u16()?);
        let flags = self.u8()?;
        let units = self.units(count, flags)?;
        let run_count = usize::from(self.u16()?);
        Ok(Rich::of_units(&units, &self.runs(run_count)?))
    }
}
