//! A worksheet being read: where the next cell stands, and what the open cell holds.

use std::collections::BTreeMap;

use windrow_source::number_format::{Epoch, number_cell};
use windrow_source::spreadsheet::formula::refers_to_cells;
use windrow_source::xml::Attribute;
use windrow_source::{Area, Cell, Content, Grid, Limits, ReadError, Refusal};

use crate::parts::{count, end, get, is_on, position, serial};
use crate::styles::Styles;

/// What cells need from the workbook.
pub(crate) struct Format<'a> {
    pub(crate) styles: &'a Styles,
    pub(crate) epoch: Epoch,
}

/// A cell between its tags.
#[derive(Debug, Default)]
struct Open {
    column: u32,
    across: u32,
    down: u32,
    style: Option<String>,
    formula: Option<String>,
    kind: String,
    text: String,
    struck: String,
    note: String,
}

/// A worksheet being read.
#[derive(Debug, Default)]
pub(crate) struct Sheet {
    pub(crate) grid: Grid,
    /// What no cell could tell.
    pub(crate) notes: Vec<String>,
    table_style: Option<String>,
    column_styles: BTreeMap<u32, String>,
    next_column_element: u32,
    row: u32,
    next_row: u32,
    row_style: Option<String>,
    next_column: u32,
    open: Option<Open>,
}

impl Sheet {
    pub(crate) fn new(name: &str) -> Self {
        Self { grid: Grid { name: Some(name.to_owned()), ..Grid::default() }, ..Self::default() }
    }

    pub(crate) fn table(&mut self, attributes: &[Attribute]) {
        self.table_style = get(attributes, "StyleID").map(str::to_owned);
    }

    pub(crate) fn column(&mut self, attributes: &[Attribute], limits: &Limits) -> Result<(), ReadError> {
        let first = position(attributes, self.next_column_element)?;
        let last = end(first, attributes)?;
        self.next_column_element = last + 1;
        let style = get(attributes, "StyleID");
        for column in first..=last.min(limits.columns) {
            if is_on(attributes, "Hidden") {
                self.grid.hidden_columns.push(column);
            }
            if let Some(style) = style {
                self.column_styles.insert(column, style.to_owned());
            }
        }
        Ok(())
    }

    pub(crate) fn row(&mut self, attributes: &[Attribute]) -> Result<(), ReadError> {
        self.row = position(attributes, self.next_row)?;
        let last = end(self.row, attributes)?;
        if is_on(attributes, "Hidden") {
            self.grid.hidden_rows.extend(self.row..=last);
        }
        self.row_style = get(attributes, "StyleID").map(str::to_owned);
        (self.next_row, self.next_column) = (last + 1, 0);
        Ok(())
    }

    pub(crate) fn open_cell(&mut self, attributes: &[Attribute], limits: &Limits) -> Result<(), ReadError> {
        let column = position(attributes, self.next_column)?;
        let (across, down) = (count(attributes, "MergeAcross")?, count(attributes, "MergeDown")?);
        if column + across >= limits.columns {
            let found = format!("row {} has more than {} columns", self.row + 1, limits.columns);
            return Err(ReadError::new(Refusal::TooLarge, found, "check that it is a table of data"));
        }
        self.next_column = column + across + 1;
        let owned = |name| get(attributes, name).map(str::to_owned);
        let (style, formula) = (owned("StyleID"), owned("Formula"));
        self.open = Some(Open { column, across, down, style, formula, ..Open::default() });
        Ok(())
    }

    pub(crate) fn data(&mut self, kind: &str) {
        if let Some(open) = &mut self.open {
            kind.clone_into(&mut open.kind);
        }
    }

    pub(crate) fn say(&mut self, text: &str, is_struck: bool) {
        if let Some(open) = &mut self.open {
            if is_struck { &mut open.struck } else { &mut open.text }.push_str(text);
        }
    }

    pub(crate) fn comment(&mut self, text: &str) {
        if let Some(open) = &mut self.open {
            open.note.push_str(text);
        }
    }

    /// Keeps the open cell, if it holds anything; whether it does.
    pub(crate) fn close_cell(&mut self, format: &Format<'_>) -> bool {
        let Some(open) = self.open.take() else { return false };
        let note = Some(open.note.trim().to_owned()).filter(|note| !note.is_empty());
        let Some(cell) = self.cell(&open, format) else {
            let place = windrow_source::Cell::text(self.row, open.column, "").place();
            let sheet = self.grid.name.as_deref().unwrap_or_default();
            self.notes
                .extend(note.map(|note| format!("sheet {sheet}, cell {place} is empty but has the note: {note}")));
            return false;
        };
        if open.across > 0 || open.down > 0 {
            self.grid.merges.push(Area {
                top: self.row,
                left: open.column,
                bottom: self.row + open.down,
                right: open.column + open.across,
            });
        }
        self.grid.cells.push(Cell { note, ..cell });
        true
    }

    fn cell(&self, open: &Open, format: &Format<'_>) -> Option<Cell> {
        let style = self.style(open);
        let code = style.and_then(|id| format.styles.format(id));
        let (text, struck) = (open.text.trim(), open.struck.trim());
        let shown = if text.is_empty() { struck } else { text };
        if shown.is_empty() {
            let formula = open.formula.clone()?;
            return Some(Cell { content: Content::NoResult, ..Cell::text(self.row, open.column, formula) });
        }
        let cell = typed(
            &Value { row: self.row, column: open.column, kind: &open.kind, text: shown },
            code.as_deref(),
            format.epoch,
        );
        let all_struck = style.is_some_and(|id| format.styles.is_struck(id)).then(|| cell.text.to_string());
        let struck = (!struck.is_empty()).then(|| struck.to_owned()).or(all_struck);
        let computed = open.formula.as_deref().is_some_and(refers_to_cells);
        Some(Cell { struck, computed, ..cell })
    }

    /// The style that applies: of the cell, else of the row, the column, the table, else the default.
    fn style<'a>(&'a self, open: &'a Open) -> Option<&'a str> {
        let inherited =
            || self.row_style.as_deref().or_else(|| self.column_styles.get(&open.column).map(String::as_str));
        open.style.as_deref().or_else(inherited).or(self.table_style.as_deref()).or(Some("Default"))
    }
}

struct Value<'a> {
    row: u32,
    column: u32,
    kind: &'a str,
    text: &'a str,
}

/// The value by its declared type; what does not fit its type stays the text that it is.
fn typed(value: &Value<'_>, code: Option<&str>, epoch: Epoch) -> Cell {
    let Value { row, column, kind, text } = *value;
    let plain =
        Cell { format: code.filter(|code| *code != "General").map(Into::into), ..Cell::text(row, column, text) };
    match kind {
        "Number" => match text.parse::<f64>() {
            Ok(number) if number.is_finite() => number_cell(row, column, number, code, epoch),
            _ => plain,
        },
        "DateTime" => {
            let Some(serial) = serial(text, epoch) else { return plain };
            let shown = number_cell(row, column, serial, code, epoch);
            if matches!(shown.content, Content::Number(_)) {
                Cell { format: None, ..number_cell(row, column, serial, Some("yyyy-mm-dd"), epoch) }
            } else {
                shown
            }
        }
        "Boolean" => {
            let is_true = text == "1" || text.eq_ignore_ascii_case("true");
            let word = if is_true { "TRUE" } else { "FALSE" };
            Cell { content: Content::Bool(is_true), text: word.into(), ..plain }
        }
        "Error" => Cell { content: Content::Error, ..plain },
        _ => plain,
    }
}
