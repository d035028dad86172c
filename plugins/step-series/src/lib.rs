//! Step voltage series: leakage current at rising direct voltage.
//!
//! # What it reads
//! Tables of leakage currents with the applied voltage in the row or over the column; computed resistances beside them
//! are recognised by Ohm's law.
//!
//! # How it is recognised
//! By leakage currents whose voltage differs from row to row or column to column.
//!
//! # What is lost
//! Step numbers.

mod claim;

use windrow_importer::ImporterPlugin;
use windrow_source::Maturity;

inventory::submit! {
    ImporterPlugin {
        id: "step-series",
        title: "Step voltage series",
        summary: "Leakage current at rising direct voltage, step by step.",
        version: "1",
        since: "0.1.0",
        maturity: Maturity::Candidate,
        reads: &["kilovolts down", "kilovolts across"],
        claim: claim::claim,
    }
}
