//! "Lift | Tested | Hoist motor | M-G set": columns headed by the drives of the machine that each line names, with what was read of each.

use super::{Column, Role};
use crate::heading::By;
use crate::view::View;
use std::collections::BTreeSet;
use windrow_model::Dimension;
use windrow_text::fold::fold;
use windrow_text::said::names_machine;
use windrow_text::vocabulary::Concept;

/// Share of numbers in such a column.
const NUMBERS: f32 = 0.7;

/// In a table whose lines name machines and which holds no readings, two columns or more of numbers, all headed by words for machines: each is of
/// that drive of the line's machine. What was measured, and in what, a title must tell.
pub(super) fn settle(view: &View<'_>, columns: &mut [Column]) {
    let is_named = columns.iter().any(|column| column.role == Role::Field(Concept::Tag));
    let has_serials = columns.iter().any(|column| column.role == Role::Field(Concept::Serial));
    let has_readings = columns
        .iter()
        .any(|column| matches!(column.role, Role::Reading(_) | Role::LineLabel | Role::NamePart | Role::Asked(_)));
    if !is_named || has_serials || has_readings {
        return;
    }
    let heads: Vec<Option<String>> = columns.iter().map(|column| drive(view, column)).collect();
    let different: BTreeSet<&str> = heads.iter().flatten().map(String::as_str).collect();
    if different.len() < 2 || different.len() != heads.iter().flatten().count() {
        return;
    }
    for (column, head) in columns.iter_mut().zip(heads) {
        let (Some(value), Some(item)) = (head, column.heading.items.last().copied()) else { continue };
        column.heading.drive = Some(By { value, item });
        column.heading.concepts.clear();
        column.heading.unexplained.clear();
        column.role = Role::Reading(None);
    }
}

/// The name of a drive that heads a column of numbers and says nothing else.
fn drive(view: &View<'_>, column: &Column) -> Option<String> {
    let [item] = column.heading.items.as_slice() else { return None };
    let heading = &column.heading;
    let in_resistance =
        heading.units.iter().flat_map(|by| &by.value.0).all(|meaning| meaning.unit.dimension == Dimension::Resistance);
    let is_bare = in_resistance
        && heading.circuits.is_empty()
        && heading.elapsed_s.is_none()
        && heading.voltage_v.is_none()
        && heading.statistic.is_none()
        && heading.tag.is_none()
        && heading.concepts.iter().all(|(concept, ..)| matches!(concept, Concept::Tag | Concept::Description));
    let text = view.cell(item).text.split(['(', '[']).next()?.trim();
    let folded = fold(text);
    let is_machine = names_machine(&folded) || folded.split(' ').any(names_machine);
    (column.role == Role::Unknown && column.fit >= NUMBERS && is_bare && is_machine && folded.split(' ').count() <= 4)
        .then(|| text.to_owned())
}
