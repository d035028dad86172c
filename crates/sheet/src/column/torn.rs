//! Headings of a print-out that were torn: two of them in one cell, so that nobody knows which column is whose.

use super::{Column, Role};
use crate::view::{Item, View};
use windrow_model::Question;

/// Blanks in a row that no heading has within it.
const FAR_APART: &str = "   ";

/// Asks of all readings under such a line of headings: where one is put wrong, those beside it are as well. The texts over that line may be
/// a title's.
pub(super) fn settle(view: &View<'_>, columns: &mut [Column]) {
    let is_reading = |column: &&mut Column| matches!(column.role, Role::Reading(_));
    let leaf =
        |column: &Column| column.heading.items.iter().rev().find(|item| !view.sense(item).is_unit_only()).copied();
    let torn = columns.iter().filter_map(leaf).filter(|item| is_torn(view, item)).map(|item| item.row).min();
    let Some(row) = torn.filter(|_| columns.iter_mut().filter(is_reading).count() >= 2) else { return };
    for column in columns.iter_mut().filter(is_reading).filter(|column| leaf(column).is_none_or(|item| item.row == row))
    {
        column.role = Role::Asked(Question::Layout);
    }
}

/// Whether a cell that was cut out of a line by its place holds texts far apart. What stands behind a colon is its label's.
fn is_torn(view: &View<'_>, item: &Item) -> bool {
    let cell = view.cell(item);
    let is_cut = cell.address.as_ref().is_some_and(|address| address.bytes().all(|b| b.is_ascii_digit() || b == b':'));
    is_cut && !cell.text.contains(':') && cell.text.trim().contains(FAR_APART)
}
