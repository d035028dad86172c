//! The consolidated workbook of an export, read back: what it tells was understood once already and stands there in our own words,
//! so nothing is weighed here. It is known by its mark alone, never by its name.
//!
//! Sheets that the export computed (summaries, findings, questions) are accounted for as derived: they are made again from the readings.

mod cells;
mod checks;
mod machines;
mod readings;

use cells::Sheet;
use windrow_model::consolidated::{ABOUT, MACHINES, MARK, MachineColumn, READINGS, ReadingColumn, VERSION};
use windrow_model::raw::{CellMark, RegionReport, Understood};
use windrow_model::{Disposition, Place, Text};
use windrow_source::{Grid, Workbook};

/// Whether `book` carries the mark, in the version that is known here.
pub(super) fn is_ours(book: &Workbook) -> bool {
    book.sheets.first().is_some_and(|about| {
        let says = |column: u32, text: &str| about.get(0, column).is_some_and(|cell| cell.text == text);
        says(0, MARK) && says(1, VERSION)
    })
}

/// Fills machines, tests, readings and marks from the workbook.
pub(super) fn understand(book: &Workbook, into: &mut Understood) {
    let machines = book.sheets.iter().filter(|grid| grid.name.as_deref() == Some(MACHINES));
    let machines = machines.map(|grid| Sheet::of(grid, MachineColumn::ALL.iter().map(|column| column.code())));
    let mentions: Vec<_> = machines.flat_map(|sheet| machines::understand(&sheet, into)).collect();
    let readings = book.sheets.iter().filter(|grid| grid.name.as_deref().is_some_and(is_readings));
    let readings = readings.map(|grid| Sheet::of(grid, ReadingColumn::ALL.iter().map(|column| column.code())));
    readings::understand(&readings.collect::<Vec<_>>(), &mentions, into);
    for grid in &book.sheets {
        let name = grid.name.as_deref().unwrap_or_default();
        match name {
            MACHINES => report(grid, "machines", into),
            name if is_readings(name) => report(grid, "readings", into),
            ABOUT => mark_all(grid, Disposition::Decor, "what the workbook says about itself", into),
            _ => mark_all(grid, Disposition::Derived, "computed by the export; made again from the readings", into),
        }
    }
}

/// `Readings`, `Readings 2`, …
fn is_readings(name: &str) -> bool {
    name.strip_prefix(READINGS).is_some_and(|rest| rest.is_empty() || rest.trim_start().parse::<u32>().is_ok())
}

fn mark_all(grid: &Grid, disposition: Disposition, reason: &'static str, into: &mut Understood) {
    into.cells.extend(grid.cells.iter().filter(|cell| !cell.synthetic).map(|cell| CellMark {
        place: Place::new(grid.name.as_deref(), cell.place()),
        raw_text: cell.text.clone(),
        disposition,
        target: None,
        reason: Some(Text::new_static(reason)),
    }));
}

fn report(grid: &Grid, what: &str, into: &mut Understood) {
    into.regions.push(RegionReport {
        place: Place::new(grid.name.as_deref(), ""),
        importer: None,
        importer_version: None,
        layout: format!("{what} of a consolidated workbook"),
        confidence: 1.0,
        reasons: vec![format!("the first sheet says \"{MARK}\", version {VERSION}")],
        runners_up: Vec::new(),
        columns: Vec::new(),
    });
}

#[cfg(test)]
mod tests;
