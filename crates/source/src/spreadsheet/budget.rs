//! What a workbook may cost in all. One string can stand in a million cells, and one repeated cell can ask for a million: so
//! what is made counts, not what was read.

use crate::{Cell, Limits, ReadError, Refusal};
use windrow_model::place::a1;

use crate::spreadsheet::style::Place;
use crate::spreadsheet::{REPAIR, SPLIT};

/// Bytes that a text costs besides its letters.
const TEXT_COST: usize = 16;

/// What is left.
#[derive(Debug)]
pub struct Budget {
    cells: usize,
    bytes: u64,
    limits: (usize, u64),
}

impl Budget {
    /// All of the limits; a quarter of the memory is for what is not cells.
    #[must_use]
    pub fn new(limits: &Limits) -> Self {
        let bytes = limits.memory_bytes / 4 * 3;
        Self { cells: limits.cells, bytes, limits: (limits.cells, bytes) }
    }

    /// Takes a cell out of it.
    pub fn take(&mut self, cell: &Cell) -> Result<(), ReadError> {
        self.take_many(cell, 1)
    }

    /// Takes `count` cells like this one out of it, before they are made.
    pub fn take_many(&mut self, cell: &Cell, count: usize) -> Result<(), ReadError> {
        let optional = |text: Option<&str>| text.map_or(0, |text| text.len() + TEXT_COST);
        let further = [cell.format.as_deref(), cell.struck.as_deref(), cell.note.as_deref()];
        let texts = cell.text.len() + TEXT_COST + further.into_iter().map(optional).sum::<usize>();
        let bytes = (size_of::<Cell>() + texts) as u64;
        self.take_items(count)?;
        match self.bytes.checked_sub(bytes.saturating_mul(count as u64)) {
            Some(left) => self.bytes = left,
            None => return Err(spent("bytes in its cells", self.limits.1)),
        }
        Ok(())
    }

    /// Takes `count` small things, such as merged areas, out of it.
    pub fn take_items(&mut self, count: usize) -> Result<(), ReadError> {
        match self.cells.checked_sub(count) {
            Some(left) => self.cells = left,
            None => return Err(spent("cells", self.limits.0 as u64)),
        }
        Ok(())
    }
}

fn spent(what: &str, limit: u64) -> ReadError {
    ReadError::new(Refusal::TooLarge, format!("it has more than {limit} {what}"), SPLIT)
}

/// The error of a count over its limit.
#[must_use]
pub fn too_many(what: &str, count: usize, limit: usize) -> ReadError {
    ReadError::new(Refusal::TooLarge, format!("it has {count} {what}, the limit is {limit}"), SPLIT)
}

/// Refuses columns beyond the limit: no program writes them.
pub fn check_column(sheet: &str, (row, column): Place, limits: &Limits) -> Result<(), ReadError> {
    if column < limits.columns {
        return Ok(());
    }
    let found = format!("sheet \"{sheet}\" has a cell {}, beyond its last possible column", a1(row, column));
    Err(ReadError::new(Refusal::TooLarge, found, REPAIR))
}
