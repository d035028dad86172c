//! A row of a table: its cells in turn, each perhaps repeated.

use std::io::BufRead;

use windrow_source::{Area, Cell, ReadError};

use crate::budget::check_column;
use crate::xml::{Item, Tag, Xml};

use super::Context;
use super::cell;
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
                let mut cell = cell::Head::of(&tag)?;
                if cell.style.is_empty() {
                    let style = if head.style.is_empty() { columns.style(column) } else { &head.style };
                    style.clone_into(&mut cell.style);
                }
                let place = (number, column);
                row.merges.extend(cell.merged(place));
                let found = cell::read(xml, &cell, place, context)?;
                row.add(found, cell.repeated, context)?;
                column = column.saturating_add(cell.repeated);
            }
            Item::Open(_) => xml.skip()?,
            Item::Close | Item::End => return Ok(row),
            Item::Text(_) | Item::Aside => {}
        }
    }
}

impl Row {
    fn add(&mut self, found: Option<Cell>, repeated: u32, context: &mut Context<'_>) -> Result<(), ReadError> {
        let Some(cell) = found else { return Ok(()) };
        let Some(more) = repeated.checked_sub(1) else { return Ok(()) };
        check_column(&context.sheet, (cell.row, cell.column.saturating_add(more)), context.limits)?;
        context.budget.take_many(&cell, repeated as usize)?;
        self.cells.extend((1..=more).map(|right| Cell { column: cell.column + right, ..cell.clone() }));
        self.cells.push(cell);
        Ok(())
    }
}
