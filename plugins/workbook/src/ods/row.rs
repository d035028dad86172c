//! A row of a table: its cells in turn, each perhaps repeated.

use std::io::BufRead;

use windrow_source::spreadsheet::budget::check_column;
use windrow_source::spreadsheet::style::Place;
use windrow_source::{Area, Cell, ReadError};

use crate::xml::{Item, Tag, Xml};

use super::Context;
use super::cell::{self, Body};
use super::table::Columns;

/// What the element of a row says.
#[derive(Debug)]
pub(crate) struct Head {
    /// How many rows it stands for.
    pub(crate) repeated: u32,
    /// `visible`, `collapse` or `filter`.
    pub(crate) visibility: String,
    /// Style of the cells that have none.
    style: String,
}

impl Head {
    /// Reads the attributes.
    pub(crate) fn of(tag: &Tag<'_>) -> Result<Self, ReadError> {
        let mut head = Self { repeated: 1, visibility: String::new(), style: String::new() };
        for attribute in tag.attributes() {
            match attribute? {
                ("number-rows-repeated", value) => head.repeated = value.parse().unwrap_or(1),
                ("visibility", value) => head.visibility = value.into_owned(),
                ("default-cell-style-name", value) => head.style = value.into_owned(),
                _ => {}
            }
        }
        Ok(head)
    }
}

/// A row as read.
#[derive(Debug, Default)]
pub(crate) struct Row {
    /// Cells that are not empty.
    pub(crate) cells: Vec<Cell>,
    /// Merged areas that begin in it.
    pub(crate) merges: Vec<Area>,
}

impl Row {
    /// Whether nothing is in it.
    pub(crate) fn is_blank(&self) -> bool {
        self.cells.is_empty() && self.merges.is_empty()
    }
}

/// Reads the row just opened, which is number `row`.
pub(crate) fn read<R: BufRead>(
    xml: &mut Xml<R>,
    head: &Head,
    (number, columns): (u32, &Columns),
    context: &mut Context<'_>,
) -> Result<Row, ReadError> {
    let (mut row, mut column) = (Row::default(), 0_u32);
    loop {
        match xml.next()? {
            Item::Open(tag) if matches!(tag.name(), "table-cell" | "covered-table-cell") => {
                let cell = cell::Head::of(&tag)?;
                row.merges.extend(cell.merged((number, column)));
                let body = cell::read(xml, context)?;
                if !body.is_empty(&cell) {
                    row.add((&cell, &body), (number, column), (head, columns), context)?;
                }
                column = column.saturating_add(cell.repeated);
            }
            Item::Open(_) => xml.skip()?,
            Item::Close | Item::End => return Ok(row),
            Item::Text(_) | Item::Aside => {}
        }
    }
}

impl Row {
    /// Adds a cell as often as it is repeated. Without a style of its own it has that of its row or of each column.
    fn add(
        &mut self,
        (cell, body): (&cell::Head, &Body),
        (number, first): Place,
        (head, columns): (&Head, &Columns),
        context: &mut Context<'_>,
    ) -> Result<(), ReadError> {
        let own = [&cell.style, &head.style].into_iter().find(|style| !style.is_empty());
        let end = first.saturating_add(cell.repeated);
        let mut column = first;
        while column < end {
            let (style, next) = match own {
                Some(style) => (style.as_str(), end),
                None => columns.style(column),
            };
            let count = next.min(end) - column;
            if let Some(made) = cell::make((cell, body), style, (number, column), context) {
                self.repeat(made, count, context)?;
            }
            column += count;
        }
        Ok(())
    }

    fn repeat(&mut self, cell: Cell, count: u32, context: &mut Context<'_>) -> Result<(), ReadError> {
        let more = count.saturating_sub(1);
        check_column(&context.sheet, (cell.row, cell.column.saturating_add(more)), context.limits)?;
        context.budget.take_many(&cell, count as usize)?;
        self.cells.extend((1..=more).map(|right| Cell { column: cell.column + right, ..cell.clone() }));
        self.cells.push(cell);
        Ok(())
    }
}
