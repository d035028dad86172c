//! The sheets of one machine as a workbook.

use crate::content::{Machine, Sheet, plate};
use rust_xlsxwriter::{
    DocProperties, ExcelDateTime, Format, FormatBorder, Shape, ShapeFont, Workbook, Worksheet, XlsxError,
};

/// Why a workbook could not be written.
#[derive(Debug, thiserror::Error)]
#[error("the test sheet could not be written; please report this")]
pub struct Error(#[from] XlsxError);

/// Rows between the top and the nameplate.
const TOP: u32 = 2;
/// Size of a line of the text box, pixels.
const LINE_PX: u32 = 17;
/// Letters on a line of the text box.
const LETTERS: usize = 110;

/// The workbook of `machine`, one sheet a test; same machine, same bytes.
///
/// # Errors
/// When the writer refuses.
pub fn workbook(machine: &Machine<'_>) -> Result<Vec<u8>, Error> {
    let mut workbook = Workbook::new();
    // A fixed day: the bytes depend on the records alone.
    let properties = DocProperties::new().set_creation_datetime(&ExcelDateTime::from_ymd(2000, 1, 1)?);
    workbook.set_properties(&properties);
    for sheet in &machine.sheets {
        write(workbook.add_worksheet(), machine, sheet)?;
    }
    Ok(workbook.save_to_buffer()?)
}

fn write(into: &mut Worksheet, machine: &Machine<'_>, sheet: &Sheet<'_>) -> Result<(), Error> {
    let (label, blank) = (Format::new().set_bold(), Format::new().set_border(FormatBorder::Thin));
    let day = Format::new().set_border(FormatBorder::Thin).set_num_format("yyyy-mm-dd");
    into.set_name(sheet.form.name())?
        .set_column_width(0, 30)?
        .set_column_width(1, 28)?
        .set_column_range_width(2, 4, 24)?
        .set_portrait()
        .set_paper_size(9);
    into.set_print_fit_to_pages(1, 1);
    into.write_with_format(
        0,
        0,
        format!("Test sheet: {}", sheet.form.name()),
        &Format::new().set_bold().set_font_size(14.0),
    )?;
    let mut row = TOP;
    for (name, value) in plate(machine.asset) {
        into.write_with_format(row, 0, name, &label)?;
        match value.parse::<f64>() {
            Ok(number) if name.contains('(') => into.write(row, 1, number)?,
            _ => into.write(row, 1, value)?,
        };
        row += 1;
    }
    for name in sheet.form.blanks() {
        into.write_with_format(row, 0, *name, &label)?;
        into.write_blank(row, 1, if *name == "Date" { &day } else { &blank })?;
        row += 1;
    }
    row += 1;
    for (column, head) in (0..).zip(sheet.form.head()) {
        into.write_with_format(row, column, *head, &label)?;
    }
    for name in sheet.form.rows() {
        row += 1;
        match name.parse::<f64>() {
            Ok(number) => into.write(row, 0, number)?,
            Err(_) => into.write(row, 0, *name)?,
        };
        for (column, _) in (0..).zip(sheet.form.head()).skip(1) {
            into.write_blank(row, column, &blank)?;
        }
    }
    into.insert_shape(row + 2, 0, &notes(sheet))?;
    Ok(())
}

/// Earlier results, levels and cautions in a text box below the form.
fn notes(sheet: &Sheet<'_>) -> Shape {
    let mut text = String::new();
    let mut lines = 1;
    for (heading, told) in sheet.notes() {
        text.push_str(heading);
        text.push('\n');
        lines += 2;
        for told in told {
            lines += told.chars().count() / LETTERS + 1;
            text.push_str("- ");
            text.push_str(&told);
            text.push('\n');
        }
        text.push('\n');
    }
    let height = LINE_PX * u32::try_from(lines).unwrap_or(u32::MAX / LINE_PX);
    Shape::textbox().set_text(&text).set_width(640).set_height(height).set_font(&ShapeFont::new().set_size(9.0))
}
