//! Understanding a grid of cells as a person does: every number gets its attributes from its cell, row, column, block,
//! section, sheet, file and folder, nearest first; several interpretations compete, the best and its margin are kept.
//!
//! This crate must **not** know containers or particular plugins: it asks [`Specialist`]s for their bids.

pub mod specialist;

pub use specialist::{Attribute, Claim, Region, Shape, Specialist};

use windrow_model::raw::Understood;
use windrow_model::settings::Settings;
use windrow_source::Workbook;

/// What is known of a source before it is opened, and around it.
#[derive(Debug, Clone, Copy)]
pub struct Context<'a> {
    /// Path below the imported folder, with `/`.
    pub source_file: &'a str,
    /// Settings of the fleet.
    pub settings: &'a Settings,
}

/// Understands a workbook: fills `tests`, `machines`, `cells`, `holds` and `regions` of `into`, whose file fields are set.
/// Never panics on any workbook; every non-empty cell gets exactly one mark.
pub fn understand(book: &Workbook, context: &Context<'_>, specialists: &[&dyn Specialist], into: &mut Understood) {
    let _ = (book, context, specialists, into);
}
