//! Figures that sources computed, beside what their readings give.

use crate::AnalyzeError;
use crate::frames::Rows;
use polars::prelude::*;
use std::collections::BTreeMap;

/// A number as a source printed it.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Figure {
    pub(crate) quantity: String,
    pub(crate) circuit: Option<String>,
    pub(crate) elapsed_s: Option<f64>,
    pub(crate) applied_voltage_v: Option<f64>,
    pub(crate) value: f64,
    pub(crate) bound: String,
    pub(crate) raw_text: String,
    /// Place in words.
    pub(crate) place: String,
    /// The reading, for one that is no computed figure.
    pub(crate) reading_id: Option<String>,
}

/// Uncorrected figures by test: computed ones from `reported_figures`, measured ones from `readings`.
pub(crate) fn figures(frame: LazyFrame) -> Result<BTreeMap<String, Vec<Figure>>, AnalyzeError> {
    let mut frame = frame;
    let names = frame.collect_schema()?;
    let id = if names.contains("reading_id") { col("reading_id") } else { lit(NULL).cast(DataType::String) };
    let plan = frame.filter(col("as_reported").eq(lit("as_read"))).with_columns([id.alias("own_id")]).select([
        col("test_id"),
        col("quantity"),
        col("circuit"),
        col("elapsed_s"),
        col("applied_voltage_v"),
        col("value"),
        col("bound"),
        col("raw_text"),
        col("source_file"),
        col("source_sheet"),
        col("source_cell"),
        col("own_id"),
    ]);
    // Several figures may stand in one cell.
    let order = ["test_id", "source_cell", "own_id", "quantity", "circuit", "elapsed_s", "value"];
    let rows = Rows::collect(plan.sort(order, SortMultipleOptions::default()))?;
    let tests = rows.texts("test_id")?;
    let mut quantities = rows.texts("quantity")?;
    let mut circuits = rows.texts("circuit")?;
    let (elapsed, volts, values) =
        (rows.numbers("elapsed_s")?, rows.numbers("applied_voltage_v")?, rows.numbers("value")?);
    let mut bounds = rows.texts("bound")?;
    let mut texts = rows.texts("raw_text")?;
    let (files, sheets, cells) = (rows.texts("source_file")?, rows.texts("source_sheet")?, rows.texts("source_cell")?);
    let mut ids = rows.texts("own_id")?;
    let mut by_test: BTreeMap<String, Vec<Figure>> = BTreeMap::new();
    for (index, test) in tests.into_iter().enumerate() {
        let Some(value) = values[index].filter(|value| value.is_finite()) else { continue };
        let sheet = sheets[index].as_deref().map(|sheet| format!(", sheet {sheet}")).unwrap_or_default();
        let file = files[index].as_deref().unwrap_or_default();
        let figure = Figure {
            quantity: quantities[index].take().unwrap_or_default(),
            circuit: circuits[index].take(),
            elapsed_s: elapsed[index],
            applied_voltage_v: volts[index],
            value,
            bound: bounds[index].take().unwrap_or_default(),
            raw_text: texts[index].take().unwrap_or_default(),
            place: format!("{file}{sheet}, cell {}", cells[index].as_deref().unwrap_or_default()),
            reading_id: ids[index].take(),
        };
        by_test.entry(test.unwrap_or_default()).or_default().push(figure);
    }
    Ok(by_test)
}
