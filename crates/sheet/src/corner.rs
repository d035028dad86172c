//! What the heading over a column of labels says of the numbers beside them: "[MΩ]" over "A-GND" is their unit, "1 min" their time.

use crate::column::{Column, Role};
use crate::fit::quantity;
use crate::line;
use crate::view::{Item, View};
use std::collections::BTreeMap;
use windrow_model::Dimension;
use windrow_source::Content;

/// A column headed by the unit or name of what is measured, whose cells are labels, labels its lines; what its heading says holds
/// for the readings at its right that tell nothing of their own.
pub(crate) fn settle(view: &View<'_>, columns: &mut [Column], cells: &BTreeMap<u32, Vec<Item>>) {
    unit_without_values(view, columns, cells);
    for index in 0..columns.len() {
        let Some(own) = cells.get(&columns[index].column).filter(|own| !own.is_empty()) else { continue };
        let is_words = |item: &&Item| {
            view.cell(item).content == Content::Text && view.sense(item).words <= 3 && !line::is_value(view, item)
        };
        let are_labels = own.iter().filter(is_words).count() * 10 >= own.len() * 7
            && own.iter().any(|item| view.sense(item).is_pure_label());
        let heading = columns[index].heading.clone();
        let is_unit = |dimension: Dimension| {
            matches!(dimension, Dimension::Resistance | Dimension::Current | Dimension::Capacitance)
        };
        let units = heading.units.filter(|by| by.value.0.iter().any(|meaning| is_unit(meaning.unit.dimension)));
        let (true, Some(units)) = (are_labels, units) else { continue };
        if columns[index].role == Role::Unknown {
            (columns[index].role, columns[index].fit) = (Role::LineLabel, 0.8);
        }
        if !matches!(columns[index].role, Role::LineLabel | Role::Field(_)) {
            continue;
        }
        let named = heading.concepts.iter().any(|(concept, ..)| quantity(*concept).is_some());
        for column in columns.iter_mut().skip(index + 1).filter(|column| matches!(column.role, Role::Reading(None))) {
            if column.heading.units.is_none() {
                column.heading.units = Some(units.clone());
            }
            column.heading.elapsed_s = column.heading.elapsed_s.take().or_else(|| heading.elapsed_s.clone());
            column.heading.voltage_v = column.heading.voltage_v.take().or_else(|| heading.voltage_v.clone());
            if named && column.heading.concepts.is_empty() {
                column.heading.concepts.clone_from(&heading.concepts);
            }
        }
    }
}

/// "U-GND | V-GND | W-GND | (MEGOHMS)": a unit in the line of headings over nothing of its own is that of the others.
fn unit_without_values(view: &View<'_>, columns: &mut [Column], cells: &BTreeMap<u32, Vec<Item>>) {
    let is_empty = |column: &Column| cells.get(&column.column).is_none_or(Vec::is_empty);
    let is_unit = |column: &Column| {
        let mut items = column.heading.items.iter();
        items.next().is_some_and(|item| line::names_unit(view.sense(item))) && items.next().is_none()
    };
    let mut alone = columns.iter().filter(|column| is_empty(column) && is_unit(column));
    let (Some(unit), None) = (alone.next().and_then(|column| column.heading.units.clone()), alone.next()) else {
        return;
    };
    for column in columns.iter_mut().filter(|column| column.role == Role::Reading(None)) {
        column.heading.units = column.heading.units.take().or_else(|| Some(unit.clone()));
    }
}
