//! The pieces of a line, put into the columns of its layout.

use std::collections::BTreeSet;

use crate::layout::Setting;
use crate::lines::{Line, Span};
use crate::raster::stand_in_order;

/// A piece of a line and the columns it stands over.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Placed {
    pub(crate) span: Span,
    pub(crate) column: usize,
    /// Last column it reaches over; more than `column` for a heading of a group.
    pub(crate) last: usize,
}

/// Puts the pieces of `line` into the columns of `setting`, from left to right, no two into the same one.
///
/// Lines of the body and headings are cut at gutters, and what stands in one column is one cell ("WDG C"). Titles are cut only at
/// wide blanks and stay whole.
pub(crate) fn place(line: &Line, setting: &Setting) -> Vec<Placed> {
    let wide = line.pieces(2);
    let columns = match setting {
        Setting::Words(count) if line.pieces(1).len() == *count => return in_order(&line.pieces(1)),
        Setting::Columns(columns) if columns.len() >= 2 => columns,
        _ => return in_order(&wide),
    };
    if stand_in_order(&wide, columns) {
        return in_order(&wide);
    }
    if line.is_body || is_heading(line, &wide, columns) && !tells_warmth(line) {
        let cut: Vec<Span> = wide.iter().flat_map(|piece| cut(line, *piece, columns)).collect();
        joined(&cut, columns)
    } else {
        apart(&wide, columns)
    }
}

/// Blanks in a row that no cell has within it.
const FAR_APART: usize = 3;

/// Headings wider than what they head drift to the right, until two stand over one column. As many as there are columns in the
/// lines `below`, each heads its own.
pub(crate) fn settle_heading(line: &Line, placed: Vec<Placed>, below: &dyn Fn() -> BTreeSet<usize>) -> Vec<Placed> {
    let is_split = |one: &Placed| line.text(one.span).contains(&" ".repeat(FAR_APART));
    if line.is_body || !placed.iter().any(is_split) {
        return placed;
    }
    let (wide, columns) = (line.pieces(2), below());
    if wide.len() != columns.len() {
        return placed;
    }
    wide.into_iter().zip(columns).map(|(span, column)| Placed { span, column, last: column }).collect()
}

/// A line whose pieces all begin where a piece of `headings` does ("15 s" and "30 s" over three phases each, units under them)
/// stands over the columns of those, however far right in their columns the numbers are set.
pub(crate) fn align(line: &Line, placed: Vec<Placed>, headings: &[Placed]) -> Vec<Placed> {
    let begins = |span: &Span| headings.iter().find(|heading| heading.span.start == span.start);
    let wide = line.pieces(2);
    let aligned: Vec<Placed> = wide
        .iter()
        .filter_map(|span| begins(span).map(|heading| (span, heading.column)))
        .map(|(span, column)| Placed { span: *span, column, last: column })
        .collect();
    // "nA" alone below the second of two headings.
    let is_enough = wide.len() >= 2 || !line.is_body && wide.first().is_some_and(|span| span.start > 0);
    if is_enough && aligned.len() == wide.len() { aligned } else { placed }
}

fn in_order(pieces: &[Span]) -> Vec<Placed> {
    pieces.iter().enumerate().map(|(column, span)| Placed { span: *span, column, last: column }).collect()
}

/// Whether the line heads columns: its pieces stand over half of them, or its words over most of them one by one. A title does
/// neither, however its blanks fall.
fn is_heading(line: &Line, wide: &[Span], columns: &[Span]) -> bool {
    let homes = |pieces: &[Span]| pieces.iter().map(|piece| home(*piece, columns)).collect::<BTreeSet<_>>().len();
    let words = line.pieces(1);
    let is_listed = words.iter().any(|word| line.text(*word).ends_with(','));
    let one_by_one =
        homes(&words) == words.len() && words.len() >= 3 && words.len() * 5 >= columns.len() * 3 && !is_listed;
    homes(wide) * 2 >= columns.len().max(5) || one_by_one
}

