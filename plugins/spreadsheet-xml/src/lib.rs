//! Reader of XML spreadsheets of 2002 and 2003, whether named `.xml` or `.xls`.
//!
//! # What it reads
//! Worksheets with gaps by index, merged cells, number formats by style (inherited from parent, row and column), comments, hidden
//! sheets, rows and columns, struck-out cells, and the 1904 calendar.
//!
//! # How it is recognised
//! By the root element `Workbook` in the namespace of this format.
//!
//! # What is lost
//! Fonts and colours, print settings, pivot tables. Formulas are never run: their stored results are read, and a formula without one is told.

mod claim;
mod parts;
mod read;
mod sheet;
mod styles;
#[cfg(test)]
mod tests;

use windrow_source::{Maturity, ReaderPlugin};

inventory::submit! {
    ReaderPlugin {
        id: "spreadsheet-xml",
        title: "XML spreadsheet 2003",
        summary: "Workbooks written as one XML file, with styles, spans, comments and hidden parts.",
        version: "1",
        since: "0.1.0",
        maturity: Maturity::Candidate,
        reads: &["application/xml"],
        companions: &[],
        claim: claim::claim,
        read: read::read,
    }
}
