//! What the heading over a column of labels says of the numbers beside them: "[MΩ]" over "A-GND" is their unit, "1 min" their time.

use crate::column::{Column, Role};
use crate::fit::quantity;
use crate::line;
use crate::sense::Kind;
use crate::view::{Item, View};
use std::collections::BTreeMap;
use windrow_model::Dimension;
use windrow_source::Content;
use windrow_text::vocabulary::Concept;

/// A column headed by the unit or name of what is measured, whose cells are labels, labels its lines; what its heading says holds
/// for the readings at its right that tell nothing of their own.
pub(crate) fn settle(view: &View<'_>, columns: &mut [Column], cells: &BTreeMap<u32, Vec<Item>>) {
    unit_without_values(view, columns, cells);
    machine_over_keys(columns);
    quantities_over_labels(view, columns, cells);
    for index in 0..columns.len() {
        let Some(own) = cells.get(&columns[index].column).filter(|own| !own.is_empty()) else { continue };
        let is_words = |item: &&Item| {
            let sense = view.sense(item);
            let is_label = sense.label.elapsed_s.is_some() || !line::is_value(view, item);
            let is_mark = matches!(sense.kind, Kind::Void | Kind::Over | Kind::Ditto);
            view.cell(item).content == Content::Text && sense.words <= 3 && is_label && !is_mark
        };
        let words = own.iter().filter(is_words).count();
        let are_labels = words == own.len()
            || words * 10 >= own.len() * 7 && own.iter().any(|item| view.sense(item).is_pure_label());
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

/// "Fan B1 | U | V | W" over years: the name over the first column of dates or labels is that of the machine whose readings stand
/// beside.
fn machine_over_keys(columns: &mut [Column]) {
    let Some(first) = columns.first() else { return };
    let is_key = matches!(first.role, Role::Field(Concept::Date));
    let Some(tag) = first.heading.tag.clone().filter(|_| is_key) else { return };
    for column in columns.iter_mut().skip(1).filter(|column| matches!(column.role, Role::Reading(_))) {
        column.heading.tag = column.heading.tag.take().or_else(|| Some(tag.clone()));
    }
}

/// "PD inception | kV | PD extinction | kV" over "U | 6.4 | U | 5.8": the quantity stands over the labels and its unit over the
/// numbers. Where the labels of a line differ, nothing is taken.
fn quantities_over_labels(view: &View<'_>, columns: &mut [Column], cells: &BTreeMap<u32, Vec<Item>>) {
    let mut known: Option<Vec<(u32, String)>> = None;
    for index in 1..columns.len() {
        let (labels, numbers) = (&columns[index - 1], &columns[index]);
        let named = labels.heading.concepts.iter().find_map(|told| Some((*told, quantity(told.0)?)));
        let Some(((concept, weight, at), quantity)) = named else { continue };
        let is_unit = |item: &Item| view.sense(item).is_unit_only();
        let is_measured = numbers.heading.items.len() == 1
            && numbers.heading.items.iter().all(is_unit)
            && numbers
                .heading
                .units
                .iter()
                .flat_map(|by| &by.value.0)
                .any(|meaning| meaning.unit.dimension == quantity.dimension());
        let own = cells.get(&labels.column).map(Vec::as_slice).unwrap_or_default();
        let are_labels = !own.is_empty()
            && own.iter().all(|item| view.cell(item).content == Content::Text && !line::is_value(view, item));
        let texts: Vec<(u32, String)> =
            own.iter().map(|item| (item.row, view.cell(item).text.trim().to_owned())).collect();
        let is_same = known.as_ref().is_none_or(|known| *known == texts);
        if !is_measured || !are_labels || !is_same || weight < 0.5 {
            continue;
        }
        known = Some(texts);
        (columns[index - 1].role, columns[index - 1].fit) = (Role::LineLabel, 0.9);
        (columns[index].role, columns[index].fit) = (Role::Reading(Some(quantity)), 0.9);
        columns[index].heading.concepts = vec![(concept, weight, at)];
    }
}
