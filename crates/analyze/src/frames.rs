//! The tables the analyzer reads, as lazy frames, and typed access to what it collects from them.

use crate::AnalyzeError;
use jiff::civil::Date;
use polars::prelude::*;
use windrow_model::{PartialDate, Precision};

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
    /// `waveforms`.
    pub waveforms: LazyFrame,
}

impl Frames {
    /// The tables as they were known on `day`: tests whose whole period had passed, and what was measured in them; a test without a date
    /// was not known on any day. Machines stay as they are known now.
    ///
    /// # Errors
    /// When the frames cannot be read or lack a column of the schema.
    pub fn as_of(&self, day: Date) -> Result<Self, AnalyzeError> {
        let tests = Rows::collect(self.tests.clone())?;
        let (dates, precisions) = (tests.dates("performed_on")?, tests.texts("performed_precision")?);
        let is_past = |(first, precision): (&Option<Date>, &Option<String>)| {
            let precision = precision.as_deref().and_then(Precision::from_code);
            let period = first.zip(precision).map(|(first, precision)| PartialDate { first, precision });
            period.and_then(|period| period.last()).is_some_and(|last| last <= day)
        };
        let known: BooleanChunked = dates.iter().zip(&precisions).map(is_past).collect();
        // What was measured in a test that is not known is left out with it.
        Ok(Self { tests: tests.frame.filter(&known)?.lazy(), ..self.clone() })
    }
}

/// A collected frame read row by row.
pub(crate) struct Rows {
    frame: DataFrame,
}

impl Rows {
    pub(crate) fn collect(plan: LazyFrame) -> Result<Self, AnalyzeError> {
        Ok(Self { frame: plan.collect()? })
    }

    /// Texts of a column.
    pub(crate) fn texts(&self, name: &str) -> Result<Vec<Option<String>>, AnalyzeError> {
        Ok(self.frame.column(name)?.str()?.iter().map(|value| value.map(str::to_owned)).collect())
    }

    /// Numbers of a column.
    pub(crate) fn numbers(&self, name: &str) -> Result<Vec<Option<f64>>, AnalyzeError> {
        Ok(self.frame.column(name)?.f64()?.iter().collect())
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
}

/// The calendar date of a day number since 1970.
pub(crate) fn date_of(day: i32) -> Option<Date> {
    Date::constant(1970, 1, 1).checked_add(jiff::Span::new().days(i64::from(day))).ok()
}
