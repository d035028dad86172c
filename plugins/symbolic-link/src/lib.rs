//! Reader of spreadsheets as symbolic links (SYLK, .slk).
//!
//! # What it reads
//! Cells with their values, number formats (dates among them), formulas without a result, notes on cells, and columns and rows of no width.
//!
//! # How it is recognised
//! By its first record, which names the format, and the kind of the next.
//!
//! # What is lost
//! Fonts, colours, names of ranges, links to other files, and formulas that have a result.

mod claim;
mod escape;
mod format;
mod read;
mod record;
#[cfg(test)]
mod tests;

use windrow_source::{Maturity, ReaderPlugin};

inventory::submit! {
    ReaderPlugin {
        id: "symbolic-link",
        title: "Symbolic link spreadsheets",
        summary: "Spreadsheets as symbolic links (SYLK, .slk), with number formats, dates and notes.",
        version: "1",
        since: "0.1.0",
        maturity: Maturity::Candidate,
        reads: &["application/x-sylk", "text/x-sylk"],
        companions: &[],
        claim: claim::claim,
        read: read::read,
    }
}
