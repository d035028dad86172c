//! Sheets written as text, and what became of their cells.

use windrow_model::raw::{RawReading, RawTest, SourceStatus, Understood};
use windrow_model::settings::Settings;
use windrow_model::{Disposition, PartialDate};
use windrow_sheet::{Context, understand};
use windrow_source::{Cell, Grid, Workbook};

/// Rows of cells separated by `|`, from A1; numbers are stored as numbers.
pub(crate) fn grid(rows: &[&str]) -> Grid {
    let mut grid = Grid { name: Some("Tests".to_owned()), ..Grid::default() };
    for (row, line) in (0u32..).zip(rows) {
        for (column, text) in (0u32..).zip(line.split('|')).filter(|(_, text)| !text.trim().is_empty()) {
            let text = text.trim();
            grid.cells.push(match text.parse::<f64>() {
                Ok(number) => Cell::number(row, column, number),
                Err(_) => Cell::text(row, column, text),
            });
        }
    }
    grid.finish();
    grid
}

/// The same as a file of text has it: every cell is text.
pub(crate) fn text_grid(rows: &[&str]) -> Grid {
    let mut grid = grid(rows);
    for cell in &mut grid.cells {
        *cell = Cell::text(cell.row, cell.column, cell.text.clone());
    }
    grid
}

/// The reading of a cell.
pub(crate) fn reading<'u>(understood: &'u Understood, cell: &str) -> Option<&'u RawReading> {
    understood.tests.iter().flat_map(|test| &test.readings).find(|reading| reading.place.cell == cell)
}

/// What the engine makes of a sheet.
pub(crate) struct Read(pub(crate) Understood);

impl Read {
    pub(crate) fn of(grid: Grid) -> Self {
        Self::under(grid, &Settings::default())
    }

    pub(crate) fn under(grid: Grid, settings: &Settings) -> Self {
        Self::of_book(&Workbook { sheets: vec![grid], ..Workbook::default() }, settings)
    }

    pub(crate) fn of_book(book: &Workbook, settings: &Settings) -> Self {
        let context = Context { source_file: "folder/file.xlsx", settings, folder: None };
        let mut into = Understood::blank("folder/file.xlsx", SourceStatus::Read);
        understand(book, &context, &[], &mut into);
        Self(into)
    }

    pub(crate) fn rows(rows: &[&str]) -> Self {
        Self::of(grid(rows))
    }

    /// Like [`Read::rows`], with every cell a text as it was typed.
    pub(crate) fn texts(rows: &[&str]) -> Self {
        Self::of(text_grid(rows))
    }

    pub(crate) fn found(&self, cell: &str) -> Option<(&RawTest, &RawReading)> {
        let readings = self.0.tests.iter().flat_map(|test| test.readings.iter().map(move |reading| (test, reading)));
        readings.into_iter().find(|(_, reading)| reading.place.cell == cell)
    }

    pub(crate) fn reading(&self, cell: &str) -> Option<&RawReading> {
        self.found(cell).map(|(_, reading)| reading)
    }

    pub(crate) fn tag(&self, cell: &str) -> Option<&str> {
        self.found(cell)?.0.machine.tag.as_ref().map(|told| told.value.as_str())
    }

    pub(crate) fn date(&self, cell: &str) -> Option<PartialDate> {
        self.found(cell)?.0.performed.as_ref().map(|told| told.value)
    }

    pub(crate) fn day(&self, cell: &str) -> Option<String> {
        self.date(cell).map(|date| date.to_string())
    }

    pub(crate) fn celsius(&self, cell: &str) -> Option<f64> {
        self.found(cell)?.0.winding_temperature_c.as_ref().map(|told| told.value)
    }

    pub(crate) fn circuit(&self, cell: &str) -> Option<&'static str> {
        self.reading(cell)?.circuit.as_ref().map(|told| told.value.code())
    }

    pub(crate) fn seconds(&self, cell: &str) -> Option<f64> {
        self.reading(cell)?.elapsed_s.as_ref().map(|told| told.value)
    }

    pub(crate) fn volts(&self, cell: &str) -> Option<f64> {
        self.reading(cell)?.applied_voltage_v.as_ref().map(|told| told.value)
    }

    /// The value in the unit that it is stored in: ohm, A, V, F, 1.
    pub(crate) fn value(&self, cell: &str) -> Option<f64> {
        self.reading(cell).map(|reading| reading.unit.value.to_stored(reading.number))
    }

    pub(crate) fn quantity(&self, cell: &str) -> Option<&'static str> {
        self.reading(cell).map(|reading| reading.quantity.value.code())
    }

    pub(crate) fn kind(&self, cell: &str) -> Option<&'static str> {
        self.found(cell).map(|(test, _)| test.kind.code())
    }

    pub(crate) fn is_derived(&self, cell: &str) -> bool {
        self.0.cells.iter().any(|mark| mark.place.cell == cell && mark.disposition == Disposition::Derived)
    }

    pub(crate) fn is_held(&self, cell: &str) -> bool {
        self.0.cells.iter().any(|mark| mark.place.cell == cell && mark.disposition == Disposition::Held)
    }
}
