//! "Deviation % | -0.75": how far values of one phase lie from some other value; the unbalance of three is never below zero.

use super::{Cells, Column, Role};
use crate::view::{Item, View};
use windrow_model::Quantity;
use windrow_source::Content;
use windrow_text::marks::Statistic;

/// A column of unbalances of which one is below zero holds deviations that the source computed.
pub(super) fn settle(view: &View<'_>, columns: &mut [Column], cells: &Cells) {
    let is_below_zero = |item: &Item| {
        let cell = view.cell(item);
        let behind = cell.text.trim().strip_prefix(['-', '−', '–']);
        let is_signed = behind.is_some_and(|rest| rest.trim_start().starts_with(|c: char| c.is_ascii_digit()));
        matches!(cell.content, Content::Number(value) if value < 0.0) || cell.content == Content::Text && is_signed
    };
    for column in columns.iter_mut().filter(|column| column.role == Role::Reading(Some(Quantity::Unbalance))) {
        if cells.get(&column.column).is_some_and(|own| own.iter().any(is_below_zero)) {
            column.role = Role::Statistic(Statistic::Computed);
        }
    }
}
