//! Exports of a hierarchy: a column tells how deep each line stands, and only the deepest lines hold values. What the lines above them say is
//! laid beside them and merged over them, as readers of nested containers do.

use super::{Unfolded, moved};
use std::collections::{BTreeMap, BTreeSet};
use windrow_source::{Area, Cell, Content, Grid};
use windrow_text::{exported, header};

/// Most levels of a hierarchy.
const MOST_LEVELS: usize = 6;
/// What heads the names of machines where they were laid beside what stands below them.
const NAME: &str = "Asset";
/// Fewest lines of values.
const FEWEST: usize = 4;

/// A line with its level, from one.
struct Line<'g> {
    level: usize,
    cells: &'g [Cell],
}

/// Reads the sheet as a hierarchy, if one column says that it is one and every line agrees.
#[must_use]
pub(super) fn unfold(grid: &Grid) -> Option<Unfolded> {
    let lines: Vec<&[Cell]> = grid.cells.chunk_by(|a, b| a.row == b.row).collect();
    let is_level = |cell: &&Cell| cell.content == Content::Text && exported::heads_levels(&cell.text);
    let (top, column) = lines.iter().enumerate().find_map(|(at, line)| {
        let heads = line.len() >= 4 && line.iter().all(|cell| cell.content == Content::Text);
        line.iter().find(is_level).filter(|_| heads).map(|cell| (at, cell.column))
    })?;
    let read: Option<Vec<Line<'_>>> = lines[top + 1..].iter().map(|cells| line(cells, column)).collect();
    let read = read?;
    let deepest = read.iter().map(|line| line.level).max()?;
    let steps_down = |two: &[Line<'_>]| two[1].level <= two[0].level + 1;
    let is_whole = read.first().is_some_and(|line| line.level == 1)
        && read.last().is_some_and(|line| line.level == deepest)
        && read.windows(2).all(steps_down);
    if !is_whole || !(2..=MOST_LEVELS).contains(&deepest) || !only_deepest_hold_values(&read, deepest, column) {
        return None;
    }
    Some(laid_out(grid, &lines[..=top], &read, deepest))
}

/// The level of a line: a number from one.
fn line(cells: &[Cell], column: u32) -> Option<Line<'_>> {
    let told = cells.iter().find(|cell| cell.column == column)?;
    let level: usize = told.text.trim().parse().ok()?;
    (1..=MOST_LEVELS).contains(&level).then_some(Line { level, cells })
}

/// Whether numbers beside the level stand in the deepest lines only, in four of them at least.
fn only_deepest_hold_values(lines: &[Line<'_>], deepest: usize, column: u32) -> bool {
    let is_value = |cell: &Cell| {
        let is_number =
            matches!(cell.content, Content::Number(_)) || cell.text.trim().replace(',', ".").parse::<f64>().is_ok();
        cell.column != column && is_number
    };
    let holds = |line: &&Line<'_>| line.cells.iter().any(is_value);
    lines.iter().filter(holds).all(|line| line.level == deepest) && lines.iter().filter(holds).count() >= FEWEST
}

/// The level and column in which machines are named: right above the points that say what was measured, or above the values where no line
/// over them says so.
fn machines(lines: &[Line<'_>], deepest: usize) -> Option<(usize, u32)> {
    let cells = |level: usize| lines.iter().filter(move |line| line.level == level).flat_map(|line| line.cells);
    let names_measured = |cell: &Cell| {
        let label = header::read(&cell.text);
        label.concepts.iter().any(|(concept, weight)| crate::fit::quantity(*concept).is_some() && *weight >= 0.6)
    };
    let points = (1..deepest).rev().find(|level| cells(*level).any(names_measured)).unwrap_or(deepest);
    let level = points.checked_sub(1).filter(|level| *level > 0)?;
    let is_name = |cell: &Cell| {
        let text = cell.text.trim();
        text.contains(char::is_alphabetic)
            && text.contains(|c: char| c.is_ascii_digit())
            && windrow_text::tag::likeness(text) >= 0.5
    };
    let columns: BTreeSet<u32> = cells(level).map(|cell| cell.column).collect();
    let is_of_names = |column: &u32| cells(level).filter(|cell| cell.column == *column).all(is_name);
    columns.into_iter().find(is_of_names).map(|column| (level, column))
}

/// A line above others, whose cells are merged down to the last of them.
struct Open {
    level: usize,
    row: u32,
    columns: Vec<u32>,
}

fn laid_out(grid: &Grid, above: &[&[Cell]], lines: &[Line<'_>], deepest: usize) -> Unfolded {
    let mut out = Grid { cells: Vec::new(), merges: Vec::new(), ..grid.clone() };
    let (heads, titles) = above.split_last().map_or((&[][..], above), |(heads, titles)| (*heads, titles));
    out.cells.extend(titles.iter().flat_map(|line| line.iter()).map(|cell| moved(cell, cell.row, cell.column)));
    // Where each column of each level goes.
    let mut used: BTreeSet<(usize, u32)> = BTreeSet::new();
    for line in lines {
        used.extend(line.cells.iter().map(|cell| (line.level, cell.column)));
    }
    // A heading is that of the deepest lines that use its column.
    let lowest = |column: u32| used.iter().filter(|(_, own)| *own == column).map(|(level, _)| *level).max();
    let lowest: BTreeMap<u32, usize> =
        heads.iter().map(|cell| (cell.column, lowest(cell.column).unwrap_or(deepest))).collect();
    used.extend(lowest.iter().map(|(column, level)| (*level, *column)));
    let machines = machines(lines, deepest);
    let at: BTreeMap<(usize, u32), u32> = used.iter().copied().zip(0..).collect();
    let place = |level: usize, cell: &Cell| at.get(&(level, cell.column)).copied().unwrap_or(cell.column);
    let mut row = heads.first().map_or(0, |cell| cell.row);
    for (level, column) in &used {
        let Some(cell) = heads.iter().find(|cell| cell.column == *column) else { continue };
        let column = place(*level, cell);
        let is_own = lowest.get(&cell.column) == Some(level);
        let name = if machines == Some((*level, cell.column)) { NAME.into() } else { cell.text.clone() };
        out.cells.push(if is_own { moved(cell, row, column) } else { Cell::name(row, column, name) });
    }
    let mut open: Vec<Open> = Vec::new();
    // The level of the last line where it opened a row in which no values stand as yet.
    let mut fresh: Option<usize> = None;
    for line in lines {
        let goes_on = fresh.is_some_and(|level| level < line.level);
        row += u32::from(!goes_on);
        close(&mut out.merges, &mut open, line.level, row - u32::from(!goes_on));
        fresh = (line.level < deepest).then_some(line.level);
        let columns: Vec<u32> = line.cells.iter().map(|cell| place(line.level, cell)).collect();
        out.cells.extend(line.cells.iter().zip(&columns).map(|(cell, column)| moved(cell, row, *column)));
        if line.level < deepest {
            open.push(Open { level: line.level, row, columns });
        }
    }
    close(&mut out.merges, &mut open, 0, row);
    out.finish();
    Unfolded { grid: out, explaining: BTreeSet::new() }
}

/// Merges down to `row` what stands over no more lines, now that one of `level` follows.
fn close(merges: &mut Vec<Area>, open: &mut Vec<Open>, level: usize, row: u32) {
    while open.last().is_some_and(|last| last.level >= level.max(1)) {
        let Some(last) = open.pop() else { return };
        if row > last.row {
            merges.extend(last.columns.iter().map(|column| Area {
                top: last.row,
                left: *column,
                bottom: row,
                right: *column,
            }));
        }
    }
}
