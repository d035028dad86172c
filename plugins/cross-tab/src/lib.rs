//! Cross table: machines against dates.
//!
//! # What it reads
//! Tables in which a column header tells the machine or the date, in one or two header lines; tables of temperatures
//! beside them are joined by machine and date.
//!
//! # How it is recognised
//! By a machine or date told by column headers.
//!
//! # What is lost
//! Words in a year column (rewound, out of service) are kept as events, not as readings.

mod claim;

use windrow_importer::ImporterPlugin;
use windrow_source::Maturity;

inventory::submit! {
    ImporterPlugin {
        id: "cross-tab",
        title: "Cross table",
        summary: "Machines down, years or dates across (or the other way), one reading a crossing.",
        version: "1",
        since: "0.1.0",
        maturity: Maturity::Candidate,
        reads: &["machine by year", "date by machine", "year with sub-columns"],
        claim: claim::claim,
    }
}
