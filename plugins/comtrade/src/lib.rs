//! Reader of transient records after IEEE C37.111 (IEC 60255-24): single files (.cff), and configurations (.cfg) with their samples (.dat).
//!
//! # What it reads
//! The configuration as labels and values, and the samples as a record of channels in the unit of the configuration. Forms of 1991, 1999
//! and 2013; data in text, 16 and 32 bits, and floating point.
//!
//! # How it is recognised
//! By the line that begins a single file, or the second line of a configuration. Samples are known by the configuration beside them, or by
//! their numbers; without a configuration they are refused with what to do.
//!
//! # What is lost
//! Nothing, but for samples at uneven times, which stay unread in sight.

mod channel;
mod claim;
mod config;
mod data;
mod page;
mod read;
mod record;
mod samples;
mod single;
#[cfg(test)]
mod tests;
mod timing;

use windrow_source::{Maturity, ReaderPlugin};

inventory::submit! {
    ReaderPlugin {
        id: "comtrade",
        title: "Transient records",
        summary: "Transient records after IEEE C37.111: single files (.cff), and configurations (.cfg) with their samples (.dat).",
        version: "2",
        since: "0.1.0",
        maturity: Maturity::Candidate,
        reads: &["application/x-comtrade", "IEEE C37.111", "IEC 60255-24"],
        companions: &[(".cfg", ".dat"), (".dat", ".cfg")],
        claim: claim::claim,
        read: read::read,
    }
}