/// "WINDING TEMP  15 C      RH 55 %": values with the unit of a temperature or a humidity stand in a line of a form, and head nothing.
fn tells_warmth(line: &Line) -> bool {
    const UNITS: [&str; 7] = ["c", "°c", "ºc", "grad", "deg", "pct", "%"];
    // "R AT 40 C" heads what was converted.
    const REFERENCES: [&str; 7] = ["at", "@", "bei", "auf", "a", "à", "to"];
    line.pieces(1).windows(3).any(|three| {
        let [before, number, unit] = three else { return false };
        let is_number = line.text(*number).replace(',', ".").parse::<f64>().is_ok();
        let is_reference = REFERENCES.contains(&line.text(*before).to_lowercase().as_str());
        let is_next = number.end + 1 == unit.start;
        is_number && is_next && !is_reference && UNITS.contains(&line.text(*unit).to_lowercase().as_str())
    })
}

/// `piece` cut in every gutter in which it has a blank.
fn cut(line: &Line, piece: Span, columns: &[Span]) -> Vec<Span> {
    let mut pieces: Vec<Span> = Vec::new();
    let inside = line.pieces(1).into_iter().filter(|word| word.overlaps(piece));
    for word in inside {
        match pieces.last_mut() {
            Some(last)
                if home(*last, columns) == home(word, columns)
                    || spans_gutter(last.end, word.start, columns)
                    || is_time(line, *last, word) =>
            {
                last.end = word.end;
            }
            _ => pieces.push(word),
        }
    }
    pieces
}

/// Whether two words of a heading are a time ("1 MIN") and head one column, though it begins over the one before.
fn is_time(line: &Line, before: Span, word: Span) -> bool {
    const UNITS: [&str; 10] = ["min", "mins", "minute", "minutes", "minuten", "minutos", "mn", "sec", "seg", "sek"];
    let unit = line.text(word).trim().trim_end_matches('.').to_lowercase();
    let number = line.text(before);
    let is_number = !number.trim().is_empty() && number.trim().chars().all(|c| c.is_ascii_digit());
    !line.is_body && is_number && word.start == before.end + 1 && UNITS.contains(&unit.as_str())
}

/// Whether the blanks from `from` up to `to` lie within a column and in no gutter.
fn spans_gutter(from: usize, to: usize, columns: &[Span]) -> bool {
    columns.iter().any(|column| column.start < from && to < column.end)
}

/// First and last column that `piece` stands over; where it stands over none, the nearest.
fn reach(piece: Span, columns: &[Span]) -> (usize, usize) {
    let over: Vec<usize> =
        (0..columns.len()).filter(|&at| columns.get(at).is_some_and(|c| c.overlaps(piece))).collect();
    match (over.first(), over.last()) {
        (Some(first), Some(last)) => (*first, *last),
        _ => (home(piece, columns), home(piece, columns)),
    }
}

/// The column that `piece` stands over most; where it stands over none, the nearest.
fn home(piece: Span, columns: &[Span]) -> usize {
    let overlap = |c: &Span| c.end.min(piece.end).saturating_sub(c.start.max(piece.start));
    let distance = |c: &Span| c.start.saturating_sub(piece.end).max(piece.start.saturating_sub(c.end));
    let best = columns.iter().enumerate().min_by_key(|(_, c)| (std::cmp::Reverse(overlap(c)), distance(c)));
    best.map_or(0, |(at, _)| at)
}

/// One cell a column; pieces in the same column are one cell. What stands well right of all columns has one of its own.
fn joined(pieces: &[Span], columns: &[Span]) -> Vec<Placed> {
    let mut placed: Vec<Placed> = Vec::new();
    let end = columns.last().map_or(0, |last| last.end);
    for piece in pieces {
        if let Some(before) = placed.last().filter(|before| piece.start >= end.max(before.span.end) + 2) {
            let column = columns.len().max(before.column + 1);
            placed.push(Placed { span: *piece, column, last: column });
            continue;
        }
        let (first, last) = reach(*piece, columns);
        let column = if first == last { home(*piece, columns) } else { first };
        match placed.last_mut() {
            Some(before) if column <= before.column => {
                before.span.end = piece.end;
                before.last = before.last.max(last);
            }
            _ => placed.push(Placed { span: *piece, column, last: last.max(column) }),
        }
    }
    placed
}

/// One cell a piece, each right of the one before.
fn apart(pieces: &[Span], columns: &[Span]) -> Vec<Placed> {
    let mut placed: Vec<Placed> = Vec::new();
    for piece in pieces {
        let (first, last) = reach(*piece, columns);
        let column = placed.last().map_or(first, |before| first.max(before.column + 1));
        placed.push(Placed { span: *piece, column, last: last.max(column) });
    }
    placed
}
