//! Text to one sheet.

use std::collections::BTreeSet;
use windrow_source::{Area, Cell, FEWER_CELLS, Grid, Input, Limits, ReadError, Refusal, Workbook, encoding};

use crate::layout::{self, Setting};
use crate::lines::{self, Kind, Line};
use crate::place::{self, Placed};

/// Text beyond which a file is no print-out; lines are held several times over while their columns are found.
const MOST_BYTES: usize = 32 << 20;

/// Reads a print-out as one sheet without a name. Cells carry `line:column` as address. Rulers take no row; a page break takes one.
pub(crate) fn read(input: &Input<'_>, limits: &Limits) -> Result<Workbook, ReadError> {
    if input.bytes.len() > MOST_BYTES {
        let found = format!("a print-out of {} MiB", input.bytes.len() >> 20);
        return Err(ReadError::new(Refusal::TooLarge, found, "split it into files of some years each"));
    }
    let decoded = encoding::decode(input.bytes);
    let lines = lines::all(&decoded.text);
    let layouts = layout::find(&lines);
    let (mut grid, unset) = (Grid::default(), Setting::default());
    let (mut row, mut page) = (0_u32, 0_u32);
    for (at, (line, layout)) in lines.iter().zip(&layouts.of_line).enumerate() {
        row += u32::from(line.page > page && row > 0);
        page = line.page;
        if line.kind == Kind::Ruler {
            continue;
        }
        let setting = layout.and_then(|at| layouts.all.get(at)).map_or(&unset, |layout| &layout.setting);
        let placed = settled(&lines, at, setting);
        let placed = match fullest_heading(&lines, at) {
            Some(heading) => place::align(line, placed, &settled(&lines, heading, setting)),
            None => placed,
        };
        write(&mut grid, row, line, &placed, limits)?;
        row += 1;
    }
    grid.finish();
    let mut notes: Vec<String> = decoded.note().into_iter().collect();
    let found: Vec<String> = layouts.all.iter().map(|layout| layout.setting.width().to_string()).collect();
    notes.push(match found.as_slice() {
        [] => "lines of words; none stand in columns".to_owned(),
        widths => format!("print-out; columns of its layouts: {}", widths.join(", ")),
    });
    Ok(Workbook { sheets: vec![grid], notes, ..Workbook::default() })
}

/// Lines of headings over a table.
const HEADING_LINES: usize = 4;

/// The pieces of a line in their columns.
fn settled(lines: &[Line], at: usize, setting: &Setting) -> Vec<Placed> {
    let place = |line| place::settle_heading(line, place::place(line, setting), &|| columns_below(lines, at, setting));
    lines.get(at).map(place).unwrap_or_default()
}

/// The line with most pieces among the headings that a line stands with, when that is another. The line itself may look like one of the
/// body: "L1/L2" over two columns each.
fn fullest_heading(lines: &[Line], at: usize) -> Option<usize> {
    let pieces = |at: usize| {
        let line = lines.get(at).filter(|line| line.kind == Kind::Text && !line.is_body)?;
        Some((line.pieces(2).len(), at))
    };
    let own = lines.get(at).filter(|line| line.kind == Kind::Text).map(|line| line.pieces(2).len())?;
    let above = (0..at).rev().map_while(pieces).take(HEADING_LINES);
    let below = (at + 1..lines.len()).map_while(pieces).take(HEADING_LINES);
    // Of two lines with as many the one above: numbers may stand below.
    let ranked = above.chain(below).filter(|(count, _)| *count > own).map(|(count, line)| (count, line < at, line));
    ranked.max().map(|(_, _, line)| line)
}

/// Columns in which something stands in the lines right below a heading.
fn columns_below(lines: &[Line], heading: usize, setting: &Setting) -> BTreeSet<usize> {
    let first = (heading + 1..=heading + HEADING_LINES).find(|at| lines.get(*at).is_some_and(|line| line.is_body));
    let below = lines.iter().skip(first.unwrap_or(lines.len())).take_while(|line| line.is_body);
    below.flat_map(|line| place::place(line, setting)).map(|placed| placed.column).collect()
}

fn write(grid: &mut Grid, row: u32, line: &Line, placed: &[Placed], limits: &Limits) -> Result<(), ReadError> {
    if grid.cells.len() + placed.len() > limits.cells {
        let found = format!("it has more than {} cells", limits.cells);
        return Err(ReadError::new(Refusal::TooLarge, found, FEWER_CELLS));
    }
    let is_group = !line.is_body;
    for (at, piece) in placed.iter().enumerate() {
        let column = |index: usize| u32::try_from(index).unwrap_or(u32::MAX);
        let next = placed.get(at + 1).map_or(usize::MAX, |next| next.column);
        let last = piece.last.min(next.saturating_sub(1));
        if column(last) >= limits.columns {
            let found = format!("line {} has more than {} columns", line.number, limits.columns);
            return Err(ReadError::new(Refusal::TooLarge, found, "check that it is a print-out"));
        }
        grid.cells
            .push(Cell::text(row, column(piece.column), line.text(piece.span)).at(line.address(piece.span.start)));
        if is_group && last > piece.column {
            grid.merges.push(Area { top: row, left: column(piece.column), bottom: row, right: column(last) });
        }
    }
    Ok(())
}
