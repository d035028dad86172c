//! A layout drafted from what the engine understood of a sheet. It tells what headings told, and nothing that came from elsewhere:
//! another sheet of the same headings may have another title.

use super::meaning::word;
use crate::column::{Column, Role};
use crate::context::{Body, ReadTable};
use crate::reader::Reader;
use crate::view::Orientation;
use std::collections::BTreeMap;
use windrow_model::layout::{self, Field, Layout, Stands};
use windrow_model::raw::{RawReading, Told, Via};

/// Drafts from the chosen blocks of one reader, into a layout.
pub fn draft(reader: &Reader<'_, '_, '_>, chosen: &[bool], into: &mut Layout) {
    let view = reader.view;
    let mut readings: BTreeMap<u32, Vec<&RawReading>> = BTreeMap::new();
    for pending in reader.groups.iter().flat_map(|group| &group.pending) {
        readings.entry(pending.cell).or_default().push(&pending.reading);
    }
    for (block, _) in reader.scene.blocks.iter().zip(chosen).filter(|(_, chosen)| **chosen) {
        if let Body::Table(number) = block.body
            && let Some(read) = reader.scene.tables.get(number)
        {
            let table = layout::Table {
                turned: view.orientation == Orientation::Turned,
                columns: read.columns.iter().filter_map(|column| of_column(reader, read, column, &readings)).collect(),
            };
            if table.columns.len() >= 2 && !into.tables.contains(&table) {
                into.tables.push(table);
            }
        }
    }
    if view.orientation == Orientation::Upright {
        fields(reader, into);
    }
}

/// A column whose texts are headings; those that are machines, dates or numbers change from sheet to sheet.
fn of_column(
    reader: &Reader<'_, '_, '_>,
    read: &ReadTable,
    column: &Column,
    readings: &BTreeMap<u32, Vec<&RawReading>>,
) -> Option<layout::Column> {
    let heading = &column.heading;
    let is_value = column.group().is_some() || heading.number.is_some() || heading.duration.is_some();
    if heading.items.is_empty() || is_value || column.role == Role::Unknown {
        return None;
    }
    let under: Vec<String> = heading.items.iter().map(|item| reader.view.cell(item).text.trim().to_owned()).collect();
    if under.iter().any(|text| super::key(text).is_empty()) {
        return None;
    }
    let cells = read.table.body.iter().flat_map(|line| &line.items).filter(|item| item.column == column.column);
    let own: Vec<&RawReading> = cells.filter_map(|item| readings.get(&item.cell)).flatten().copied().collect();
    let is_reading = matches!(column.role, Role::Reading(_));
    let unit = common(own.iter().map(|reading| Some(&reading.unit))).filter(|_| is_reading);
    let circuit = common(own.iter().map(|reading| reading.circuit.as_ref())).filter(|_| is_reading);
    Some(layout::Column {
        under,
        is: word(column.role),
        unit: unit.filter(|_| heading.units.is_some()).map(|unit| unit.ucum.to_owned()),
        circuit: circuit.map(|circuit| circuit.code().to_owned()),
        elapsed_s: common(own.iter().map(|reading| reading.elapsed_s.as_ref())),
        voltage_v: common(own.iter().map(|reading| reading.applied_voltage_v.as_ref())),
    })
}

/// What the column told of all its readings, if it told one thing of all.
fn common<'t, T: Copy + PartialEq + 't>(mut told: impl Iterator<Item = Option<&'t Told<T>>>) -> Option<T> {
    let by_column = |told: Option<&Told<T>>| told.filter(|told| told.via == Via::Column).map(|told| told.value);
    let first = told.next().and_then(by_column)?;
    told.all(|other| by_column(other) == Some(first)).then_some(first)
}

/// Labels that tell circumstances, each once and of one meaning.
fn fields(reader: &Reader<'_, '_, '_>, into: &mut Layout) {
    let view = reader.view;
    for pair in &reader.scene.loose.pairs {
        let Some(concept) = pair.heading.concept().filter(|_| !pair.is_reading(view)) else { continue };
        if pair.inline.is_some() || pair.heading.statistic.is_some() || pair.value.row != pair.label.row {
            continue;
        }
        let label = view.cell(&pair.label).text.trim().to_owned();
        let is_known = into.fields.iter().any(|field| super::key(&field.label) == super::key(&label));
        if !is_known && !super::key(&label).is_empty() {
            into.fields.push(Field { label, is: concept.code().to_owned(), stands: Stands::Right });
        }
    }
}
