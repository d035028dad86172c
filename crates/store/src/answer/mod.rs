//! Answers to people and programs: CSV, JSON, Parquet, a table for a terminal.

mod cell;
mod text;

use crate::error::{Error, Result};
use cell::Cell;
use polars::prelude::{AnyValue, Column, DataFrame, ParquetWriter};
use std::io::{self, Write};

/// Form of an answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Format {
    /// Comma-separated values with a header. Lists print their members joined by a blank, derivations as `step: detail; …`,
    /// null prints empty. Numbers read back as the same number.
    Csv,
    /// An array of objects; lists are arrays, structures are objects. Numbers that are not finite are null.
    Json,
    /// Apache Parquet.
    Parquet,
    /// Aligned columns for a terminal, with the number of rows below. Long texts are cut, marked by `…`.
    Table,
}

/// Writes `frame` to `out`.
///
/// # Errors
/// When `out` refuses, as a closed pipe or a full disk.
pub fn write(frame: &DataFrame, format: Format, out: &mut dyn Write) -> Result<()> {
    let written = match format {
        Format::Csv => csv(frame, out),
        Format::Json => json(frame, out),
        Format::Parquet => {
            ParquetWriter::new(&mut *out).finish(&mut frame.clone()).map(|_| ()).map_err(io::Error::other)
        }
        Format::Table => text::write(frame, out),
    };
    written.and_then(|()| out.flush()).map_err(|error| Error::new("the answer could not be written").caused_by(error))
}

/// Names of the columns.
fn names(frame: &DataFrame) -> impl Iterator<Item = &str> {
    frame.columns().iter().map(|column| column.name().as_str())
}

/// One value, read for printing.
fn cell(column: &Column, row: usize) -> Cell {
    Cell::from(column.get(row).unwrap_or(AnyValue::Null))
}

fn csv(frame: &DataFrame, out: &mut dyn Write) -> io::Result<()> {
    let mut writer = csv::Writer::from_writer(out);
    writer.write_record(names(frame))?;
    for row in 0..frame.height() {
        writer.write_record(frame.columns().iter().map(|column| cell(column, row).to_string()))?;
    }
    writer.flush()
}

fn json(frame: &DataFrame, out: &mut dyn Write) -> io::Result<()> {
    let mut before = "[\n";
    for row in 0..frame.height() {
        let fields = frame.columns().iter().map(|column| (column.name().as_str(), cell(column, row)));
        out.write_all(before.as_bytes())?;
        serde_json::to_writer(&mut *out, &cell::Fields(fields.collect()))?;
        before = ",\n";
    }
    out.write_all(if frame.height() == 0 { b"[]\n" } else { b"\n]\n" })
}
