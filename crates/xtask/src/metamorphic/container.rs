//! A sheet saved in another container.

use super::book::{Base, Changed};
use super::numbers::names_day;
use crate::layouts::container::Container;
use crate::layouts::page::{self, Page, Stored};
use crate::layouts::write;
use windrow_model::Question;
use windrow_source::{Cell, Content, Grid};

/// As a workbook.
pub(super) fn xlsx(base: &Base) -> Option<Changed> {
    saved(base, Container::Xlsx, "saved.xlsx")
}

/// As an OpenDocument spreadsheet.
pub(super) fn ods(base: &Base) -> Option<Changed> {
    saved(base, Container::Ods, "saved.ods")
}

/// As text with semicolons.
pub(super) fn csv(base: &Base) -> Option<Changed> {
    saved(base, Container::Delimited(';'), "saved.csv")
}

/// As a table of HTML.
pub(super) fn html(base: &Base) -> Option<Changed> {
    saved(base, Container::Html, "saved.html")
}

fn saved(base: &Base, container: Container, name: &'static str) -> Option<Changed> {
    let [grid] = base.book.sheets.as_slice() else { return None };
    // Dates are written as ISO text, which would answer a question about their order.
    if base.understood.holds.iter().any(|hold| matches!(hold.question, Question::Date | Question::DateOrder)) {
        return None;
    }
    let bytes = write::write(container, &[page(grid)?]).ok()?.bytes;
    Some(Changed::File { name, bytes })
}

/// The sheet as a page; `None` where it holds what a page cannot.
fn page(grid: &Grid) -> Option<Page> {
    let alien = |cell: &Cell| match cell.content {
        Content::Duration(_) | Content::NoResult => true,
        Content::Date { .. } => !names_day(cell),
        _ => cell.synthetic,
    };
    if grid.extent()?.bottom > 5000 || grid.cells.iter().any(alien) {
        return None;
    }
    let mut page = Page { name: grid.name.clone().unwrap_or_else(|| "Sheet1".to_owned()), ..Page::default() };
    for cell in &grid.cells {
        page.put((cell.row, cell.column), written(cell));
    }
    page.merged = grid
        .merges
        .iter()
        .map(|area| ((area.top, area.left), (area.bottom - area.top + 1, area.right - area.left + 1)))
        .collect();
    Some(page)
}

fn written(cell: &Cell) -> page::Cell {
    let shown = page::Cell::text(cell.text.as_str());
    match cell.content {
        Content::Number(number) => {
            page::Cell { stored: Stored::Number(number, cell.format.as_ref().map(ToString::to_string)), ..shown }
        }
        Content::Date { serial, is_1904 } if serial.fract() == 0.0 => {
            #[expect(clippy::cast_possible_truncation, reason = "days of this century and the last")]
            let days = serial as i32 + if is_1904 { 1462 } else { 0 };
            page::Cell { stored: Stored::Date(days, "yyyy-mm-dd"), ..shown }
        }
        _ => shown,
    }
}
