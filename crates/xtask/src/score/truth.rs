//! The truth of a corpus, as its files tell it.

use anyhow::Context;
use serde::Deserialize;
use std::path::Path;

/// One reading that an import must give, or ask about.
#[derive(Debug, Clone, Deserialize)]
pub(super) struct True {
    pub(super) file: String,
    pub(super) sheet: Option<String>,
    pub(super) cell: Option<String>,
    pub(super) line: Option<u32>,
    pub(super) column: Option<u32>,
    pub(super) xpath: Option<String>,
    pub(super) asset: Option<String>,
    pub(super) performed_on: Option<String>,
    pub(super) precision: Option<String>,
    pub(super) quantity: String,
    pub(super) circuit: Option<String>,
    pub(super) elapsed_s: Option<f64>,
    pub(super) applied_voltage_v: Option<f64>,
    pub(super) value: Option<f64>,
    pub(super) bound: Option<String>,
    pub(super) as_reported: Option<String>,
    pub(super) winding_temperature_c: Option<f64>,
    pub(super) expect: String,
    #[serde(default)]
    pub(super) why: String,
    pub(super) hold_field: Option<String>,
    #[serde(default)]
    pub(super) related: Vec<String>,
    pub(super) year: Option<i32>,
    #[serde(default)]
    pub(super) accept_unbounded: bool,
    #[serde(default)]
    pub(super) must_be_unknown: Vec<String>,
}

/// A number that must not become a reading.
#[derive(Debug, Clone, Deserialize)]
pub(super) struct NotReading {
    pub(super) file: String,
    pub(super) sheet: Option<String>,
    pub(super) cell: Option<String>,
    pub(super) line: Option<u32>,
    pub(super) disposition: String,
    #[serde(default)]
    pub(super) why: String,
}

/// Everything known of a corpus.
#[derive(Debug)]
pub(super) struct Truth {
    pub(super) readings: Vec<True>,
    pub(super) not_readings: Vec<NotReading>,
}

/// Reads `truth.jsonl` and `notreadings.jsonl` of a corpus.
pub(super) fn read(corpus: &Path) -> anyhow::Result<Truth> {
    Ok(Truth { readings: lines(&corpus.join("truth.jsonl"))?, not_readings: lines(&corpus.join("notreadings.jsonl"))? })
}

fn lines<T: for<'d> Deserialize<'d>>(path: &Path) -> anyhow::Result<Vec<T>> {
    let text = std::fs::read_to_string(path).with_context(|| format!("reading {}", path.display()))?;
    let rows = text.lines().filter(|line| !line.trim().is_empty());
    rows.map(|line| serde_json::from_str(line).with_context(|| format!("{}: {line}", path.display()))).collect()
}
