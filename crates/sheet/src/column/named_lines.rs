//! "What | Where | Megohms" over "Freezer compressor", "Mixer", "Table saw": machines named in words under a heading that says no more than
//! that something is named.

use super::{Cells, Column, Role};
use crate::corner::words::may_name;
use crate::sense::Kind;
use crate::view::View;
use std::collections::BTreeSet;
use windrow_text::fold::fold;
use windrow_text::said::names_machine;
use windrow_text::vocabulary::Concept;

/// Fewest lines.
const FEWEST: usize = 3;

/// In a table with readings that names no machine, a first column of words that differ from line to line names them, if it is headed by a
/// question for the thing, or by a word that nothing explains where half of the cells hold a word for machines; beside it a question for the
/// place heads places.
pub(super) fn settle(view: &View<'_>, columns: &mut [Column], cells: &Cells) {
    let has_readings = columns.iter().any(|column| matches!(column.role, Role::Reading(_)));
    if !has_readings || columns.iter().any(|column| column.names_lines() || matches!(column.role, Role::Asked(_))) {
        return;
    }
    let asks = |column: &Column, after: fn(&str) -> bool| matches!(column.heading.items.as_slice(), [item] if after(&view.cell(item).text));
    let Some((first, others)) = columns.split_first_mut() else { return };
    let own = cells.get(&first.column).map(Vec::as_slice).unwrap_or_default();
    let told: Vec<_> = own.iter().filter(|item| view.sense(item).kind != Kind::Void).collect();
    let texts: BTreeSet<String> = told.iter().map(|item| fold(&view.cell(item).text)).collect();
    let machines = texts.iter().filter(|text| text.split(' ').any(names_machine)).count();
    let is_open = first.role == Role::Unknown && first.heading.concepts.is_empty() && first.heading.items.len() == 1;
    let is_said = asks(first, windrow_text::marks::asks_what) || machines * 2 >= texts.len();
    let are_names = told.len() >= FEWEST && texts.len() == told.len() && told.iter().all(|item| may_name(view, item));
    if !(is_open && is_said && are_names) {
        return;
    }
    (first.role, first.fit) = (Role::Field(Concept::Tag), 0.8);
    for place in others.iter_mut().filter(|other| other.role == Role::Unknown) {
        if asks(place, windrow_text::marks::asks_where) {
            (place.role, place.fit) = (Role::Field(Concept::Area), 0.8);
        }
    }
}
