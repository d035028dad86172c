//! What comes out of a sample: as its golden says, every cell once, every kept text true.

use super::Complaints;
use super::case::{Case, Expect};
use super::golden;
use crate::engine::{read_source, understand_source};
use crate::registry::Registry;
use serde_json::Value;
use std::collections::BTreeMap;
use windrow_model::raw::Understood;
use windrow_model::settings::Settings;
use windrow_model::{Disposition, Place};
use windrow_source::{Grid, Limits, Workbook};

/// Holds one sample to what is said of it.
pub(super) fn check(case: &Case, registry: &Registry) -> Complaints {
    let mut complaints = Complaints::none();
    let source = case.source();
    let name = case.name();
    let read = read_source(source, registry, &Limits::default());
    let is_reader = registry.readers().iter().any(|plugin| plugin.id == case.id());
    if let (Ok((reader, book)), true) = (&read, is_reader) {
        of_reader(case, reader.id, book, &mut complaints);
    } else if let (Err(error), true, Expect::Read) = (&read, is_reader, case.expect()) {
        complaints.add(format!("{name} is not read: {error}"));
    }
    if let Ok((_, book)) = &read {
        let understood = understand_source(source, registry, &Settings::default(), &Limits::default());
        accounts(&name, book, &understood, &mut complaints);
        if !is_reader {
            of_importer(case, &understood, &mut complaints);
        }
    }
    if golden::has_one(case) {
        same_as_golden(case, registry, &mut complaints);
    }
    complaints
}

fn of_reader(case: &Case, reader: &str, book: &Workbook, complaints: &mut Complaints) {
    let name = case.name();
    match case.expect() {
        Expect::Read if reader != case.id() => complaints.add(format!("{name} is read by {reader}")),
        Expect::Read => {
            let cells: usize = book.sheets.iter().map(|grid| own_cells(grid).count()).sum();
            if Some(cells) != case.said.cells {
                complaints.add(format!("{name} has {cells} cells, and its .toml says {:?}", case.said.cells));
            }
            book.sheets.iter().for_each(|grid| well_formed(&name, grid, complaints));
        }
        Expect::Error => complaints.add(format!("{name} is read by {reader}, and its .toml says it cannot be")),
        Expect::Refuse if reader == case.id() => complaints.add(format!("{name} is read by {reader}, which must not")),
        Expect::Refuse | Expect::Hold => {}
    }
}

/// What every grid promises: cells in order, each position once, none blank.
fn well_formed(name: &str, grid: &Grid, complaints: &mut Complaints) {
    if !grid.cells.is_sorted_by(|a, b| (a.row, a.column) < (b.row, b.column)) {
        complaints.add(format!("{name}: cells are not in order, or two share a position"));
    }
    let is_blank =
        |cell: &&windrow_source::Cell| cell.text.trim().is_empty() && cell.content != windrow_source::Content::NoResult;
    for cell in grid.cells.iter().filter(is_blank) {
        complaints.add(format!("{name}: cell {} is handed over and is blank", cell.place()));
    }
}

/// Cells of the source; names of the container put where headers would stand are none.
fn own_cells(grid: &Grid) -> impl Iterator<Item = &windrow_source::Cell> {
    grid.cells.iter().filter(|cell| !cell.synthetic)
}

fn of_importer(case: &Case, understood: &Understood, complaints: &mut Complaints) {
    if case.expect() == Expect::Refuse {
        return;
    }
    let name = case.name();
    let readings: usize = understood.tests.iter().map(|test| test.readings.len()).sum();
    if Some(readings) != case.said.readings {
        complaints.add(format!("{name} has {readings} readings, and its .toml says {:?}", case.said.readings));
    }
    if understood.holds.len() != case.said.holds.unwrap_or(0) {
        complaints.add(format!(
            "{name} asks {} questions, and its .toml says {:?}",
            understood.holds.len(),
            case.said.holds
        ));
    }
    let unread: Vec<String> = understood
        .cells
        .iter()
        .filter(|cell| cell.disposition == Disposition::Unread)
        .map(|cell| cell.place.to_string())
        .collect();
    if case.expect() == Expect::Read && !unread.is_empty() {
        complaints.add(format!("{name} is not read whole: {}", unread.join("; ")));
    }
}

/// Every cell has one disposition, and every text that is kept is the text of the cell that it points to.
fn accounts(name: &str, book: &Workbook, understood: &Understood, complaints: &mut Complaints) {
    let mut texts: BTreeMap<Place, &str> = BTreeMap::new();
    for grid in &book.sheets {
        for cell in &grid.cells {
            texts.insert(Place::new(grid.name.as_deref(), cell.place()), &cell.text);
        }
    }
    let cells: usize = book.sheets.iter().map(|grid| own_cells(grid).count()).sum();
    if understood.cells.len() != cells {
        complaints.add(format!("{name}: {} dispositions for {cells} cells", understood.cells.len()));
    }
    for note in understood.notes.iter().filter(|note| note.contains("our bug")) {
        complaints.add(format!("{name}: {note}"));
    }
    for mark in &understood.cells {
        if texts.get(&mark.place) != Some(&mark.raw_text.as_str()) {
            complaints.add(format!("{name}: the disposition of {} keeps {:?}", mark.place, mark.raw_text));
        }
    }
    for reading in understood.tests.iter().flat_map(|test| test.readings.iter().chain(&test.derived)) {
        if texts.get(&reading.place).is_none_or(|text| !text.contains(reading.raw_text.trim())) {
            complaints.add(format!("{name}: the reading at {} keeps {:?}", reading.place, reading.raw_text));
        }
    }
}

fn same_as_golden(case: &Case, registry: &Registry, complaints: &mut Complaints) {
    let name = case.name();
    let now = golden::of(case, registry);
    match std::fs::read_to_string(case.golden()) {
        Err(_) => complaints.add(format!("{name} has no golden: run `cargo xtask bless {}` and read it", case.id())),
        Ok(golden) => {
            let (golden, now): (Vec<&str>, Vec<&str>) = (golden.lines().collect(), now.lines().collect());
            let Some(at) = (0..golden.len().max(now.len())).find(|at| !same(golden.get(*at), now.get(*at))) else {
                return;
            };
            complaints.add(format!(
                "{name} differs from its golden in line {}:\n    was {}\n    now {}",
                at + 1,
                golden.get(at).unwrap_or(&"nothing"),
                now.get(at).unwrap_or(&"nothing"),
            ));
        }
    }
}

/// Whether two lines say the same, whatever the order of their fields.
fn same(a: Option<&&str>, b: Option<&&str>) -> bool {
    let parse = |line: &&str| serde_json::from_str::<Value>(line).ok();
    match (a, b) {
        (Some(a), Some(b)) => a == b || parse(a).is_some_and(|value| Some(value) == parse(b)),
        _ => false,
    }
}
