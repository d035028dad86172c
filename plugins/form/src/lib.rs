//! Form: one form a test.
//!
//! # What it reads
//! Label and value pairs, side by side or below each other, one form a sheet or several at a pitch; and the small table
//! of connections and readings that such forms hold.
//!
//! # How it is recognised
//! By readings that take machine and date from pairs of the block, without a series of times.
//!
//! # What is lost
//! Boxes to tick and signatures.

mod claim;

use windrow_importer::ImporterPlugin;
use windrow_source::Maturity;

inventory::submit! {
    ImporterPlugin {
        id: "form",
        title: "Form",
        summary: "One form a test: labels with their values, and a small table of connections at most.",
        version: "1",
        since: "0.1.0",
        maturity: Maturity::Candidate,
        reads: &["label and value pairs", "form with a table of connections", "certificate"],
        claim: claim::claim,
    }
}
