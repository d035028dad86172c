//! Cards side by side: forms that say the same labels again beyond an empty column, each of a machine of its own. They are laid below
//! each other, as people read them, so that nothing of one is near another.

use crate::unfold::moved;
use std::collections::{BTreeMap, BTreeSet};
use windrow_source::{Area, Cell, Content, Grid};
use windrow_text::date;
use windrow_text::fold::fold;
use windrow_text::header::{self, Label};
use windrow_text::vocabulary::Concept;

/// Most cells of a sheet that is searched for cards; nobody types more of them.
const MOST_CELLS: usize = 20_000;
/// Fewest lines that begin with the same label in all cards of a band.
const FEWEST_LINES: usize = 4;
/// Fewest of these labels, but for the machine's, that tell something known.
const FEWEST_KNOWN: usize = 2;
/// Longest label and name of a machine, in bytes.
const LONGEST: usize = 40;
/// Blank rows between cards.
const APART: u32 = 2;

type Rows<'g> = BTreeMap<u32, Vec<&'g Cell>>;

/// Cards of one row of cards on the sheet.
#[derive(Debug)]
struct Band {
    rows: (u32, u32),
    /// First column of each card.
    starts: Vec<u32>,
}

impl Band {
    /// The card that a column belongs to.
    fn card(&self, column: u32) -> Option<usize> {
        self.starts.iter().rposition(|start| *start <= column)
    }
}

/// The sheet with its cards below each other, if it has some side by side.
#[must_use]
pub fn stack(grid: &Grid) -> Option<Grid> {
    let is_plain = grid.hidden_rows.is_empty() && grid.hidden_columns.is_empty() && grid.cells.len() <= MOST_CELLS;
    if !is_plain || grid.cells.iter().any(|cell| cell.synthetic) {
        return None;
    }
    let mut rows = Rows::new();
    for cell in &grid.cells {
        rows.entry(cell.row).or_default().push(cell);
    }
    let bands = bands(&rows)?;
    let is_whole = |band: &Band| are_cards(&rows, band) && !crosses(grid, band);
    if !bands.iter().all(is_whole) {
        return None;
    }
    Some(laid_out(grid, &rows, &bands))
}

/// The rows of cards: each begins where the label of its machines stands several times in a row, with the titles of all cards above it.
fn bands(rows: &Rows<'_>) -> Option<Vec<Band>> {
    let widest = rows.values().filter_map(|row| keys(row)).max_by_key(|(_, starts)| starts.len())?;
    let (label, all) = widest;
    // The last row may have fewer cards.
    let starts_of = |row: &[&Cell]| -> Vec<u32> {
        row.iter().filter(|cell| fold(&cell.text) == label).map(|cell| cell.column).collect()
    };
    let mut bands: Vec<Band> = Vec::new();
    for (number, row) in rows {
        let starts = starts_of(row);
        if starts.is_empty() {
            continue;
        }
        if !all.starts_with(&starts) {
            return None;
        }
        let floor = bands.last().map_or(0, |band| band.rows.0 + 1);
        let mut top = *number;
        while top > floor
            && rows.get(&(top - 1)).is_some_and(|above| starts.len() > 1 && starts_with_all(above, &starts))
        {
            top -= 1;
        }
        if let Some(before) = bands.last_mut() {
            before.rows.1 = top - 1;
        }
        bands.push(Band { rows: (top, u32::MAX), starts });
    }
    let last = bands.last_mut()?;
    last.rows.1 = last_row(rows, last);
    Some(bands)
}

/// Whether a cell stands in each of the columns in which cards begin.
fn starts_with_all(row: &[&Cell], starts: &[u32]) -> bool {
    starts.iter().all(|start| row.iter().any(|cell| cell.column == *start))
}

/// The label of machines that stands in a row again and again, each time with another name right behind it, and in which columns.
fn keys(row: &[&Cell]) -> Option<(String, Vec<u32>)> {
    let first = row.first()?;
    let label = fold(&first.text);
    let again: Vec<&&Cell> = row.iter().filter(|cell| fold(&cell.text) == label).collect();
    let names: Option<BTreeSet<String>> = again.iter().map(|cell| name_behind(row, cell)).collect();
    let is_apart = again.windows(2).all(|two| two[1].column > two[0].column + 2);
    let is_key = names_machine(&header::read(first.text.trim_end_matches([':', ' '])));
    let are_named = names.is_some_and(|names| names.len() == again.len());
    (again.len() >= 2 && is_key && is_apart && are_named)
        .then(|| (label, again.iter().map(|cell| cell.column).collect()))
}

fn names_machine(label: &Label) -> bool {
    let is_tag = |(concept, weight): &(Concept, f32)| *concept == Concept::Tag && *weight >= 0.4;
    label.concepts.first().is_some_and(is_tag) && label.unexplained.is_empty()
}

