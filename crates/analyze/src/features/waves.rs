//! Recorded waveforms of surge tests, by test.

use crate::AnalyzeError;
use crate::frames::Rows;
use crate::loaded::Inputs;
use polars::prelude::*;
use std::collections::BTreeMap;

/// One channel of a record.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Wave {
    pub(crate) waveform_id: String,
    /// What was measured, else the channel's name.
    pub(crate) name: String,
    pub(crate) applied_voltage_v: Option<f64>,
    pub(crate) start_s: f64,
    pub(crate) sample_interval_s: f64,
    pub(crate) unit: String,
    pub(crate) samples: Vec<f64>,
}

impl Wave {
    /// Adds all that is known of it.
    pub(crate) fn inputs(&self, inputs: &mut Inputs) {
        let Self { waveform_id, name, applied_voltage_v, start_s, sample_interval_s, unit, samples } = self;
        for text in [waveform_id, name, unit] {
            inputs.text(text);
        }
        inputs.number_if(*applied_voltage_v);
        inputs.number(*start_s);
        inputs.number(*sample_interval_s);
        inputs.count(samples.len());
        for sample in samples {
            inputs.number(*sample);
        }
    }
}

/// Waveforms of the tests of kind `surge`; records of other kinds do not ring.
pub(crate) fn waves(waveforms: LazyFrame, tests: LazyFrame) -> Result<BTreeMap<String, Vec<Wave>>, AnalyzeError> {
    // Most fleets have none, and need not look for the surge tests among all.
    let count = waveforms.clone().select([len().cast(DataType::UInt32).alias("count")]).collect()?;
    if count.column("count")?.u32()?.get(0) == Some(0) {
        return Ok(BTreeMap::new());
    }
    let surges = tests.filter(col("kind").eq(lit("surge"))).select([col("test_id")]);
    let plan = waveforms
        .join(surges, [col("test_id")], [col("test_id")], JoinArgs::new(JoinType::Semi))
        .select([
            col("test_id"),
            col("waveform_id"),
            col("circuit").fill_null(col("channel")).alias("name"),
            col("applied_voltage_v"),
            col("start_s"),
            col("sample_interval_s"),
            col("unit"),
            col("samples").cast(DataType::List(Box::new(DataType::Float64))),
        ])
        .sort(["test_id", "name", "start_s", "waveform_id"], SortMultipleOptions::default());
    let rows = Rows::collect(plan)?;
    let tests = rows.texts("test_id")?;
    let (mut ids, mut names, mut units) = (rows.texts("waveform_id")?, rows.texts("name")?, rows.texts("unit")?);
    let (volts, starts, intervals) =
        (rows.numbers("applied_voltage_v")?, rows.numbers("start_s")?, rows.numbers("sample_interval_s")?);
    let mut samples = rows.number_lists("samples")?;
    let mut by_test: BTreeMap<String, Vec<Wave>> = BTreeMap::new();
    for (index, test) in tests.into_iter().enumerate() {
        by_test.entry(test.unwrap_or_default()).or_default().push(Wave {
            waveform_id: ids[index].take().unwrap_or_default(),
            name: names[index].take().unwrap_or_default(),
            applied_voltage_v: volts[index],
            start_s: starts[index].unwrap_or(0.0),
            sample_interval_s: intervals[index].unwrap_or(0.0),
            unit: units[index].take().unwrap_or_default(),
            samples: std::mem::take(&mut samples[index]),
        });
    }
    Ok(by_test)
}
