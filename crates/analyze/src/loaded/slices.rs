//! A table read in slices, so that it is never in memory as a whole, and its columns row by row.

use crate::AnalyzeError;
use polars::prelude::*;

/// Rows that are read at once: a row group of a stored table.
const ROWS: u32 = 1 << 18;

/// Gives each slice of some columns of a table to `take`.
///
/// # Errors
/// When the table cannot be read or lacks a column.
pub(super) fn each(
    table: &LazyFrame,
    columns: &[Expr],
    mut take: impl FnMut(&Slice) -> Result<(), AnalyzeError>,
) -> Result<(), AnalyzeError> {
    for offset in (0..).step_by(ROWS as usize) {
        let mut frame = table.clone().slice(offset, ROWS).select(columns).collect()?;
        frame.rechunk_mut();
        let rows = frame.height();
        take(&Slice(frame))?;
        if rows < ROWS as usize {
            break;
        }
    }
    Ok(())
}

/// Some rows of a table.
pub(super) struct Slice(DataFrame);

impl Slice {
    pub(super) fn len(&self) -> usize {
        self.0.height()
    }

    pub(super) fn texts(&self, name: &str) -> Result<Texts<'_>, AnalyzeError> {
        Ok(Texts(self.0.column(name)?.str()?))
    }

    pub(super) fn numbers(&self, name: &str) -> Result<Numbers<'_>, AnalyzeError> {
        Ok(Numbers(self.0.column(name)?.f64()?))
    }

    pub(super) fn integers(&self, name: &str) -> Result<&Int32Chunked, AnalyzeError> {
        Ok(self.0.column(name)?.i32()?)
    }

    pub(super) fn days(&self, name: &str) -> Result<&Int32Chunked, AnalyzeError> {
        Ok(self.0.column(name)?.date()?.physical())
    }

    pub(super) fn lists(&self, name: &str) -> Result<&ListChunked, AnalyzeError> {
        Ok(self.0.column(name)?.list()?)
    }
}

/// A column of texts.
pub(super) struct Texts<'a>(&'a StringChunked);

impl<'a> Texts<'a> {
    pub(super) fn get(&self, row: usize) -> Option<&'a str> {
        self.0.get(row)
    }

    /// The text, empty where the table has none.
    pub(super) fn told(&self, row: usize) -> &'a str {
        self.get(row).unwrap_or_default()
    }
}

/// A column of numbers.
pub(super) struct Numbers<'a>(&'a Float64Chunked);

impl Numbers<'_> {
    /// The number, `NaN` where the table has none; infinities are no evidence of anything.
    pub(super) fn get(&self, row: usize) -> f64 {
        self.0.get(row).filter(|value| value.is_finite()).unwrap_or(f64::NAN)
    }
}

/// A number that is one.
pub(super) fn known(value: f64) -> Option<f64> {
    (!value.is_nan()).then_some(value)
}
