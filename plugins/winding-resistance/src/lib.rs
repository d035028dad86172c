//! Winding resistance: direct-current resistance of the conductor.
//!
//! # What it reads
//! Tables of resistances between terminals in ohms, milliohms or microhms, with the temperature they were read at; values
//! corrected by the source are recognised.
//!
//! # How it is recognised
//! By its quantity: ohms and less, between terminals.
//!
//! # What is lost
//! Unbalance that the sheet computed is kept for comparison.

mod claim;

use windrow_importer::ImporterPlugin;
use windrow_source::Maturity;

inventory::submit! {
    ImporterPlugin {
        id: "winding-resistance",
        title: "Winding resistance",
        summary: "Direct-current resistance between terminals, with its temperature.",
        version: "1",
        since: "0.1.0",
        maturity: Maturity::Candidate,
        reads: &["terminals across", "terminals down with a unit a row"],
        claim: claim::claim,
    }
}
