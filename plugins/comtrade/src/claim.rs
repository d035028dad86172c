//! The bid for a source.

use windrow_source::{Companion, Probe, Verdict, encoding};

use crate::config::Config;
use crate::{config, data, single};

/// What a source is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Form {
    /// Configuration and data in one file.
    Single,
    /// A configuration.
    Configuration,
    /// Data without a configuration.
    Data,
}

/// Bids by the marks of the three forms.
pub(crate) fn claim(probe: &Probe<'_>) -> Verdict {
    match form(probe.name, probe.head, probe.len, probe.companion) {
        Some(Form::Single) => Verdict::new(0.9, "it begins like a transient record in a single file"),
        Some(Form::Configuration) => Verdict::new(0.9, "its second line counts the channels of a transient record"),
        Some(Form::Data) => Verdict::new(
            0.9,
            "it holds samples as the configuration beside it tells, or numbered like those of a transient record",
        ),
        None => Verdict::refuse("it is no part of a transient record"),
    }
}

/// The form of a source by its beginning, or as the configuration beside it tells. Text of numbers alone is taken for samples only where
/// the file is also named so.
pub(crate) fn form(name: &str, head: &[u8], len: usize, companion: Option<Companion<'_>>) -> Option<Form> {
    let decoded = encoding::decode(head.get(..4096).unwrap_or(head));
    let mut lines = decoded.text.lines();
    let (first, second) = (lines.next()?, lines.next().unwrap_or_default());
    if single::section(first).is_some_and(|section| section.kind == "CFG") {
        return Some(Form::Single);
    }
    if first.contains(',') && config::counts(second).is_some() {
        return Some(Form::Configuration);
    }
    let config = companion.and_then(|companion| configuration(companion.bytes));
    if config.is_some_and(|config| data::fits(&config, head, len)) {
        return Some(Form::Data);
    }
    let is_data = is_binary(head, len) || (name.to_ascii_lowercase().ends_with(".dat") && is_text(&decoded.text));
    is_data.then_some(Form::Data)
}

/// The configuration in the file beside, if it is one.
pub(crate) fn configuration(bytes: &[u8]) -> Option<Config> {
    let decoded = encoding::decode(bytes);
    config::counts(decoded.text.lines().nth(1)?)?;
    Config::of(&decoded.text, 1).ok()
}

/// Samples looked at.
const LOOKED_AT: usize = 8;

/// Whether numbers from 1 stand at even distances that divide the file into samples.
fn is_binary(head: &[u8], len: usize) -> bool {
    let number = |at: usize| head.get(at..)?.first_chunk().map(|bytes| u32::from_le_bytes(*bytes));
    number(0) == Some(1)
        && (10..=8192).step_by(2).any(|width| {
            let samples = (len / width).min(LOOKED_AT);
            len.is_multiple_of(width)
                && samples >= 4
                && (1_u32..).take(samples).enumerate().all(|(index, wanted)| number(index * width) == Some(wanted))
        })
}

/// Whether lines are samples as text: whole numbers, numbered from 1, at even times from 0.
fn is_text(text: &str) -> bool {
    let rows: Vec<Vec<i64>> = text
        .lines()
        .take(LOOKED_AT)
        .map_while(|line| line.split(',').map(|field| field.trim().parse().ok()).collect::<Option<Vec<i64>>>())
        .collect();
    let column = |at: usize| rows.iter().filter_map(move |row| row.get(at).copied()).collect::<Vec<i64>>();
    let (numbers, times) = (column(0), column(1));
    let steps: Vec<i64> = times.windows(2).filter_map(|pair| Some(pair.get(1)? - pair.first()?)).collect();
    let is_even = steps.iter().all(|step| steps.first().is_some_and(|first| *step > 0 && (step - first).abs() <= 1));
    rows.len() == LOOKED_AT && numbers.iter().copied().eq(1..=8) && times.first() == Some(&0) && is_even
}
