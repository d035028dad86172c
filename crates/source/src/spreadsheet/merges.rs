//! Merged areas and what lies under them.

use std::collections::BTreeMap;

use crate::{Area, Grid};

use crate::spreadsheet::remarks::{Remark, Remarks};

/// Takes out the values under merged areas: only the top left one is shown, others are leftovers that nobody sees. `grid` is sorted.
pub(super) fn uncover(grid: &mut Grid, remarks: &mut Remarks) {
    if grid.merges.is_empty() {
        return;
    }
    let sheet = grid.name.clone().unwrap_or_default();
    let mut coming = grid.merges.iter().copied().peekable();
    // Areas that reach the row of the cell, by their left column: they do not overlap in a sound workbook.
    let mut reaching: BTreeMap<u32, Area> = BTreeMap::new();
    grid.cells.retain(|cell| {
        while let Some(area) = coming.next_if(|area| area.top <= cell.row) {
            reaching.insert(area.left, area);
        }
        let Some((_, area)) = reaching.range(..=cell.column).next_back() else { return true };
        let is_covered = area.contains(cell.row, cell.column) && (area.top, area.left) != (cell.row, cell.column);
        if is_covered {
            remarks.cell(Remark::Covered, &sheet, (cell.row, cell.column));
        }
        !is_covered
    });
}

#[cfg(test)]
mod tests {
    use crate::Cell;

    use super::*;

    #[test]
    fn only_the_top_left_value_of_a_merged_area_is_kept() {
        let at = |row, column| Cell::text(row, column, "x");
        let mut grid = Grid {
            name: Some("Mill".to_owned()),
            cells: vec![at(0, 0), at(0, 1), at(1, 1), at(1, 2), at(2, 1), at(3, 1)],
            merges: vec![Area { top: 1, left: 1, bottom: 2, right: 2 }],
            ..Grid::default()
        };
        let mut remarks = Remarks::default();
        uncover(&mut grid, &mut remarks);
        let left: Vec<windrow_model::Text> = grid.cells.iter().map(Cell::place).collect();
        assert_eq!(left, ["A1", "B1", "B2", "B4"]);
        assert!(remarks.into_lines().iter().any(|line| line.ends_with(": Mill!C2, Mill!B3")));
    }
}
