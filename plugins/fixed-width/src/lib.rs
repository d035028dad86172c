//! Reader of fixed-width print-outs: columns are where the print is, page after page.
//!
//! # What it reads
//! Text of any encoding laid out for a printer: page headings, column headings of one or more lines, rulers, bodies, averages, form
//! feeds. Files of several layouts are read layout by layout.
//!
//! # How it is recognised
//! Gutters: places that stay blank through many neighbouring lines which hold numbers, dates and codes. Forms (label, colon or
//! dots, value) are bid for weakly. Prose, source code and delimited text are refused.
//!
//! # What is lost
//! Rulers and frames, the exact blanks between columns, overprinting (bold, underline) and printer commands.

mod claim;
mod layout;
mod lines;
mod place;
mod raster;
mod read;
#[cfg(test)]
mod tests;

use windrow_source::{Maturity, ReaderPlugin};

inventory::submit! {
    ReaderPlugin {
        id: "fixed-width",
        title: "Fixed-width print-out",
        summary: "Columns by their place on the line, with page headings, rulers and form feeds, in any encoding.",
        version: "1",
        since: "0.1.0",
        maturity: Maturity::Candidate,
        reads: &["text/plain"],
        companions: &[],
        claim: claim::claim,
        read: read::read,
    }
}
