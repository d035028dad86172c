//! Reads a file whole.

use windrow_source::number_format::Epoch;
use windrow_source::spreadsheet::budget::{Budget, check_column};
use windrow_source::spreadsheet::style::Style;
use windrow_source::{Cell, Content, Grid, Input, Limits, ReadError, Refusal, Workbook, encoding};

use crate::header::{damaged, header};
use crate::lines::Lines;

/// Reads the tuples of the data part as rows of one unnamed sheet.
///
/// # Errors
/// [`Refusal::Damaged`] where the header or the data have no end or make no sense, [`Refusal::TooLarge`] over a limit.
pub(crate) fn read(input: &Input<'_>, limits: &Limits) -> Result<Workbook, ReadError> {
    let decoded = encoding::decode(input.bytes);
    let mut lines = Lines::new(&decoded.text);
    let header = header(&mut lines)?;
    let mut data = Data { grid: Grid::default(), row: None, column: 0, budget: Budget::new(limits) };
    while !data.item(&mut lines, limits)? {}
    let rows = data.row.map_or(0, |row| row as usize + 1);
    let mut notes: Vec<String> = decoded.note().into_iter().chain(header.notes).collect();
    if let Some(tuples) = header.tuples.filter(|tuples| *tuples != rows) {
        notes.push(format!("the header tells {tuples} rows, and {rows} were read"));
    }
    data.grid.finish();
    if data.grid.cells.is_empty() {
        return Err(ReadError::new(
            Refusal::Empty,
            "a table without a cell that holds anything",
            "check what was saved",
        ));
    }
    Ok(Workbook { sheets: vec![data.grid], notes, ..Workbook::default() })
}

/// The data part being read.
struct Data {
    grid: Grid,
    /// Row of the tuple being read.
    row: Option<u32>,
    /// Column of the next cell.
    column: u32,
    budget: Budget,
}

impl Data {
    /// Takes in the next item of two lines; true for the one that ends the data.
    fn item(&mut self, lines: &mut Lines<'_>, limits: &Limits) -> Result<bool, ReadError> {
        let (Some(first), Some(second)) = (lines.next_line(), lines.next_line()) else {
            return Err(damaged(lines.number, "it ends before the mark of its end"));
        };
        let Some((kind, value)) = first.split_once(',') else {
            return Err(damaged(lines.number - 1, "an item of the data has no type and value"));
        };
        match (kind.trim(), second.trim()) {
            ("-1", "EOD") => return Ok(true),
            ("-1", "BOT") => {
                self.row = Some(self.row.map_or(Ok(0), |row| row.checked_add(1).ok_or_else(|| no_sense(lines)))?);
                self.column = 0;
            }
            ("0", indicator) => {
                let cell = numeric(value.trim(), indicator);
                self.put(cell, lines, limits)?;
            }
            ("1", _) => {
                let text = lines.quoted(second);
                self.put((!text.trim().is_empty()).then(|| Cell::text(0, 0, text)), lines, limits)?;
            }
            _ => return Err(no_sense(lines)),
        }
        Ok(false)
    }

    fn put(&mut self, cell: Option<Cell>, lines: &Lines<'_>, limits: &Limits) -> Result<(), ReadError> {
        let Some(row) = self.row else { return Err(damaged(lines.number, "a cell stands before the first row")) };
        let column = self.column;
        check_column("", (row, column), limits)?;
        self.column += 1;
        let Some(cell) = cell else { return Ok(()) };
        if cell.text.len() > limits.cell_text_bytes {
            let found = format!("line {}: a text of more than {} bytes", lines.number, limits.cell_text_bytes);
            return Err(ReadError::new(Refusal::TooLarge, found, "check that it holds records"));
        }
        let cell = Cell { row, column, ..cell };
        self.budget.take(&cell)?;
        self.grid.cells.push(cell);
        Ok(())
    }
}

fn no_sense(lines: &Lines<'_>) -> ReadError {
    damaged(lines.number, "an item of the data is of no type that the format has")
}

/// The cell of a numeric item with its value indicator; what is no number stays the text that it is.
fn numeric(value: &str, indicator: &str) -> Option<Cell> {
    match indicator.to_ascii_uppercase().as_str() {
        "NA" | "ERROR" => Some(Cell { content: Content::Error, ..Cell::text(0, 0, indicator) }),
        "TRUE" => Some(Style::default().boolean((0, 0), true)),
        "FALSE" => Some(Style::default().boolean((0, 0), false)),
        _ if value.is_empty() => None,
        _ => Some(match value.parse::<f64>() {
            Ok(number) if number.is_finite() => {
                Style::default().written_number((0, 0), (number, value), Epoch::Y1900).0
            }
            _ => Cell::text(0, 0, value),
        }),
    }
}
