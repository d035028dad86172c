//! Histories and curves as SVG: time across, value upward, bounds drawn as bounds, limits as lines that name their standard.

mod answer;
mod axis;
mod curves;
mod draw;
pub(crate) mod ladder;

pub use answer::answer;
pub use curves::{absorption, steps};

use crate::format::Units;
use crate::{Fleet, Machine, format};
use draw::{Chart, Limit, Point};
use maud::{Markup, html};
use windrow_model::{Bound, Reading, Test};

/// Quantities that get a history, with the scale of their axis.
const HISTORIES: &[(&str, Scale)] = &[
    ("insulation_resistance", Scale::Logarithmic),
    ("leakage_current", Scale::Logarithmic),
    ("winding_resistance", Scale::Linear),
    ("dissipation_factor", Scale::Linear),
    ("surge_difference", Scale::Linear),
    ("surge_inception_voltage", Scale::Linear),
];

/// Scale of an axis.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Scale {
    /// Equal steps for equal differences.
    Linear,
    /// Equal steps for equal ratios.
    Logarithmic,
}

/// One chart for each quantity that has readings with dates.
#[must_use]
pub fn histories(machine: &Machine<'_>, fleet: &Fleet<'_>) -> Markup {
    let charts: Vec<Chart> =
        HISTORIES.iter().filter_map(|(quantity, scale)| chart(machine, fleet, quantity, *scale)).collect();
    html! { @if !charts.is_empty() { div.plots { @for chart in &charts { (draw::figure(chart)) } } } }
}

fn chart(machine: &Machine<'_>, fleet: &Fleet<'_>, quantity: &str, scale: Scale) -> Option<Chart> {
    let mut points = Vec::new();
    for test in machine.tests.iter().filter(|test| test.duplicate_of.is_none()) {
        for reading in
            fleet.readings(&test.test_id).iter().filter(|reading| reading.quantity == quantity && is_headline(reading))
        {
            points.extend(point(test, reading, (scale, fleet.units)));
        }
    }
    if points.is_empty() {
        return None;
    }
    Some(Chart { title: title(quantity), scale, points, limits: limits(machine, quantity) })
}

/// A timed series would draw ten points a test: only the one-minute value stands for it; other quantities show all.
fn is_headline(reading: &Reading) -> bool {
    reading.quantity != "insulation_resistance" || reading.elapsed_s.is_none_or(|seconds| (seconds - 60.0).abs() < 0.5)
}

fn point(test: &Test, reading: &Reading, (scale, units): (Scale, Units)) -> Option<Point> {
    let date = test.performed_on?;
    let value = reading.value_ref.unwrap_or(reading.value);
    if !value.is_finite() || (scale == Scale::Logarithmic && value <= 0.0) {
        return None;
    }
    let year = f64::from(date.year()) + (f64::from(date.day_of_year()) - 1.0) / 365.25;
    let at_reference =
        format::reading_at_reference(reading, units).unwrap_or_else(|| "no common temperature".to_owned());
    let circuit = reading.circuit.as_deref().map_or(String::new(), |circuit| format!(", {circuit}"));
    Some(Point {
        year,
        value,
        bound: Bound::from_code(&reading.bound).unwrap_or(Bound::Exact),
        on_basis: reading.value_ref.is_some() || !has_reference(&reading.quantity),
        label: format!("{}{circuit}: {} as written, {at_reference}", format::date(test), format::reading(reading)),
        target: format!("#r-{}", reading.reading_id),
    })
}

fn has_reference(quantity: &str) -> bool {
    matches!(quantity, "insulation_resistance" | "winding_resistance")
}

fn title(quantity: &str) -> String {
    match quantity {
        "insulation_resistance" => {
            "Insulation resistance, one minute, at 40 °C where the record allows (MΩ)".to_owned()
        }
        "winding_resistance" => "Winding resistance at 25 °C where the record allows (Ω)".to_owned(),
        "leakage_current" => "Leakage current (µA)".to_owned(),
        "surge_difference" => "Difference of surge responses (%)".to_owned(),
        "surge_inception_voltage" => "Surge inception voltage (kV)".to_owned(),
        other => format::words(other),
    }
}

fn limits(machine: &Machine<'_>, quantity: &str) -> Vec<Limit> {
    if quantity != "insulation_resistance" {
        return Vec::new();
    }
    let newest = machine
        .summaries
        .iter()
        .rev()
        .find_map(|summary| Some((summary.ir_minimum_ohm?, summary.ir_minimum_basis.clone()?)));
    newest.map(|(value, basis)| Limit { value, label: basis.to_string() }).into_iter().collect()
}
