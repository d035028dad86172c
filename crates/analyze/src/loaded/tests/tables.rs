//! Tests from their table.

use super::rows::ToldTest;
use crate::AnalyzeError;
use crate::frames::date_of;
use crate::loaded::slices::{Slice, each, known};
use crate::loaded::{Loaded, MachineRow};
use polars::prelude::*;
use std::collections::HashMap;
use windrow_fleet::UNTOLD;
use windrow_model::Text;

pub(in crate::loaded) fn load(loaded: &mut Loaded, tests: &LazyFrame) -> Result<(), AnalyzeError> {
    let mut machines: HashMap<Text, u32> =
        loaded.machines.iter().map(|machine| machine.asset_id.clone()).zip(0..).collect();
    let columns = [
        "test_id",
        "asset_id",
        "performed_on",
        "performed_precision",
        "kind",
        "stage",
        "winding_temperature_c",
        "winding_temperature_basis",
        "ambient_temperature_c",
        "relative_humidity_pct",
        "dew_point_c",
        "test_voltage_v",
        "test_voltage_basis",
        "instrument",
        "tester",
        "reported_outcome",
        "duplicate_of",
        "source_file",
        "source_sheet",
        "source_cell",
    ]
    .map(col);
    each(tests, &columns, |slices| slices.iter().try_for_each(|slice| add(loaded, &mut machines, slice)))
}

/// Adds the tests of a slice, and machines that only they tell of.
fn add(loaded: &mut Loaded, machines: &mut HashMap<Text, u32>, slice: &Slice) -> Result<(), AnalyzeError> {
    let text = |name: &str| slice.texts(name);
    let number = |name: &str| slice.numbers(name);
    let (ids, assets, days) = (text("test_id")?, text("asset_id")?, slice.days("performed_on")?);
    let (precisions, kinds, stages) = (text("performed_precision")?, text("kind")?, text("stage")?);
    let (windings, bases) = (number("winding_temperature_c")?, text("winding_temperature_basis")?);
    let (ambients, humidities) = (number("ambient_temperature_c")?, number("relative_humidity_pct")?);
    let (dews, volts) = (number("dew_point_c")?, number("test_voltage_v")?);
    let (volt_bases, instruments) = (text("test_voltage_basis")?, text("instrument")?);
    let (testers, outcomes) = (text("tester")?, text("reported_outcome")?);
    let (repeats, files) = (text("duplicate_of")?, text("source_file")?);
    let (sheets, cells) = (text("source_sheet")?, text("source_cell")?);
    for row in 0..slice.len() {
        let machine = match assets.get(row) {
            None => UNTOLD,
            Some(id) => machines.get(id).copied().unwrap_or_else(|| {
                let place = u32::try_from(loaded.machines.len()).unwrap_or(UNTOLD);
                loaded.machines.push(MachineRow { asset_id: Text::new(id), ..MachineRow::default() });
                machines.insert(Text::new(id), place);
                place
            }),
        };
        loaded.push_test(
            machine,
            ToldTest {
                test_id: ids.told(row),
                performed_on: days.get(row).and_then(date_of),
                performed_precision: precisions.told(row),
                kind: kinds.told(row),
                stage: stages.get(row),
                winding_temperature_c: known(windings.get(row)),
                winding_temperature_basis: bases.told(row),
                ambient_temperature_c: known(ambients.get(row)),
                relative_humidity_pct: known(humidities.get(row)),
                dew_point_c: known(dews.get(row)),
                test_voltage_v: known(volts.get(row)),
                test_voltage_basis: volt_bases.told(row),
                instrument: instruments.get(row),
                tester: testers.get(row),
                reported_outcome: outcomes.get(row),
                duplicate_of: repeats.get(row),
                sheet: (files.told(row), sheets.get(row)),
                cell: cells.told(row),
            },
        );
    }
    Ok(())
}
