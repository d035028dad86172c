//! Reader of spreadsheets in the data interchange format (.dif).
//!
//! # What it reads
//! The tuples of the data part, a row each, with numbers, texts, truth values and errors. The title, and labels and units that the header
//! tells of vectors, are kept in the notes.
//!
//! # How it is recognised
//! By its first three lines, which are the table item of the header.
//!
//! # What is lost
//! Nothing that the format can tell; it knows no number formats, so dates of most programs come as texts or as bare numbers.

mod claim;
mod header;
mod lines;
mod read;
#[cfg(test)]
mod tests;

use windrow_source::{Maturity, ReaderPlugin};

inventory::submit! {
    ReaderPlugin {
        id: "data-interchange",
        title: "Data interchange format",
        summary: "Spreadsheets in the data interchange format (.dif).",
        version: "1",
        since: "0.1.0",
        maturity: Maturity::Candidate,
        reads: &["application/x-dif", "text/x-dif"],
        companions: &[],
        claim: claim::claim,
        read: read::read,
    }
}
