//! What a fleet hands out: all tables as Parquet, CSV or SQLite, and one consolidated workbook, with people's names kept, replaced or
//! dropped as the site wants.
//!
//! This crate must **not** know importers, the analyzer or the feed: it is given a snapshot and writes files, whole or not at all.
//!
//! # Text that begins like a formula
//! Programs that open CSV take a text that begins with `=`, `+`, `-` or `@` for a formula and run it ([`guard`]). Such a text gets an
//! apostrophe in front, and so does one that begins with an apostrophe: dropping one leading apostrophe from every text gives back
//! what was stored. Numbers are not touched. Parquet, SQLite and the workbook mark texts as texts, and hold them as they are.

mod delimited;
mod error;
pub mod guard;
pub mod people;
mod place;
pub mod secret;
mod sqlite;
mod tables;
mod value;
mod workbook;

pub use error::{Error, Result};
pub use people::People;
pub use place::Existing;
pub use tables::Tables;

use std::path::Path;
use windrow_store::{answer, from_columns};

/// Form of an export.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    /// A folder with one Parquet file a table.
    Parquet,
    /// A folder with one CSV file a table, and a Frictionless descriptor.
    Csv,
    /// One SQLite database.
    Sqlite,
    /// One workbook: machines, test summary, readings, findings, open questions.
    Workbook,
}

/// Frictionless descriptor of an export as CSV.
const DESCRIPTOR: &str = include_str!("../../../schema/datapackage.json");

/// Writes `tables` to `out`, whole or not at all.
///
/// # Errors
/// When something stands there already, or the disk refuses; then `out` is as it was.
pub fn export(tables: &Tables, form: Form, out: &Path, existing: Existing) -> Result<()> {
    match form {
        Form::Parquet => place::folder(out, existing, |folder| parquet(tables, folder)),
        Form::Csv => place::folder(out, existing, |folder| {
            delimited::write(tables, folder)?;
            place::fill(&folder.join("datapackage.json"), DESCRIPTOR.as_bytes())
        }),
        Form::Sqlite => place::file(out, existing, |path| sqlite::write(tables, path)),
        Form::Workbook => place::file(out, existing, |path| place::fill(path, &workbook::write(tables)?)),
    }
}

fn parquet(tables: &Tables, folder: &Path) -> Result<()> {
    for (info, columns) in tables.all() {
        let frame = from_columns(info, columns.to_vec())?;
        let mut bytes = Vec::new();
        answer::write(&frame, answer::Format::Parquet, &mut bytes)?;
        place::fill(&folder.join(info.name).with_extension("parquet"), &bytes)?;
    }
    Ok(())
}
