//! Reader of transient records after IEEE C37.111 (IEC 60255-24): single files (.cff) and configurations (.cfg).
//!
//! # What it reads
//! The configuration as labels and values, and of single files the samples: a row each, with its number, its time, and a column for each
//! channel in the unit of the configuration. Forms of 1991, 1999 and 2013; data in text, 16 and 32 bits, and floating point.
//!
//! # How it is recognised
//! By the line that begins a single file, or the second line of a configuration. Data without a configuration are known by their numbered
//! samples, and refused with what to do.
//!
//! # What is lost
//! Nothing of a single file; a configuration does not hold the samples, which lie in a file of their own (.dat).

mod claim;
mod config;
mod data;
mod page;
mod read;
mod samples;
mod single;
#[cfg(test)]
mod tests;

use windrow_source::{Maturity, ReaderPlugin};

inventory::submit! {
    ReaderPlugin {
        id: "comtrade",
        title: "Transient records",
        summary: "Transient records after IEEE C37.111: single files (.cff) with their samples, and configurations (.cfg).",
        version: "1",
        since: "0.1.0",
        maturity: Maturity::Candidate,
        reads: &["application/x-comtrade", "IEEE C37.111", "IEC 60255-24"],
        claim: claim::claim,
        read: read::read,
    }
}
