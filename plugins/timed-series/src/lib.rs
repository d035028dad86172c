//! Timed series: readings of one test at a series of times.
//!
//! # What it reads
//! Tables of one machine and date, told by pairs or a title, in which rows or columns tell the time since voltage was
//! applied.
//!
//! # How it is recognised
//! By times told by rows or columns while machine and date come from the block.
//!
//! # What is lost
//! Ratios computed by the sheet are kept for comparison, not as readings.

mod claim;

use windrow_importer::ImporterPlugin;
use windrow_source::Maturity;

inventory::submit! {
    ImporterPlugin {
        id: "timed-series",
        title: "Timed series",
        summary: "Readings of one test at a series of times: minutes down and phases across, or turned.",
        version: "1",
        since: "0.1.0",
        maturity: Maturity::Candidate,
        reads: &["minutes down, phases across", "minutes across", "polarization-index form"],
        claim: claim::claim,
    }
}
