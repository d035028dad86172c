//! Reads a workbook stream, whatever its age.

use windrow_source::spreadsheet::budget::{Budget, too_many};
use windrow_source::spreadsheet::remarks::Remarks;
use windrow_source::{Grid, Input, Limits, ReadError, Refusal, Workbook};

use crate::code_page;
use crate::globals::{Entry, Globals, SheetKind};
use crate::record::{EOF, Records, damaged};
use crate::sheet::{Definitions, Desk};
use crate::stream;
use crate::string::short_bytes;
use crate::styles::Styles;
use crate::version::{Substream, Version, beginning};

/// Reads a workbook whole.
pub(crate) fn read(input: &Input<'_>, limits: &Limits) -> Result<Workbook, ReadError> {
    if input.bytes.is_empty() {
        return Err(ReadError::new(Refusal::Empty, "the file has no bytes", "restore it from where it was copied"));
    }
    let stream = stream::find(input)?;
    let mut records = Records::new(&stream);
    let first = records.next()?.and_then(beginning);
    let (version, kind) = first.ok_or_else(|| damaged(0, "it does not begin like a workbook"))?;
    let mut remarks = Remarks::default();
    let (encoding, note) = if version == Version::Biff8 {
        (windrow_source::encoding::WINDOWS_1252, None)
    } else {
        code_page::choose(Records::new(&stream))
    };
    if let Some(note) = note {
        remarks.plain(note);
    }
    let globals = Globals::new(version, encoding);
    let mut desk = Desk { globals, limits, budget: Budget::new(limits), remarks };
    let sheets = match kind {
        Substream::Globals => desk.book(&mut records)?,
        Substream::Workspace => desk.workspace(&mut records)?,
        Substream::Sheet => vec![Grid { name: None, ..desk.sheet(&mut records, "", Definitions::Own)? }],
        Substream::Chart | Substream::Program => {
            let advice = "if it belongs to a workbook with cells, import that";
            return Err(ReadError::new(Refusal::Unsupported, "it is a lone chart or macro sheet", advice));
        }
    };
    Ok(Workbook { sheets, notes: desk.remarks.into_lines(), ..Workbook::default() })
}

impl Desk<'_> {
    /// Globals with a list of sheets that stand elsewhere in the stream.
    fn book(&mut self, records: &mut Records<'_>) -> Result<Vec<Grid>, ReadError> {
        loop {
            let record = records.within("the part that all sheets share")?;
            match record.id {
                EOF => break,
                _ => self.globals.define(record, records)?,
            }
        }
        let entries = std::mem::take(&mut self.globals.sheets);
        if entries.len() > self.limits.sheets {
            return Err(too_many("sheets", entries.len(), self.limits.sheets));
        }
        let mut sheets = Vec::new();
        let mut read = Vec::new();
        for entry in &entries {
            sheets.extend(self.listed(entry, *records, &mut read)?);
        }
        Ok(sheets)
    }

    /// A sheet of the list; `None` for one without cells. `read` are the parts of the stream that were read as sheets.
    fn listed(
        &mut self,
        entry: &Entry,
        records: Records<'_>,
        read: &mut Vec<(usize, usize)>,
    ) -> Result<Option<Grid>, ReadError> {
        let name = &entry.name;
        let what = match entry.kind {
            SheetKind::Cells => None,
            SheetKind::Chart => Some("a chart"),
            SheetKind::Program => Some("a macro sheet"),
        };
        if let Some(what) = what {
            self.remarks.plain(format!("the sheet \"{name}\" is {what} and was passed over"));
            return Ok(None);
        }
        // Every sheet has its own part: lists that point into one part again and again are made to cost time.
        if read.iter().any(|(start, end)| (*start..*end).contains(&entry.offset)) {
            return Err(damaged(entry.offset, &format!("the sheet \"{name}\" stands within another one")));
        }
        let mut records = records.at(entry.offset);
        match records.next()?.and_then(beginning) {
            Some((_, Substream::Sheet)) => {}
            Some((_, Substream::Chart | Substream::Program)) => {
                self.remarks.plain(format!("the sheet \"{name}\" has no cells and was passed over"));
                return Ok(None);
            }
            _ => return Err(damaged(entry.offset, &format!("the sheet \"{name}\" does not begin here"))),
        }
        let mut grid = self.sheet(&mut records, name, Definitions::Shared)?;
        read.push((entry.offset, records.offset()));
        grid.hidden = entry.hidden;
        Ok(Some(grid))
    }

    /// Sheets one after the other, each with its name before it and its own styles.
    fn workspace(&mut self, records: &mut Records<'_>) -> Result<Vec<Grid>, ReadError> {
        let (mut sheets, mut name) = (Vec::new(), String::new());
        loop {
            let record = records.within("the workspace")?;
            match (record.id, beginning(record)) {
                (EOF, _) => return Ok(sheets),
                (0x008F, _) => {
                    let mut fields = record.fields();
                    fields.u32()?;
                    name = short_bytes(&mut fields, self.globals.encoding)?;
                }
                (_, Some((_, Substream::Sheet))) => {
                    self.globals.styles = Styles::default();
                    // Each has its own name before it; where damage took it away, the sheet has none.
                    let name = std::mem::take(&mut name);
                    let grid = self.sheet(records, &name, Definitions::Own)?;
                    sheets.push(Grid { name: (!name.is_empty()).then_some(name), ..grid });
                    if sheets.len() > self.limits.sheets {
                        return Err(too_many("sheets", sheets.len(), self.limits.sheets));
                    }
                }
                (_, Some(_)) => {
                    records.skip_substream("a chart or macro sheet")?;
                    self.remarks.plain(format!("the sheet \"{name}\" has no cells and was passed over"));
                }
                _ => self.globals.define(record, records)?,
            }
        }
    }
}
