//! A sheet of cells.

use windrow_source::spreadsheet::budget::Budget;
use windrow_source::spreadsheet::draft::Draft;
use windrow_source::spreadsheet::remarks::{Remark, Remarks};
use windrow_source::spreadsheet::style::Place;
use windrow_source::{Area, Grid, Limits, ReadError};

use crate::globals::Globals;
use crate::note::Notes;
use crate::record::{EOF, Record, Records};
use crate::version::{Version, is_beginning};

/// A sheet being read.
#[derive(Debug)]
pub(crate) struct Sheet<'c> {
    pub(crate) globals: &'c mut Globals,
    pub(crate) limits: &'c Limits,
    pub(crate) budget: &'c mut Budget,
    pub(crate) remarks: &'c mut Remarks,
    pub(crate) name: String,
    pub(crate) draft: Draft,
    /// Index of a style that does not fit into the next cell (Excel 2).
    pub(crate) long_index: Option<u16>,
    /// Whether the cell being put comes from a formula that refers to other cells.
    pub(crate) is_computed: bool,
    /// Cells whose style is not there.
    pub(crate) without_style: usize,
    notes: Notes,
}

/// What is at hand for reading sheets.
#[derive(Debug)]
pub(crate) struct Desk<'c> {
    /// What all sheets share.
    pub(crate) globals: Globals,
    /// Bounds.
    pub(crate) limits: &'c Limits,
    /// What is left of them.
    pub(crate) budget: Budget,
    /// What a person should know.
    pub(crate) remarks: Remarks,
}

/// Where a sheet finds its styles.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Definitions {
    /// In the globals.
    Shared,
    /// Among its own records.
    Own,
}

impl Desk<'_> {
    /// Reads a sheet up to its end, its first record being read already.
    pub(crate) fn sheet(
        &mut self,
        records: &mut Records<'_>,
        name: &str,
        definitions: Definitions,
    ) -> Result<Grid, ReadError> {
        let sheet = Sheet {
            globals: &mut self.globals,
            limits: self.limits,
            budget: &mut self.budget,
            remarks: &mut self.remarks,
            name: name.to_owned(),
            draft: Draft::new(name),
            long_index: None,
            is_computed: false,
            without_style: 0,
            notes: Notes::default(),
        };
        sheet.read(records, definitions)
    }
}

impl<'a> Sheet<'_> {
    fn read(mut self, records: &mut Records<'a>, definitions: Definitions) -> Result<Grid, ReadError> {
        let what = if self.name.is_empty() { "the sheet".to_owned() } else { format!("the sheet \"{}\"", self.name) };
        loop {
            let record = records.within(&what)?;
            match record.id {
                EOF => break,
                // A chart that lies on the sheet.
                id if is_beginning(id) => records.skip_substream(&what)?,
                _ if self.cell(record, records)? || self.layout(record)? || self.remark_on_cell(record, records)? => {}
                _ if definitions == Definitions::Own => self.globals.define(record, records)?,
                _ => {}
            }
        }
        self.finish(&what)
    }

    /// Takes in a record that hides or merges; tells whether it was one.
    fn layout(&mut self, record: Record<'_>) -> Result<bool, ReadError> {
        let mut fields = record.fields();
        match record.id {
            // A row of Excel 2 has only its height.
            0x0008 => {
                let row = u32::from(fields.u16()?);
                fields.take(4)?;
                if fields.u16()? == 0 {
                    self.draft.hidden_rows.add(row, row);
                }
            }
            0x0208 => {
                let row = u32::from(fields.u16()?);
                fields.take(10)?;
                if fields.u16()? & 0x20 != 0 {
                    self.draft.hidden_rows.add(row, row);
                }
            }
            0x0024 => {
                let (first, last) = (fields.u8()?, fields.u8()?);
                if fields.u16()? == 0 {
                    self.draft.hidden_columns.add(u32::from(first), u32::from(last));
                }
            }
            0x007D => {
                let (first, last) = (fields.u16()?, fields.u16()?);
                fields.take(4)?;
                if fields.u16()? & 1 != 0 {
                    self.draft.hidden_columns.add(u32::from(first), u32::from(last));
                }
            }
            0x0044 if self.globals.version == Version::Biff2 => self.long_index = Some(fields.u16()?),
            0x00E5 => self.merges(record)?,
            _ => return Ok(false),
        }
        Ok(true)
    }

    fn merges(&mut self, record: Record<'_>) -> Result<(), ReadError> {
        let mut fields = record.fields();
        for _ in 0..fields.u16()? {
            let mut next = || fields.u16().map(u32::from);
            let (top, bottom, left, right) = (next()?, next()?, next()?, next()?);
            if top <= bottom && left <= right {
                self.draft.merge(Area { top, left, bottom, right }, self.budget)?;
            }
        }
        Ok(())
    }

    /// Takes in a record of a note; tells whether it was one.
    fn remark_on_cell(&mut self, record: Record<'a>, records: &mut Records<'a>) -> Result<bool, ReadError> {
        match record.id {
            0x001C => self.notes.note(record, self.globals.version)?,
            0x005D => self.notes.object(record),
            0x01B6 => self.notes.text(record, records)?,
            _ => return Ok(false),
        }
        Ok(true)
    }

    /// Remarks on a cell.
    pub(crate) fn remark(&mut self, remark: Remark, place: Place) {
        self.remarks.cell(remark, &self.name, place);
    }

    fn finish(self, what: &str) -> Result<Grid, ReadError> {
        if self.without_style > 0 {
            let count = self.without_style;
            self.remarks
                .plain(format!("{count} cells of {what} name a style that is not there: dates among them are numbers"));
        }
        let mut grid = self.draft.finish(self.budget, self.remarks)?;
        self.notes.hang(&mut grid, self.globals, self.remarks);
        Ok(grid)
    }
}
