//! Reader of workbooks: sheets in a ZIP package, as Office Open XML (.xlsx, .xlsm), its binary form (.xlsb) or OpenDocument (.ods).
//!
//! # What it reads
//! Every cell with its stored value, its number format, whether its text is struck through, and its note; merged areas; hidden
//! sheets, rows and columns. Formulas are never computed: the stored result is the value, and a formula without one says so.
//!
//! # How it is recognised
//! By the members of the package; a password-protected package by the streams of the compound file that wraps it.
//!
//! # What is lost
//! Formulas that have a result, colours, borders, drawings, charts and text boxes. Values under merged areas, which no one sees,
//! are left out and counted in the notes. What the binary form does not tell is listed there too.

mod claim;
mod ods;
mod package;
mod read;
#[cfg(test)]
mod tests;
mod xlsx;
mod xml;

use windrow_source::{Maturity, ReaderPlugin};

inventory::submit! {
    ReaderPlugin {
        id: "workbook",
        title: "Workbooks",
        summary: "Workbooks of sheets: xlsx, xlsm, xlsb and OpenDocument, with formats, notes, merges and what is hidden.",
        version: "1",
        since: "0.1.0",
        maturity: Maturity::Candidate,
        reads: &[
            "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
            "application/vnd.ms-excel.sheet.macroEnabled.12",
            "application/vnd.ms-excel.sheet.binary.macroEnabled.12",
            "application/vnd.oasis.opendocument.spreadsheet",
        ],
        companions: &[],
        claim: claim::claim,
        read: read::read,
    }
}
