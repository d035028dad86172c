//! What the checks of records look at: every test and its exact and bounded readings, with the places where they stand.

use crate::AnalyzeError;
use crate::frames::{Frames, Rows};
use jiff::civil::Date;
use polars::prelude::*;
use std::collections::HashMap;
use windrow_model::Text;
use windrow_model::place::read_a1;

/// A file and a sheet of it.
pub(crate) type SheetName = (Text, Option<Text>);

/// A test that is no repeat from another source.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct TestRecord {
    pub(crate) test_id: Text,
    pub(crate) asset_id: Option<Text>,
    pub(crate) tag: Text,
    pub(crate) insulation_class: Option<Text>,
    pub(crate) insulation_era: Option<Text>,
    pub(crate) made_year: Option<i32>,
    pub(crate) performed_on: Option<Date>,
    pub(crate) performed_precision: Text,
    pub(crate) winding_temperature_c: Option<f64>,
    pub(crate) ambient_temperature_c: Option<f64>,
    pub(crate) test_voltage_v: Option<f64>,
    pub(crate) instrument: Option<Text>,
    pub(crate) tester: Option<Text>,
    pub(crate) sheet: SheetName,
    pub(crate) cell: Text,
}

impl TestRecord {
    /// The day of the test, when the source tells a day.
    pub(crate) fn day(&self) -> Option<Date> {
        self.performed_on.filter(|_| self.performed_precision == "day")
    }
}

/// A reading that can be held against others.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Record {
    /// Index of its test.
    pub(crate) test: usize,
    pub(crate) reading_id: Text,
    pub(crate) quantity: Text,
    pub(crate) circuit: Option<Text>,
    pub(crate) elapsed_s: Option<f64>,
    pub(crate) applied_voltage_v: Option<f64>,
    pub(crate) value: f64,
    pub(crate) value_ref: Option<f64>,
    pub(crate) bound: Text,
    pub(crate) as_reported: Text,
    pub(crate) raw_text: Text,
    pub(crate) cell: Text,
}

impl Record {
    pub(crate) fn is_exact(&self) -> bool {
        self.bound == "exact"
    }

    pub(crate) fn is(&self, quantity: &str) -> bool {
        self.quantity == quantity
    }

    /// Whether the source gives it as read.
    pub(crate) fn is_as_read(&self) -> bool {
        self.as_reported == "as_read"
    }

    /// Row and column on the sheet, both from zero; `None` where the container has none.
    pub(crate) fn at(&self) -> Option<(u32, u32)> {
        read_a1(&self.cell)
    }
}

/// Tests and their readings.
#[derive(Debug, Clone, Default)]
pub(crate) struct Records {
    /// By machine, date and id.
    pub(crate) tests: Vec<TestRecord>,
    /// By sheet and order within the test.
    pub(crate) readings: Vec<Record>,
}

impl Records {
    /// The test of a reading.
    pub(crate) fn test_of(&self, record: &Record) -> &TestRecord {
        &self.tests[record.test]
    }

    /// Reads the tables once for all checks. Numbers that are none (not a number, infinite) are no evidence of anything.
    pub(crate) fn load(frames: &Frames) -> Result<Self, AnalyzeError> {
        let tests = tests(frames)?;
        let index: HashMap<&str, usize> =
            tests.iter().enumerate().map(|(index, test)| (test.test_id.as_str(), index)).collect();
        let readings = readings(frames, &index)?;
        Ok(Self { tests, readings })
    }
}

