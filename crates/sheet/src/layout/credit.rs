//! Who told what: readings whose quantity, unit, circuit, time or voltage came from a layout say so.

use super::Laid;
use std::collections::BTreeMap;
use windrow_model::layout::{Column, Layout};
use windrow_model::raw::{RawTest, Told, Via};
use windrow_model::{Flag, Place, Quantity, Text};
use windrow_source::Grid;

/// Credits a layout in the readings of a sheet.
pub fn credit(grid: &Grid, layout: &Layout, laid: &[&Laid<'_>], tests: &mut [RawTest]) {
    let mut told: BTreeMap<Text, &Column> = BTreeMap::new();
    for (cell, column) in laid.iter().flat_map(|laid| &laid.told) {
        told.extend(grid.cells.get(*cell as usize).map(|cell| (cell.place(), *column)));
    }
    for test in tests {
        let temperatures = [&test.winding_temperature_c, &test.ambient_temperature_c, &test.dew_point_c];
        let mut cells = temperatures.into_iter().flatten().filter_map(|told| told.place.as_ref());
        let is_laid = |place: &Place| {
            place.sheet.as_deref() == grid.name.as_deref()
                && told.get(&place.cell).is_some_and(|column| column.unit.is_some())
        };
        if cells.any(is_laid) && !test.flags.contains(&Flag::LayoutFile) {
            test.flags.push(Flag::LayoutFile);
        }
        for reading in test.readings.iter_mut().chain(&mut test.derived) {
            if reading.place.sheet.as_deref() != grid.name.as_deref() {
                continue;
            }
            let Some(column) = told.get(&reading.place.cell) else { continue };
            let name = format!("column {:?} of the layout {:?}", column.under.join(" / "), layout.name);
            let quantity = Quantity::from_code(&column.is);
            let mut is_flagged = one(&mut reading.quantity, |value| Some(*value) == quantity, &name);
            is_flagged |= one(&mut reading.unit, |value| Some(value.ucum) == column.unit.as_deref(), &name);
            if is_flagged && !reading.flags.contains(&Flag::LayoutFile) {
                reading.flags.push(Flag::LayoutFile);
            }
            if let Some(circuit) = &mut reading.circuit {
                one(circuit, |value| Some(value.code()) == column.circuit.as_deref(), &name);
            }
            for (number, of_layout) in
                [(&mut reading.elapsed_s, column.elapsed_s), (&mut reading.applied_voltage_v, column.voltage_v)]
            {
                if let Some(number) = number {
                    one(number, |value| of_layout.is_some_and(|told| (told - value).abs() < 1e-9), &name);
                }
            }
        }
    }
}

/// Credits the layout with an attribute that the column told and that is the layout's; whether it is.
fn one<T>(told: &mut Told<T>, is_of_layout: impl Fn(&T) -> bool, name: &str) -> bool {
    if told.via != Via::Column || !is_of_layout(&told.value) {
        return false;
    }
    told.via = Via::Layout;
    told.text = format!("{name}, over {:?}", told.text).into();
    true
}
