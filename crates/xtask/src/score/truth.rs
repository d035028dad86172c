//! The truth of a corpus, as its files tell it.

use anyhow::Context;
use serde::{Deserialize, Serialize};
use std::path::Path;

/// One reading that an import must give, or ask about.
#[derive(Debug, Clone, Default, Deserialize, Serialize)]
pub(crate) struct True {
    pub(crate) file: String,
    pub(crate) sheet: Option<String>,
    pub(crate) cell: Option<String>,
    pub(crate) line: Option<u32>,
    pub(crate) column: Option<u32>,
    pub(crate) xpath: Option<String>,
    pub(crate) asset: Option<String>,
    /// The machine's tag.
    pub(crate) tag: Option<String>,
    pub(crate) kind: Option<String>,
    pub(crate) performed_on: Option<String>,
    pub(crate) precision: Option<String>,
    pub(crate) quantity: String,
    pub(crate) circuit: Option<String>,
    pub(crate) elapsed_s: Option<f64>,
    pub(crate) applied_voltage_v: Option<f64>,
    pub(crate) value: Option<f64>,
    pub(crate) bound: Option<String>,
    pub(crate) as_reported: Option<String>,
    pub(crate) winding_temperature_c: Option<f64>,
    pub(crate) expect: String,
    #[serde(default)]
    pub(crate) why: String,
    pub(crate) hold_field: Option<String>,
    #[serde(default)]
    pub(crate) related: Vec<String>,
    pub(crate) year: Option<i32>,
    #[serde(default)]
    pub(crate) accept_unbounded: bool,
    #[serde(default)]
    pub(crate) must_be_unknown: Vec<String>,
    /// Name of the test that stands in several files.
    pub(crate) dup: Option<String>,
    /// Whether its copies differ.
    #[serde(default)]
    pub(crate) slip: bool,
}

/// A number that must not become a reading.
#[derive(Debug, Clone, Default, Deserialize, Serialize)]
pub(crate) struct NotReading {
    pub(crate) file: String,
    pub(crate) sheet: Option<String>,
    pub(crate) cell: Option<String>,
    pub(crate) line: Option<u32>,
    pub(crate) disposition: String,
    #[serde(default)]
    pub(crate) why: String,
}

impl NotReading {
    /// A number computed from readings, or a limit.
    pub(crate) fn derived(why: &str) -> Self {
        Self { disposition: "derived".to_owned(), why: why.to_owned(), ..Self::default() }
    }
}

/// Everything known of a corpus.
#[derive(Debug)]
pub(crate) struct Truth {
    pub(crate) readings: Vec<True>,
    pub(crate) not_readings: Vec<NotReading>,
}

/// Reads `truth.jsonl` and `notreadings.jsonl` of a corpus.
pub(crate) fn read(corpus: &Path) -> anyhow::Result<Truth> {
    Ok(Truth { readings: lines(&corpus.join("truth.jsonl"))?, not_readings: lines(&corpus.join("notreadings.jsonl"))? })
}

fn lines<T: for<'d> Deserialize<'d>>(path: &Path) -> anyhow::Result<Vec<T>> {
    let text = std::fs::read_to_string(path).with_context(|| format!("reading {}", path.display()))?;
    let rows = text.lines().filter(|line| !line.trim().is_empty());
    rows.map(|line| serde_json::from_str(line).with_context(|| format!("{}: {line}", path.display()))).collect()
}
