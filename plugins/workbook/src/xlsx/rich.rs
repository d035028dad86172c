//! Strings of shared-string tables and of cells: plain, or in runs with fonts of their own.

use std::io::BufRead;

use windrow_source::ReadError;
use windrow_source::spreadsheet::struck::{Run, Strike};

use crate::xml::{Item, Xml};

use super::workbook::truth;

/// A string with its runs; none where it is plain.
#[derive(Debug, Default)]
pub(crate) struct Rich {
    /// All text.
    pub(crate) text: String,
    /// Runs, in order.
    pub(crate) runs: Vec<Run>,
}

impl Rich {
    /// Reads the string of the element just opened (`si`, `is`, the `text` of a note), in place of what was there. Phonetic text
    /// does not count.
    pub(crate) fn read<R: BufRead>(&mut self, xml: &mut Xml<R>, limit: usize) -> Result<(), ReadError> {
        self.text.clear();
        self.runs.clear();
        loop {
            match xml.next()? {
                Item::Open(tag) => match tag.name() {
                    "t" => self.piece(xml, limit)?,
                    "r" => self.run(xml, limit)?,
                    _ => xml.skip()?,
                },
                Item::Close | Item::End => return Ok(()),
                Item::Text(_) | Item::Aside => {}
            }
        }
    }

    fn run<R: BufRead>(&mut self, xml: &mut Xml<R>, limit: usize) -> Result<(), ReadError> {
        let mut strike = Strike::Inherited;
        loop {
            match xml.next()? {
                Item::Open(tag) => match tag.name() {
                    "t" => self.piece(xml, limit)?,
                    "rPr" => strike = run_font(xml)?,
                    _ => xml.skip()?,
                },
                Item::Close | Item::End => break,
                Item::Text(_) | Item::Aside => {}
            }
        }
        self.runs.push(Run { end: self.text.len(), strike });
        Ok(())
    }

    fn piece<R: BufRead>(&mut self, xml: &mut Xml<R>, limit: usize) -> Result<(), ReadError> {
        let start = self.text.len();
        xml.text_into(&mut self.text, limit)?;
        decode_escapes(&mut self.text, start);
        Ok(())
    }
}

fn run_font<R: BufRead>(xml: &mut Xml<R>) -> Result<Strike, ReadError> {
    let mut strike = Strike::Off;
    loop {
        match xml.next()? {
            Item::Open(tag) => {
                if tag.name() == "strike" && tag.attribute("val")?.is_none_or(|value| truth(&value)) {
                    strike = Strike::On;
                }
                xml.skip()?;
            }
            Item::Close | Item::End => return Ok(strike),
            Item::Text(_) | Item::Aside => {}
        }
    }
}

/// Decodes `_x000D_` and its like (ECMA-376 part 1, 22.4.2.4) from byte `start` on.
pub(crate) fn decode_escapes(text: &mut String, start: usize) {
    let Some(encoded) = text.get(start..).filter(|tail| tail.contains("_x")) else { return };
    let mut units: Vec<u16> = Vec::with_capacity(encoded.len());
    let mut rest = encoded;
    while let Some(at) = rest.find("_x") {
        units.extend(rest[..at].encode_utf16());
        let (escape, after) = match rest.get(at + 2..at + 6).zip(rest.get(at + 6..)) {
            Some((digits, after)) if after.starts_with('_') => (u16::from_str_radix(digits, 16).ok(), &after[1..]),
            _ => (None, ""),
        };
        match escape {
            Some(unit) => (units.push(unit), rest = after).1,
            None => (units.extend("_x".encode_utf16()), rest = &rest[at + 2..]).1,
        }
    }
    units.extend(rest.encode_utf16());
    let decoded = String::from_utf16_lossy(&units);
    text.truncate(start);
    text.push_str(&decoded);
}
