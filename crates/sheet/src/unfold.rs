//! Exports with two kinds of record: heads ("H;test;tag;date") over details ("R;test;code;value;unit"), each kind explained in a line of
//! field names. They become a table as readers of nested containers make one: the fields' names stand above as synthetic cells, and what a
//! head says is merged over the lines of its details.

mod levels;

use std::collections::{BTreeMap, BTreeSet};
use windrow_source::{Area, Cell, Grid};
use windrow_text::fold::fold;

/// Longest code of a kind of record, in characters.
const LONGEST_CODE: usize = 3;
/// Fewest and longest names of fields in a line that explains a kind of record.
const FEWEST_FIELDS: usize = 3;
const LONGEST_FIELD: usize = 30;
/// Fewest records of details.
const FEWEST_DETAILS: usize = 2;

/// A sheet of records as a table.
#[derive(Debug)]
pub(crate) struct Unfolded {
    pub(crate) grid: Grid,
    /// Cells that name the fields, by index: they say nothing of the tests.
    pub(crate) explaining: BTreeSet<usize>,
}

/// The names of the fields of a kind of record.
#[derive(Debug)]
struct Kind {
    code: String,
    fields: Vec<String>,
    row: u32,
}

/// A line that is a record.
struct Record<'g> {
    kind: usize,
    cells: &'g [Cell],
}

impl Record<'_> {
    /// The text of a field by its number, the code being none.
    fn field(&self, number: usize) -> Option<&str> {
        let first = self.cells.first()?.column;
        let column = first + 1 + u32::try_from(number).ok()?;
        self.cells.iter().find(|cell| cell.column == column).map(|cell| cell.text.trim())
    }
}

/// Reads the sheet as heads with details or as a hierarchy, if it explains itself as such.
#[must_use]
pub(crate) fn unfold(grid: &Grid) -> Option<Unfolded> {
    if !grid.merges.is_empty() || !grid.hidden_rows.is_empty() || !grid.hidden_columns.is_empty() {
        return None;
    }
    levels::unfold(grid).or_else(|| heads_with_details(grid))
}

fn heads_with_details(grid: &Grid) -> Option<Unfolded> {
    let lines: Vec<&[Cell]> = grid.cells.chunk_by(|a, b| a.row == b.row).collect();
    let kinds = kinds(&lines)?;
    let is_own = |record: &Record<'_>| {
        let (first, last) = (record.cells.first(), record.cells.last());
        let width = first.zip(last).map_or(0, |(first, last)| (last.column - first.column) as usize);
        kinds.get(record.kind).is_some_and(|kind| width <= kind.fields.len())
    };
    let record = |line: &&'_ [Cell]| {
        let code = line.first()?.text.trim();
        kinds.iter().position(|kind| kind.code == code)
    };
    let (mut records, mut others) = (Vec::new(), Vec::new());
    for line in lines {
        match record(&line) {
            Some(kind) => records.push(Record { kind, cells: line }),
            None => others.push(line),
        }
    }
    let head = records.first()?.kind;
    let details = records.iter().filter(|record| record.kind != head).count();
    let (first, last) = (records.first()?.cells.first()?.row, records.last()?.cells.first()?.row);
    // Lines between the records that are none are of some third kind.
    let is_whole = others.iter().filter_map(|line| line.first()).all(|cell| cell.row < first || last < cell.row);
    if details < FEWEST_DETAILS || !records.iter().all(is_own) || !is_whole {
        return None;
    }
    let keys = shared(kinds.get(head)?, kinds.get(1 - head)?)?;
    Some(laid_out(grid, &kinds, head, keys, &records, &others))
}

/// The two kinds of record that lines of the sheet explain.
fn kinds(lines: &[&[Cell]]) -> Option<[Kind; 2]> {
    let mut found: BTreeMap<String, Kind> = BTreeMap::new();
    for line in lines {
        if let Some(kind) = kind(line) {
            let used = lines.iter().filter(|line| line.first().is_some_and(|cell| cell.text.trim() == kind.code));
            if used.count() > 0 && found.insert(kind.code.clone(), kind).is_some() {
                return None;
            }
        }
    }
    <[Kind; 2]>::try_from(found.into_values().collect::<Vec<_>>()).ok()
}

