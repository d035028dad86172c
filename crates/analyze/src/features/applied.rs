//! The voltages that a test applied, circuit by circuit, and what became of each.

use super::of;
use crate::AnalyzeError;
use crate::frames::Rows;
use polars::prelude::*;
use std::collections::BTreeMap;

/// A voltage on one circuit in one test.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Applied {
    pub(crate) circuit: Option<String>,
    /// Highest voltage told for the circuit, V; `None` where only the test's own voltage is told.
    pub(crate) volts: Option<f64>,
    /// Whether a reading of this circuit says that it broke down or the test was stopped.
    pub(crate) broke_down: bool,
    /// Whether a reading of this circuit says that it withstood.
    pub(crate) withstood: bool,
}

/// Applied voltages by test, one entry a circuit. A voltage that was assumed is none.
pub(crate) fn applied(readings: LazyFrame) -> Result<BTreeMap<String, Vec<Applied>>, AnalyzeError> {
    let assumed = col("flags").list().join(lit(" "), true).str().contains_literal(lit("voltage_assumed"));
    let volts = when(of("surge_peak_voltage")).then(col("value")).otherwise(col("applied_voltage_v"));
    let plan = readings
        .with_columns([when(assumed).then(lit(NULL)).otherwise(volts).cast(DataType::Float64).alias("volts")])
        .sort(["test_id", "seq"], SortMultipleOptions::default())
        .group_by_stable([col("test_id"), col("circuit")])
        .agg([
            col("volts").max(),
            col("outcome").is_in(lit(failures()).implode(false), false).any(true).alias("broke_down"),
            col("outcome").eq(lit("withstood")).any(true).alias("withstood"),
        ]);
    let rows = Rows::collect(plan)?;
    let (tests, circuits) = (rows.texts("test_id")?, rows.texts("circuit")?);
    let (volts, broken, held) = (rows.numbers("volts")?, rows.truths("broke_down")?, rows.truths("withstood")?);
    let mut by_test: BTreeMap<String, Vec<Applied>> = BTreeMap::new();
    for (index, (test, circuit)) in tests.into_iter().zip(circuits).enumerate() {
        by_test.entry(test.unwrap_or_default()).or_default().push(Applied {
            circuit,
            volts: volts[index],
            broke_down: broken[index].unwrap_or(false),
            withstood: held[index].unwrap_or(false),
        });
    }
    Ok(by_test)
}

/// Outcomes after which a voltage counts as not carried.
pub(super) fn failures() -> Series {
    Series::new("failures".into(), ["broke_down", "stopped"])
}
