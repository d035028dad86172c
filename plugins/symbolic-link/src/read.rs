//! Reads a file whole.

use std::collections::BTreeMap;

use windrow_source::number_format::Epoch;
use windrow_source::spreadsheet::budget::{Budget, check_column};
use windrow_source::spreadsheet::draft::Draft;
use windrow_source::spreadsheet::formula::refers_to_cells;
use windrow_source::spreadsheet::remarks::Remarks;
use windrow_source::spreadsheet::style::{Place, Style};
use windrow_source::{Cell, Content, Input, Limits, ReadError, Refusal, Workbook, encoding};

use crate::format::Formats;
use crate::record::Record;

/// What to do about a damaged file.
const REPAIR: &str = "look for another copy of it, or save it again from the program that wrote it";
/// Rows beyond which no program writes.
const MOST_ROWS: u32 = 1 << 24;

/// Reads the cells as one unnamed sheet.
///
/// # Errors
/// [`Refusal::Damaged`] where the end mark is missing or a place makes no sense, [`Refusal::TooLarge`] over a limit.
pub(crate) fn read(input: &Input<'_>, limits: &Limits) -> Result<Workbook, ReadError> {
    let decoded = encoding::decode(input.bytes);
    let mut sheet = Sheet::default();
    let mut budget = Budget::new(limits);
    let mut is_whole = false;
    for (number, line) in (1_usize..).zip(decoded.text.split('\n').flat_map(|line| line.split('\r'))) {
        let record = Record::of(line);
        let told = match record.kind.as_str() {
            "E" => {
                is_whole = true;
                break;
            }
            "P" => {
                if let Some(code) = record.field('P') {
                    sheet.formats.define(code);
                }
                Ok(())
            }
            "O" => {
                sheet.options(&record);
                Ok(())
            }
            "F" => sheet.format(&record),
            "C" => sheet.cell(&record, limits, &mut budget),
            _ => Ok(()),
        };
        told.map_err(|error| ReadError { found: format!("line {number}: {}", error.found), ..error })?;
    }
    if !is_whole {
        return Err(damaged("it ends before the record of its end"));
    }
    sheet.finish(decoded.note(), budget)
}

fn damaged(found: &str) -> ReadError {
    ReadError::new(Refusal::Damaged, found, REPAIR)
}

/// What a cell record tells.
#[derive(Debug, Clone, Default)]
struct Told {
    value: Option<String>,
    formula: Option<String>,
    note: Option<String>,
}

/// A sheet being read. Formats may come before their cells or after them, so cells are made at the end.
#[derive(Debug, Default)]
struct Sheet {
    formats: Formats,
    cells: BTreeMap<Place, Told>,
    is_1904: bool,
    row: u32,
    column: u32,
    hidden_columns: Vec<(u32, u32)>,
    hidden_rows: Vec<u32>,
}

impl Sheet {
    /// Rows and columns stay what they were until a record tells others.
    fn place(&mut self, record: &Record) -> Result<Place, ReadError> {
        for (letter, kept) in [('Y', &mut self.row), ('X', &mut self.column)] {
            if let Some(told) = record.field(letter) {
                let number = told.trim().parse::<u32>().ok().and_then(|number| number.checked_sub(1));
                *kept = number.filter(|number| *number < MOST_ROWS).ok_or_else(|| {
                    damaged(&format!("{letter}{told} is no number of a row or column, which are counted from 1"))
                })?;
            }
        }
        Ok((self.row, self.column))
    }

    /// The epoch of dates: a number whose bit 4 is set for 1904 (from memory).
    fn options(&mut self, record: &Record) {
        self.is_1904 |= record.number('V').is_some_and(|bits| bits & 4 != 0);
    }

    fn format(&mut self, record: &Record) -> Result<(), ReadError> {
        let place = self.place(record)?;
        self.formats.tell(record, place);
        let widths: Vec<u32> =
            record.field('W').unwrap_or_default().split_whitespace().map_while(|word| word.parse().ok()).collect();
        if let [first, last, 0] = widths.as_slice() {
            self.hidden_columns.push((first.saturating_sub(1), last.saturating_sub(1)));
        }
        if let (Some(0), Some(row)) = (record.number('M'), record.number('R')) {
            self.hidden_rows.push(row.saturating_sub(1));
        }
        Ok(())
    }

