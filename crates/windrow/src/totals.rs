//! How much an import left in the fleet: what the closing summary says of it, without the rows themselves.

use crate::questions;
use std::collections::{BTreeMap, BTreeSet};
use windrow_model::{Disposition, SourceRow, Text};
use windrow_pipeline::Rows;

/// Counts of a fleet's rows.
pub(crate) struct Totals {
    pub(crate) machines: usize,
    pub(crate) sites: usize,
    pub(crate) tests: usize,
    pub(crate) readings: usize,
    pub(crate) waveforms: usize,
    /// Questions as `windrow holds` lists them: one for each cause.
    pub(crate) questions: usize,
    cells: BTreeMap<Text, usize>,
    pub(crate) sources: Vec<SourceRow>,
}

impl Totals {
    pub(crate) fn of(rows: &Rows) -> Self {
        let sites: BTreeSet<&str> = rows.assets.iter().filter_map(|asset| asset.site.as_deref()).collect();
        let mut cells: BTreeMap<Text, usize> = BTreeMap::new();
        for cell in &rows.cells {
            *cells.entry(cell.disposition.clone()).or_default() += 1;
        }
        Self {
            machines: rows.assets.len(),
            sites: sites.len(),
            tests: rows.tests.len(),
            readings: rows.readings.len(),
            waveforms: rows.waveforms.len(),
            questions: questions::groups(rows.holds.clone()).len(),
            cells,
            sources: rows.sources.clone(),
        }
    }

    /// Cells of one disposition.
    pub(crate) fn cells(&self, disposition: Disposition) -> usize {
        self.cells.get(disposition.code()).copied().unwrap_or(0)
    }

    /// All cells that are not empty.
    pub(crate) fn all_cells(&self) -> usize {
        self.cells.values().sum()
    }
}
