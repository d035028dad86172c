//! A binary worksheet part, in one pass.

use std::io::Read;

use windrow_source::spreadsheet::budget::check_column;
use windrow_source::spreadsheet::draft::Draft;
use windrow_source::spreadsheet::style::{Place, Style};
use windrow_source::{Area, Cell, Content, Grid, ReadError};

use crate::package::Package;
use crate::xlsx::rich::Rich;
use crate::xlsx::sheet::Context;

use super::record::{Fields, Records};
use super::strings::rich;

/// The beginning of a row.
const ROW: u16 = 0;
/// Columns of one width.
const COLUMNS: u16 = 60;
/// A merged area.
const MERGE: u16 = 176;
/// Cells with a value: numbers, errors, true or false, texts; from 8 on they are results of formulas.
const VALUES: std::ops::RangeInclusive<u16> = 2..=11;
/// A cell with a text in runs.
const RICH_TEXT: u16 = 62;

/// Reads a worksheet part.
pub(crate) fn read(package: &mut Package<'_>, part: &str, context: &mut Context<'_>) -> Result<Grid, ReadError> {
    let mut records = Records::new(part, package.part(part)?);
    let (mut draft, mut row) = (Draft::new(context.name), 0);
    while let Some(kind) = records.next()? {
        match kind {
            ROW => {
                let (number, is_hidden) = records.parsed(row_head)?;
                row = number;
                if is_hidden {
                    draft.hidden_rows.add(row, row);
                }
            }
            COLUMNS => {
                let (first, last, is_hidden) = records.parsed(columns)?;
                if is_hidden {
                    draft.hidden_columns.add(first, last);
                }
            }
            MERGE => {
                let ((top, left), (bottom, right)) = records.parsed(Fields::corners)?;
                draft.merge(Area { top, left, bottom, right }, context.budget)?;
            }
            kind if VALUES.contains(&kind) || kind == RICH_TEXT => {
                let recorded = records.parsed(|fields| recorded(kind, fields, context.struck_fonts))?;
                cell(&records, row, recorded, context)?.into_iter().for_each(|cell| draft.put(cell));
            }
            _ => {}
        }
    }
    draft.finish(context.budget, context.remarks)
}

/// Number of a row and whether it is hidden.
fn row_head(fields: &mut Fields<'_>) -> Option<(u32, bool)> {
    let row = fields.u32()?;
    let (_style, _height, _spacing) = (fields.u32()?, fields.u16()?, fields.u8()?);
    Some((row, fields.u8()? & 0x10 != 0))
}

/// First and last of some columns, and whether they are hidden.
fn columns(fields: &mut Fields<'_>) -> Option<(u32, u32, bool)> {
    let (first, last) = (fields.u32()?, fields.u32()?);
    let (_width, _style) = (fields.u32()?, fields.u32()?);
    Some((first, last, fields.u16()? & 1 == 1))
}

/// A cell as recorded.
struct Recorded {
    column: u32,
    style: usize,
    value: Value,
}

enum Value {
    Number(f64),
    Error(u8),
    Bool(bool),
    Shared(usize),
    Text(Rich),
    /// The text result of a formula.
    Result(String),
}

/// A cell with a value, by the type of its record.
fn recorded(kind: u16, fields: &mut Fields<'_>, struck_fonts: &[bool]) -> Option<Recorded> {
    let column = fields.u32()?;
    // Three bytes of style, one of flags.
    let style = usize::try_from(fields.u32()? & 0x00FF_FFFF).ok()?;
    let value = match kind {
        2 => Value::Number(fields.short_number()?),
        3 | 11 => Value::Error(fields.u8()?),
        4 | 10 => Value::Bool(fields.u8()? != 0),
        5 | 9 => Value::Number(fields.f64()?),
        7 => Value::Shared(usize::try_from(fields.u32()?).ok()?),
        8 => Value::Result(fields.text()?),
        RICH_TEXT => Value::Text(rich(fields, struck_fonts)?),
        _ => Value::Text(Rich { text: fields.text()?, runs: Vec::new() }),
    };
    Some(Recorded { column, style, value })
}

fn cell<R: Read>(
    records: &Records<R>,
    row: u32,
    recorded: Recorded,
    context: &mut Context<'_>,
) -> Result<Option<Cell>, ReadError> {
    let place: Place = (row, recorded.column);
    check_column(context.name, place, context.limits)?;
    let general = Style::default();
    let style = context.styles.get(recorded.style).unwrap_or(&general);
    let mut remark = None;
    let cell = match recorded.value {
        Value::Number(number) if number.is_finite() => {
            let (cell, odd) = style.number(place, number, context.book.epoch);
            remark = odd;
            Some(cell)
        }
        Value::Number(_) => return Err(records.broken("a number is none")),
        Value::Error(code) => Some(style.cell(place, error(code).to_owned(), Content::Error)),
        Value::Bool(value) => Some(style.boolean(place, value)),
        Value::Shared(index) => {
            let (text, runs) =
                context.strings.get(index).ok_or_else(|| records.broken("a shared string is missing"))?;
            style.text(place, text, runs)
        }
        Value::Text(rich) => style.text(place, &rich.text, &rich.runs),
        Value::Result(text) => style.text(place, &text, &[]).or_else(|| Some(style.without_text(place))),
    };
    context.remark(remark, place);
    if let Some(cell) = &cell {
        records.check_length(&cell.text, context.limits.cell_text_bytes)?;
        context.budget.take(cell)?;
    }
    Ok(cell)
}

/// An error value as shown (MS-XLSB 2.5.97.2).
fn error(code: u8) -> &'static str {
    match code {
        0x00 => "#NULL!",
        0x07 => "#DIV/0!",
        0x0F => "#VALUE!",
        0x17 => "#REF!",
        0x1D => "#NAME?",
        0x24 => "#NUM!",
        0x2A => "#N/A",
        0x2B => "#GETTING_DATA",
        _ => "#ERROR",
    }
}
