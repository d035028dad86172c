//! Which of two readers that claim a source alike cuts it better, by what comes out.
//!
//! A way of cutting is right when equal things stand under one another: numbers under numbers, dates under dates. One that goes
//! through the middle of fields leaves mixtures and words instead. Both are read, and the regular one is taken when it leads clearly.

use std::collections::BTreeMap;
use windrow_source::shape::{self, Shape};
use windrow_source::{Grid, Workbook};

/// Least share of letters and digits that must stand in regular columns. Common practice, no source.
const LEAST: f64 = 0.1;
/// How many times as regular the better one must be. Common practice, no source.
const CLEARLY: f64 = 2.0;

/// Fewest lines that prove a mark.
const FEWEST_LINES: usize = 6;

/// Which of two ways of cutting one source is right, when that is clear. What could not be read is `None`.
#[must_use]
pub(crate) fn better<T>(first: (T, Option<&Workbook>), second: (T, Option<&Workbook>)) -> Option<T> {
    let (own, other) = (first.1.map_or(0.0, regularity), second.1.map_or(0.0, regularity));
    if own >= LEAST && own >= other * CLEARLY {
        return Some(first.0);
    }
    if other >= LEAST && other >= own * CLEARLY {
        return Some(second.0);
    }
    // Forms of labels and values are regular in no column.
    match (first.1.is_some_and(leaves_mark), second.1.is_some_and(leaves_mark)) {
        (false, true) if first.1.is_some() => Some(first.0),
        (true, false) if second.1.is_some() => Some(second.0),
        _ => None,
    }
}

/// Whether one and the same mark stands equally often within nearly every line that was cut elsewhere, as no sentences have it.
fn leaves_mark(book: &Workbook) -> bool {
    let mut lines: BTreeMap<(usize, u32), String> = BTreeMap::new();
    for (number, grid) in book.sheets.iter().enumerate() {
        for cell in &grid.cells {
            lines.entry((number, cell.row)).or_default().push_str(&cell.text);
        }
    }
    [';', '|', '\t'].into_iter().any(|mark| {
        let mut counts: BTreeMap<usize, usize> = BTreeMap::new();
        for line in lines.values() {
            *counts.entry(line.matches(mark).count()).or_default() += 1;
        }
        let most = counts.iter().filter(|(marks, _)| **marks > 0).map(|(_, lines)| *lines).max().unwrap_or(0);
        lines.len() >= FEWEST_LINES && most * 10 >= lines.len() * 9
    })
}

/// The share of letters and digits of `book` that stand in numbers and dates with one of their kind next above or below in their
/// column, from 0 to 1. A line that is a single cell is not cut at all and counts for nothing.
fn regularity(book: &Workbook) -> f64 {
    let (mut regular, mut all) = (0_usize, 0_usize);
    for grid in &book.sheets {
        all += grid.cells.iter().map(|cell| weight(&cell.text)).sum::<usize>();
        regular += regular_in(grid);
    }
    share(regular, all)
}

fn regular_in(grid: &Grid) -> usize {
    let mut width: BTreeMap<u32, usize> = BTreeMap::new();
    for cell in &grid.cells {
        *width.entry(cell.row).or_default() += 1;
    }
    let mut columns: BTreeMap<u32, Vec<(Shape, usize)>> = BTreeMap::new();
    for cell in grid.cells.iter().filter(|cell| width.get(&cell.row).is_some_and(|cells| *cells >= 2)) {
        columns.entry(cell.column).or_default().push((shape::of(&cell.text), weight(&cell.text)));
    }
    columns.values().map(|column| regular_along(column)).sum()
}

fn regular_along(column: &[(Shape, usize)]) -> usize {
    let is_like =
        |at: Option<usize>, shape: Shape| at.and_then(|at| column.get(at)).is_some_and(|cell| cell.0 == shape);
    let cells = column.iter().enumerate().filter(|(at, (shape, _))| {
        matches!(shape, Shape::Number | Shape::Date)
            && (is_like(at.checked_sub(1), *shape) || is_like(at.checked_add(1), *shape))
    });
    cells.map(|(_, (_, weight))| weight).sum()
}

fn weight(text: &str) -> usize {
    text.chars().filter(|c| c.is_alphanumeric()).count()
}

fn share(part: usize, all: usize) -> f64 {
    let count = |count: usize| f64::from(u32::try_from(count).unwrap_or(u32::MAX));
    count(part) / count(all.max(1))
}

#[cfg(test)]
mod tests {
    use super::*;
    use windrow_source::Cell;

    fn cut(rows: &[&[&str]]) -> Workbook {
        let mut grid = Grid::default();
        for (row, texts) in (0..).zip(rows) {
            let cells = (0..).zip(*texts).filter(|(_, text)| !text.is_empty());
            grid.cells.extend(cells.map(|(column, text)| Cell::text(row, column, *text)));
        }
        Workbook { sheets: vec![grid], ..Workbook::default() }
    }

    #[test]
    fn numbers_under_numbers_are_the_better_cut() {
        let by_commas = cut(&[&["3/4/97", "Pump 1", "22"], &["3/4/97", "Pump 2", "9.5"], &["dry season"]]);
        let by_blanks = cut(&[&["3/4/97,Pump", "1,22"], &["3/4/97,Pump", "2,9.5"], &["dry", "season"]]);
        assert_eq!(better(("commas", Some(&by_commas)), ("blanks", Some(&by_blanks))), Some("commas"));
        assert_eq!(better(("blanks", Some(&by_blanks)), ("commas", Some(&by_commas))), Some("commas"));
        assert_eq!(better(("blanks", None), ("commas", Some(&by_commas))), Some("commas"));
    }

    #[test]
    fn two_cuts_as_regular_as_each_other_stay_a_tie() {
        let table = cut(&[&["1", "2"], &["3", "4"]]);
        let words = cut(&[&["one", "two"], &["three", "four"]]);
        assert_eq!(better((1, Some(&table)), (2, Some(&table))), None);
        assert_eq!(better((1, Some(&words)), (2, None)), None, "words under words prove nothing");
        assert_eq!(better::<u8>((1, None), (2, None)), None);
    }

    #[test]
    fn a_form_is_cut_at_the_mark_of_every_line() {
        let lines =
            [("Unit", "MTR-5"), ("Date", "3/4/97"), ("Test voltage", "500"), ("U-E", "22"), ("PI", "2.1"), ("By", "")];
        let parted: Vec<[&str; 2]> = lines.iter().map(|(label, value)| [*label, *value]).collect();
        let parted = cut(&parted.iter().map(<[&str; 2]>::as_slice).collect::<Vec<_>>());
        let whole: Vec<String> = lines.iter().map(|(label, value)| format!("{label};{value}")).collect();
        let whole: Vec<[&str; 1]> = whole.iter().map(|line| [line.as_str()]).collect();
        let whole = cut(&whole.iter().map(<[&str; 1]>::as_slice).collect::<Vec<_>>());
        assert_eq!(better(("blanks", Some(&whole)), ("semicolons", Some(&parted))), Some("semicolons"));
        assert_eq!(better(("blanks", Some(&whole)), ("blanks", Some(&whole))), None);
    }

    #[test]
    fn lines_that_are_not_cut_count_for_nothing() {
        let whole = cut(&[&["1,2"], &["3,4"], &["5,6"]]);
        let parted = cut(&[&["1", "2"], &["3", "4"], &["5", "6"]]);
        assert_eq!(better((1, Some(&whole)), (2, Some(&parted))), Some(2));
    }
}
