//! Which orientation a part of the sheet is read in: the partition of the sheet that explains more of it.

use crate::context::{Block, Body};
use crate::reader::{Fate, Reader};
use crate::view::View;
use std::collections::BTreeMap;
use windrow_model::{Disposition, Quantity};
use windrow_source::{Area, Content, Grid};

/// A part of the sheet with the orientation it is read in.
#[derive(Debug, Clone)]
pub struct Part {
    /// Its cells.
    pub area: Area,
    /// Whether it is read turned over.
    pub turned: bool,
    /// What the chosen reading explains, and what the other would, both per cell.
    pub scores: (f64, f64),
}

/// Reading turned over must explain clearly more: it is rarer, and a false rival is easily found.
const TURNED_PRIOR: f64 = 0.93;

/// Splits the sheet into parts that both readings cut alike, and chooses for each.
#[must_use]
pub fn choose(grid: &Grid, upright: &Reader<'_, '_, '_>, turned: &Reader<'_, '_, '_>) -> Vec<Part> {
    let credit = [credits(grid, upright), credits(grid, turned)];
    areas(upright, turned)
        .into_iter()
        .map(|area| {
            let mut sums = [0.0, 0.0];
            let mut count = 0.0;
            for (index, cell) in grid.cells.iter().enumerate().filter(|(_, cell)| area.contains(cell.row, cell.column))
            {
                let weight = if matches!(cell.content, Content::Text) { 0.7 } else { 1.0 };
                sums[0] += credit[0][index] * weight;
                sums[1] += credit[1][index] * weight;
                count += weight;
            }
            let per_cell = |sum: f64| if count > 0.0 { sum / count } else { 0.0 };
            let (up, over) = (per_cell(sums[0]), per_cell(sums[1]) * TURNED_PRIOR);
            let is_turned = over > up && holds_lines(grid, turned, area);
            Part { area, turned: is_turned, scores: if is_turned { (over, up) } else { (up, over) } }
        })
        .collect()
}

/// Whether a part turned over holds more than one line of a table, or readings: a lone line under its header is pairs, which any
/// reading finds.
fn holds_lines(grid: &Grid, turned: &Reader<'_, '_, '_>, part: Area) -> bool {
    let scene = turned.scene;
    let has_lines = |block: &Block| match block.body {
        Body::Table(table) => scene.tables[table].table.body.len() > 1,
        Body::Pairs(_) | Body::Prose(_) => true,
    };
    let is_inside =
        |index: u32| grid.cells.get(index as usize).is_some_and(|cell| part.contains(cell.row, cell.column));
    let areas = block_areas(turned.view, &scene.blocks);
    scene.blocks.iter().zip(areas).any(|(block, area)| touches(area, part) && has_lines(block))
        || turned.groups.iter().flat_map(|group| &group.pending).any(|pending| is_inside(pending.cell))
}

/// How well each cell is explained.
#[must_use]
pub fn credits(grid: &Grid, reader: &Reader<'_, '_, '_>) -> Vec<f64> {
    let mut credits: Vec<f64> = reader
        .fates
        .iter()
        .zip(&grid.cells)
        .map(|(fate, cell)| {
            let is_number = matches!(cell.content, Content::Number(_));
            match fate.as_ref().map(|fate| fate.disposition) {
                Some(Disposition::Value) => 0.95,
                // Calling a number a figure of no interest explains less than asking about it.
                Some(Disposition::Derived) if fate.as_ref().is_some_and(Fate::is_dismissed) => 0.1,
                Some(Disposition::Derived | Disposition::Repeat) => 0.85,
                Some(Disposition::Held) => 0.45,
                Some(Disposition::Label) => 0.6,
                Some(Disposition::Decor) => 0.4,
                _ if is_number => -0.3,
                _ => 0.0,
            }
        })
        .collect();
    for group in &reader.groups {
        let mut seen: BTreeMap<(Quantity, Option<&str>, u64, u64, bool), usize> = BTreeMap::new();
        let lacks =
            f64::from(u8::from(group.machine_key.is_empty())) + f64::from(u8::from(group.test.performed.is_none()));
        for pending in &group.pending {
            let reading = &pending.reading;
            let bits =
                |told: &Option<windrow_model::raw::Told<f64>>| told.as_ref().map_or(0, |told| told.value.to_bits());
            let tuple = (
                reading.quantity.value,
                reading.circuit.as_ref().map(|told| told.value.code()),
                bits(&reading.elapsed_s),
                bits(&reading.applied_voltage_v),
                reading.as_reported == windrow_model::Reported::Corrected,
            );
            let count = seen.entry(tuple).or_default();
            *count += 1;
            if let Some(credit) = credits.get_mut(pending.cell as usize) {
                *credit += 0.05 - 0.15 * lacks - if *count > 1 { 0.4 } else { 0.0 };
            }
        }
    }
    for table in &reader.scene.tables {
        for column in &table.columns {
            let misfit = f64::from((0.75 - column.fit).max(0.0));
            if misfit > 0.0 {
                for item in
                    table.table.body.iter().flat_map(|line| &line.items).filter(|item| item.column == column.column)
                {
                    if let Some(credit) = credits.get_mut(item.cell as usize) {
                        *credit -= misfit;
                    }
                }
            }
        }
    }
    credits
}

/// Areas of the sheet in which blocks of both readings hang together.
fn areas(upright: &Reader<'_, '_, '_>, turned: &Reader<'_, '_, '_>) -> Vec<Area> {
    let mut areas: Vec<Area> = Vec::new();
    let blocks = block_areas(upright.view, &upright.scene.blocks).chain(block_areas(turned.view, &turned.scene.blocks));
    for mut area in blocks {
        while let Some(index) = areas.iter().position(|other| touches(*other, area)) {
            area = union(areas.swap_remove(index), area);
        }
        areas.push(area);
    }
    areas.sort_unstable();
    areas
}

fn block_areas<'r>(view: &'r View<'_>, blocks: &'r [Block]) -> impl Iterator<Item = Area> + 'r {
    blocks.iter().map(|block| view.area(block.rows.0, block.columns.0, block.rows.1, block.columns.1))
}

const fn touches(a: Area, b: Area) -> bool {
    a.top <= b.bottom && b.top <= a.bottom && a.left <= b.right && b.left <= a.right
}

fn union(a: Area, b: Area) -> Area {
    Area {
        top: a.top.min(b.top),
        left: a.left.min(b.left),
        bottom: a.bottom.max(b.bottom),
        right: a.right.max(b.right),
    }
}
