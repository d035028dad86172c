//! A table of the content, row after row.

use std::io::BufRead;

use windrow_source::spreadsheet::draft::Draft;
use windrow_source::spreadsheet::hidden::Spans;
use windrow_source::{Area, Cell, Grid, ReadError};

use crate::xml::{Item, Tag, Xml};

use super::Context;
use super::row::{self, Row};

/// What the element of a table says.
#[derive(Debug, Default)]
pub(crate) struct Sheet {
    name: String,
    style: String,
}

/// Columns as declared, before the rows.
#[derive(Debug, Default)]
pub(crate) struct Columns {
    next: u32,
    hidden: Spans,
    /// Ends of spans of columns, and the style of their cells that have none.
    styles: Vec<(u32, String)>,
}

impl Sheet {
    /// Reads the attributes of the element.
    pub(crate) fn of(tag: &Tag<'_>) -> Result<Self, ReadError> {
        let mut sheet = Self::default();
        for attribute in tag.attributes() {
            match attribute? {
                ("name", value) => sheet.name = value.into_owned(),
                ("style-name", value) => sheet.style = value.into_owned(),
                _ => {}
            }
        }
        Ok(sheet)
    }
}

impl Columns {
    fn add(&mut self, tag: &Tag<'_>) -> Result<(), ReadError> {
        let (mut count, mut hidden, mut style) = (1, false, None);
        for attribute in tag.attributes() {
            match attribute? {
                ("number-columns-repeated", value) => count = value.parse().unwrap_or(1),
                ("visibility", value) => hidden = hides(&value),
                ("default-cell-style-name", value) => style = Some(value.into_owned()),
                _ => {}
            }
        }
        let end = self.next.saturating_add(count);
        if hidden && count > 0 {
            self.hidden.add(self.next, end - 1);
        }
        self.styles.push((end, style.unwrap_or_default()));
        self.next = end;
        Ok(())
    }

    /// Name of the style of the cells of a column that have none, blank if the column has none either; and where it ends.
    pub(crate) fn style(&self, column: u32) -> (&str, u32) {
        let index = self.styles.partition_point(|(end, _)| *end <= column);
        self.styles.get(index).map_or(("", u32::MAX), |(end, style)| (style, *end))
    }
}

/// Whether a row or column is not shown; filtered ones are not either.
fn hides(visibility: &str) -> bool {
    visibility == "collapse" || visibility == "filter"
}

/// Reads the table just opened.
pub(crate) fn read<R: BufRead>(xml: &mut Xml<R>, sheet: &Sheet, context: &mut Context<'_>) -> Result<Grid, ReadError> {
    let hidden = context.styles.hides(&sheet.style);
    context.sheet.clone_from(&sheet.name);
    let mut draft = Draft::new(&sheet.name);
    let (mut columns, mut next_row, mut groups) = (Columns::default(), 0_u32, 0_usize);
    loop {
        match xml.next()? {
            Item::Open(tag) => match tag.name() {
                "table-column" => {
                    columns.add(&tag)?;
                    xml.skip()?;
                }
                "table-row" => {
                    let head = row::Head::of(&tag)?;
                    let row = row::read(xml, &head, (next_row, &columns), context)?;
                    if hides(&head.visibility) && head.repeated > 0 {
                        draft.hidden_rows.add(next_row, next_row.saturating_add(head.repeated - 1));
                    }
                    repeat(&mut draft, row, head.repeated, context)?;
                    next_row = next_row.saturating_add(head.repeated);
                }
                // Groups hold rows or columns and say nothing of their own; all else is not cells.
                name if is_group(name) => groups += 1,
                _ => xml.skip()?,
            },
            Item::Close if groups == 0 => break,
            Item::Close => groups -= 1,
            Item::End => break,
            Item::Text(_) | Item::Aside => {}
        }
    }
    draft.hidden_columns = columns.hidden;
    Ok(Grid { hidden, ..draft.finish(&mut context.budget, &mut context.remarks)? })
}

fn is_group(name: &str) -> bool {
    matches!(
        name,
        "table-row-group"
            | "table-rows"
            | "table-header-rows"
            | "table-column-group"
            | "table-columns"
            | "table-header-columns"
    )
}

/// Puts a row into the sheet as often as it is repeated; a blank one costs nothing.
fn repeat(draft: &mut Draft, row: Row, count: u32, context: &mut Context<'_>) -> Result<(), ReadError> {
    let Some(more) = count.checked_sub(1).filter(|_| !row.is_blank()) else { return Ok(()) };
    for cell in &row.cells {
        context.budget.take_many(cell, more as usize)?;
    }
    for down in 1..=more {
        for cell in &row.cells {
            draft.put(Cell { row: cell.row.saturating_add(down), ..cell.clone() });
        }
    }
    for area in &row.merges {
        for down in 0..=more {
            let (top, bottom) = (area.top.saturating_add(down), area.bottom.saturating_add(down));
            draft.merge(Area { top, bottom, ..*area }, &mut context.budget)?;
        }
    }
    row.cells.into_iter().for_each(|cell| draft.put(cell));
    Ok(())
}
