//! What stands on a page: cells, and the truth about the numbers among them.

use crate::score::truth::{NotReading, True};
use std::collections::BTreeMap;

/// How a workbook stores a cell.
#[derive(Debug, Clone)]
pub(crate) enum Stored {
    /// As text.
    Text,
    /// As a number, with a number format.
    Number(f64, Option<String>),
    /// As days since 1899-12-30, with a number format.
    Date(i32, &'static str),
}

/// One cell.
#[derive(Debug, Clone)]
pub(crate) struct Cell {
    /// As printed.
    pub(crate) shown: String,
    pub(crate) stored: Stored,
    /// A line of print that may run over the columns to its right.
    pub(crate) runs_over: bool,
    /// Someone took it back.
    pub(crate) struck: bool,
}

impl Cell {
    /// A cell of text.
    pub(crate) fn text(shown: impl Into<String>) -> Self {
        Self { shown: shown.into(), stored: Stored::Text, runs_over: false, struck: false }
    }

    /// A caption, which may run over the columns to its right.
    pub(crate) fn line(shown: impl Into<String>) -> Self {
        Self { runs_over: true, ..Self::text(shown) }
    }

    /// A plain number.
    pub(crate) fn number(number: f64, shown: impl Into<String>) -> Self {
        Self { shown: shown.into(), stored: Stored::Number(number, None), runs_over: false, struck: false }
    }
}

/// Row and column, from 0.
pub(crate) type At = (u32, u32);

/// A rectangle of cells with what is true of them. Tables and whole sheets are both pages.
#[derive(Debug, Clone, Default)]
pub(crate) struct Page {
    /// Name of the sheet.
    pub(crate) name: String,
    pub(crate) cells: BTreeMap<At, Cell>,
    /// Cell and how many rows and columns it is merged over.
    pub(crate) merged: Vec<(At, At)>,
    /// Notes on cells.
    pub(crate) notes: Vec<(At, String)>,
    pub(crate) truths: Vec<(At, True)>,
    pub(crate) not_readings: Vec<(At, NotReading)>,
}

impl Page {
    /// Writes a cell.
    pub(crate) fn put(&mut self, at: At, cell: Cell) {
        self.cells.insert(at, cell);
    }

    /// Notes something on a cell.
    pub(crate) fn note(&mut self, at: At, text: String) {
        self.notes.push((at, text));
    }

    /// Rows and columns.
    pub(crate) fn size(&self) -> At {
        self.cells.keys().fold((0, 0), |(rows, columns), (row, column)| (rows.max(row + 1), columns.max(column + 1)))
    }

    /// Numbers become the text that shows them.
    pub(super) fn numbers_as_text(&mut self) {
        for cell in self.cells.values_mut().filter(|cell| matches!(cell.stored, Stored::Number(..))) {
            cell.stored = Stored::Text;
        }
    }

    /// The page with rows as columns.
    pub(crate) fn turned(self) -> Self {
        let swap = |(row, column): At| (column, row);
        Self {
            name: self.name,
            cells: self.cells.into_iter().map(|(at, cell)| (swap(at), cell)).collect(),
            merged: self.merged.into_iter().map(|(at, size)| (swap(at), swap(size))).collect(),
            notes: self.notes.into_iter().map(|(at, note)| (swap(at), note)).collect(),
            truths: self.truths.into_iter().map(|(at, truth)| (swap(at), truth)).collect(),
            not_readings: self.not_readings.into_iter().map(|(at, not)| (swap(at), not)).collect(),
        }
    }

    /// Lays another page on this one, its first cell at `corner`.
    pub(crate) fn lay(&mut self, part: Self, corner: At) {
        let shift = |(row, column): At| (row + corner.0, column + corner.1);
        self.cells.extend(part.cells.into_iter().map(|(at, cell)| (shift(at), cell)));
        self.merged.extend(part.merged.into_iter().map(|(at, size)| (shift(at), size)));
        self.notes.extend(part.notes.into_iter().map(|(at, note)| (shift(at), note)));
        self.truths.extend(part.truths.into_iter().map(|(at, truth)| (shift(at), truth)));
        self.not_readings.extend(part.not_readings.into_iter().map(|(at, not)| (shift(at), not)));
    }
}
