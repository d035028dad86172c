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

/// A quantity that gets a history.
struct History {
    quantity: &'static str,
    /// What stands above it, without the unit and the temperature that values are brought to.
    title: &'static str,
    scale: Scale,
    /// A value that the axis reaches in any case, so that small differences look small.
    least: Option<f64>,
}

const HISTORIES: &[History] = &[
    history("insulation_resistance", "Insulation resistance, one minute", Scale::Logarithmic),
    history("leakage_current", "Leakage current, at the highest voltage of each test", Scale::Logarithmic),
    history("winding_resistance", "Winding resistance", Scale::Linear),
    history("dissipation_factor", "Dissipation factor, tan δ", Scale::Linear),
    history("capacitance", "Capacitance of the insulation", Scale::Linear),
    history("pd_magnitude", "Partial discharges, apparent charge", Scale::Logarithmic),
    history("pd_inception_voltage", "Partial discharges begin at", Scale::Linear),
    history("pd_extinction_voltage", "Partial discharges cease at", Scale::Linear),
    History { least: Some(0.0), ..history("surge_difference", "Difference of surge responses", Scale::Linear) },
    history("surge_inception_voltage", "Surge inception voltage", Scale::Linear),
    history("inductance", "Inductance", Scale::Linear),
];

const fn history(quantity: &'static str, title: &'static str, scale: Scale) -> History {
    History { quantity, title, scale, least: None }
}

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
        .filter_map(|history| chart(machine, fleet, history))
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

fn chart<'a>(machine: &'a Machine<'_>, fleet: &Fleet<'_>, history: &History) -> Option<Chart<'a>> {
    let quantity = history.quantity;
    let mut points = Vec::new();
    let mut shown: BTreeSet<&str> = BTreeSet::new();
    for test in machine.tests.iter().filter(|test| test.duplicate_of.is_none()) {
        let all: Vec<&Reading> =
            fleet.readings(&test.test_id).iter().copied().filter(|reading| reading.quantity == quantity).collect();
        shown.extend(all.iter().map(|reading| reading.reading_id.as_str()));
        let headlines = all.iter().filter(|reading| is_headline(reading, &all));
        points.extend(headlines.filter_map(|reading| point(test, reading, (history.scale, fleet.units))));
    }
    if points.is_empty() {
        return None;
    }
    let foreseen = outlook::of_machine(machine, unit(quantity)).into_iter();
    let outlooks: Vec<Outlook<'_>> =
        foreseen.filter(|outlook| outlook.finding.evidence.iter().any(|id| shown.contains(id.as_str()))).collect();
    let silence =
        (quantity == "insulation_resistance" && outlooks.is_empty()).then(|| silence::of_outlook(machine, fleet.units));
    let (factor, symbol) = format::axis_unit(unit(quantity), quantity);
    Some(Chart {
        title: title(history, symbol, fleet.units),
        factor,
        scale: history.scale,
        points,
        limits: limits(machine, quantity),
        least: history.least,
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
        factor: 1.0,
        scale: Scale::Linear,
        points,
        limits,
        // An index of one: the current did not fall at all.
        least: Some(1.0),
        outlooks: Vec::new(),
        silence: None,
    })
}

/// Whether a reading stands for its test. Of a timed series the one-minute value does; of a current in steps that after the longest time at
/// the highest voltage, on each circuit: all of them would draw a column a test. Other quantities show all.
fn is_headline(reading: &Reading, all: &[&Reading]) -> bool {
    let last = |reading: &Reading| (reading.applied_voltage_v, reading.elapsed_s);
    match reading.quantity.as_str() {
        "insulation_resistance" => reading.elapsed_s.is_none_or(|seconds| (seconds - 60.0).abs() < 0.5),
        "leakage_current" => {
            all.iter().filter(|other| other.circuit == reading.circuit).all(|other| last(other) <= last(reading))
        }
        _ => true,
    }
}

fn point(test: &Test, reading: &Reading, (scale, units): (Scale, Units)) -> Option<Point> {
    let date = test.performed_on?;
    let value = reading.value_ref.unwrap_or(reading.value);
    if !value.is_finite() || (scale == Scale::Logarithmic && value <= 0.0) {
        return None;
    }
    let at_reference = match format::reading_at_reference(reading, units) {
        Some(told) => format!(", {told}"),
        None if has_reference(&reading.quantity) => ", no common temperature".to_owned(),
        None => String::new(),
    };
    let volts = |volts| format!(" at {}", format::with_unit(volts, "V", "voltage"));
    let volts = reading.applied_voltage_v.map(volts).unwrap_or_default();
    let circuit = reading.circuit.as_deref().map_or(String::new(), |circuit| format!(", {circuit}"));
    Some(Point {
        year: decimal_year(date),
        value,
        bound: Bound::from_code(&reading.bound).unwrap_or(Bound::Exact),
        on_basis: reading.value_ref.is_some() || !has_reference(&reading.quantity),
        label: format!("{}{circuit}: {}{volts} as written{at_reference}", format::date(test), format::reading(reading)),
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

fn title(history: &History, symbol: &str, units: Units) -> String {
    let at = |celsius| format!(", at {} where the record allows", format::temperature(celsius, units));
    let at = match history.quantity {
        "insulation_resistance" => at(40.0),
        "winding_resistance" => at(25.0),
        _ => String::new(),
    };
    let unit = if symbol.is_empty() { String::new() } else { format!(" ({symbol})") };
    format!("{}{at}{unit}", history.title)
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
