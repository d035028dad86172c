//! From what a source tells to table rows: SI values with UCUM codes, bounds kept, ids over natural keys, and the derivation
//! of every number; then, once the machine is known, the value at the common temperature.
//!
//! This crate must **not** know files or sheets beyond the places that it carries along. It never overwrites: the text as it
//! stood stays beside the value, and without a temperature the corrected value is absent with a reason.

mod cells;
mod correct;
mod source;
mod test;

pub use correct::correct;
pub use source::source_row;

use windrow_model::raw::Understood;
use windrow_model::{CellRow, Hold, Reading, SourceRow, Test};

/// Rows of one source; machines are filled in by identity.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Normalized {
    /// Tests, one for each of [`Understood::tests`], in its order.
    pub tests: Vec<Test>,
    /// Readings of all tests.
    pub readings: Vec<Reading>,
    /// One row a non-empty cell.
    pub cells: Vec<CellRow>,
    /// Questions.
    pub holds: Vec<Hold>,
    /// The source itself.
    pub source: Option<SourceRow>,
}

/// Turns one source into rows of the import `import_id`; `origin` is the folder or file that the import was given.
#[must_use]
pub fn normalize(understood: &Understood, origin: &str, import_id: &str) -> Normalized {
    let mut normalized = Normalized::default();
    for raw in &understood.tests {
        let (test, readings) = test::rows(raw, &understood.source_file, import_id);
        normalized.tests.push(test);
        normalized.readings.extend(readings);
    }
    normalized.cells = cells::rows(understood, import_id, &normalized.tests);
    normalized.holds = cells::holds(understood, import_id);
    normalized.source = Some(source_row(understood, origin));
    normalized
}

#[cfg(test)]
mod tests;