fn tests(frames: &Frames) -> Result<Vec<TestRecord>, AnalyzeError> {
    let machines = frames.assets.clone().select([
        col("asset_id"),
        col("tag"),
        col("insulation_class"),
        col("insulation_era"),
        col("made_year"),
    ]);
    let plan = frames
        .tests
        .clone()
        .filter(col("duplicate_of").is_null())
        .join(machines, [col("asset_id")], [col("asset_id")], JoinArgs::new(JoinType::Left))
        .sort(["asset_id", "performed_on", "test_id"], SortMultipleOptions::default().with_nulls_last(true));
    let rows = Rows::collect(plan)?;
    let (ids, assets, tags) = (rows.short_texts("test_id")?, rows.short_texts("asset_id")?, rows.short_texts("tag")?);
    let (classes, eras) = (rows.short_texts("insulation_class")?, rows.short_texts("insulation_era")?);
    let (made, dates) = (rows.integers("made_year")?, rows.dates("performed_on")?);
    let precisions = rows.short_texts("performed_precision")?;
    let (windings, ambients) = (rows.numbers("winding_temperature_c")?, rows.numbers("ambient_temperature_c")?);
    let (volts, instruments) = (rows.numbers("test_voltage_v")?, rows.short_texts("instrument")?);
    let (testers, cells) = (rows.short_texts("tester")?, rows.short_texts("source_cell")?);
    let (files, sheets) = (rows.short_texts("source_file")?, rows.short_texts("source_sheet")?);
    Ok((0..rows.len())
        .map(|row| TestRecord {
            test_id: ids[row].clone().unwrap_or_default(),
            asset_id: assets[row].clone(),
            tag: tags[row].clone().unwrap_or_else(|| Text::new_static("unnamed machine")),
            insulation_class: classes[row].clone(),
            insulation_era: eras[row].clone(),
            made_year: made[row],
            performed_on: dates[row],
            performed_precision: precisions[row].clone().unwrap_or_default(),
            winding_temperature_c: finite(windings[row]),
            ambient_temperature_c: finite(ambients[row]),
            test_voltage_v: finite(volts[row]),
            instrument: instruments[row].clone(),
            tester: testers[row].clone(),
            sheet: (files[row].clone().unwrap_or_default(), sheets[row].clone()),
            cell: cells[row].clone().unwrap_or_default(),
        })
        .collect())
}

fn readings(frames: &Frames, index: &HashMap<&str, usize>) -> Result<Vec<Record>, AnalyzeError> {
    let looked_at = col("quantity").eq(lit("insulation_resistance")).or(col("quantity").eq(lit("winding_resistance")));
    let plan = frames
        .readings
        .clone()
        .filter(looked_at.and(col("value").is_finite()).and(col("value").gt(lit(0.0))))
        .sort(["source_file", "source_sheet", "test_id", "seq", "reading_id"], SortMultipleOptions::default());
    let rows = Rows::collect(plan)?;
    let (tests, ids) = (rows.short_texts("test_id")?, rows.short_texts("reading_id")?);
    let (quantities, circuits) = (rows.short_texts("quantity")?, rows.short_texts("circuit")?);
    let (elapsed, volts) = (rows.numbers("elapsed_s")?, rows.numbers("applied_voltage_v")?);
    let (values, corrected) = (rows.numbers("value")?, rows.numbers("value_ref")?);
    let (bounds, reported) = (rows.short_texts("bound")?, rows.short_texts("as_reported")?);
    let (texts, cells) = (rows.short_texts("raw_text")?, rows.short_texts("source_cell")?);
    let records = (0..rows.len()).filter_map(|row| {
        Some(Record {
            test: *index.get(tests[row].as_deref()?)?,
            reading_id: ids[row].clone().unwrap_or_default(),
            quantity: quantities[row].clone().unwrap_or_default(),
            circuit: circuits[row].clone(),
            elapsed_s: finite(elapsed[row]),
            applied_voltage_v: finite(volts[row]),
            value: values[row]?,
            value_ref: finite(corrected[row]).filter(|value| *value > 0.0),
            bound: bounds[row].clone().unwrap_or_default(),
            as_reported: reported[row].clone().unwrap_or_default(),
            raw_text: texts[row].clone().unwrap_or_default(),
            cell: cells[row].clone().unwrap_or_default(),
        })
    });
    Ok(records.collect())
}

fn finite(value: Option<f64>) -> Option<f64> {
    value.filter(|value| value.is_finite())
}
