//! The tables the analyzer reads, as lazy frames, and typed access to what it collects from them.

use crate::AnalyzeError;
use jiff::civil::Date;
use polars::prelude::*;
use windrow_model::{PartialDate, Precision, Text};

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
    /// The same without readings whose value is no finite number: they must not take part in anything.
    pub(crate) fn with_numbers_only(&self) -> Self {
        Self { readings: self.readings.clone().filter(col("value").is_finite()), ..self.clone() }
    }

    /// The tables as they were known on `day`: tests whose whole period had passed, and what was measured in them; a test without a date
    /// was not known on any day. Machines stay as they are known now.
    ///
    /// # Errors
    /// When the frames cannot be read or lack a column of the schema.
    pub fn as_of(&self, day: Date) -> Result<Self, AnalyzeError> {
        let columns = [col("test_id"), col("performed_on"), col("performed_precision")];
        let rows = Rows::collect(self.tests.clone().select(columns))?;
        let (ids, dates) = (rows.texts("test_id")?, rows.dates("performed_on")?);
        let precisions = rows.texts("performed_precision")?;
        let is_past = |first: Option<Date>, precision: Option<&str>| {
            let precision = precision.and_then(Precision::from_code);
            let period = first.zip(precision).map(|(first, precision)| PartialDate { first, precision });
            period.and_then(|period| period.last()).is_some_and(|last| last <= day)
        };
        let known: Vec<String> = ids
            .into_iter()
            .zip(dates.into_iter().zip(&precisions))
            .filter(|(_, (first, precision))| is_past(*first, precision.as_deref()))
            .filter_map(|(id, _)| id)
            .collect();
        let known = DataFrame::new(known.len(), vec![Column::new("test_id".into(), known)])?.lazy();
        let of_known = |frame: &LazyFrame| {
            frame.clone().join(known.clone(), [col("test_id")], [col("test_id")], JoinArgs::new(JoinType::Inner))
        };
        Ok(Self {
            assets: self.assets.clone(),
            tests: of_known(&self.tests),
            readings: of_known(&self.readings),
            reported_figures: of_known(&self.reported_figures),
            waveforms: of_known(&self.waveforms),
        })
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

    pub(crate) fn len(&self) -> usize {
        self.frame.height()
    }

    /// Texts of a column.
    pub(crate) fn texts(&self, name: &str) -> Result<Vec<Option<String>>, AnalyzeError> {
        Ok(self.frame.column(name)?.str()?.iter().map(|value| value.map(str::to_owned)).collect())
    }

    /// Texts of a column, equal neighbours sharing their bytes.
    pub(crate) fn short_texts(&self, name: &str) -> Result<Vec<Option<Text>>, AnalyzeError> {
        let mut last: Option<Text> = None;
        let mut shared = |text: &str| {
            if last.as_deref() != Some(text) {
                last = Some(Text::new(text));
            }
            last.clone()
        };
        Ok(self.frame.column(name)?.str()?.iter().map(|text| text.and_then(&mut shared)).collect())
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
