//! The comparison sees what it is there to see.

use super::book::{Base, Bench, Changed};
use super::compare::{Tally, tally};
use super::{knowledge, moves, units};
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

/// The demo records and every fourth file of the corpus: as many layouts as people made.
#[test]
fn a_drafted_layout_says_the_same_again_and_the_engine_needs_no_importer() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let (mut files, mut corpus) = (Vec::new(), Vec::new());
    super::below(&root.join("samples"), &mut files).expect("the demo records");
    super::below(&root.join("tests/corpus/open/files"), &mut corpus).expect("the corpus");
    files.extend(corpus.into_iter().step_by(4));
    let bench = Bench::new().expect("plugins are in order");
    let mut compared = 0;
    for path in files {
        let Some(base) = bench.read(&path) else { continue };
        for changed in [knowledge::drafted(&base), knowledge::alone(&base)].into_iter().flatten() {
            let tally = outcome(&bench, &base, &changed);
            assert_eq!((tally.same, tally.extra), (tally.base, 0), "{}: {:?}", path.display(), tally.notes);
            compared += tally.base;
        }
    }
    assert!(compared > 2000, "{compared}");
}

#[test]
fn a_sheet_saved_as_a_spreadsheet_of_the_other_family_says_the_same() {
    let (bench, base) = sample();
    let changed = super::container::ods(&base).expect("one plain sheet");
    let tally = outcome(&bench, &base, &changed);
    assert!(tally.base > 20);
    assert_eq!((tally.same, tally.extra), (tally.base, 0), "{:?}", tally.notes);
}
