//! Cells that move, and sheets with other names.

use super::book::{Base, Changed};
use std::collections::{BTreeMap, BTreeSet};
use windrow_source::{Area, Cell, Content, Grid, Workbook};

/// Moves every cell of a sheet; rows and columns move apart from each other.
fn moved(grid: &Grid, row: &dyn Fn(u32) -> u32, column: &dyn Fn(u32) -> u32) -> Grid {
    let cells = grid.cells.iter().map(|cell| Cell { row: row(cell.row), column: column(cell.column), ..cell.clone() });
    let merges = grid.merges.iter().map(|area| Area {
        top: row(area.top),
        left: column(area.left),
        bottom: row(area.bottom),
        right: column(area.right),
    });
    let mut grid = Grid {
        cells: cells.collect(),
        merges: merges.collect(),
        hidden_rows: grid.hidden_rows.iter().map(|at| row(*at)).collect(),
        hidden_columns: grid.hidden_columns.iter().map(|at| column(*at)).collect(),
        ..grid.clone()
    };
    grid.finish();
    grid
}

fn each(base: &Base, change: &dyn Fn(&Grid) -> Grid) -> Option<Changed> {
    let book = Workbook { sheets: base.book.sheets.iter().map(change).collect(), ..base.book.clone() };
    (book != base.book).then(|| Changed::book(book))
}

/// Everything three rows down and two columns to the right.
pub(super) fn shifted(base: &Base) -> Option<Changed> {
    each(base, &|grid| moved(grid, &|row| row + 3, &|column| column + 2))
}

/// A blank row after every seventh row, within the bodies of tables only.
pub(super) fn blank_rows(base: &Base) -> Option<Changed> {
    each(base, &|grid| {
        let mut numbers: BTreeMap<u32, usize> = BTreeMap::new();
        for cell in &grid.cells {
            *numbers.entry(cell.row).or_default() += usize::from(matches!(cell.content, Content::Number(_)));
        }
        let body = |row: u32| numbers.get(&row).is_some_and(|count| *count >= 3);
        let merged = |row: u32| grid.merges.iter().any(|area| area.top <= row && row < area.bottom);
        let after: Vec<u32> = numbers
            .keys()
            .copied()
            .filter(|row| body(*row) && body(row + 1) && !merged(*row))
            .enumerate()
            .filter(|(at, _)| at % 7 == 6)
            .map(|(_, row)| row)
            .collect();
        let down = |row: u32| row + u32::try_from(after.iter().filter(|at| **at < row).count()).unwrap_or(0);
        moved(grid, &down, &|column| column)
    })
}

/// Blank rows and columns are doubled.
pub(super) fn wider_gaps(base: &Base) -> Option<Changed> {
    each(base, &|grid| {
        let rows: BTreeSet<u32> = grid.cells.iter().map(|cell| cell.row).collect();
        let columns: BTreeSet<u32> = grid.cells.iter().map(|cell| cell.column).collect();
        let wider = |used: &BTreeSet<u32>, at: u32| {
            let first = used.first().copied().unwrap_or(0);
            let gaps = used.iter().zip(used.iter().skip(1)).filter(|(one, next)| *next - *one > 1 && **next <= at);
            at + u32::try_from(gaps.count()).unwrap_or(0) + u32::from(first > 0)
        };
        moved(grid, &|row| wider(&rows, row), &|column| wider(&columns, column))
    })
}

/// The columns of tables with one line of headings from right to left.
pub(super) fn reversed_columns(base: &Base) -> Option<Changed> {
    let regions = &base.understood.regions;
    each(base, &|grid| {
        let of_sheet: Vec<_> =
            regions.iter().filter(|region| region.place.sheet.as_deref() == grid.name.as_deref()).collect();
        let [region] = of_sheet.as_slice() else { return grid.clone() };
        let is_log = region.importer.as_deref() == Some("row-log") && region.layout.contains("under 1 header");
        let Some(area) = area(&region.place.cell).filter(|_| is_log && grid.merges.is_empty()) else {
            return grid.clone();
        };
        let cells = grid.cells.iter().map(|cell| {
            let inside = area.contains(cell.row, cell.column);
            let column = if inside { area.left + area.right - cell.column } else { cell.column };
            Cell { column, ..cell.clone() }
        });
        let mut turned = Grid { cells: cells.collect(), ..grid.clone() };
        turned.finish();
        turned
    })
}

/// An area such as `B4:F20`.
fn area(text: &str) -> Option<Area> {
    let corner = |text: &str| {
        let letters: String = text.chars().take_while(char::is_ascii_uppercase).collect();
        let row: u32 = text.get(letters.len()..)?.parse().ok()?;
        let column = letters.bytes().fold(0u32, |sum, letter| sum * 26 + u32::from(letter - b'A') + 1);
        Some((row.checked_sub(1)?, column.checked_sub(1)?))
    };
    let (first, last) = text.split_once(':')?;
    let ((top, left), (bottom, right)) = (corner(first)?, corner(last)?);
    Some(Area { top, left, bottom, right })
}

/// Rows as columns.
pub(super) fn turned(base: &Base) -> Option<Changed> {
    if base.book.sheets.iter().any(|grid| grid.extent().is_some_and(|area| area.bottom > 300)) {
        return None;
    }
    each(base, &|grid| {
        let cells = grid.cells.iter().map(|cell| Cell { row: cell.column, column: cell.row, ..cell.clone() });
        let merges = grid.merges.iter().map(|area| Area {
            top: area.left,
            left: area.top,
            bottom: area.right,
            right: area.bottom,
        });
        let mut turned = Grid {
            cells: cells.collect(),
            merges: merges.collect(),
            hidden_rows: grid.hidden_columns.clone(),
            hidden_columns: grid.hidden_rows.clone(),
            ..grid.clone()
        };
        turned.finish();
        turned
    })
}

/// Sheets with names that say nothing.
pub(super) fn renamed(base: &Base) -> Option<Changed> {
    let mut book = base.book.clone();
    let mut names = BTreeMap::new();
    for (sheet, at) in book.sheets.iter_mut().zip(1..) {
        if sheet.name.is_some() {
            let new = Some(format!("Sheet{at}"));
            let text = |name: &Option<String>| name.as_deref().map(windrow_model::Text::from);
            names.insert(text(&new), text(&sheet.name));
            sheet.name = new;
        }
    }
    (!names.is_empty()).then_some(Changed::Book { book, names })
}
