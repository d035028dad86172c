//! How much an import left in the fleet: what the closing summary says of it, without the rows themselves.

use crate::questions;
use std::collections::{BTreeMap, BTreeSet};
use windrow_model::{Disposition, SourceRow};
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
    cells: BTreeMap<String, usize>,
    pub(crate) sources: Vec<SourceRow>,
}

impl Totals {
    pub(crate) fn of(rows: &Rows) -> Self {
        let sites: BTreeSet<&str> = rows.assets.iter().filter_map(|asset| asset.site.as_deref()).collect();
        let mut cells: BTreeMap<String, usize> = BTreeMap::new();
        for cell in &rows.cells {
            match cells.get_mut(&cell.disposition) {
                Some(count) => *count += 1,
                None => {
                    cells.insert(cell.disposition.clone(), 1);
                }
            }
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
