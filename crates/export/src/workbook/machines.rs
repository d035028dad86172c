//! The sheet of machines.

use super::Rows;
use super::page::{Cell, Formats, Page};
use crate::error::Result;
use jiff::civil::Date;
use rust_xlsxwriter::Workbook;
use std::collections::BTreeMap;
use windrow_model::consolidated::{MACHINES, MachineColumn as Column};
use windrow_model::{Asset, Finding};

/// What the sheet tells beside the nameplate.
#[derive(Default)]
struct Standing<'a> {
    open: usize,
    worst: Option<&'a str>,
    tests: usize,
    newest: Option<Date>,
}

pub(super) fn write(workbook: &mut Workbook, formats: &Formats, rows: &Rows) -> Result<()> {
    let headings: Vec<&str> = Column::ALL.iter().map(|column| column.code()).collect();
    let mut page = Page::new(workbook, formats, MACHINES, &headings)?;
    let standings = standings(rows);
    for asset in &rows.assets {
        let standing = standings.get(asset.asset_id.as_str());
        page.push(Column::ALL.iter().map(|column| cell(*column, asset, standing)).collect())?;
    }
    page.finish()
}

fn standings(rows: &Rows) -> BTreeMap<&str, Standing<'_>> {
    let mut standings: BTreeMap<&str, Standing<'_>> = BTreeMap::new();
    for test in rows.tests.iter().filter(|test| test.duplicate_of.is_none()) {
        if let Some(asset) = &test.asset_id {
            let standing = standings.entry(asset).or_default();
            standing.tests += 1;
            standing.newest = standing.newest.max(test.performed_on);
        }
    }
    for finding in rows.findings.iter().filter(|finding| finding.is_open()) {
        if let Some(asset) = &finding.asset_id {
            let standing = standings.entry(asset).or_default();
            standing.open += 1;
            standing.worst =
                standing.worst.into_iter().chain([finding.level.as_str()]).min_by_key(|level| Finding::rank_of(level));
        }
    }
    standings
}

/// Open ones first, the gravest first.
pub(super) fn order(finding: &Finding) -> (bool, usize) {
    (!finding.is_open(), finding.rank())
}

fn cell(column: Column, asset: &Asset, standing: Option<&Standing<'_>>) -> Cell {
    match column {
        Column::Tag => Cell::text(&asset.tag),
        Column::Site => Cell::maybe(asset.site.as_ref()),
        Column::Area => Cell::maybe(asset.area.as_ref()),
        Column::Location => Cell::maybe(asset.functional_location.as_ref()),
        Column::Parent => Cell::maybe(asset.parent.as_ref()),
        Column::ListKey => Cell::maybe(asset.list_key.as_ref()),
        Column::Description => Cell::maybe(asset.description.as_ref()),
        Column::Class => Cell::text(&asset.equipment_class),
        Column::Worst => Cell::maybe(standing.and_then(|standing| standing.worst)),
        Column::Open => Cell::count(standing.map_or(0, |standing| standing.open)),
        Column::Tests => Cell::count(standing.map_or(0, |standing| standing.tests)),
        Column::Newest => Cell::day(standing.and_then(|standing| standing.newest), "day"),
        Column::Manufacturer => Cell::maybe(asset.manufacturer.as_ref()),
        Column::Model => Cell::maybe(asset.model.as_ref()),
        Column::Serial => Cell::maybe(asset.serial_number.as_ref()),
        Column::Power => Cell::number(asset.rated_power_w),
        Column::Voltage => Cell::number(asset.rated_voltage_v),
        Column::Current => Cell::number(asset.rated_current_a),
        Column::Speed => Cell::number(asset.rated_speed_rpm),
        Column::Frequency => Cell::number(asset.rated_frequency_hz),
        Column::Winding => Cell::maybe(asset.winding_kind.as_ref()),
        Column::InsulationClass => Cell::maybe(asset.insulation_class.as_ref()),
        Column::InsulationEra => Cell::maybe(asset.insulation_era.as_ref()),
        Column::Conductor => Cell::maybe(asset.conductor.as_ref()),
        Column::Made => Cell::number(asset.made_year.map(f64::from)),
        Column::Rewound => {
            Cell::text(asset.rewound_years.iter().map(ToString::to_string).collect::<Vec<_>>().join(" "))
        }
        Column::InService => Cell::maybe(asset.in_service.map(|in_service| if in_service { "yes" } else { "no" })),
        Column::Aliases => Cell::text(asset.aliases.join("; ")),
        Column::Id => Cell::text(&asset.asset_id),
    }
}
