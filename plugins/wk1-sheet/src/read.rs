//! Reads a file whole.

use windrow_source::encoding::{Encoding, by_code_page};
use windrow_source::number_format::Epoch;
use windrow_source::spreadsheet::budget::{Budget, check_column};
use windrow_source::spreadsheet::draft::Draft;
use windrow_source::spreadsheet::remarks::Remarks;
use windrow_source::spreadsheet::style::{Place, Style};
use windrow_source::{Cell, Content, Input, Limits, ReadError, Refusal, Workbook};

use crate::record::{self, Record, Records, damaged};
use crate::{format, label};

/// Bytes of a cell before its content: format, column, row.
const CONTENT: usize = 5;
/// Letters looked at for the encoding, bytes.
const SAMPLE: usize = 256 << 10;

/// Reads the cells as one unnamed sheet.
///
/// # Errors
/// [`Refusal::Damaged`] where a record is cut or the end mark is missing, [`Refusal::Encrypted`] with a password, [`Refusal::TooLarge`]
/// over a limit.
pub(crate) fn read(input: &Input<'_>, limits: &Limits) -> Result<Workbook, ReadError> {
    let records: Records<'_> = Records::new(input.bytes);
    let (mut letters, mut default) = (Vec::new(), u8::MAX);
    for record in records.clone() {
        let record = record?;
        match record.kind {
            record::PASSWORD if record.body.iter().any(|byte| *byte != 0) => return Err(locked()),
            record::WINDOW if default == u8::MAX => default = record.body.get(4).copied().unwrap_or(default),
            record::LABEL | record::STRING if letters.len() < SAMPLE => {
                let text = label::bytes(record.body.get(CONTENT..).unwrap_or_default());
                if !text.is_ascii() {
                    letters.extend(text);
                    letters.push(b'\n');
                }
            }
            _ => {}
        }
    }
    let (encoding, note) = by_code_page(&letters, None);
    let mut sheet =
        Sheet { draft: Draft::default(), encoding, default, remarks: Remarks::default(), errors: 0, last: None };
    if let Some(note) = note {
        sheet.remarks.plain(note);
    }
    let mut budget = Budget::new(limits);
    for record in records {
        sheet.take(record?, limits, &mut budget)?;
    }
    sheet.finish(&mut budget)
}

fn locked() -> ReadError {
    let advice = "open it with its password in a program that reads it, save a workbook without, and import that";
    ReadError::new(Refusal::Encrypted, "it is password-protected", advice)
}

/// A sheet being read.
struct Sheet {
    draft: Draft,
    encoding: Encoding,
    /// Format byte of the worksheet.
    default: u8,
    remarks: Remarks,
    /// Results that are no numbers.
    errors: usize,
    /// A result of a formula that the next record may tell as a text instead.
    last: Option<(Place, Cell)>,
}

impl Sheet {
    fn take(&mut self, record: Record<'_>, limits: &Limits, budget: &mut Budget) -> Result<(), ReadError> {
        match record.kind {
            record::INTEGER | record::NUMBER | record::LABEL | record::FORMULA | record::STRING => {
                self.cell(record, limits, budget)?;
            }
            record::COLUMN_WIDTH => {
                if let (Some(column), Some(0)) = (record.u16(0), record.body.get(2)) {
                    self.draft.hidden_columns.add(u32::from(column), u32::from(column));
                }
            }
            record::HIDDEN_COLUMNS => {
                for (first, bits) in (0_u32..).step_by(8).zip(record.body) {
                    let hidden = (0..8).filter(|bit| bits >> bit & 1 == 1).map(|bit| first + bit);
                    for column in hidden {
                        self.draft.hidden_columns.add(column, column);
                    }
                }
            }
            _ => {}
        }
        Ok(())
    }

    fn cell(&mut self, record: Record<'_>, limits: &Limits, budget: &mut Budget) -> Result<(), ReadError> {
        let short = || damaged(format!("the record at byte {} is too short for a cell", record.start));
        let format = *record.body.first().ok_or_else(short)?;
        let (column, row) = (record.u16(1).ok_or_else(short)?, record.u16(3).ok_or_else(short)?);
        let place = (u32::from(row), u32::from(column));
        check_column("", place, limits)?;
        let style = Style::new(format::code(format, self.default), false);
        let cell = match record.kind {
            record::INTEGER => {
                let value = record.u16(CONTENT).ok_or_else(short)?.cast_signed();
                Some(self.number(place, f64::from(value), &style))
            }
            record::NUMBER | record::FORMULA => {
                Some(self.number(place, record.f64(CONTENT).ok_or_else(short)?, &style))
            }
            kind => {
                let text = self.encoding.decode(label::bytes(record.body.get(CONTENT..).unwrap_or_default()));
                let text = if kind == record::LABEL { label::text(&text) } else { text.into_owned() };
                style.text(place, &text, &[])
            }
        };
        self.settle((record.kind == record::STRING).then_some(place), budget)?;
        match cell {
            Some(cell) if record.kind == record::FORMULA => self.last = Some((place, cell)),
            Some(cell) => self.put(cell, budget)?,
            None => {}
        }
        Ok(())
    }

    /// Puts the result of the last formula in, unless a text at the same place, `instead`, is its result.
    fn settle(&mut self, instead: Option<Place>, budget: &mut Budget) -> Result<(), ReadError> {
        let Some((place, cell)) = self.last.take() else { return Ok(()) };
        if instead == Some(place) {
            return Ok(());
        }
        self.errors += usize::from(cell.content == Content::Error);
        self.put(cell, budget)
    }

    fn put(&mut self, cell: Cell, budget: &mut Budget) -> Result<(), ReadError> {
        budget.take(&cell)?;
        self.draft.put(cell);
        Ok(())
    }

    /// The cell of a stored number. What the program shows as not available or as an error is stored as what is no number.
    fn number(&mut self, place: Place, value: f64, style: &Style) -> Cell {
        if !value.is_finite() {
            return style.cell(place, "ERR".to_owned(), Content::Error);
        }
        let (cell, remark) = style.number(place, value, Epoch::Y1900);
        if let Some(remark) = remark {
            self.remarks.cell(remark, "", place);
        }
        cell
    }

    fn finish(mut self, budget: &mut Budget) -> Result<Workbook, ReadError> {
        self.settle(None, budget)?;
        if self.errors > 0 {
            let found =
                format!("{} results are errors or not available, which the file does not tell apart", self.errors);
            self.remarks.plain(found);
        }
        let mut grid = self.draft.finish(budget, &mut self.remarks)?;
        grid.name = None;
        if grid.cells.is_empty() {
            let advice = "check what was saved";
            return Err(ReadError::new(Refusal::Empty, "a worksheet without a cell that holds anything", advice));
        }
        Ok(Workbook { sheets: vec![grid], notes: self.remarks.into_lines(), ..Workbook::default() })
    }
}