/// "# H;test;tag;date", "E : no ; repère ; date": the code of a kind of record and the names of its fields.
fn kind(line: &[Cell]) -> Option<Kind> {
    let text = line.iter().map(|cell| cell.text.trim()).collect::<Vec<_>>().join(";");
    let text = text.trim_start_matches(['#', '*', '/', '-', ' ', ';']);
    let end = text.find(|c: char| !c.is_alphanumeric())?;
    let (code, rest) = text.split_at(end);
    let is_code = (1..=LONGEST_CODE).contains(&code.chars().count()) && !code.contains(char::is_lowercase);
    let rest = rest.trim_start();
    if !is_code || !rest.starts_with([';', ':', '=', '|', ',']) {
        return None;
    }
    let rest = rest.trim_start_matches([';', ':', '=', '|', ',', ' ']);
    let mark = [';', '|', ','].into_iter().max_by_key(|mark| rest.matches(*mark).count())?;
    let fields: Vec<String> = rest.split(mark).map(|field| field.trim().to_owned()).collect();
    let is_name = |field: &String| {
        field.chars().count() <= LONGEST_FIELD && field.contains(char::is_alphabetic) && !field.contains(['=', ';'])
    };
    let is_layout = fields.len() >= FEWEST_FIELDS && fields.iter().all(is_name);
    is_layout.then(|| Kind { code: code.to_owned(), fields, row: line.first().map_or(0, |cell| cell.row) })
}

/// The field by which details name their head: its number among the head's and among the detail's.
fn shared(head: &Kind, detail: &Kind) -> Option<(usize, usize)> {
    let mut found = head.fields.iter().enumerate().filter_map(|(at, name)| {
        let other = detail.fields.iter().position(|other| fold(other) == fold(name) && !fold(name).is_empty())?;
        Some((at, other))
    });
    found.next()
}

/// The table: loose lines first, then the names of the fields, then a line for each detail.
fn laid_out(
    grid: &Grid,
    kinds: &[Kind; 2],
    head: usize,
    keys: (usize, usize),
    records: &[Record<'_>],
    others: &[&[Cell]],
) -> Unfolded {
    let mut out = Grid { cells: Vec::new(), merges: Vec::new(), ..grid.clone() };
    let mut explaining = BTreeSet::new();
    let mut row = 0;
    // Lines of different kinds are told apart by the blank lines that part them in the source.
    let mut before: Option<u32> = None;
    let mut is_below = false;
    let first = records.first().and_then(|record| record.cells.first()).map_or(0, |cell| cell.row);
    for line in others {
        let at = line.first().map_or(0, |cell| cell.row);
        let is_apart = before.is_some_and(|before| at > before + 1) || !is_below && at > first;
        row += u32::from(before.is_some()) + u32::from(is_apart);
        is_below = at > first;
        before = Some(at);
        if kinds.iter().any(|kind| kind.row == at) {
            explaining.extend(out.cells.len()..out.cells.len() + line.len());
        }
        out.cells.extend(line.iter().map(|cell| moved(cell, row, cell.column)));
    }
    row += 2;
    let (of_head, of_detail) = (&kinds[head], &kinds[1 - head]);
    let width = u32::try_from(of_head.fields.len() + 1).unwrap_or(u32::MAX);
    let names = |kind: &Kind, from: u32| (from..).zip(kind.fields.clone()).collect::<Vec<_>>();
    for (column, name) in names(of_head, 1).into_iter().chain(names(of_detail, width + 1)) {
        out.cells.push(Cell::name(row, column, name));
    }
    let mut current: Option<Open<'_>> = None;
    for record in records {
        row += 1;
        let first = record.cells.first().map_or(0, |cell| cell.column);
        if record.kind == head {
            current = Some(Open { head: record, row, has_details: false });
            out.cells.extend(record.cells.iter().map(|cell| moved(cell, row, cell.column - first)));
            continue;
        }
        let is_of =
            |open: &Open<'_>| open.head.field(keys.0).is_some() && open.head.field(keys.0) == record.field(keys.1);
        current = current.filter(is_of);
        if let Some(open) = &mut current {
            // The first detail stands beside its head.
            if open.has_details {
                extend(&mut out.merges, open, row);
            } else {
                row = open.row;
            }
            open.has_details = true;
        }
        out.cells.extend(record.cells.iter().map(|cell| moved(cell, row, width + cell.column - first)));
    }
    out.finish();
    Unfolded { grid: out, explaining }
}

/// A head whose details are being read.
struct Open<'r> {
    head: &'r Record<'r>,
    row: u32,
    has_details: bool,
}

/// Merges each cell of a head down to `row`.
fn extend(merges: &mut Vec<Area>, open: &Open<'_>, row: u32) {
    let cells = open.head.cells;
    let first = cells.first().map_or(0, |cell| cell.column);
    if merges.last().is_some_and(|area| area.top == open.row) {
        let own = merges.len().saturating_sub(cells.len());
        merges[own..].iter_mut().for_each(|area| area.bottom = row);
    } else {
        let area = |column: u32| Area { top: open.row, left: column, bottom: row, right: column };
        merges.extend(cells.iter().map(|cell| area(cell.column - first)));
    }
}

/// The same cell elsewhere, under the address that it has in the source.
pub(crate) fn moved(cell: &Cell, row: u32, column: u32) -> Cell {
    Cell { row, column, address: Some(cell.place().as_str().into()), ..cell.clone() }
}
