//! A section a machine: nameplate, findings, plotted histories, tests, and the trail of every number.

use crate::format::Units;
use crate::{Fleet, Machine, coverage, findings, format, next_tests, plot, positions, trail};
use maud::{Markup, html};
use windrow_model::Asset;
use windrow_model::rows::RULED;

/// Table of all machines, each a link to its section.
pub(crate) fn index(fleet: &Fleet<'_>) -> Markup {
    html! {
        section #machines {
            h2 { "Machines" }
            div.wide tabindex="0" role="region" aria-label="Table of machines" {
                table {
                    thead { tr {
                        th scope="col" { "Tag" } th scope="col" { "Site" } th scope="col" { "Rated" } th scope="col" { "Tests" }
                        th scope="col" { "Last test" } th scope="col" { "Last one-minute value at " (format::temperature(40.0, fleet.units)) } th scope="col" { "Highest level" }
                    } }
                    tbody { @for machine in &fleet.machines { (index_row(machine, fleet)) } }
                }
            }
        }
    }
}

fn index_row(machine: &Machine<'_>, fleet: &Fleet<'_>) -> Markup {
    let asset = machine.asset;
    let last = machine.summaries.iter().rev().find(|summary| summary.ir_1min_40c_ohm.is_some());
    html! {
        tr {
            th scope="row" { a.tag href={ "#m-" (asset.asset_id) } { (asset.tag) } }
            td { (asset.site.as_deref().unwrap_or("")) }
            td { (rating(asset, fleet.units)) }
            td.n { (machine.tests.iter().filter(|test| test.duplicate_of.is_none()).count()) }
            td.day { @if let Some(test) = machine.tests.iter().rev().find(|test| test.performed_on.is_some()) { (format::date(test)) } }
            td.n {
                @if let Some(summary) = last {
                    @if let Some(value) = summary.ir_1min_40c_ohm {
                        (format::bound_sign(summary.ir_bound.as_deref().unwrap_or("exact")))
                        (format::with_unit(value, "Ohm", "insulation_resistance"))
                    }
                }
            }
            td { @if let Some(finding) = machine.findings.iter().find(|finding| finding.is_open()) { (findings::badge(&finding.level)) } }
        }
    }
}

/// The section of one machine.
pub(crate) fn section(machine: &Machine<'_>, fleet: &Fleet<'_>) -> Markup {
    let asset = machine.asset;
    html! {
        section.machine id={ "m-" (asset.asset_id) } {
            h3 { (asset.tag) @if let Some(description) = &asset.description { " " small { (description) } } }
            (plate(asset, fleet.units))
            (positions::block(&asset.asset_id, fleet))
            (findings::list(&machine.findings, &asset.tag))
            (plot::histories(machine, fleet))
            (coverage::block(machine, fleet))
            @if let Some((on, tests)) = fleet.plan_of(&asset.asset_id) { section.next { h4 { "Next tests" } (next_tests::block(tests.iter().copied(), on, asset.in_service)) } }
            @if !machine.tests.is_empty() { h4 { "Tests" } }
            (trail::tests(&machine.tests, fleet))
        }
    }
}

/// Tests whose record names no machine.
pub(crate) fn unassigned(fleet: &Fleet<'_>) -> Markup {
    html! {
        @if !fleet.unassigned.is_empty() {
            section.machine #no-machine {
                h3 { "Tests that name no machine" }
                p { "Their records tell no tag and no serial number that leads to one machine. See the open questions." }
                (trail::tests(&fleet.unassigned, fleet))
            }
        }
    }
}

/// Rated power and voltage.
#[must_use]
pub fn rating(asset: &Asset, units: Units) -> String {
    let mut parts = Vec::new();
    if let Some(power) = asset.rated_power_w {
        parts.push(format::power(power, units));
    }
    if let Some(voltage) = asset.rated_voltage_v {
        parts.push(format::with_unit(voltage, "V", "voltage"));
    }
    parts.join(", ")
}

/// The nameplate, with what sources tell differently.
#[must_use]
pub fn plate(asset: &Asset, units: Units) -> Markup {
    let mut fields: Vec<(&str, String)> = Vec::new();
    let mut add = |name, value: Option<String>| fields.extend(value.map(|value| (name, value)));
    add("site", asset.site.clone());
    add("area", asset.area.clone());
    add("maker", asset.manufacturer.clone());
    add("model", asset.model.clone());
    add("serial number", asset.serial_number.clone());
    add("rated power", asset.rated_power_w.map(|value| format::power(value, units)));
    let ruled = if asset.rated_voltage_basis.as_deref() == Some(RULED) { ", as a person ruled" } else { "" };
    let volts = |value| format!("{}{ruled}", format::with_unit(value, "V", "voltage"));
    add("rated voltage", asset.rated_voltage_v.map(volts));
    add("rated current", asset.rated_current_a.map(|value| format!("{}\u{a0}A", format::number(value))));
    add("rated speed", asset.rated_speed_rpm.map(|value| format!("{}\u{a0}r/min", format::number(value))));
    add("winding", asset.winding_kind.as_ref().map(|kind| format!("{kind}-wound")));
    add("thermal class", asset.insulation_class.clone());
    add("insulation", asset.insulation_era.clone());
    add("made", asset.made_year.map(|year| year.to_string()));
    let rewound: Vec<String> = asset.rewound_years.iter().map(ToString::to_string).collect();
    add("rewound", (!rewound.is_empty()).then(|| rewound.join(", ")));
    add("functional location", asset.functional_location.clone());
    let levels = &asset.location_levels;
    add("its levels", (!levels.is_empty()).then(|| levels.join(" › ")));
    add("belongs to", asset.parent.clone());
    add("key in the equipment list", asset.list_key.clone());
    add("also written", (!asset.aliases.is_empty()).then(|| asset.aliases.join(" · ")));
    html! {
        @if fields.is_empty() { p.hint { "No nameplate in the records." } }
        @else { dl.plate { @for (name, value) in &fields { div { dt { (name) } dd { (value) } } } } }
        (conflicts(asset))
    }
}

/// Nameplate columns that sources tell differently: all values with their places, and why one is used.
fn conflicts(asset: &Asset) -> Markup {
    html! {
        @if !asset.nameplate_conflicts.is_empty() {
            p.hint { "Sources differ on this nameplate." }
            ul { @for conflict in &asset.nameplate_conflicts { li { b { (conflict.step) } " " (conflict.detail) } } }
        }
    }
}
