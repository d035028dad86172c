//! Workbooks.

use crate::layouts::page::{Page, Stored};
use rust_xlsxwriter::{Format, Note, Workbook};

/// The bytes of a workbook with these sheets.
pub(super) fn write(pages: &[Page]) -> anyhow::Result<Vec<u8>> {
    let mut workbook = Workbook::new();
    let plain = Format::new();
    for page in pages {
        let sheet = workbook.add_worksheet();
        sheet.set_name(&page.name)?;
        for ((row, column), (rows, columns)) in &page.merged {
            let at = |column: u32| u16::try_from(column);
            sheet.merge_range(*row, at(*column)?, row + rows - 1, at(column + columns - 1)?, "", &plain)?;
        }
        for ((row, column), cell) in &page.cells {
            let column = u16::try_from(*column)?;
            match &cell.stored {
                Stored::Text if cell.struck => sheet.write_string_with_format(
                    *row,
                    column,
                    &cell.shown,
                    &Format::new().set_font_strikethrough(),
                )?,
                Stored::Number(number, None) if cell.struck => {
                    sheet.write_number_with_format(*row, column, *number, &Format::new().set_font_strikethrough())?
                }
                Stored::Text => sheet.write_string(*row, column, &cell.shown)?,
                Stored::Number(number, None) => sheet.write_number(*row, column, *number)?,
                Stored::Number(number, Some(format)) => {
                    sheet.write_number_with_format(*row, column, *number, &Format::new().set_num_format(format))?
                }
                Stored::Date(days, format) => {
                    let format = Format::new().set_num_format(*format);
                    sheet.write_number_with_format(*row, column, f64::from(*days), &format)?
                }
            };
        }
        for ((row, column), text) in &page.notes {
            sheet.insert_note(*row, u16::try_from(*column)?, &Note::new(text))?;
        }
    }
    Ok(workbook.save_to_buffer()?)
}
