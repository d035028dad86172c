//! Volts in a group of columns: "kV | µA | GΩ" under the terminals between which they were measured.

use super::{Column, Role};
use crate::view::View;
use windrow_model::{Dimension, Quantity};
use windrow_text::vocabulary::Concept;

/// A column headed by a unit of voltage is what was applied for the currents and resistances of its own group.
pub(super) fn settle(view: &View<'_>, columns: &mut [Column]) {
    let group =
        |column: &Column| column.heading.items.first().filter(|_| column.heading.items.len() > 1).map(|item| item.cell);
    let dimension = |column: &Column| {
        let is_unit = column.heading.items.last().is_some_and(|item| view.sense(item).is_unit_only());
        let units = column.heading.units.as_ref().filter(|_| is_unit)?;
        units.value.0.first().map(|meaning| meaning.unit.dimension)
    };
    let has_fellow = |own: &Column| {
        columns.iter().filter(|other| group(other).is_some() && group(other) == group(own)).any(|other| {
            other.role == Role::Reading(Some(Quantity::LeakageCurrent))
                || matches!(other.role, Role::Reading(_)) && dimension(other) == Some(Dimension::Resistance)
        })
    };
    let is_applied = |column: &Column| {
        column.role == Role::Reading(None)
            && dimension(column) == Some(Dimension::Voltage)
            && column.heading.concepts.is_empty()
            && has_fellow(column)
    };
    let applied: Vec<bool> = columns.iter().map(is_applied).collect();
    for (column, _) in columns.iter_mut().zip(applied).filter(|(_, is_applied)| *is_applied) {
        column.role = Role::Field(Concept::TestVoltage);
    }
}
