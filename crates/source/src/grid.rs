//! What every reader hands over: sheets of sparse cells, with all that the container tells of them.
//!
//! Containers that are no sheets become sheets by two habits. Names of elements and fields stand above (or left of) their
//! values as *synthetic* cells. What one place of the source says for many rows (an attribute of an enclosing element) is one
//! cell at the first of these rows with a *merged area* down to the last, so that every place of the source is one cell.

use serde::{Deserialize, Serialize};
use std::collections::HashSet;
use windrow_model::place::a1;
use windrow_model::{Text, ToText};

use crate::wave::Record;

/// A source as sheets. Formats without sheets (delimited text, dBase, print-outs, XML) give one unnamed sheet.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct Workbook {
    /// Sheets in the order of the file, hidden ones included.
    pub sheets: Vec<Grid>,
    /// What a person should know: encoding chosen, deleted records skipped, things this container cannot tell.
    pub notes: Vec<String>,
    /// Sampled signals, where the source holds a record of them.
    pub record: Option<Box<Record>>,
}

impl Workbook {
    /// Gives every sheet a name of its own, and says so in the notes. No program writes two sheets of one name, but damage makes
    /// them, and then a place would point at two cells.
    pub fn tell_sheets_apart(&mut self) {
        let names: HashSet<Option<String>> = self.sheets.iter().map(|grid| grid.name.clone()).collect();
        let mut taken = HashSet::new();
        for grid in &mut self.sheets {
            if taken.insert(grid.name.clone()) {
                continue;
            }
            let shared = grid.name.take().unwrap_or_default();
            let mut numbered = (2_u64..).map(|number| Some(format!("{shared} ({number})").trim_start().to_owned()));
            grid.name = numbered.find(|name| !names.contains(name) && !taken.contains(name)).flatten();
            let own = grid.name.as_deref().unwrap_or_default();
            self.notes.push(format!("two sheets are named \"{shared}\"; the later one is called \"{own}\" here"));
            taken.insert(grid.name.clone());
        }
    }
}

/// A sheet: non-empty cells in row-major order.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct Grid {
    /// Name; `None` where the format has none.
    pub name: Option<String>,
    /// Whether the sheet is hidden.
    pub hidden: bool,
    /// Whether it holds signals sampled over time, or tells how they were sampled. A sample is no result of a test, whatever its unit,
    /// so the sheet engine leaves such a sheet unread, in sight.
    pub is_signal: bool,
    /// Of a sheet of signals: what its cells tell, where all of them were used to read the samples of a record.
    pub told: Option<String>,
    /// Non-empty cells, sorted by row, then column, each position once.
    pub cells: Vec<Cell>,
    /// Merged areas; the value stands in the top left cell only.
    pub merges: Vec<Area>,
    /// Zero-based numbers of hidden rows, sorted.
    pub hidden_rows: Vec<u32>,
    /// Zero-based numbers of hidden columns, sorted.
    pub hidden_columns: Vec<u32>,
}

/// A rectangle of cells, both ends included, zero-based.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct Area {
    /// First row.
    pub top: u32,
    /// First column.
    pub left: u32,
    /// Last row.
    pub bottom: u32,
    /// Last column.
    pub right: u32,
}

impl Area {
    /// Whether the cell at `row`, `column` lies in the area.
    #[must_use]
    pub const fn contains(&self, row: u32, column: u32) -> bool {
        self.top <= row && row <= self.bottom && self.left <= column && column <= self.right
    }
}

