//! Lines of label–value pairs that a view turned over puts among the columns: "Machine | CV1 | | Date | 3/5/94" over a line of steps.

use crate::line::{is_key_label, is_value};
use crate::view::{Item, Orientation, View};
use windrow_model::Dimension;

/// Whether a header of a view turned over takes the label of such a line for that of a column, beside steps of a voltage: its values are of
/// all steps, and the table is none in this view.
pub(super) fn begins_with_pairs(view: &View<'_>, items: &[Item]) -> bool {
    let tells_steps = |item: &Item| {
        let sense = view.sense(item);
        let mut units = sense.label.units.iter();
        sense.is_unit_only() && units.any(|meaning| meaning.unit.dimension == Dimension::Voltage)
    };
    items.iter().any(tells_steps) && items.iter().any(|item| is_key_label(view, item) && holds_pairs(view, item.column))
}

/// Whether a column of a view turned over, a line of the sheet, holds two key labels or more, each right before a value, and nothing that
/// stands apart of them but a word.
fn holds_pairs(view: &View<'_>, column: u32) -> bool {
    if view.orientation == Orientation::Upright {
        return false;
    }
    let own: Vec<&Item> = view.items().iter().filter(|item| item.column == column).collect();
    let labels: Vec<usize> = (0..own.len()).filter(|at| is_key_label(view, own[*at])).collect();
    let has_value = |at: &usize| {
        let next = own.get(at + 1);
        next.is_some_and(|next| next.row == own[*at].row + 1 && is_value(view, next) && !is_key_label(view, next))
    };
    labels.len() >= 2 && labels.iter().all(has_value) && own.len() <= 3 * labels.len()
}
