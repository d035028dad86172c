//! Timed insulation resistance by test and circuit: the values that ratios are made of.

use super::{at_seconds, of};
use crate::AnalyzeError;
use crate::frames::Rows;
use polars::prelude::*;
use std::collections::BTreeMap;
use windrow_model::Bound;

/// A value with its bound.
pub(crate) type Bounded = (f64, Bound);

/// Values of one circuit in one test at the times that ratios need.
#[derive(Debug, Clone, Default)]
pub(crate) struct CircuitTimes {
    /// After 30 s, Ohm.
    pub(crate) at_30_s: Option<Bounded>,
    /// After 60 s, Ohm.
    pub(crate) at_60_s: Option<Bounded>,
    /// After 600 s, Ohm.
    pub(crate) at_600_s: Option<Bounded>,
}

/// Timed values by test, one entry a circuit.
pub(crate) fn circuit_times(readings: LazyFrame) -> Result<BTreeMap<String, Vec<CircuitTimes>>, AnalyzeError> {
    let mut aggregates = Vec::new();
    for (name, seconds) in [("30", 30.0), ("60", 60.0), ("600", 600.0)] {
        let here = at_seconds(seconds);
        aggregates.push(col("value").filter(here.clone()).first().alias(format!("value_{name}")));
        aggregates.push(col("bound").filter(here).first().alias(format!("bound_{name}")));
    }
    let plan = readings
        .filter(of("insulation_resistance").and(col("as_reported").eq(lit("as_read"))))
        .sort(["test_id", "seq"], SortMultipleOptions::default())
        .group_by_stable([col("test_id"), col("circuit")])
        .agg(aggregates);
    let rows = Rows::collect(plan)?;
    let tests = rows.texts("test_id")?;
    let at_30_s = bounded(&rows, "30")?;
    let at_60_s = bounded(&rows, "60")?;
    let at_600_s = bounded(&rows, "600")?;
    let mut by_test: BTreeMap<String, Vec<CircuitTimes>> = BTreeMap::new();
    for (index, test) in tests.into_iter().enumerate() {
        let times = CircuitTimes { at_30_s: at_30_s[index], at_60_s: at_60_s[index], at_600_s: at_600_s[index] };
        by_test.entry(test.unwrap_or_default()).or_default().push(times);
    }
    Ok(by_test)
}

fn bounded(rows: &Rows, name: &str) -> Result<Vec<Option<Bounded>>, AnalyzeError> {
    let values = rows.numbers(&format!("value_{name}"))?;
    let bounds = rows.texts(&format!("bound_{name}"))?;
    Ok(values.into_iter().zip(bounds).map(|(value, bound)| Some((value?, Bound::from_code(&bound?)?))).collect())
}
