//! Reader of worksheets of the 1980s that are a stream of records (.wk1, .wks, .wr1).
//!
//! # What it reads
//! Numbers, labels and results of formulas with their number formats (dates and times among them), and hidden columns.
//!
//! # How it is recognised
//! By the first record, which begins the file and tells its version.
//!
//! # What is lost
//! Formulas, named ranges, graphs, settings for printing, and which error a formula ended in.

mod claim;
mod format;
mod label;
mod read;
mod record;
#[cfg(test)]
mod tests;

use windrow_source::{Maturity, ReaderPlugin};

inventory::submit! {
    ReaderPlugin {
        id: "wk1-sheet",
        title: "Worksheets of the 1980s",
        summary: "Worksheets that are a stream of records (.wk1, .wks), with dates and letters of old code pages.",
        version: "1",
        since: "0.1.0",
        maturity: Maturity::Candidate,
        reads: &["application/vnd.lotus-1-2-3", "application/x-wks"],
        companions: &[],
        claim: claim::claim,
        read: read::read,
    }
}
