//! Reader of text documents (.docx, .docm): their tables, and the text around them.
//!
//! # What it reads
//! The whole document in reading order on one sheet: paragraphs as rows, tables with their merged cells below and above them, headers of
//! pages first and footers last. Comments and footnotes hang on the cell in which they are anchored.
//!
//! # How it is recognised
//! By the part of the package that holds the document.
//!
//! # What is lost
//! Pictures, drawings, numbers of lists, colours and fonts. What was deleted under tracking, or struck through, is kept apart from the text.

mod block;
mod claim;
mod lay;
mod package;
mod read;
mod symbol;
#[cfg(test)]
mod tests;
mod walk;

use windrow_source::{Maturity, ReaderPlugin};

inventory::submit! {
    ReaderPlugin {
        id: "word-document",
        title: "Text documents",
        summary: "Tables of text documents (.docx) with merged cells, the text around them, headers, footers and comments.",
        version: "1",
        since: "0.1.0",
        maturity: Maturity::Candidate,
        reads: &["application/vnd.openxmlformats-officedocument.wordprocessingml.document"],
        companions: &[],
        claim: claim::claim,
        read: read::read,
    }
}
