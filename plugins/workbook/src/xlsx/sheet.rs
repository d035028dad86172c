//! A worksheet part, in one pass.

use std::io::BufRead;

use windrow_source::spreadsheet::budget::{Budget, check_column};
use windrow_source::spreadsheet::draft::Draft;
use windrow_source::spreadsheet::remarks::{Remark, Remarks};
use windrow_source::spreadsheet::style::{Place, Style};
use windrow_source::{Grid, Limits, ReadError};

use crate::package::Package;
use crate::xml::{Item, Tag, Xml};

use super::address;
use super::cell::{CellReader, Head};
use super::strings::Strings;
use super::workbook::{Book, truth};

/// What the cells of a sheet refer to, and where remarks go.
#[derive(Debug)]
pub(crate) struct Context<'c> {
    /// Name of the sheet.
    pub(crate) name: &'c str,
    /// The workbook part.
    pub(crate) book: &'c Book,
    /// Shared strings.
    pub(crate) strings: &'c Strings,
    /// Cell styles.
    pub(crate) styles: &'c [Style],
    /// Which fonts strike through, for runs of text in cells of the binary form.
    pub(crate) struck_fonts: &'c [bool],
    /// Limits.
    pub(crate) limits: &'c Limits,
    /// Remarks.
    pub(crate) remarks: &'c mut Remarks,
    /// What is left of the limits.
    pub(crate) budget: &'c mut Budget,
}

impl Context<'_> {
    /// Remarks on a cell, if there is something to remark.
    pub(crate) fn remark(&mut self, remark: Option<Remark>, place: Place) {
        if let Some(remark) = remark {
            self.remarks.cell(remark, self.name, place);
        }
    }
}

/// Reads a worksheet part.
pub(crate) fn read(package: &mut Package<'_>, part: &str, context: &mut Context<'_>) -> Result<Grid, ReadError> {
    let mut xml = package.xml(part)?;
    let mut pass = Pass::new(context);
    loop {
        match xml.next()? {
            Item::Open(tag) => match tag.name() {
                "c" => {
                    let head = Head::of(&tag)?;
                    pass.cell(&mut xml, &head)?;
                }
                "row" => pass.row(&tag)?,
                "col" => pass.column(&tag)?,
                "mergeCell" => pass.merge(&tag)?,
                _ => {}
            },
            Item::End => break,
            _ => {}
        }
    }
    let draft = pass.draft;
    draft.finish(context.budget, context.remarks)
}

struct Pass<'p, 'c> {
    context: &'p mut Context<'c>,
    cells: CellReader,
    draft: Draft,
    /// Row of the cells to come, and column of the next one without an address.
    next: Place,
    next_row: u32,
}

impl<'p, 'c> Pass<'p, 'c> {
    fn new(context: &'p mut Context<'c>) -> Self {
        let draft = Draft::new(context.name);
        Self { context, cells: CellReader::default(), draft, next: (0, 0), next_row: 0 }
    }

    fn row(&mut self, tag: &Tag<'_>) -> Result<(), ReadError> {
        let (mut row, mut hidden) = (self.next_row, false);
        for attribute in tag.attributes() {
            match attribute? {
                ("r", value) => row = value.parse::<u32>().ok().and_then(|row| row.checked_sub(1)).unwrap_or(row),
                ("hidden", value) => hidden |= truth(&value),
                ("ht", value) => hidden |= value.parse() == Ok(0.0),
                _ => {}
            }
        }
        if hidden {
            self.draft.hidden_rows.add(row, row);
        }
        self.next = (row, 0);
        self.next_row = row.saturating_add(1);
        Ok(())
    }

    fn column(&mut self, tag: &Tag<'_>) -> Result<(), ReadError> {
        let (mut first, mut last, mut hidden) = (0_u32, 0_u32, false);
        for attribute in tag.attributes() {
            match attribute? {
                ("min", value) => first = value.parse().unwrap_or(0),
                ("max", value) => last = value.parse().unwrap_or(0),
                ("hidden", value) => hidden |= truth(&value),
                ("width", value) => hidden |= value.parse() == Ok(0.0),
                _ => {}
            }
        }
        if let (true, Some(first), Some(last)) = (hidden, first.checked_sub(1), last.checked_sub(1)) {
            self.draft.hidden_columns.add(first, last);
        }
        Ok(())
    }

    fn merge(&mut self, tag: &Tag<'_>) -> Result<(), ReadError> {
        match tag.attribute("ref")?.as_deref().and_then(address::area) {
            Some(area) => self.draft.merge(area, self.context.budget),
            None => Ok(()),
        }
    }

    fn cell<R: BufRead>(&mut self, xml: &mut Xml<R>, head: &Head) -> Result<(), ReadError> {
        let place = head.address.unwrap_or(self.next);
        check_column(self.context.name, place, self.context.limits)?;
        self.next = (place.0, place.1.saturating_add(1));
        if let Some(cell) = self.cells.read(xml, head, place, self.context)? {
            self.context.budget.take(&cell)?;
            self.draft.put(cell);
        }
        Ok(())
    }
}
