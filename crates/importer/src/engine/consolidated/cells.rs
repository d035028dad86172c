//! A sheet with headings in its first row, by heading.

use jiff::civil::Date;
use std::collections::BTreeMap;
use windrow_model::raw::{CellMark, Target, Told, Via};
use windrow_model::{Disposition, Place, Text};
use windrow_source::grid::Content;
use windrow_source::{Cell, Grid};

/// A sheet and the columns of its headings.
pub(super) struct Sheet<'a> {
    pub(super) grid: &'a Grid,
    columns: BTreeMap<&'a str, u32>,
}

/// One line below the headings.
#[derive(Clone, Copy)]
pub(super) struct Line<'a> {
    sheet: &'a Sheet<'a>,
    pub(super) cells: &'a [Cell],
}

impl<'a> Sheet<'a> {
    pub(super) fn of(grid: &'a Grid) -> Self {
        let head = grid.cells.iter().take_while(|cell| cell.row == 0);
        Self { grid, columns: head.map(|cell| (cell.text.as_str(), cell.column)).collect() }
    }

    /// The lines below the headings that hold anything.
    pub(super) fn lines(&'a self) -> impl Iterator<Item = Line<'a>> {
        let below =
            self.grid.cells.chunk_by(|a, b| a.row == b.row).filter(|cells| cells.first().is_some_and(|c| c.row > 0));
        below.map(move |cells| Line { sheet: self, cells })
    }

    /// Marks of the headings.
    pub(super) fn labels(&'a self) -> impl Iterator<Item = CellMark> {
        let head = self.grid.cells.iter().take_while(|cell| cell.row == 0);
        head.map(|cell| self.mark(cell, Disposition::Label, None, None))
    }

    pub(super) fn place(&self, cell: &Cell) -> Place {
        Place::new(self.grid.name.as_deref(), cell.place())
    }

    pub(super) fn mark(
        &self,
        cell: &Cell,
        disposition: Disposition,
        target: Option<Target>,
        reason: Option<&'static str>,
    ) -> CellMark {
        CellMark {
            place: self.place(cell),
            raw_text: cell.text.clone(),
            disposition,
            target,
            reason: reason.map(Text::new_static),
        }
    }
}

impl<'a> Line<'a> {
    /// The cell under `heading`.
    pub(super) fn cell(&self, heading: &str) -> Option<&'a Cell> {
        let column = *self.sheet.columns.get(heading)?;
        let at = self.cells.binary_search_by_key(&column, |cell| cell.column).ok()?;
        self.cells.get(at)
    }

    pub(super) fn text(&self, heading: &str) -> Option<Told<Text>> {
        self.told(heading, |cell| Some(cell.text.clone()))
    }

    pub(super) fn number(&self, heading: &str) -> Option<Told<f64>> {
        self.told(heading, number)
    }

    /// The cell under `heading`, as `read` reads it.
    pub(super) fn told<T>(&self, heading: &str, read: impl Fn(&Cell) -> Option<T>) -> Option<Told<T>> {
        let cell = self.cell(heading)?;
        Some(Told::at(read(cell)?, Via::Row, cell.text.clone(), self.sheet.place(cell)))
    }
}

/// A number, or the text of one.
pub(super) fn number(cell: &Cell) -> Option<f64> {
    match cell.content {
        Content::Number(value) => Some(value),
        Content::Text => cell.text.trim().parse().ok().filter(|value: &f64| value.is_finite()),
        _ => None,
    }
}

/// A day: a date of the workbook, or ISO 8601 where its calendar does not reach back so far.
pub(super) fn day(cell: &Cell) -> Option<Date> {
    cell.text.get(..10)?.parse().ok()
}
