//! Surge table: surge comparison by pair of phases.
//!
//! # What it reads
//! Tables of surge peak voltages and differences, pairs of phases down or across, one machine a table or one machine a
//! row.
//!
//! # How it is recognised
//! By its quantities, which no other layout holds.
//!
//! # What is lost
//! Pictures of waves.

mod claim;

use windrow_importer::ImporterPlugin;
use windrow_source::Maturity;

inventory::submit! {
    ImporterPlugin {
        id: "surge-table",
        title: "Surge table",
        summary: "Surge comparison: peak voltage and difference of the responses by pair of phases.",
        version: "1",
        since: "0.1.0",
        maturity: Maturity::Candidate,
        reads: &["pairs down", "pairs across"],
        claim: claim::claim,
    }
}
