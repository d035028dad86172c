//! The sheets of readings: one row a reading, with all that is told of its test and the way to its cell.

use super::Rows;
use super::page::{Cell, Formats, Page};
use crate::error::Result;
use rust_xlsxwriter::Workbook;
use std::collections::HashMap;
use windrow_model::consolidated::{READINGS, ReadingColumn as Column};
use windrow_model::{Asset, Reading, Test, Unit};

/// Rows of one sheet; a sheet takes 1,048,576 (the file format's limit, from memory).
const FULL: u32 = 1_000_000;

/// A reading with what belongs to it.
struct Line<'a> {
    reading: &'a Reading,
    test: Option<&'a Test>,
    asset: Option<&'a Asset>,
    unit: Option<Unit>,
    path: Option<&'a str>,
}

pub(super) fn write(workbook: &mut Workbook, formats: &Formats, rows: &Rows) -> Result<()> {
    let tests: HashMap<&str, &Test> = rows.tests.iter().map(|test| (test.test_id.as_str(), test)).collect();
    let assets: HashMap<&str, &Asset> = rows.assets.iter().map(|asset| (asset.asset_id.as_str(), asset)).collect();
    let paths: HashMap<&str, &str> =
        rows.sources.iter().map(|source| (source.source_file.as_str(), source.path.as_str())).collect();
    let lines = rows.readings.iter().map(|reading| {
        let test = tests.get(reading.test_id.as_str()).copied();
        Line {
            reading,
            test,
            asset: test.and_then(|test| test.asset_id.as_deref()).and_then(|id| assets.get(id)).copied(),
            unit: usual_unit(reading),
            path: paths.get(reading.source_file.as_str()).copied(),
        }
    });
    fill(workbook, formats, &mut lines.peekable(), 1)
}

/// Fills sheet number `number` and those after it.
fn fill<'a>(
    workbook: &mut Workbook,
    formats: &Formats,
    lines: &mut std::iter::Peekable<impl Iterator<Item = Line<'a>>>,
    mut number: u32,
) -> Result<()> {
    let headings: Vec<&str> = Column::ALL.iter().map(|column| column.code()).collect();
    loop {
        let name = if number == 1 { READINGS.to_owned() } else { format!("{READINGS} {number}") };
        let mut page = Page::new(workbook, formats, &name, &headings)?;
        while page.rows() < FULL
            && let Some(line) = lines.next()
        {
            page.push(Column::ALL.iter().map(|column| cell(*column, &line)).collect())?;
        }
        page.finish()?;
        if lines.peek().is_none() {
            return Ok(());
        }
        number += 1;
    }
}

/// The unit in which people read the quantity, where the number survives the way there and back; `None` for the stored one.
fn usual_unit(reading: &Reading) -> Option<Unit> {
    let unit = match (reading.unit.as_str(), reading.quantity.as_str()) {
        ("Ohm", "insulation_resistance") => Unit::MEGOHM,
        ("A", _) => Unit::MICROAMPERE,
        ("F", _) => Unit::NANOFARAD,
        ("C", _) => Unit::PICOCOULOMB,
        ("H", _) => Unit::MILLIHENRY,
        ("1", "unbalance" | "surge_difference" | "dissipation_factor") => Unit::PERCENT,
        _ => return None,
    };
    let back = unit.to_stored(unit.from_stored(reading.value));
    back.total_cmp(&reading.value).is_eq().then_some(unit)
}

fn cell(column: Column, line: &Line<'_>) -> Cell {
    let Line { reading, test, asset, unit, path } = *line;
    let shown = |value: f64| unit.map_or(value, |unit| unit.from_stored(value));
    match column {
        Column::Tag => Cell::maybe(asset.map(|asset| &asset.tag)),
        Column::Site => Cell::maybe(asset.and_then(|asset| asset.site.as_ref())),
        Column::Quantity => Cell::text(reading.quantity.as_str()),
        Column::Circuit => Cell::maybe(reading.circuit.as_ref()),
        Column::Elapsed => Cell::number(reading.elapsed_s),
        Column::Voltage => Cell::number(reading.applied_voltage_v),
        Column::Value => Cell::Bounded(shown(reading.value), reading.bound.to_string()),
        Column::Unit => Cell::text(unit.map_or(reading.unit.as_str(), |unit| unit.symbol)),
        Column::Bound => Cell::text(reading.bound.as_str()),
        Column::Corrected => Cell::bounded(reading.value_ref.map(shown), Some(&reading.bound)),
        Column::Reference => Cell::number(reading.reference_c),
        Column::Outcome => Cell::maybe(reading.outcome.as_ref()),
        Column::Reported => Cell::text(reading.as_reported.as_str()),
        Column::ReportedReference => Cell::number(reading.reported_reference_c),
        Column::Flags => Cell::text(reading.flags.join(" ")),
        Column::Original => Cell::text(reading.raw_text.as_str()),
        Column::Source => source(reading, path),
        Column::SourceSheet => Cell::maybe(reading.source_sheet.as_ref()),
        Column::SourceCell => Cell::text(reading.source_cell.as_str()),
        Column::Test => Cell::text(reading.test_id.as_str()),
        Column::Machine => Cell::maybe(asset.map(|asset| &asset.asset_id)),
        other => test.map_or(Cell::Empty, |test| of_test(other, test)),
    }
}

fn of_test(column: Column, test: &Test) -> Cell {
    match column {
        Column::Date => Cell::day(test.performed_on, &test.performed_precision),
        Column::Precision => Cell::text(test.performed_precision.as_str()),
        Column::Kind => Cell::text(test.kind.as_str()),
        Column::Temperature => Cell::number(test.winding_temperature_c),
        Column::TemperatureBasis => Cell::text(test.winding_temperature_basis.as_str()),
        Column::Ambient => Cell::number(test.ambient_temperature_c),
        Column::Humidity => Cell::number(test.relative_humidity_pct),
        Column::DewPoint => Cell::number(test.dew_point_c),
        Column::TestVoltage => Cell::number(test.test_voltage_v),
        Column::TestVoltageBasis => Cell::text(test.test_voltage_basis.as_str()),
        Column::Stage => Cell::maybe(test.stage.as_ref()),
        Column::Instrument => Cell::maybe(test.instrument.as_ref()),
        Column::Tester => Cell::maybe(test.tester.as_ref()),
        Column::Remarks => Cell::maybe(test.remarks.as_ref()),
        Column::WorkOrder => Cell::maybe(test.work_order.as_ref()),
        Column::ReportedOutcome => Cell::maybe(test.reported_outcome.as_ref()),
        Column::CopyOf => Cell::maybe(test.duplicate_of.as_ref()),
        _ => Cell::Empty,
    }
}

/// The path, leading to the file as it was imported; in a workbook to the cell.
fn source(reading: &Reading, path: Option<&str>) -> Cell {
    let text = reading.source_file.to_string();
    let Some(path) = path.filter(|path| !path.is_empty()) else { return Cell::text(text) };
    let is_workbook = path.to_ascii_lowercase().ends_with(".xlsx");
    let place = match &reading.source_sheet {
        Some(sheet) if is_workbook => format!("#'{}'!{}", sheet.replace('\'', "''"), reading.source_cell),
        _ => String::new(),
    };
    // A folder may hold a `#`, which would end the path.
    let path = path.replace('%', "%25").replace('#', "%23");
    Cell::Link { text, url: format!("file:///{path}{place}") }
}
