//! Machine register: a list of machines with their nameplates.
//!
//! # What it reads
//! Tables with one machine a row (tag, serial number, site, maker, rating) and no readings. Other sources find their
//! machines through it.
//!
//! # How it is recognised
//! By rows that name machines, nameplate columns, and no reading.
//!
//! # What is lost
//! Columns of nameplates that the schema does not hold.

mod claim;

use windrow_importer::ImporterPlugin;
use windrow_source::Maturity;

inventory::submit! {
    ImporterPlugin {
        id: "machine-register",
        title: "Machine register",
        summary: "A list of machines with their nameplates, without readings.",
        version: "1",
        since: "0.1.0",
        maturity: Maturity::Candidate,
        reads: &["register", "nameplate list"],
        claim: claim::claim,
    }
}
