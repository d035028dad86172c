//! Log, one row a test: one row a test, machine and date in the row.
//!
//! # What it reads
//! Tables in which every row tells its machine and date (or leaves them blank for "as above"), and the columns tell
//! quantity, phase, time and unit.
//!
//! # How it is recognised
//! By where the readings take their machine and date from: the row, and never a column header.
//!
//! # What is lost
//! Nothing; columns that are not understood are listed cell by cell.

mod claim;

use windrow_importer::ImporterPlugin;
use windrow_source::Maturity;

inventory::submit! {
    ImporterPlugin {
        id: "row-log",
        title: "Log, one row a test",
        summary: "One row a test: machine and date stand in the row, quantities over the columns.",
        version: "1",
        since: "0.1.0",
        maturity: Maturity::Candidate,
        reads: &["log with one header line", "log with group headers and a unit row", "long list, one reading a row", "transposed log"],
        claim: claim::claim,
    }
}
