//! Every number with the way back to its cell.

use crate::format::Units;
use crate::{Fleet, format};
use maud::{Markup, html};
use windrow_model::{Reading, Test};

/// The tests of a machine, each opening to its readings; a test that several sources tell names them all.
#[must_use]
pub fn tests(tests: &[&Test], fleet: &Fleet<'_>) -> Markup {
    html! {
        @if tests.is_empty() { p.hint { "No tests in the records." } }
        @for test in tests {
            @let repeats: Vec<&Test> = tests.iter().copied().filter(|other| other.duplicate_of.as_ref() == Some(&test.test_id)).collect();
            (one_test(test, &repeats, fleet))
        }
    }
}

fn one_test(test: &Test, repeats: &[&Test], fleet: &Fleet<'_>) -> Markup {
    let readings = fleet.readings(&test.test_id);
    html! {
        details.test id={ "t-" (test.test_id) } {
            summary {
                span.date { (format::date(test)) } " " (format::words(&test.kind))
                @if let Some(stage) = &test.stage { ", " (format::words(stage)) }
                @if let Some(gist) = gist(readings) { ": " (gist) }
                span.count { (readings.len()) @if readings.len() == 1 { " reading" } @else { " readings" } }
                span.count { (test.source_file) @for repeat in repeats { ", " (repeat.source_file) } }
                @if test.duplicate_of.is_some() { " " small { "repeats a test from another source" } }
            }
            p.hint {
                (conditions(test, fleet.units)) " · record begins at " (cell(&test.source_file, test.source_sheet.as_deref(), &test.source_cell, fleet))
                @for repeat in repeats { ", told again at " (cell(&repeat.source_file, repeat.source_sheet.as_deref(), &repeat.source_cell, fleet)) }
                @if let Some(kept) = &test.duplicate_of { " · counted is " a href={ "#t-" (kept) } { "the test that it repeats" } }
            }
            div.wide tabindex="0" role="region" aria-label="Readings of the test" {
                table {
                    thead { tr {
                        th scope="col" { "Quantity" } th scope="col" { "Circuit" } th scope="col" { "Time" } th scope="col" { "Voltage" }
                        th scope="col" { "Value" } th scope="col" { "At reference" } th scope="col" { "As written" } th scope="col" { "Where" }
                        th scope="col" { "How it was read" }
                    } }
                    tbody { @for reading in readings { (reading_row(reading, fleet)) } }
                }
            }
        }
    }
}

/// What a test read, in short: from the lowest to the highest value of its first quantity as read, after one minute where one is told.
fn gist(readings: &[&Reading]) -> Option<String> {
    let first = readings.first()?;
    let mut mine: Vec<&Reading> = readings
        .iter()
        .copied()
        .filter(|reading| reading.quantity == first.quantity && reading.value.is_finite())
        .collect();
    let is_one_minute = |reading: &&Reading| reading.elapsed_s.is_some_and(|seconds| (seconds - 60.0).abs() < 0.5);
    let timed = mine.iter().any(&is_one_minute);
    mine.retain(|reading| !timed || is_one_minute(reading));
    mine.sort_by(|a, b| a.value.total_cmp(&b.value));
    let (lowest, highest) = (format::reading(mine.first()?), format::reading(mine.last()?));
    let after = if timed { " after 1\u{a0}min" } else { "" };
    Some(if lowest == highest { format!("{lowest}{after}") } else { format!("{lowest} to {highest}{after}") })
}

fn conditions(test: &Test, units: Units) -> String {
    let mut parts = Vec::new();
    if let Some(voltage) = test.test_voltage_v {
        let assumed = if test.test_voltage_basis == "assumed" { " (assumed)" } else { "" };
        parts.push(format!("test voltage {}{assumed}", format::with_unit(voltage, "V", "voltage")));
    }
    if let Some(temperature) = test.winding_temperature_c {
        parts.push(format!("winding {} ({})", format::temperature(temperature, units), test.winding_temperature_basis));
    }
    if let Some(temperature) = test.ambient_temperature_c {
        parts.push(format!("ambient {}", format::temperature(temperature, units)));
    }
    if let Some(humidity) = test.relative_humidity_pct {
        parts.push(format!("relative humidity {}\u{a0}%", format::number(humidity)));
    }
    for (name, value) in [
        ("instrument", &test.instrument),
        ("work order", &test.work_order),
        ("outcome as written", &test.reported_outcome),
        ("remarks", &test.remarks),
    ] {
        if let Some(value) = value {
            parts.push(format!("{name}: {value}"));
        }
    }
    parts.join(" · ")
}

fn reading_row(reading: &Reading, fleet: &Fleet<'_>) -> Markup {
    html! {
        tr id={ "r-" (reading.reading_id) } {
            td { (format::words(&reading.quantity)) }
            td { (reading.circuit.as_deref().unwrap_or("")) }
            td { @if let Some(seconds) = reading.elapsed_s { (format::elapsed(seconds)) } }
            td { @if let Some(voltage) = reading.applied_voltage_v { (format::with_unit(voltage, "V", "voltage")) } }
            td.n { (format::reading(reading)) @if reading.as_reported == "corrected" { " " small { "corrected by the source" } } }
            td.n { (format::reading_at_reference(reading, fleet.units).unwrap_or_default()) }
            td { q { (reading.raw_text) } }
            td.where { (cell(&reading.source_file, reading.source_sheet.as_deref(), &reading.source_cell, fleet)) }
            td {
                details {
                    summary { (reading.derivation.len()) @if reading.derivation.len() == 1 { " step" } @else { " steps" } @if !reading.flags.is_empty() { ", " (reading.flags.iter().map(|flag| format::words(flag)).collect::<Vec<_>>().join(", ")) } }
                    ol { @for step in &reading.derivation { li { b { (step.step) } " " (step.detail) } } }
                }
            }
        }
    }
}

/// A place as people say it, leading to the cell where the page has one.
fn cell(file: &str, sheet: Option<&str>, cell: &str, fleet: &Fleet<'_>) -> Markup {
    let words = place(file, sheet, cell);
    html! { @match fleet.cell_page { Some(page) => a href=(page(file, sheet, cell)) { (words) }, None => (words) } }
}

/// A place as people say it: file, sheet, cell.
#[must_use]
pub fn place(file: &str, sheet: Option<&str>, cell: &str) -> String {
    match sheet {
        Some(sheet) => format!("{file}, sheet {sheet}, cell {cell}"),
        None => format!("{file}, {cell}"),
    }
}
