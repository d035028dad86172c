//! Reader of delimited text: fields between commas, semicolons, tabs or pipes, one record a line.
//!
//! # What it reads
//! Text of any encoding in which the same mark cuts line after line into fields. Lines before the table are kept as records of
//! their own. Every field stays text as typed: what `1,234` means is for others to say.
//!
//! # How it is recognised
//! By the mark that cuts neighbouring lines into equally many fields of which many are numbers, dates and codes; or by a first
//! line `sep=;`. Prose, source code and single columns of words are refused.
//!
//! # What is lost
//! Blanks around fields, control characters, and which fields were quoted.

mod claim;
mod dialect;
mod quotes;
mod read;
mod records;
#[cfg(test)]
mod tests;

use windrow_source::{Maturity, ReaderPlugin};

inventory::submit! {
    ReaderPlugin {
        id: "delimited-text",
        title: "Delimited text",
        summary: "Fields between commas, semicolons, tabs or pipes, in any encoding.",
        version: "1",
        since: "0.1.0",
        maturity: Maturity::Candidate,
        reads: &["text/csv", "text/tab-separated-values"],
        companions: &[],
        claim: claim::claim,
        read: read::read,
    }
}
