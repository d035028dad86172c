//! Strings of shared-string tables and of cells: plain, or in runs with fonts of their own.

use std::io::BufRead;

use windrow_source::ReadError;

use crate::xml::{Item, Xml};

use super::workbook::truth;

/// How a run of text is struck through.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Strike {
    /// As the font of the cell says.
    Inherited,
    /// Not.
    Off,
    /// Struck through.
    On,
}

/// A run: up to this byte of the text.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Run {
    /// End of the run.
    pub(crate) end: usize,
    /// Whether it is struck through.
    pub(crate) strike: Strike,
}

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

/// The text that counts and the text that is struck through; `None` for a blank string. Text that is struck as a whole counts as
/// well: there is nothing else in the cell.
pub(crate) fn settle(text: &str, runs: &[Run], cell_struck: bool) -> Option<(String, Option<String>)> {
    if text.trim().is_empty() {
        return None;
    }
    let is_struck = |run: &Run| run.strike == Strike::On || (run.strike == Strike::Inherited && cell_struck);
    if runs.is_empty() || runs.iter().all(is_struck) {
        let all = cell_struck || !runs.is_empty();
        return Some((text.to_owned(), all.then(|| text.to_owned())));
    }
    let (mut kept, mut struck, mut start) = (String::new(), String::new(), 0);
    for run in runs {
        let piece = text.get(start..run.end).unwrap_or_default();
        if is_struck(run) { &mut struck } else { &mut kept }.push_str(piece);
        start = run.end;
    }
    kept.push_str(text.get(start..).unwrap_or_default());
    if struck.trim().is_empty() {
        return Some((text.to_owned(), None));
    }
    if kept.trim().is_empty() {
        return Some((text.to_owned(), Some(struck)));
    }
    Some((kept.trim().to_owned(), Some(struck.trim().to_owned())))
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