/// A non-empty cell.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Cell {
    /// Zero-based row.
    pub row: u32,
    /// Zero-based column.
    pub column: u32,
    /// Typed content.
    pub content: Content,
    /// Text as it stands in the source: as typed for texts, the shortest exact form for numbers, ISO 8601 for dates.
    /// Never blank unless `content` is [`Content::NoResult`].
    pub text: Text,
    /// Number format as a spreadsheet format code (`0.0" MΩ"`); `None` for general or where the container has none.
    pub format: Option<Text>,
    /// Whether a formula that refers to other cells gave it. Containers that keep no formulas tell of none.
    pub computed: bool,
    /// A comment or note on the cell.
    pub note: Option<String>,
    /// Text that was struck through, cut out of `text`; the whole text if all of it was struck.
    pub struck: Option<String>,
    /// Address where it is not the `C14` of row and column: `line:column` for fixed width, `XPath` for XML.
    pub address: Option<Text>,
    /// Whether the text is a name of the container (an element of XML, a field of dBase) put where a header would stand.
    /// Such a cell gives meaning to its neighbours like any header, but is no cell of the source: it is not counted, gets no
    /// disposition and is never the place that a value came from.
    pub synthetic: bool,
}

impl Cell {
    /// A text cell with nothing else to tell.
    #[must_use]
    pub fn text(row: u32, column: u32, text: impl Into<Text>) -> Self {
        Self {
            row,
            column,
            content: Content::Text,
            text: text.into(),
            format: None,
            computed: false,
            note: None,
            struck: None,
            address: None,
            synthetic: false,
        }
    }

    /// A header or label made from a name of the container; see [`Cell::synthetic`].
    #[must_use]
    pub fn name(row: u32, column: u32, name: impl Into<Text>) -> Self {
        Self { synthetic: true, ..Self::text(row, column, name) }
    }

    /// The same cell with an address of its own.
    #[must_use]
    pub fn at(self, address: impl Into<Text>) -> Self {
        Self { address: Some(address.into()), ..self }
    }

    /// A number cell with nothing else to tell; `text` is the shortest form that reads back as the same number.
    #[must_use]
    pub fn number(row: u32, column: u32, value: f64) -> Self {
        Self { content: Content::Number(value), ..Self::text(row, column, value.to_smolstr()) }
    }

    /// Address as stored in `source_cell`.
    #[must_use]
    pub fn place(&self) -> Text {
        self.address.clone().unwrap_or_else(|| a1(self.row, self.column))
    }
}

/// Typed content of a cell.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub enum Content {
    /// Text; the text itself is [`Cell::text`].
    Text,
    /// A number.
    Number(f64),
    /// A spreadsheet date: its serial number, the number format says that it is one.
    Date {
        /// Days since the epoch, with the time of day as fraction.
        serial: f64,
        /// Whether day 0 is 1 January 1904 (else the 1900 system).
        is_1904: bool,
    },
    /// A time of day or a duration, in seconds.
    Duration(f64),
    /// True or false.
    Bool(bool),
    /// An error value (`#N/A`, `#DIV/0!`); the code is [`Cell::text`].
    Error,
    /// A formula for which the file holds no result; the formula is [`Cell::text`].
    NoResult,
}

impl Grid {
    /// The cell at a zero-based position, if it is not empty.
    #[must_use]
    pub fn get(&self, row: u32, column: u32) -> Option<&Cell> {
        self.cells
            .binary_search_by_key(&(row, column), |cell| (cell.row, cell.column))
            .ok()
            .map(|index| &self.cells[index])
    }

    /// The smallest area that holds all cells; `None` for an empty sheet.
    #[must_use]
    pub fn extent(&self) -> Option<Area> {
        let (first, last) = (self.cells.first()?, self.cells.last()?);
        let left = self.cells.iter().map(|cell| cell.column).min()?;
        let right = self.cells.iter().map(|cell| cell.column).max()?;
        Some(Area { top: first.row, left, bottom: last.row, right })
    }

    /// Sorts cells and drops what breaks the invariants (duplicates of a position keep the first); readers call it last.
    pub fn finish(&mut self) {
        let place = |cell: &Cell| (cell.row, cell.column);
        // Most sources tell their cells in order; then one look is enough.
        if !self.cells.is_sorted_by(|before, after| place(before) < place(after)) {
            self.cells.sort_by_key(place);
            self.cells.dedup_by_key(|cell| place(cell));
        }
        self.merges.sort_unstable();
        self.hidden_rows.sort_unstable();
        self.hidden_rows.dedup();
        self.hidden_columns.sort_unstable();
        self.hidden_columns.dedup();
    }
}
