//! What each region was read as, and who claims it: told to people, and to importer plugins as [`Region`]s.

use crate::column::Role;
use crate::context::{Block, Body};
use crate::reader::{Group, Reader};
use crate::specialist::{Attribute, Claim, Region, Shape, Specialist};
use crate::view::Orientation;
use std::collections::{BTreeMap, BTreeSet};
use windrow_model::Place;
use windrow_model::place::a1;
use windrow_model::raw::{RegionReport, Told, Understood, Via};
use windrow_source::{Area, Cell, Grid};
use windrow_text::vocabulary::Concept;

/// Reports the chosen blocks of a reader with the claims of all specialists.
pub fn regions(reader: &Reader<'_, '_, '_>, chosen: &[bool], specialists: &[&dyn Specialist], into: &mut Understood) {
    let mut by_block: BTreeMap<usize, Vec<&Group>> = BTreeMap::new();
    for group in &reader.groups {
        by_block.entry(group.block).or_default().push(group);
    }
    for (index, block) in reader.scene.blocks.iter().enumerate() {
        if !chosen.get(index).copied().unwrap_or(false) {
            continue;
        }
        let region = region(reader, block, by_block.get(&index).map(Vec::as_slice).unwrap_or_default());
        into.regions.push(report(reader, block, &region, specialists));
    }
}

fn region(reader: &Reader<'_, '_, '_>, block: &Block, groups: &[&Group]) -> Region {
    let view = reader.view;
    let mut region = Region {
        sheet: view.grid.name.clone(),
        area: view.area(block.rows.0, block.columns.0, block.rows.1, block.columns.1),
        shape: Shape::Pairs,
        turned: view.orientation == Orientation::Turned,
        places: BTreeMap::new(),
        quantities: BTreeMap::new(),
        rows: 0,
        header_lines: 0,
        machines: 0,
        plate_fields: 0,
    };
    if let Body::Prose(_) = block.body {
        region.shape = Shape::Prose;
    }
    if let Body::Table(number) = block.body
        && let Some(read) = reader.scene.tables.get(number)
    {
        region.shape = Shape::Table;
        region.rows = read.table.body.len();
        region.header_lines = read.table.header.len();
        let has = |concepts: &[Concept]| {
            read.columns
                .iter()
                .filter(|column| matches!(column.role, Role::Field(concept) if concepts.contains(&concept)))
                .count()
        };
        if groups.is_empty() && has(&[Concept::Tag, Concept::Serial]) > 0 {
            region.machines = read.table.body.len();
        }
        region.plate_fields = has(&[
            Concept::Manufacturer,
            Concept::Model,
            Concept::RatedPower,
            Concept::RatedVoltage,
            Concept::RatedCurrent,
            Concept::RatedSpeed,
            Concept::RatedFrequency,
            Concept::InsulationClass,
            Concept::WindingKind,
            Concept::MadeYear,
            Concept::EquipmentClass,
            Concept::ListKey,
            Concept::FunctionalLocation,
            Concept::Parent,
            Concept::OldTag,
        ]);
    }
    for group in groups {
        count(group, &mut region);
    }
    region
}

/// Adds the places that told the attributes of a test.
fn count(group: &Group, region: &mut Region) {
    fn tell<T>(places: &mut BTreeMap<Attribute, BTreeSet<Via>>, attribute: Attribute, told: Option<&Told<T>>) {
        if let Some(told) = told {
            places.entry(attribute).or_default().insert(told.via);
        }
    }
    let (places, test) = (&mut region.places, &group.test);
    tell(places, Attribute::Asset, test.machine.tag.as_ref().or(test.machine.serial.as_ref()));
    tell(places, Attribute::Date, test.performed.as_ref());
    tell(places, Attribute::Stage, test.stage.as_ref());
    tell(places, Attribute::Temperature, test.winding_temperature_c.as_ref());
    for pending in &group.pending {
        let reading = &pending.reading;
        tell(places, Attribute::Quantity, Some(&reading.quantity));
        tell(places, Attribute::Unit, Some(&reading.unit));
        tell(places, Attribute::Circuit, reading.circuit.as_ref());
        tell(places, Attribute::Elapsed, reading.elapsed_s.as_ref());
        tell(places, Attribute::Voltage, reading.applied_voltage_v.as_ref());
        *region.quantities.entry(reading.quantity.value).or_default() += 1;
    }
}

fn report(
    reader: &Reader<'_, '_, '_>,
    _block: &Block,
    region: &Region,
    specialists: &[&dyn Specialist],
) -> RegionReport {
    let mut claims: Vec<(&str, &str, Claim)> = specialists
        .iter()
        .map(|specialist| (specialist.id(), specialist.version(), specialist.claim(region)))
        .filter(|(.., claim)| claim.confidence > 0.0)
        .collect();
    claims.sort_by(|a, b| b.2.confidence.total_cmp(&a.2.confidence).then(a.0.cmp(b.0)));
    let best = claims.first();
    RegionReport {
        place: Place::new(reader.view.grid.name.as_deref(), corners(reader.view.grid, region.area)),
        importer: best.map(|(id, ..)| (*id).to_owned()),
        importer_version: best.map(|(_, version, _)| (*version).to_owned()),
        layout: layout(region),
        confidence: best.map_or(0.0, |(.., claim)| claim.confidence),
        reasons: best.map(|(.., claim)| claim.reasons.clone()).unwrap_or_default(),
        runners_up: claims.iter().skip(1).map(|(id, _, claim)| ((*id).to_owned(), claim.confidence)).collect(),
        columns: region
            .places
            .iter()
            .map(|(attribute, places)| {
                let places: Vec<&str> = places.iter().map(|via| via.code()).collect();
                (attribute.code().to_owned(), places.join(", "))
            })
            .collect(),
    }
}

/// First and last cell of an area; of cells that were moved, where they stand in the source.
fn corners(grid: &Grid, area: Area) -> String {
    let own = || grid.cells.iter().filter(|cell| area.contains(cell.row, cell.column));
    let is_moved =
        |cell: &Cell| cell.address.as_ref().is_some_and(|address| address.bytes().all(|b| b.is_ascii_alphanumeric()));
    let have_moved = grid.cells.first().is_some_and(is_moved);
    let (first, last) = if have_moved { (own().next(), own().next_back()) } else { (None, None) };
    match (first, last) {
        (Some(first), Some(last)) if is_moved(first) && is_moved(last) => format!("{}:{}", first.place(), last.place()),
        _ => format!("{}:{}", a1(area.top, area.left), a1(area.bottom, area.right)),
    }
}

/// The layout in words.
fn layout(region: &Region) -> String {
    let shape = match region.shape {
        Shape::Table => format!("table of {} lines under {} header lines", region.rows, region.header_lines),
        Shape::Pairs => "labels with their values".to_owned(),
        Shape::Prose => "sentences".to_owned(),
    };
    let turned = if region.turned { ", read column by column" } else { "" };
    format!("{shape}{turned}")
}
