//! Tables that the container itself declares: fields of a database file, elements and attributes of records.

use super::header::Cutter;
use super::{BodyLine, Table};
use crate::line::is_statistic;
use windrow_source::Grid;

/// The row of the lowest names that the container gives, where they name several fields: all below are records under them.
#[must_use]
pub(crate) fn lowest_names(grid: &Grid) -> Option<u32> {
    let named = grid.cells.iter().filter(|cell| cell.synthetic);
    let lowest = named.clone().map(|cell| cell.row).max()?;
    (named.filter(|cell| cell.row == lowest).count() >= 2).then_some(lowest)
}

impl Cutter<'_, '_> {
    /// Takes the declared table of an upright view, if the container declares one. What its names head is certain, whether they say
    /// anything known or not.
    pub(super) fn take_records(&mut self) {
        let Some(lowest) = lowest_names(self.view.grid) else { return };
        let (mut header, mut body) = (Vec::new(), Vec::new());
        for at in 0..self.view.line_count() {
            let (row, items) = (self.view.row(at), self.view.line(at).to_vec());
            if row > lowest {
                body.push(BodyLine { row, is_statistic: is_statistic(self.view, &items), is_across: false, items });
            } else if items.iter().all(|item| self.view.cell(item).synthetic) {
                header.push(items);
            } else {
                header.clear();
            }
        }
        let columns = header.iter().flatten().map(|item| (item.column, item.right));
        let Some(columns) = columns.reduce(|a, b| (a.0.min(b.0), a.1.max(b.1))) else { return };
        if body.is_empty() {
            return;
        }
        for line in header.iter().chain(body.iter().map(|line| &line.items)) {
            self.claim(line);
        }
        self.tables.push(Table { header, columns, body, repeats: Vec::new(), continues: false });
    }
}
