//! Reader of records in XML of any vocabulary.
//!
//! # What it reads
//! Elements that repeat are rows; attributes and elements without elements inside are values; their names are headers. What an
//! enclosing element says holds for all rows inside it and stands as a merged area beside them. What is said once for the whole
//! document stands above as label and value.
//!
//! # How it is recognised
//! By being XML that no other format claims.
//!
//! # What is lost
//! Comments, processing instructions, namespaces, the order of a text and the elements within it.

mod claim;
mod columns;
mod pattern;
mod read;
#[cfg(test)]
mod tests;
mod tree;

use windrow_source::{Maturity, ReaderPlugin};

inventory::submit! {
    ReaderPlugin {
        id: "xml-records",
        title: "XML records",
        summary: "Repeated elements of XML as rows, their attributes and leaves as columns.",
        version: "1",
        since: "0.1.0",
        maturity: Maturity::Candidate,
        reads: &["application/xml"],
        companions: &[],
        claim: claim::claim,
        read: read::read,
    }
}
