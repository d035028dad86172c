//! The comparison sees what it is there to see.

use super::book::{Base, Bench, Changed};
use super::compare::{Tally, tally};
use super::{moves, units};
use std::path::Path;
use windrow_source::Content;

fn sample() -> (Bench, Base) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../samples/log_2020-2024.xlsx");
    let bench = Bench::new().expect("plugins are in order");
    let base = bench.read(&path).expect("the sample has readings");
    (bench, base)
}

fn outcome(bench: &Bench, base: &Base, changed: &Changed) -> Tally {
    tally("sample", base, changed, &bench.understand_changed(base, changed))
}

#[test]
fn moved_cells_are_found_again() {
    let (bench, base) = sample();
    let changed = moves::shifted(&base).expect("cells move");
    let tally = outcome(&bench, &base, &changed);
    assert!(tally.base > 20);
    assert_eq!((tally.same, tally.extra), (tally.base, 0));
}

#[test]
fn a_number_changed_without_its_unit_is_wrong() {
    let (bench, base) = sample();
    let mut book = base.book.clone();
    let reading = &base.found.rows.readings[0];
    let cell = book.sheets[0].cells.iter_mut().find(|cell| cell.place() == reading.source_cell).expect("its cell");
    let Content::Number(number) = cell.content else { panic!("a stored number") };
    cell.content = Content::Number(number * 1.5);
    cell.text = (number * 1.5).to_string().into();
    let tally = outcome(&bench, &base, &Changed::book(book));
    assert_eq!((tally.wrong, tally.same), (1, tally.base - 1), "{:?}", tally.notes);
}

#[test]
fn a_reading_that_vanishes_is_gone() {
    let (bench, base) = sample();
    let mut book = base.book.clone();
    let reading = &base.found.rows.readings[0];
    book.sheets[0].cells.retain(|cell| cell.place() != reading.source_cell);
    let tally = outcome(&bench, &base, &Changed::book(book));
    assert_eq!(tally.gone, 1, "{:?}", tally.notes);
}

#[test]
fn gigohms_change_numbers_and_headings_together() {
    let (bench, base) = sample();
    let Some(changed) = units::gigohms(&base) else { panic!("the sample says megohms") };
    let Changed::Book { book, .. } = &changed else { panic!("a book") };
    assert!(book.sheets[0].cells.iter().any(|cell| cell.text.contains("GΩ")));
    let tally = outcome(&bench, &base, &changed);
    assert_eq!(tally.wrong, 0, "{:?}", tally.notes);
}
