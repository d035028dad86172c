//! The rows that a finding rests on, with where they stand.

use super::number;
use crate::output;
use std::fmt::Write;
use windrow_model::{Reading, Test};
use windrow_tasks::evidence::Evidence;

/// Readings whose way from the cell is shown step by step.
const MOST_DERIVED: usize = 4;

/// The rows as tables; says when rows are gone.
pub(super) fn table(evidence: &Evidence) -> Option<String> {
    let mut out = String::new();
    if !evidence.readings.is_empty() {
        let rows: Vec<Vec<String>> =
            evidence.readings.iter().map(|(reading, test)| row(reading, test.as_ref())).collect();
        let header =
            ["date", "quantity", "circuit", "time", "at", "value", "corrected", "winding", "as written", "where"];
        out.push_str(&output::table(&header, &rows));
    }
    if !evidence.tests.is_empty() {
        let rows: Vec<Vec<String>> = evidence.tests.iter().map(test_row).collect();
        out.push_str(&output::table(&["date", "test", "winding", "ambient", "instrument", "where"], &rows));
    }
    if let Some(gone) = evidence.gone_in_words() {
        let _ = writeln!(out, "{gone}");
    }
    (!out.is_empty()).then_some(out)
}

/// Each step from cell to value, where there are few readings.
pub(super) fn derivations(evidence: &Evidence) -> Option<String> {
    if evidence.readings.is_empty() || evidence.readings.len() > MOST_DERIVED {
        return None;
    }
    let lines: Vec<String> = evidence
        .readings
        .iter()
        .flat_map(|(reading, _)| {
            let head = format!(
                "{:?} at {}",
                reading.raw_text.as_str(),
                place(&reading.source_file, reading.source_sheet.as_deref(), &reading.source_cell)
            );
            let steps = reading.derivation.iter().map(|step| format!("  {}: {}", step.step, step.detail));
            let flags = (!reading.flags.is_empty()).then(|| format!("  to know: {}", reading.flags.join(", ")));
            std::iter::once(head).chain(steps).chain(flags).collect::<Vec<_>>()
        })
        .collect();
    Some(lines.join("\n"))
}

fn row(reading: &Reading, test: Option<&Test>) -> Vec<String> {
    let bound = match reading.bound.as_str() {
        "at_least" => "≥ ",
        "at_most" => "≤ ",
        _ => "",
    };
    let value = |value: f64| format!("{bound}{}", number::with_unit(value, &reading.unit));
    let corrected = match (reading.value_ref, reading.value_ref_low, reading.value_ref_high) {
        (Some(at), ..) => {
            let to = reading.reference_c.map(|reference| format!(" ({reference} °C)")).unwrap_or_default();
            format!("{}{to}", value(at))
        }
        (None, Some(low), Some(high)) => format!("{} to {}", value(low), value(high)),
        _ => String::new(),
    };
    vec![
        test.map_or(String::new(), day),
        reading.quantity.replace('_', " "),
        reading.circuit.as_deref().unwrap_or_default().to_owned(),
        reading.elapsed_s.map(|seconds| format!("{seconds} s")).unwrap_or_default(),
        reading.applied_voltage_v.map(|volts| number::with_unit(volts, "V")).unwrap_or_default(),
        value(reading.value),
        corrected,
        test.and_then(|test| test.winding_temperature_c)
            .map(|told| format!("{} °C", number::plain(told)))
            .unwrap_or_default(),
        format!("{:?}", reading.raw_text.as_str()),
        place(&reading.source_file, reading.source_sheet.as_deref(), &reading.source_cell),
    ]
}

fn test_row(test: &Test) -> Vec<String> {
    let celsius = |told: Option<f64>| told.map(|told| format!("{} °C", number::plain(told))).unwrap_or_default();
    vec![
        day(test),
        test.kind.replace('_', " "),
        celsius(test.winding_temperature_c),
        celsius(test.ambient_temperature_c),
        test.instrument.as_deref().unwrap_or_default().to_owned(),
        place(&test.source_file, test.source_sheet.as_deref(), &test.source_cell),
    ]
}

/// The day as precisely as the source tells it.
fn day(test: &Test) -> String {
    let Some(first) = test.performed_on else { return "no date".to_owned() };
    match windrow_model::Precision::from_code(&test.performed_precision) {
        Some(precision) => windrow_model::PartialDate { first, precision }.to_string(),
        None => first.to_string(),
    }
}

fn place(file: &str, sheet: Option<&str>, cell: &str) -> String {
    let sheet = sheet.map(|sheet| format!(" [{sheet}]")).unwrap_or_default();
    format!("{file}{sheet} {cell}")
}
