//! Histories and curves as SVG: time across, value upward, bounds drawn as bounds, limits as lines that name their standard.

mod answer;
pub(crate) mod axis;
mod curves;
pub mod distribution;
mod draw;
pub(crate) mod ladder;
mod silence;

pub use answer::answer;

use crate::format::Units;
use crate::outlook::{self, Outlook};
use crate::{Fleet, Machine, format};
use axis::decimal_year;
use curves::{absorption, steps};
use draw::{Chart, Limit, Point};
use maud::{Markup, html};
use std::collections::BTreeSet;
use windrow_model::{Bound, Quantity, Reading, Test, TestSummary};

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
pub enum Scale {
    /// Equal steps for equal differences.
    Linear,
    /// Equal steps for equal ratios.
    Logarithmic,
}

/// Histories and curves of a machine; what is missing, and what would bring it, where there is nothing to draw.
#[must_use]
pub fn histories(machine: &Machine<'_>, fleet: &Fleet<'_>) -> Markup {
    let charts: Vec<Markup> = HISTORIES
        .iter()
        .filter_map(|(quantity, scale)| chart(machine, fleet, quantity, *scale))
        .chain(index_chart(machine))
        .map(|chart| draw::figure(&chart))
        .chain([absorption(machine, fleet), steps(machine, fleet)])
        .filter(|drawn| !drawn.0.is_empty())
        .collect();
    html! {
        @if charts.is_empty() { p { (silence::of_histories(machine, fleet)) } }
        @else { div.plots { @for chart in &charts { (chart) } } }
    }
}

fn chart<'a>(machine: &'a Machine<'_>, fleet: &Fleet<'_>, quantity: &str, scale: Scale) -> Option<Chart<'a>> {
    let mut points = Vec::new();
    let mut shown: BTreeSet<&str> = BTreeSet::new();
    for test in machine.tests.iter().filter(|test| test.duplicate_of.is_none()) {
        for reading in fleet.readings(&test.test_id).iter().filter(|reading| reading.quantity == quantity) {
            shown.insert(&reading.reading_id);
            points.extend(point(test, reading, (scale, fleet.units)).filter(|_| is_headline(reading)));
        }
    }
    if points.is_empty() {
        return None;
    }
    let foreseen = outlook::of_machine(machine, unit(quantity)).into_iter();
    let outlooks: Vec<Outlook<'_>> =
        foreseen.filter(|outlook| outlook.finding.evidence.iter().any(|id| shown.contains(id.as_str()))).collect();
    let silence =
        (quantity == "insulation_resistance" && outlooks.is_empty()).then(|| silence::of_outlook(machine, fleet.units));
    Some(Chart {
        title: title(quantity, fleet.units),
        scale,
        points,
        limits: limits(machine, quantity),
        least: None,
        outlooks,
        silence,
    })
}

/// The polarization index of each test that tells one, with the minimum of the newest.
fn index_chart<'a>(machine: &'a Machine<'_>) -> Option<Chart<'a>> {
    let kept = || machine.summaries.iter().filter(|summary| summary.duplicate_of.is_none());
    let point = |summary: &&TestSummary| {
        let value = summary.polarization_index.filter(|value| value.is_finite())?;
        let bound = summary.polarization_index_bound.as_deref().unwrap_or("exact");
        let on = format::partial_date(summary.performed_on, &summary.performed_precision);
        Some(Point {
            year: decimal_year(summary.performed_on?),
            value,
            bound: Bound::from_code(bound).unwrap_or(Bound::Exact),
            on_basis: true,
            label: format!("{on}: {}{}", format::bound_sign(bound), format::number(value)),
            target: format!("#t-{}", summary.test_id),
        })
    };
    let points: Vec<Point> = kept().filter_map(point).collect();
    let newest = kept().rev().find_map(|summary| {
        let basis = summary.polarization_index_basis.as_ref()?;
        Some(Limit { value: summary.polarization_index_minimum?, label: basis.to_string() })
    });
    let title = "Polarization index: ten minutes over one minute".to_owned();
    let limits = newest.into_iter().collect();
    (!points.is_empty()).then_some(Chart {
        title,
        scale: Scale::Linear,
        points,
        limits,
        // An index of one: the current did not fall at all.
        least: Some(1.0),
        outlooks: Vec::new(),
        silence: None,
    })
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
    let at_reference =
        format::reading_at_reference(reading, units).unwrap_or_else(|| "no common temperature".to_owned());
    let circuit = reading.circuit.as_deref().map_or(String::new(), |circuit| format!(", {circuit}"));
    Some(Point {
        year: decimal_year(date),
        value,
        bound: Bound::from_code(&reading.bound).unwrap_or(Bound::Exact),
        on_basis: reading.value_ref.is_some() || !has_reference(&reading.quantity),
        label: format!("{}{circuit}: {} as written, {at_reference}", format::date(test), format::reading(reading)),
        target: format!("#r-{}", reading.reading_id),
    })
}

/// Unit in which readings of a quantity are stored.
fn unit(quantity: &str) -> &'static str {
    Quantity::from_code(quantity).map_or("", |quantity| quantity.stored_unit().ucum)
}

fn has_reference(quantity: &str) -> bool {
    matches!(quantity, "insulation_resistance" | "winding_resistance")
}

fn title(quantity: &str, units: Units) -> String {
    let at = |celsius| format::temperature(celsius, units);
    match quantity {
        "insulation_resistance" => {
            format!("Insulation resistance, one minute, at {} where the record allows (MΩ)", at(40.0))
        }
        "winding_resistance" => format!("Winding resistance at {} where the record allows (Ω)", at(25.0)),
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
