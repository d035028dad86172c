//! Reader of dBase and FoxPro tables (.dbf).
//!
//! # What it reads
//! The records of a table, a row each, below the names of its fields. Texts, numbers, dates, truth values; the binary numbers and
//! moments of Visual FoxPro too. The names of fields are no cells of the source: they stand there to tell what is below.
//!
//! # How it is recognised
//! By a header whose version, day, sizes and first field make sense together; not by its name.
//!
//! # What is lost
//! Memos, which stand in a file of their own, pictures and objects, and records marked as deleted. All are counted in the notes.

mod claim;
mod field;
mod header;
mod language;
mod read;
mod remarks;
#[cfg(test)]
mod tests;
mod value;

use windrow_source::{Maturity, ReaderPlugin};

inventory::submit! {
    ReaderPlugin {
        id: "dbase",
        title: "dBase tables",
        summary: "Tables of dBase III to 7 and FoxPro (.dbf), with code pages of DOS and deleted records counted.",
        version: "1",
        since: "0.1.0",
        maturity: Maturity::Candidate,
        reads: &["application/dbase", "application/x-dbf"],
        companions: &[],
        claim: claim::claim,
        read: read::read,
    }
}
