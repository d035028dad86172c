//! Rows of cells with spans to positions in a grid, as HTML 5.2, section 4.9.12 (forming a table), lays them out.

use windrow_source::{Area, Cell, Limits, ReadError, Refusal};

use crate::content;
use crate::walk::Table;

/// A table laid out: cells and merged areas from row 0 and column 0 on.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Laid {
    pub(crate) cells: Vec<Cell>,
    pub(crate) merges: Vec<Area>,
    pub(crate) rows: u32,
}

/// Lays out `table`. Cells without text take their place and give none.
pub(crate) fn lay_out(table: &Table, limits: &Limits) -> Result<Laid, ReadError> {
    let rows = u32::try_from(table.rows.len()).unwrap_or(u32::MAX);
    let mut laid = Laid { rows, ..Laid::default() };
    // For each column the first row that no cell from above reaches into.
    let mut free: Vec<u32> = Vec::new();
    for (row, cells) in (0_u32..).zip(&table.rows) {
        let mut column = 0_usize;
        for marked in cells {
            while free.get(column).is_some_and(|first| *first > row) {
                column += 1;
            }
            let end = column + usize::try_from(marked.columns).unwrap_or(1);
            if end > usize::try_from(limits.columns).unwrap_or(usize::MAX) {
                let found = format!("row {} of a table has more than {} columns", row + 1, limits.columns);
                return Err(ReadError::new(Refusal::TooLarge, found, "check that it is a table of data"));
            }
            let bottom = if marked.rows == 0 { rows - 1 } else { (row + marked.rows - 1).min(rows - 1) };
            free.resize(free.len().max(end), 0);
            free.get_mut(column..end).unwrap_or_default().fill(bottom + 1);
            let area = Area { top: row, left: index(column), bottom, right: index(end - 1) };
            if let Some(cell) = content::cell(marked, area, limits)? {
                if area.bottom > area.top || area.right > area.left {
                    laid.merges.push(area);
                }
                laid.cells.push(cell);
            }
            column = end;
        }
    }
    Ok(laid)
}

fn index(column: usize) -> u32 {
    u32::try_from(column).unwrap_or(u32::MAX)
}
