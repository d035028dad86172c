//! Narrative: readings told in sentences.
//!
//! # What it reads
//! Letters, shift books, telexes, ledgers and remarks, whose sentences tell machine, day, value and unit.
//!
//! # How it is recognised
//! By regions that are sentences, with readings in them.
//!
//! # What is lost
//! Ratios, currents and resistances of conductors told in sentences.

mod claim;

use windrow_importer::ImporterPlugin;
use windrow_source::Maturity;

inventory::submit! {
    ImporterPlugin {
        id: "narrative",
        title: "Narrative",
        summary: "Readings told in sentences: letters, shift books, telexes, ledgers, remarks.",
        version: "1",
        since: "0.1.0",
        maturity: Maturity::Candidate,
        reads: &["shift book", "letter with a list of machines", "telex", "ledger with one sentence a test"],
        claim: claim::claim,
    }
}
