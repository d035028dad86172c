//! Test sheets to take along: one workbook and one printable page a machine, with its nameplate, last results, levels with basis and
//! cautions filled in, and blanks for the new readings. Filled in and put among the records, a workbook reads back without a question.
//!
//! This crate must **not** know the store or the importers: it is given due tests and rows, and gives bytes and text.
//!
//! In the workbook everything that is no reading and no fact of the nameplate stands in a text box: what was measured earlier and what
//! standards ask is for the reader of the sheet, and must not come back as a new reading.

mod content;
mod page;
mod workbook;

pub use content::{Machine, machines};
pub use page::page;
pub use workbook::{Error, workbook};
