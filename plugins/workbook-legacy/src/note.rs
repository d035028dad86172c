//! Notes on cells: in one piece or several up to Excel 95; after that as text boxes that are tied to cells by a number.

use std::collections::BTreeMap;

use windrow_source::spreadsheet::remarks::Remarks;
use windrow_source::spreadsheet::style::Place;
use windrow_source::{Grid, ReadError};

use crate::globals::Globals;
use crate::record::{Record, Records};
use crate::string::Parts;
use crate::version::Version;

/// Type of a drawn object that is a note.
const NOTE_OBJECT: u16 = 0x0019;

/// Notes of a sheet.
#[derive(Debug, Default)]
pub(crate) struct Notes {
    /// The note that is being drawn.
    object: Option<u16>,
    /// Texts by the number of the object.
    texts: BTreeMap<u16, String>,
    /// Cells by the number of the object.
    cells: Vec<(Place, u16)>,
    /// Letters, for releases before Unicode.
    bytes: Vec<(Place, Vec<u8>)>,
}

impl Notes {
    /// Takes in an OBJ record.
    pub(crate) fn object(&mut self, record: Record<'_>) {
        let mut fields = record.fields();
        let mut next = || fields.u16().ok();
        let (sort, _length, kind, number) = (next(), next(), next(), next());
        self.object = number.filter(|_| sort == Some(0x0015) && kind == Some(NOTE_OBJECT));
    }

    /// Takes in a TXO record, the text of the object before it.
    pub(crate) fn text<'a>(&mut self, record: Record<'a>, records: &mut Records<'a>) -> Result<(), ReadError> {
        let Some(object) = self.object.take() else { return Ok(()) };
        let mut fields = record.fields();
        fields.take(10)?;
        let count = usize::from(fields.u16()?);
        let mut parts = records.continued(record)?;
        parts.remove(0);
        if count > 0 {
            self.texts.insert(object, Parts::new(record, parts, 0).letters(count)?);
        }
        Ok(())
    }

    /// Takes in a NOTE record.
    pub(crate) fn note(&mut self, record: Record<'_>, version: Version) -> Result<(), ReadError> {
        let mut fields = record.fields();
        let place = (u32::from(fields.u16()?), u32::from(fields.u16()?));
        if version == Version::Biff8 {
            fields.u16()?;
            self.cells.push((place, fields.u16()?));
            return Ok(());
        }
        // The first record tells the length of all of the note; records that go on with it point nowhere and tell their own.
        let length = usize::from(fields.u16()?);
        let piece = fields.rest().get(..length).unwrap_or(fields.rest());
        match self.bytes.last_mut() {
            Some((_, bytes)) if place.0 == 0xFFFF => bytes.extend_from_slice(piece),
            _ => self.bytes.push((place, piece.to_vec())),
        }
        Ok(())
    }

    /// Hangs the notes on their cells.
    pub(crate) fn hang(mut self, grid: &mut Grid, globals: &Globals, remarks: &mut Remarks) {
        let mut notes: Vec<(Place, String)> = Vec::new();
        for (place, object) in self.cells {
            notes.extend(self.texts.remove(&object).map(|text| (place, text)));
        }
        notes
            .extend(self.bytes.into_iter().map(|(place, bytes)| (place, globals.encoding.decode(&bytes).into_owned())));
        for (place, note) in notes.into_iter().filter(|(_, note)| !note.trim().is_empty()) {
            match grid.cells.binary_search_by_key(&place, |cell| (cell.row, cell.column)) {
                Ok(index) => grid.cells[index].note = Some(note),
                Err(_) => remarks.stray_note(grid.name.as_deref().unwrap_or_default(), place, &note),
            }
        }
    }
}
