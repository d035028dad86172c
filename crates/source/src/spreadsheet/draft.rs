//! A sheet being read.

use crate::{Area, Cell, Grid, ReadError};

use crate::spreadsheet::budget::Budget;
use crate::spreadsheet::hidden::Spans;
use crate::spreadsheet::merges;
use crate::spreadsheet::remarks::Remarks;

/// What was read of a sheet so far.
#[derive(Debug, Default)]
pub struct Draft {
    grid: Grid,
    /// Rows that are hidden.
    pub hidden_rows: Spans,
    /// Columns that are hidden.
    pub hidden_columns: Spans,
}

impl Draft {
    /// Nothing of a sheet.
    #[must_use]
    pub fn new(name: &str) -> Self {
        Self { grid: Grid { name: Some(name.to_owned()), ..Grid::default() }, ..Self::default() }
    }

    /// Puts a cell in; its cost was taken out of the budget.
    pub fn put(&mut self, cell: Cell) {
        self.grid.cells.push(cell);
    }

    /// Puts a merged area in, if it is more than one cell.
    pub fn merge(&mut self, area: Area, budget: &mut Budget) -> Result<(), ReadError> {
        if (area.top, area.left) != (area.bottom, area.right) {
            budget.take_items(1)?;
            self.grid.merges.push(area);
        }
        Ok(())
    }

    /// The sheet. What is hidden beyond its last cell does not matter.
    pub fn finish(self, budget: &mut Budget, remarks: &mut Remarks) -> Result<Grid, ReadError> {
        let mut grid = self.grid;
        grid.finish();
        merges::uncover(&mut grid, remarks);
        let hides = !self.hidden_rows.is_empty() || !self.hidden_columns.is_empty();
        if let Some(extent) = hides.then(|| grid.extent()).flatten() {
            grid.hidden_rows = self.hidden_rows.up_to(extent.bottom);
            grid.hidden_columns = self.hidden_columns.up_to(extent.right);
        }
        budget.take_items(grid.hidden_rows.len())?;
        Ok(grid)
    }
}
