//! The tables the analyzer reads, as lazy frames, and typed access to what it collects from them.

use crate::AnalyzeError;
use jiff::civil::Date;
use polars::prelude::*;

/// Lazy frames over one snapshot of a fleet; columns as in the schema.
#[derive(Clone)]
pub struct Frames {
    /// `assets`.
    pub assets: LazyFrame,
    /// `tests`.
    pub tests: LazyFrame,
    /// `readings`.
    pub readings: LazyFrame,
    /// `reported_figures`.
    pub reported_figures: LazyFrame,
}

/// A collected frame read row by row.
pub(crate) struct Rows {
    frame: DataFrame,
}

impl Rows {
    pub(crate) fn collect(plan: LazyFrame) -> Result<Self, AnalyzeError> {
        Ok(Self { frame: plan.collect()? })
    }

    pub(crate) fn len(&self) -> usize {
        self.frame.height()
    }

    /// Texts of a column.
    pub(crate) fn texts(&self, name: &str) -> Result<Vec<Option<String>>, AnalyzeError> {
        Ok(self.frame.column(name)?.str()?.iter().map(|value| value.map(str::to_owned)).collect())
    }

    /// Numbers of a column.
    pub(crate) fn numbers(&self, name: &str) -> Result<Vec<Option<f64>>, AnalyzeError> {
        Ok(self.frame.column(name)?.f64()?.iter().collect())
    }

    /// Whole numbers of a column.
    pub(crate) fn integers(&self, name: &str) -> Result<Vec<Option<i32>>, AnalyzeError> {
        Ok(self.frame.column(name)?.i32()?.iter().collect())
    }

    /// Truth values of a column.
    pub(crate) fn truths(&self, name: &str) -> Result<Vec<Option<bool>>, AnalyzeError> {
        Ok(self.frame.column(name)?.bool()?.iter().collect())
    }

    /// Dates of a column.
    pub(crate) fn dates(&self, name: &str) -> Result<Vec<Option<Date>>, AnalyzeError> {
        let days = self.frame.column(name)?.date()?;
        Ok(days.physical().iter().map(|day| day.and_then(date_of)).collect())
    }

    /// Lists of numbers of a column; missing members are left out.
    pub(crate) fn number_lists(&self, name: &str) -> Result<Vec<Vec<f64>>, AnalyzeError> {
        let lists = self.frame.column(name)?.list()?;
        (0..lists.len())
            .map(|row| match lists.get_as_series(row) {
                Some(series) => Ok(series.f64()?.iter().flatten().collect()),
                None => Ok(Vec::new()),
            })
            .collect()
    }

    /// Lists of whole numbers of a column; missing members are left out.
    pub(crate) fn integer_lists(&self, name: &str) -> Result<Vec<Vec<i32>>, AnalyzeError> {
        let lists = self.frame.column(name)?.list()?;
        (0..lists.len())
            .map(|row| match lists.get_as_series(row) {
                Some(series) => Ok(series.i32()?.iter().flatten().collect()),
                None => Ok(Vec::new()),
            })
            .collect()
    }

    /// Lists of texts of a column; missing members are left out.
    pub(crate) fn text_lists(&self, name: &str) -> Result<Vec<Vec<String>>, AnalyzeError> {
        let lists = self.frame.column(name)?.list()?;
        (0..lists.len())
            .map(|row| match lists.get_as_series(row) {
                Some(series) => Ok(series.str()?.iter().flatten().map(str::to_owned).collect()),
                None => Ok(Vec::new()),
            })
            .collect()
    }
}

/// The calendar date of a day number since 1970.
fn date_of(day: i32) -> Option<Date> {
    Date::constant(1970, 1, 1).checked_add(jiff::Span::new().days(i64::from(day))).ok()
}
