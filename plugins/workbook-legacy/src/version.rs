//! Versions of the record stream, and kinds of its parts.

use crate::record::Record;

/// A version of the format, by the release that first wrote it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Version {
    /// Excel 2.
    Biff2,
    /// Excel 3.
    Biff3,
    /// Excel 4.
    Biff4,
    /// Excel 5 and 95.
    Biff5,
    /// Excel 97 and later.
    Biff8,
}

/// Kind of a substream.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Substream {
    /// What all sheets share.
    Globals,
    /// Sheets one after the other, each with its name before it (Excel 4).
    Workspace,
    /// A sheet of cells.
    Sheet,
    /// A sheet that is a chart, or a chart on a sheet.
    Chart,
    /// Macros or a program.
    Program,
}

const BEGINNINGS: [(u16, Version); 4] =
    [(0x0009, Version::Biff2), (0x0209, Version::Biff3), (0x0409, Version::Biff4), (0x0809, Version::Biff8)];

/// Whether a type of record begins a substream.
pub(crate) fn is_beginning(id: u16) -> bool {
    BEGINNINGS.iter().any(|(beginning, _)| *beginning == id)
}

/// Version and kind of the substream that a record begins; `None` if it begins none.
pub(crate) fn beginning(record: Record<'_>) -> Option<(Version, Substream)> {
    let (_, version) = BEGINNINGS.iter().find(|(beginning, _)| *beginning == record.id)?;
    let mut fields = record.fields();
    let (number, kind) = (fields.u16().ok()?, fields.u16().ok()?);
    let version = match (version, number) {
        (Version::Biff8, 0x0600) => Version::Biff8,
        (Version::Biff8, _) => Version::Biff5,
        (version, _) => *version,
    };
    let kind = match kind {
        0x0005 => Substream::Globals,
        0x0010 => Substream::Sheet,
        0x0020 => Substream::Chart,
        0x0006 | 0x0040 => Substream::Program,
        0x0100 => Substream::Workspace,
        _ => return None,
    };
    Some((version, kind))
}
