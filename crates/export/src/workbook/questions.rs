//! The sheet of questions that wait for a person.

use super::Rows;
use super::page::{Cell, Formats, Page};
use crate::error::Result;
use rust_xlsxwriter::Workbook;

const HEADINGS: &[&str] = &[
    "Source",
    "Source sheet",
    "Source cell",
    "Text",
    "Question",
    "Answers to choose from",
    "What was seen",
    "Cause",
    "Question id",
];

pub(super) fn write(workbook: &mut Workbook, formats: &Formats, rows: &Rows) -> Result<()> {
    let mut page = Page::new(workbook, formats, "Open questions", HEADINGS)?;
    for hold in rows.holds.iter().filter(|hold| hold.resolved_by.is_none()) {
        page.push(vec![
            Cell::text(hold.source_file.as_str()),
            Cell::maybe(hold.source_sheet.as_ref()),
            Cell::maybe(hold.source_cell.as_ref()),
            Cell::text(hold.raw_text.as_str()),
            Cell::text(hold.question.as_str()),
            Cell::text(hold.choices.join("; ")),
            Cell::text(hold.context.as_str()),
            Cell::text(hold.cause.as_str()),
            Cell::text(hold.hold_id.as_str()),
        ])?;
    }
    page.finish()
}
