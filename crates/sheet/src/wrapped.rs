//! "s | MΩ | s | MΩ" over times that go on beside the first ones: a narrow table that a printer wrapped into several columns of columns. Its
//! parts are laid below each other.

use crate::unfold::moved;
use std::collections::BTreeMap;
use windrow_model::Dimension;
use windrow_source::{Cell, Grid};
use windrow_text::fold::fold;
use windrow_text::vocabulary::Concept;
use windrow_text::{header, number};

/// Most cells of a sheet that is searched for wrapped tables.
const MOST_CELLS: usize = 20_000;
/// Fewest lines of numbers under such a header.
const FEWEST_LINES: usize = 2;

type Rows<'g> = BTreeMap<u32, Vec<&'g Cell>>;

/// A wrapped table: its rows, and the first column and width of its parts.
#[derive(Debug)]
struct Wrapped {
    rows: (u32, u32),
    first: u32,
    width: u32,
    parts: u32,
}

/// The sheet with its wrapped tables as long ones, if it has some.
#[must_use]
pub fn unwrap(grid: &Grid) -> Option<Grid> {
    let is_plain = grid.merges.is_empty() && grid.hidden_rows.is_empty() && grid.hidden_columns.is_empty();
    if !is_plain || grid.cells.len() > MOST_CELLS || grid.cells.iter().any(|cell| cell.synthetic) {
        return None;
    }
    let mut rows = Rows::new();
    for cell in &grid.cells {
        rows.entry(cell.row).or_default().push(cell);
    }
    let wrapped: Vec<Wrapped> = rows.keys().filter_map(|row| wrapped(&rows, *row)).collect();
    if wrapped.is_empty() {
        return None;
    }
    Some(laid_out(grid, &rows, &wrapped))
}

/// The wrapped table whose header stands in a row.
fn wrapped(rows: &Rows<'_>, row: u32) -> Option<Wrapped> {
    let heads = rows.get(&row)?;
    let first = heads.first()?;
    let are_joined = heads.windows(2).all(|two| two[1].column == two[0].column + 1);
    let text = |at: usize| heads.get(at).map(|cell| fold(&cell.text));
    let width = (2..=heads.len() / 2).find(|width| {
        heads.len().is_multiple_of(*width) && (*width..heads.len()).all(|at| text(at) == text(at % width))
    })?;
    if !are_joined || !counts_time(&first.text) {
        return None;
    }
    let (width, parts) = (u32::try_from(width).ok()?, u32::try_from(heads.len() / width).ok()?);
    let end = first.column + width * parts;
    let own = |number: u32| -> Option<&Vec<&Cell>> {
        let line = rows.get(&number)?;
        let is_inside = line.iter().all(|cell| (first.column..end).contains(&cell.column));
        (is_inside && time(line, first.column).is_some()).then_some(line)
    };
    let end_row = rows.keys().next_back().copied()?;
    let last = (row + 1..=end_row).take_while(|number| own(*number).is_some()).last()?;
    let lines: Vec<&Vec<&Cell>> = (row + 1..=last).filter_map(own).collect();
    // The times of each part go on where those of the part before end.
    let mut times: Vec<f64> = Vec::new();
    for part in 0..parts {
        let column = first.column + part * width;
        times.extend(lines.iter().filter_map(|line| time(line, column)));
    }
    let rise = times.windows(2).all(|two| two[0] < two[1]);
    let are_filled = times.len() > lines.len() * (parts as usize - 1);
    let is_wrapped = lines.len() >= FEWEST_LINES && rise && are_filled;
    is_wrapped.then_some(Wrapped { rows: (row, last), first: first.column, width, parts })
}

/// Whether a heading is that of times, or their unit.
fn counts_time(heading: &str) -> bool {
    let label = header::read(heading);
    let is_unit = label.units.first().is_some_and(|best| best.unit.dimension == Dimension::Time);
    label.concepts.first().map_or(is_unit, |(concept, _)| *concept == Concept::Elapsed)
}

fn time(line: &[&Cell], column: u32) -> Option<f64> {
    let cell = line.iter().find(|cell| cell.column == column)?;
    number::read(cell.text.trim()).first().map(|meaning| meaning.value)
}

/// Each part of a wrapped table below the one before, its header again above it; all further rows lower.
fn laid_out(grid: &Grid, rows: &Rows<'_>, wrapped: &[Wrapped]) -> Grid {
    let mut out = Grid { cells: Vec::new(), ..grid.clone() };
    let mut shift = 0;
    for (number, line) in rows {
        let table = wrapped.iter().find(|table| (table.rows.0..=table.rows.1).contains(number));
        let Some(table) = table else {
            out.cells.extend(line.iter().map(|cell| moved(cell, cell.row + shift, cell.column)));
            continue;
        };
        let height = table.rows.1 - table.rows.0 + 1;
        for cell in line {
            let part = (cell.column - table.first) / table.width;
            out.cells.push(moved(cell, cell.row + shift + part * height, cell.column - part * table.width));
        }
        if *number == table.rows.1 {
            shift += height * (table.parts - 1);
        }
    }
    out.finish();
    out
}
