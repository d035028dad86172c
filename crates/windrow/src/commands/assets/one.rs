//! One machine: its names, its place and its nameplate, with what sources tell differently.

use super::SHORT;
use std::collections::BTreeSet;
use std::fmt::Write;
use windrow_model::{Asset, Test};

/// What is known of a machine, a line a field.
pub(super) fn described(asset: &Asset, tests: &[&Test]) -> String {
    let id: String = asset.asset_id.chars().take(SHORT).collect();
    let mut out = format!("{} ({id})\n", asset.tag);
    for (name, column, value) in fields(asset) {
        let told = asset.nameplate_conflicts.iter().find(|conflict| conflict.step == column);
        let Some(value) = value.or_else(|| told.map(|_| "not known".to_owned())) else { continue };
        let _ = writeln!(out, "  {name:<20} {value}");
        if let Some(told) = told {
            let _ = writeln!(out, "  {:<20} sources differ: {}", "", told.detail);
        }
    }
    let sources: BTreeSet<&str> = tests.iter().map(|test| test.source_file.as_str()).collect();
    let kept = tests.iter().filter(|test| test.duplicate_of.is_none()).count();
    let _ = writeln!(out, "  {:<20} {kept} in {} sources", "tests", sources.len());
    out
}

/// Fields by the name that people read, the column, and the value if there is one.
fn fields(asset: &Asset) -> Vec<(&'static str, &'static str, Option<String>)> {
    let number = |value: Option<f64>, unit: &str| value.map(|value| format!("{value} {unit}"));
    let joined = |texts: &[String]| (!texts.is_empty()).then(|| texts.join(" | "));
    let rewound: Vec<String> = asset.rewound_years.iter().map(ToString::to_string).collect();
    vec![
        ("also written", "aliases", joined(&asset.aliases)),
        ("site", "site", asset.site.clone()),
        ("area", "area", area(asset)),
        ("functional location", "functional_location", asset.functional_location.clone()),
        ("its levels", "location_levels", levels(asset)),
        ("belongs to", "parent", asset.parent.clone()),
        ("key in the list", "list_key", asset.list_key.clone()),
        ("listed at", "listed_at", asset.listed_at.clone()),
        ("description", "description", asset.description.clone()),
        ("equipment class", "equipment_class", Some(asset.equipment_class.clone())),
        ("maker", "manufacturer", asset.manufacturer.clone()),
        ("model", "model", asset.model.clone()),
        ("serial number", "serial_number", asset.serial_number.clone()),
        ("rated power", "rated_power_w", number(asset.rated_power_w.map(|watts| watts / 1e3), "kW")),
        ("rated voltage", "rated_voltage_v", number(asset.rated_voltage_v, "V")),
        ("rated current", "rated_current_a", number(asset.rated_current_a, "A")),
        ("rated speed", "rated_speed_rpm", number(asset.rated_speed_rpm, "1/min")),
        ("rated frequency", "rated_frequency_hz", number(asset.rated_frequency_hz, "Hz")),
        ("winding", "winding_kind", asset.winding_kind.clone()),
        ("thermal class", "insulation_class", asset.insulation_class.clone()),
        ("insulation", "insulation_era", asset.insulation_era.clone()),
        ("conductor", "conductor", asset.conductor.clone()),
        ("made", "made_year", asset.made_year.map(|year| year.to_string())),
        ("rewound", "rewound_years", joined(&rewound)),
    ]
}

/// The area, and whether only the functional location tells it.
fn area(asset: &Asset) -> Option<String> {
    let area = asset.area.as_deref()?;
    let is_of_location = asset.functional_location.as_deref().is_some_and(|location| location.starts_with(area));
    Some(if is_of_location { format!("{area} (by its functional location)") } else { area.to_owned() })
}

/// The functional location from the widest level down.
fn levels(asset: &Asset) -> Option<String> {
    let levels = &asset.location_levels;
    (!levels.is_empty()).then(|| format!("{} (as the listed locations are made)", levels.join(" > ")))
}
