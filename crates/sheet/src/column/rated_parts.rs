//! "Test voltage | kV" over "0,4 Un | 2,4": parts of the rated voltage beside the volts themselves.

use super::{Cells, Column, Role};
use crate::view::View;
use windrow_text::rated_part::is_rated_part;
use windrow_text::vocabulary::Concept;

/// A column of parts of the rated voltage tells nothing that another column of voltages does not.
pub(super) fn settle(view: &View<'_>, columns: &mut [Column], cells: &Cells) {
    let is_voltage = |column: &Column| column.role == Role::Field(Concept::TestVoltage);
    let are_parts = |column: &Column| {
        let own = cells.get(&column.column).map(Vec::as_slice).unwrap_or_default();
        !own.is_empty() && own.iter().all(|item| is_rated_part(&view.cell(item).text))
    };
    if !columns.iter().any(|column| is_voltage(column) && !are_parts(column)) {
        return;
    }
    for column in columns.iter_mut().filter(|column| is_voltage(column) && are_parts(column)) {
        column.role = Role::Field(Concept::OtherFigure);
    }
}
