//! From what a source tells to table rows: SI values with UCUM codes, bounds kept, ids over natural keys, and the derivation
//! of every number; then, once the machine is known, the value at the common temperature.
//!
//! This crate must **not** know files or sheets beyond the places that it carries along. It never overwrites: the text as it
//! stood stays beside the value, and without a temperature the corrected value is absent with a reason.

mod cells;
mod correct;
mod ids;
mod phrases;
mod reported;
mod source;
mod test;
mod waveform;

pub use cells::AssetCell;
pub use correct::correct;
pub use source::{Location, source_row};

use crate::ids::Ids;
use crate::phrases::Phrases;
use windrow_model::raw::Understood;
use windrow_model::{CellRow, Hold, Reading, ReportedFigure, SourceRow, Test, Text, Waveform};

/// Rows of one source; machines are filled in by identity.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Normalized {
    /// Tests, one for each of [`Understood::tests`], in its order.
    pub tests: Vec<Test>,
    /// Readings of all tests.
    pub readings: Vec<Reading>,
    /// Waveforms of all tests.
    pub waveforms: Vec<Waveform>,
    /// Figures that the source computed.
    pub reported_figures: Vec<ReportedFigure>,
    /// One row a non-empty cell.
    pub cells: Vec<CellRow>,
    /// The cells that told fields of machines; [`name_asset_cells`] completes their targets.
    pub asset_cells: Vec<AssetCell>,
    /// Questions.
    pub holds: Vec<Hold>,
    /// The source itself.
    pub source: Option<SourceRow>,
}

/// Turns one source, which lies where `location` says, into rows of the import `import_id`.
#[must_use]
pub fn normalize(understood: &Understood, location: Location<'_>, import_id: &Text) -> Normalized {
    let ids = Ids::of(understood);
    let mut normalized = Normalized {
        cells: cells::rows(understood, import_id, &ids),
        asset_cells: cells::of_assets(understood),
        holds: cells::holds(understood, import_id),
        waveforms: waveform::rows(understood, &ids),
        source: Some(source_row(understood, location)),
        ..Normalized::default()
    };
    let (file, mut phrases) = (Text::new(&understood.source_file), Phrases::default());
    let source = test::Source { file: &file, import_id };
    for (raw, (test_id, reading_ids)) in understood.tests.iter().zip(ids.iter()) {
        normalized.tests.push(test::test_row(raw, test_id, source));
        normalized.readings.extend(test::reading_rows(raw, test_id, reading_ids, source, &mut phrases));
        normalized
            .reported_figures
            .extend(raw.derived.iter().map(|figure| reported::row(figure, test_id, source.file)));
    }
    normalized
}

/// Names the targets of cells that told fields of machines; `asset_of` gives the machine of each of
/// [`Understood::machines`].
pub fn name_asset_cells<'a>(normalized: &mut Normalized, asset_of: impl Fn(usize) -> Option<&'a str>) {
    for told in &normalized.asset_cells {
        if let (Some(cell), Some(asset)) = (normalized.cells.get_mut(told.cell), asset_of(told.mention)) {
            cell.target = Some(format!("assets/{asset}/{}", told.column).into());
        }
    }
}

#[cfg(test)]
mod tests;
