//! What a workbook may cost in all: cells, and bytes of their texts, which may be told many times over by one string.

use windrow_source::{Cell, Limits, ReadError, Refusal};

use crate::package::SPLIT;

/// What is left.
#[derive(Debug)]
pub(crate) struct Budget {
    cells: usize,
    bytes: u64,
    limits: (usize, u64),
}

impl Budget {
    /// All of the limits.
    pub(crate) fn new(limits: &Limits) -> Self {
        Self { cells: limits.cells, bytes: limits.inflated_bytes, limits: (limits.cells, limits.inflated_bytes) }
    }

    /// Takes a cell out of it.
    pub(crate) fn take(&mut self, cell: &Cell) -> Result<(), ReadError> {
        let optional = |text: &Option<String>| text.as_ref().map_or(0, String::len);
        let bytes = cell.text.len() + optional(&cell.format) + optional(&cell.struck) + optional(&cell.note);
        self.take_items(1)?;
        match self.bytes.checked_sub(bytes as u64) {
            Some(left) => self.bytes = left,
            None => return Err(Self::spent("bytes of text in its cells", self.limits.1)),
        }
        Ok(())
    }

    /// Takes `count` cells, or things that take as much room, out of it.
    pub(crate) fn take_items(&mut self, count: usize) -> Result<(), ReadError> {
        match self.cells.checked_sub(count) {
            Some(left) => self.cells = left,
            None => return Err(Self::spent("cells", self.limits.0 as u64)),
        }
        Ok(())
    }

    fn spent(what: &str, limit: u64) -> ReadError {
        ReadError::new(Refusal::TooLarge, format!("the workbook has more than {limit} {what}"), SPLIT)
    }
}
