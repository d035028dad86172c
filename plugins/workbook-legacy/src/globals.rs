//! What all sheets share: version, styles, strings, the calendar and the list of sheets.

use std::rc::Rc;

use windrow_source::encoding::Encoding;
use windrow_source::number_format::Epoch;
use windrow_source::{ReadError, Refusal};

use crate::record::{Record, Records};
use crate::string::{Parts, Rich, short_bytes};
use crate::styles::Styles;
use crate::version::Version;

/// Kind of a sheet as the list of sheets tells it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum SheetKind {
    /// Cells.
    Cells,
    /// A chart.
    Chart,
    /// Macros or a program.
    Program,
}

/// A sheet in the list of sheets.
#[derive(Debug)]
pub(crate) struct Entry {
    /// Name.
    pub(crate) name: String,
    /// Where its first record stands.
    pub(crate) offset: usize,
    /// Whether it is hidden.
    pub(crate) hidden: bool,
    /// Kind.
    pub(crate) kind: SheetKind,
}

/// What was told so far.
#[derive(Debug)]
pub(crate) struct Globals {
    /// Version.
    pub(crate) version: Version,
    /// Encoding of byte texts.
    pub(crate) encoding: Encoding,
    /// Day that dates count from.
    pub(crate) epoch: Epoch,
    /// Styles.
    pub(crate) styles: Styles,
    /// Strings that cells share.
    pub(crate) strings: Rc<Vec<Rich>>,
    /// Sheets.
    pub(crate) sheets: Vec<Entry>,
}

impl Globals {
    /// Nothing but the version and the encoding.
    pub(crate) fn new(version: Version, encoding: Encoding) -> Self {
        Self {
            version,
            encoding,
            epoch: Epoch::default(),
            styles: Styles::default(),
            strings: Rc::default(),
            sheets: Vec::new(),
        }
    }

    /// Takes in a record that defines something; others are passed over.
    pub(crate) fn define<'a>(&mut self, record: Record<'a>, records: &mut Records<'a>) -> Result<(), ReadError> {
        match record.id {
            0x002F => return Err(encrypted()),
            0x0022 if record.fields().u16()? == 1 => self.epoch = Epoch::Y1904,
            0x0031 | 0x0231 => self.styles.define_font(record, self.version, self.encoding)?,
            0x001E | 0x041E => self.styles.define_format(record, self.version, self.encoding)?,
            0x0043 | 0x0243 | 0x0443 | 0x00E0 => self.styles.define_style(record, self.version)?,
            0x0085 => self.sheets.push(self.entry(record)?),
            0x00FC => self.strings = Rc::new(strings(record, records)?),
            _ => {}
        }
        Ok(())
    }

    fn entry(&self, record: Record<'_>) -> Result<Entry, ReadError> {
        let mut fields = record.fields();
        let offset = usize::try_from(fields.u32()?).unwrap_or(usize::MAX);
        let hidden = fields.u8()? & 3 != 0;
        let kind = match fields.u8()? {
            0 => SheetKind::Cells,
            2 => SheetKind::Chart,
            _ => SheetKind::Program,
        };
        let name = if self.version == Version::Biff8 {
            let length = usize::from(fields.u8()?);
            Parts::new(record, vec![fields.rest()], 0).letters(length)?
        } else {
            short_bytes(&mut fields, self.encoding)?
        };
        Ok(Entry { name, offset, hidden, kind })
    }
}

/// The strings that cells share.
fn strings<'a>(record: Record<'a>, records: &mut Records<'a>) -> Result<Vec<Rich>, ReadError> {
    let mut fields = record.fields();
    let (_uses, count) = (fields.u32()?, fields.u32()?);
    let mut parts = Parts::new(record, records.continued(record)?, 8);
    let mut strings = Vec::new();
    for _ in 0..count {
        // Some programs count strings that they did not write: a cell that wants one is then an error, the count is not.
        if parts.is_at_end() {
            break;
        }
        strings.push(parts.rich()?);
    }
    Ok(strings)
}

fn encrypted() -> ReadError {
    ReadError::new(
        Refusal::Encrypted,
        "the workbook is password-protected",
        "open it with its password, remove the protection, save it and import the copy",
    )
}
