//! Reader of binary workbooks (.xls) of all ages: the record streams of Excel 2, 3 and 4, which stand alone in their files, and
//! those of Excel 5, 95, 97 and later, which stand in a compound file.
//!
//! # What it reads
//! Every cell with its stored value, its number format, whether its text is struck through, and its note; merged areas; hidden
//! sheets, rows and columns. Formulas are never computed: the stored result is the value, and a formula without one says so.
//!
//! # How it is recognised
//! By the stream that a compound file names, or by the first record of a bare stream.
//!
//! # What is lost
//! Formulas, colours, borders, drawings, text boxes and charts. Chart sheets and macro sheets are passed over and told in the notes.

mod cell;
mod claim;
mod code_page;
mod globals;
mod note;
mod read;
mod record;
mod sheet;
mod stream;
mod string;
mod styles;
mod symbol;
#[cfg(test)]
mod tests;
mod tokens;
mod version;

use windrow_source::{Maturity, ReaderPlugin};

inventory::submit! {
    ReaderPlugin {
        id: "workbook-legacy",
        title: "Old workbooks",
        summary: "Binary workbooks (.xls) of all ages, with formats, notes, merges, code pages and what is hidden.",
        version: "1",
        since: "0.1.0",
        maturity: Maturity::Candidate,
        reads: &["application/vnd.ms-excel"],
        companions: &[],
        claim: claim::claim,
        read: read::read,
    }
}
