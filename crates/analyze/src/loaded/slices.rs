//! A table read in slices, so that it is never in memory as a whole, and its columns row by row.

use crate::AnalyzeError;
use polars::prelude::*;
use polars_arrow::array::{PrimitiveArray, Utf8ViewArray};
use std::ops::Range;

/// Rows that are read at once, some row groups of a stored table: so few that two slices take little memory.
const ROWS: u32 = 1 << 17;

/// Gives some columns of a table to `take`, some slices at a time and in order, while the next ones are read.
///
/// # Errors
/// When the table cannot be read or lacks a column.
pub(super) fn each(
    table: &LazyFrame,
    columns: &[Expr],
    mut take: impl FnMut(&[Slice]) -> Result<(), AnalyzeError> + Send,
) -> Result<(), AnalyzeError> {
    let read = |offset: i64| -> PolarsResult<Vec<Slice>> {
        let mut frame = table.clone().slice(offset, ROWS).select(columns).collect()?;
        // Rows come in several pieces, and putting them together would take as long as reading some of them.
        Ok(frame.split_chunks().map(Slice).collect())
    };
    let mut offset = 0;
    let mut next = read(offset)?;
    while next.iter().map(Slice::len).sum::<usize>() == ROWS as usize {
        offset += i64::from(ROWS);
        let slices = next;
        // By threads that are there already: each new one would take memory of its own, and keep what it had.
        let (taken, read) = rayon::join(|| take(&slices), || read(offset));
        taken?;
        next = read?;
    }
    take(&next)
}

/// The rows of slices in runs of `most` and fewer, each with the columns of its slice.
pub(super) fn runs<'c, C>(columns: &'c [C], slices: &[Slice], most: usize) -> Vec<(&'c C, Range<usize>)> {
    let of_slice = |(columns, slice): (&'c C, &Slice)| {
        let length = slice.len();
        (0..length).step_by(most).map(move |begin| (columns, begin..(begin + most).min(length)))
    };
    columns.iter().zip(slices).flat_map(of_slice).collect()
}

/// Some rows of a table, each column in one piece.
pub(super) struct Slice(DataFrame);

impl Slice {
    pub(super) fn len(&self) -> usize {
        self.0.height()
    }

    pub(super) fn texts(&self, name: &str) -> Result<Texts<'_>, AnalyzeError> {
        Ok(Texts(self.0.column(name)?.str()?.downcast_iter().next()))
    }

    pub(super) fn numbers(&self, name: &str) -> Result<Numbers<'_>, AnalyzeError> {
        Ok(Numbers(self.0.column(name)?.f64()?.downcast_iter().next()))
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

/// A column of texts; `None` where it has no rows.
pub(super) struct Texts<'a>(Option<&'a Utf8ViewArray>);

impl<'a> Texts<'a> {
    pub(super) fn get(&self, row: usize) -> Option<&'a str> {
        self.0.filter(|texts| row < texts.len())?.get(row)
    }

    /// The text, empty where the table has none.
    pub(super) fn told(&self, row: usize) -> &'a str {
        self.get(row).unwrap_or_default()
    }
}

/// A column of numbers; `None` where it has no rows.
pub(super) struct Numbers<'a>(Option<&'a PrimitiveArray<f64>>);

impl Numbers<'_> {
    /// The number, `NaN` where the table has none; infinities are no evidence of anything.
    pub(super) fn get(&self, row: usize) -> f64 {
        let told = self.0.and_then(|numbers| numbers.get(row));
        told.filter(|value| value.is_finite()).unwrap_or(f64::NAN)
    }
}

/// A number that is one.
pub(super) fn known(value: f64) -> Option<f64> {
    (!value.is_nan()).then_some(value)
}