/// The name of a machine right behind a label: no heading, year or day.
fn name_behind(row: &[&Cell], label: &Cell) -> Option<String> {
    let value = row.iter().find(|cell| cell.column == label.column + 1)?;
    let text = value.text.trim();
    let read = header::read(text);
    let is_heading = read.concepts.iter().any(|(_, weight)| *weight >= 0.6) || read.elapsed_s.is_some();
    let is_when = date::is_year_alone(text) || matches!(value.content, Content::Date { .. });
    let is_name = text.len() <= LONGEST && text.chars().any(char::is_alphanumeric);
    (is_name && !is_heading && !is_when).then(|| fold(text))
}

/// The last row of the last band: that of its further cards, and what follows without a blank row.
fn last_row(rows: &Rows<'_>, band: &Band) -> u32 {
    let mut own = rows.range(band.rows.0..).filter(|(_, row)| match band.starts.get(1) {
        Some(second) => row.iter().any(|cell| cell.column >= *second),
        None => true,
    });
    let mut last = own.next_back().map_or(band.rows.0, |(number, _)| *number);
    while rows.contains_key(&(last + 1)) {
        last += 1;
    }
    last
}

/// Whether the cards of a band say the same labels in the same lines, beyond empty columns.
fn are_cards(rows: &Rows<'_>, band: &Band) -> bool {
    let Some(first) = band.starts.first() else { return false };
    let own = || rows.range(band.rows.0..=band.rows.1).map(|(_, row)| row);
    let gutters: BTreeSet<u32> = band.starts.iter().skip(1).filter_map(|start| start.checked_sub(1)).collect();
    let is_clear = own().flatten().all(|cell| cell.column >= *first && !gutters.contains(&cell.column));
    let at = |row: &[&Cell], column: u32| row.iter().find(|cell| cell.column == column).map(|cell| fold(&cell.text));
    let agrees = |start: &u32| {
        let both: Vec<(String, String)> = own().filter_map(|row| Some((at(row, *first)?, at(row, *start)?))).collect();
        let same: Vec<&str> = both.iter().filter(|(own, other)| own == other).map(|(own, _)| own.as_str()).collect();
        let known = same.iter().filter(|label| tells_something(&header::read(label))).count();
        same.len() >= FEWEST_LINES && known > FEWEST_KNOWN && same.len() * 10 >= both.len() * 7
    };
    is_clear && band.starts.iter().skip(1).all(agrees)
}

fn tells_something(label: &Label) -> bool {
    !label.concepts.is_empty() || !label.circuits.is_empty() || label.elapsed_s.is_some()
}

/// Whether merged cells reach from one card into the next, or out of the band.
fn crosses(grid: &Grid, band: &Band) -> bool {
    let (top, bottom) = band.rows;
    grid.merges
        .iter()
        .filter(|area| area.top <= bottom && top <= area.bottom)
        .any(|area| area.top < top || area.bottom > bottom || band.card(area.left) != band.card(area.right))
}

/// Titles, then each card, then what stands below them all.
fn laid_out(grid: &Grid, rows: &Rows<'_>, bands: &[Band]) -> Grid {
    let mut out = Grid { cells: Vec::new(), merges: Vec::new(), ..grid.clone() };
    let (first, last) = (bands.first().map_or(0, |band| band.rows.0), bands.last().map_or(0, |band| band.rows.1));
    let keep = |out: &mut Grid, range: (u32, u32), shift: i64| {
        let row = |row: u32| u32::try_from(i64::from(row) + shift).unwrap_or(row);
        let own = rows.range(range.0..=range.1).flat_map(|(_, row)| row);
        out.cells.extend(own.map(|cell| moved(cell, row(cell.row), cell.column)));
        let areas = grid.merges.iter().filter(|area| range.0 <= area.top && area.bottom <= range.1);
        out.merges.extend(areas.map(|area| Area { top: row(area.top), bottom: row(area.bottom), ..*area }));
    };
    if let Some(above) = first.checked_sub(1) {
        keep(&mut out, (0, above), 0);
    }
    let mut next = first;
    for band in bands {
        for (number, start) in band.starts.iter().enumerate() {
            let home = band.starts.first().copied().unwrap_or(0);
            let own = rows.range(band.rows.0..=band.rows.1).flat_map(|(_, row)| row);
            let own: Vec<&&Cell> = own.filter(|cell| band.card(cell.column) == Some(number)).collect();
            let row = |row: u32| next + (row - band.rows.0);
            let column = |column: u32| column - start + home;
            out.cells.extend(own.iter().map(|cell| moved(cell, row(cell.row), column(cell.column))));
            let within = |area: &&Area| {
                let is_of_band = band.rows.0 <= area.top && area.bottom <= band.rows.1;
                is_of_band && band.card(area.left) == Some(number)
            };
            let areas = grid.merges.iter().filter(within).map(|area| Area {
                top: row(area.top),
                bottom: row(area.bottom),
                left: column(area.left),
                right: column(area.right),
            });
            out.merges.extend(areas);
            next = own.last().map_or(next, |cell| row(cell.row)) + 1 + APART;
        }
    }
    if let Some(below) = last.checked_add(1) {
        keep(&mut out, (below, u32::MAX), i64::from(next) - i64::from(last));
    }
    out.finish();
    out
}
