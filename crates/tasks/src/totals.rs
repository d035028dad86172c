//! How much an import left in the fleet: what the closing summary says of it, without the rows themselves.

use crate::questions;
use std::collections::{BTreeMap, BTreeSet};
use windrow_model::{Disposition, SourceRow, Text};
use windrow_pipeline::Rows;

/// Counts of a fleet's rows.
#[derive(Debug)]
pub struct Totals {
    /// Machines.
    pub machines: usize,
    /// Sites that machines tell.
    pub sites: usize,
    /// Tests.
    pub tests: usize,
    /// Readings.
    pub readings: usize,
    /// Waveforms.
    pub waveforms: usize,
    /// Questions as `windrow holds` lists them: one for each cause.
    pub questions: usize,
    cells: BTreeMap<Text, usize>,
    /// Files met.
    pub sources: Vec<SourceRow>,
}

impl Totals {
    /// Counts `rows`.
    #[must_use]
    pub fn of(rows: &Rows) -> Self {
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
    #[must_use]
    pub fn cells(&self, disposition: Disposition) -> usize {
        self.cells.get(disposition.code()).copied().unwrap_or(0)
    }

    /// All cells that are not empty.
    #[must_use]
    pub fn all_cells(&self) -> usize {
        self.cells.values().sum()
    }
}
