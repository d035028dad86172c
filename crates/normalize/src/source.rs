//! A source in one row.

use windrow_model::raw::Understood;
use windrow_model::{Disposition, SourceRow};

/// Where a source lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Location<'a> {
    /// Folder or file that its import was given.
    pub origin: &'a str,
    /// The file; for a file of an archive, the archive.
    pub path: &'a str,
}

/// The row of `understood` in `sources`.
#[must_use]
pub fn source_row(understood: &Understood, location: Location<'_>) -> SourceRow {
    let count = |wanted: Disposition| {
        let cells = understood.cells.iter().filter(|cell| cell.disposition == wanted).count();
        i64::try_from(cells).unwrap_or(i64::MAX)
    };
    let joined = |mut texts: Vec<&str>, separator: &str| {
        texts.sort_unstable();
        texts.dedup();
        (!texts.is_empty()).then(|| texts.join(separator))
    };
    let claims = understood.regions.iter().filter(|region| region.importer.is_some());
    let notes = understood.reason.iter().chain(&understood.notes).map(String::as_str).collect();
    SourceRow {
        source_file: understood.source_file.clone(),
        origin: location.origin.to_owned(),
        path: location.path.to_owned(),
        blake3: understood.blake3.clone(),
        bytes: i64::try_from(understood.bytes).unwrap_or(i64::MAX),
        media_type: understood.media_type.clone(),
        reader: understood.reader.clone(),
        importer: joined(understood.regions.iter().filter_map(|region| region.importer.as_deref()).collect(), " "),
        importer_version: joined(
            understood.regions.iter().filter_map(|region| region.importer_version.as_deref()).collect(),
            " ",
        ),
        layout: joined(understood.regions.iter().map(|region| region.layout.as_str()).collect(), "; "),
        claimed_confidence: claims.map(|region| region.confidence).reduce(f64::min),
        cells_total: i64::try_from(understood.cells.len()).unwrap_or(i64::MAX),
        cells_value: count(Disposition::Value),
        cells_label: count(Disposition::Label),
        cells_derived: count(Disposition::Derived),
        cells_repeat: count(Disposition::Repeat),
        cells_decor: count(Disposition::Decor),
        cells_held: count(Disposition::Held),
        cells_unread: count(Disposition::Unread),
        status: understood.status.code().to_owned(),
        reason: joined(notes, "; "),
    }
}
