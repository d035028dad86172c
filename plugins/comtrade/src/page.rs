//! The configuration as a sheet: labels and values, and tables of channels and rates. Labels and headings are names that the standard gives;
//! values keep the number of their line and field as address.

use windrow_source::spreadsheet::budget::{Budget, check_column};
use windrow_source::{Cell, Grid, Limits, ReadError};

use crate::config::{Config, Line};

const STATION: [&str; 3] = ["station", "recorder", "revision year of the standard"];
const COUNTS: [&str; 3] = ["channels", "analog channels", "digital channels"];
const ANALOG: [&str; 13] = [
    "number",
    "channel",
    "phase",
    "monitored component",
    "unit",
    "factor a",
    "offset b",
    "skew (µs)",
    "least",
    "most",
    "primary",
    "secondary",
    "primary (P) or secondary (S)",
];
const DIGITAL: [&str; 5] = ["number", "channel", "phase", "monitored component", "normal state"];
const RATES: [&str; 2] = ["samples per second", "last sample"];
const MOMENT: [[&str; 2]; 2] =
    [["date of the first sample", "time of the first sample"], ["date of the trigger", "time of the trigger"]];
const LATER: [[&str; 2]; 4] =
    [["kind of data", ""], ["factor of times", ""], ["time code", "local code"], ["quality of time", "leap second"]];

/// A sheet being filled.
struct Page<'a> {
    grid: Grid,
    row: u32,
    budget: &'a mut Budget,
    limits: &'a Limits,
}

/// The sheet of a configuration.
pub(crate) fn sheet(config: &Config, limits: &Limits, budget: &mut Budget) -> Result<Grid, ReadError> {
    let grid = Grid { name: Some("configuration".to_owned()), is_signal: true, ..Grid::default() };
    let mut page = Page { grid, row: 0, budget, limits };
    page.pairs(&STATION, &config.station)?;
    page.pairs(&COUNTS, &config.counts)?;
    page.table(&ANALOG, &config.analog_lines)?;
    // In the first edition a digital channel had a name and a state only.
    let is_first = config.digital_lines.iter().all(|line| line.fields.len() <= 3);
    if is_first {
        page.table(&["number", "channel", "normal state"], &config.digital_lines)?;
    } else {
        page.table(&DIGITAL, &config.digital_lines)?;
    }
    let mut rest = config.rest.iter();
    for label in ["line frequency (Hz)", "sampling rates"] {
        if let Some(line) = rest.next() {
            page.pairs(&[label], line)?;
        }
    }
    page.table(&RATES, &rest.by_ref().take(config.rates.len()).cloned().collect::<Vec<_>>())?;
    for labels in MOMENT.iter().chain(&LATER) {
        if let Some(line) = rest.next() {
            page.pairs(labels, line)?;
        }
    }
    for line in rest {
        page.pairs(&[], line)?;
    }
    page.grid.finish();
    Ok(page.grid)
}

impl Page<'_> {
    fn put(&mut self, cell: Cell) -> Result<(), ReadError> {
        check_column("configuration", (cell.row, cell.column), self.limits)?;
        self.budget.take(&cell)?;
        self.grid.cells.push(cell);
        Ok(())
    }

    /// A row for each field that holds something.
    fn pairs(&mut self, labels: &[&str], line: &Line) -> Result<(), ReadError> {
        for (at, field) in line.fields.iter().enumerate().filter(|(_, field)| !field.is_empty()) {
            if let Some(label) = labels.get(at).filter(|label| !label.is_empty()) {
                self.put(Cell::name(self.row, 0, *label).at(format!("label:{}:{}", line.number, at + 1)))?;
            }
            self.put(Cell::text(self.row, 1, field.as_str()).at(place(line, at)))?;
            self.row += 1;
        }
        Ok(())
    }

    /// A row for each line, below headings and between blank rows.
    fn table(&mut self, headings: &[&str], lines: &[Line]) -> Result<(), ReadError> {
        let Some(first) = lines.first() else { return Ok(()) };
        self.row += 1;
        for (column, heading) in (0_u32..).zip(headings).take(first.fields.len()) {
            self.put(Cell::name(self.row, column, *heading).at(format!("heading:{}:{}", first.number, column + 1)))?;
        }
        for line in lines {
            self.row += 1;
            for (column, (at, field)) in (0_u32..).zip(line.fields.iter().enumerate()) {
                if !field.is_empty() {
                    self.put(Cell::text(self.row, column, field.as_str()).at(place(line, at)))?;
                }
            }
        }
        self.row += 2;
        Ok(())
    }
}

/// `3:5` is the fifth field of the third line of the file.
fn place(line: &Line, at: usize) -> String {
    format!("{}:{}", line.number, at + 1)
}
