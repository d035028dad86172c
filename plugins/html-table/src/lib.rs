//! Reader of tables in HTML: pages of reports, and exports that are named like workbooks.
//!
//! # What it reads
//! Every `<table>` with content, with row and column spans, and the text around it: headings and captions stand above the table they
//! come before, what follows the last table stands below it. A table that only arranges other tables counts as such text.
//!
//! # How it is recognised
//! By its first element and a `<table>`.
//!
//! # What is lost
//! Scripts, styles, pictures, colours, and the title of the page (kept in the notes).

mod claim;
mod content;
mod read;
mod spans;
#[cfg(test)]
mod tests;
mod walk;

use windrow_source::{Maturity, ReaderPlugin};

inventory::submit! {
    ReaderPlugin {
        id: "html-table",
        title: "HTML tables",
        summary: "Tables of HTML pages with spans and the text around them, also when the file is named .xls.",
        version: "1",
        since: "0.1.0",
        maturity: Maturity::Candidate,
        reads: &["text/html"],
        companions: &[],
        claim: claim::claim,
        read: read::read,
    }
}
