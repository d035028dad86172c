//! "120 | kΩ": whatever a table is read as, a unit that stands right behind a number is the number's.

use super::Reader;
use crate::view::Item;
use windrow_model::{Quantity, Unit};
use windrow_source::{Cell, Content};

/// From this weight on a text is surely a unit.
const SURE: f32 = 0.8;

impl Reader<'_, '_, '_> {
    /// The unit of `quantity` in the cell right of a number, as the sheet is written, or one blank place further where nothing else
    /// follows; none where a unit stands before the number as well, for then each may stand before its own.
    pub(super) fn unit_behind(&self, item: &Item, quantity: Quantity) -> Option<Unit> {
        let cells = &self.view.grid.cells;
        let at = item.cell as usize;
        let own = cells.get(at)?;
        let beside = |index: Option<usize>, column: Option<u32>| {
            let cell = cells.get(index?)?;
            (cell.row == own.row && Some(cell.column) == column).then_some(cell)
        };
        let before = beside(at.checked_sub(1), own.column.checked_sub(1)).and_then(|cell| unit_in(cell, quantity));
        let is_last = cells.get(at + 2).is_none_or(|cell| cell.row != own.row);
        let further = own.column.checked_add(2).filter(|_| is_last);
        let next = beside(at.checked_add(1), own.column.checked_add(1));
        let behind = next.or_else(|| beside(at.checked_add(1), further)).and_then(|cell| unit_in(cell, quantity));
        behind.filter(|_| before.is_none())
    }
}

/// The unit that is all of a cell, where it is one of `quantity`.
fn unit_in(cell: &Cell, quantity: Quantity) -> Option<Unit> {
    let text = cell.text.trim();
    if cell.content != Content::Text || text.len() > 12 {
        return None;
    }
    let units = windrow_text::unit::read(text, Some(quantity.dimension()));
    let is_sure = units.first().is_some_and(|best| best.weight >= SURE && !best.colloquial);
    // Whoever writes "mΩ" behind a number means it, though nobody measures insulation in milliohms.
    units.first().filter(|_| is_sure).map(|best| best.unit)
}
