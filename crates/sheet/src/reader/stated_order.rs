//! Headings and notes that say whether dates have the day or the month first ("NORTH HALL, day/month/year").

use super::Reader;
use crate::pool::Count;
use crate::view::{Item, View};
use windrow_model::settings::DateOrder;
use windrow_text::date::stated_order;

/// A text that says it, and where it stands on the sheet.
#[derive(Debug, Clone, Copy)]
pub(super) struct Stated {
    row: u32,
    column: u32,
    order: DateOrder,
}

/// All such texts of a sheet.
pub(super) fn all(view: &View<'_>) -> Vec<Stated> {
    let stated = view.items().iter().filter_map(|item| {
        let cell = view.cell(item);
        Some(Stated { row: cell.row, column: cell.column, order: stated_order(&cell.text)? })
    });
    stated.collect()
}

impl Reader<'_, '_, '_> {
    /// What is said of the order of a date: by the nearest text above it and not right of it, or by all texts where they agree. Where they
    /// do not, or the dates of its column show the other order, nothing settles it.
    pub(super) fn stated_order(&self, item: &Item, column: Count) -> Option<Count> {
        let cell = self.view.cell(item);
        let all = &self.stated_orders;
        let before = all.iter().filter(|stated| stated.row <= cell.row && stated.column <= cell.column);
        let nearest = before.max_by_key(|stated| (stated.row, stated.column));
        let agreed = all.first().filter(|first| all.iter().all(|other| other.order == first.order));
        let count = match nearest.or(agreed).map(|stated| stated.order) {
            Some(DateOrder::DayFirst) => Count { first: 1, second: 0 },
            Some(DateOrder::MonthFirst) => Count { first: 0, second: 1 },
            None if all.is_empty() => return None,
            None => Count { first: 1, second: 1 },
        };
        let denies =
            count.first > 0 && column.second > column.first || count.second > 0 && column.first > column.second;
        Some(if denies { Count { first: 1, second: 1 } } else { count })
    }
}