    fn cell(&mut self, record: &Record, limits: &Limits, budget: &mut Budget) -> Result<(), ReadError> {
        let place = self.place(record)?;
        check_column("", place, limits)?;
        let mut told = Told::default();
        for (letter, text) in record.fields() {
            let kept = match letter {
                'K' => &mut told.value,
                'E' => &mut told.formula,
                'A' => &mut told.note,
                _ => continue,
            };
            if text.len() > limits.cell_text_bytes {
                let found = format!("a text of more than {} bytes", limits.cell_text_bytes);
                return Err(ReadError::new(Refusal::TooLarge, found, "check that it holds records"));
            }
            *kept = Some(text.to_owned());
        }
        // A cell costs what its texts cost, until it is made.
        budget
            .take(&Cell { note: told.note.clone(), ..Cell::text(0, 0, told.value.as_deref().unwrap_or_default()) })?;
        let cell = self.cells.entry(place).or_default();
        // A note comes in a record of its own; a value told twice is the last one, as a program would show it.
        cell.value = told.value.or(cell.value.take());
        cell.formula = told.formula.or(cell.formula.take());
        cell.note = told.note.or(cell.note.take());
        Ok(())
    }

    fn finish(self, note: Option<String>, mut budget: Budget) -> Result<Workbook, ReadError> {
        let (mut draft, mut remarks) = (Draft::default(), Remarks::default());
        if let Some(note) = note {
            remarks.plain(note);
        }
        let epoch = if self.is_1904 { Epoch::Y1904 } else { Epoch::Y1900 };
        let mut count = 0_usize;
        for (place, told) in self.cells {
            let style = Style::new(self.formats.of(place).map(str::to_owned), false);
            match made(place, &told, &style, epoch, &mut remarks) {
                Some(cell) => {
                    count += 1;
                    let computed = told.formula.as_deref().is_some_and(refers_to_cells);
                    draft.put(Cell { computed, note: told.note, ..cell });
                }
                None => {
                    if let Some(note) = &told.note {
                        remarks.stray_note("", place, note);
                    }
                }
            }
        }
        if count == 0 {
            return Err(ReadError::new(
                Refusal::Empty,
                "a sheet without a cell that holds anything",
                "check what was saved",
            ));
        }
        for (first, last) in self.hidden_columns {
            draft.hidden_columns.add(first, last);
        }
        for row in self.hidden_rows {
            draft.hidden_rows.add(row, row);
        }
        let mut grid = draft.finish(&mut budget, &mut remarks)?;
        grid.name = None;
        Ok(Workbook { sheets: vec![grid], notes: remarks.into_lines(), ..Workbook::default() })
    }
}

/// The cell at `place`; `None` where it holds nothing.
fn made(place: Place, told: &Told, style: &Style, epoch: Epoch, remarks: &mut Remarks) -> Option<Cell> {
    let Some(value) = told.value.as_deref().map(str::trim_end).filter(|value| !value.is_empty()) else {
        let formula = told.formula.as_deref()?;
        return Some(style.cell(place, format!("={formula}"), Content::NoResult));
    };
    if let Some(inside) = value.strip_prefix('"') {
        return style.text(place, &unquoted(inside.strip_suffix('"').unwrap_or(inside)), &[]);
    }
    Some(match value {
        "TRUE" => style.boolean(place, true),
        "FALSE" => style.boolean(place, false),
        _ if value.starts_with('#') => style.cell(place, value.to_owned(), Content::Error),
        _ => match value.parse::<f64>() {
            Ok(number) if number.is_finite() => {
                let (cell, remark) = style.written_number(place, (number, value), epoch);
                if let Some(remark) = remark {
                    remarks.cell(remark, "", place);
                }
                cell
            }
            _ => style.cell(place, value.to_owned(), Content::Text),
        },
    })
}

/// Some programs double a quote within a text, others do not: where all are doubled, they are single.
fn unquoted(inside: &str) -> String {
    let is_doubled = !inside.replace("\"\"", "").contains('"');
    if is_doubled { inside.replace("\"\"", "\"") } else { inside.to_owned() }
}
