//! What names and titles may tell, and what they must not be taken for.

use crate::grid::Read;
use windrow_model::raw::Understood;
use windrow_model::settings::Settings;
use windrow_source::{Cell, Grid, Workbook};

/// Understands sheets of one line of readings each, under these names and below this title.
fn machines(sheets: &[&str], title: &str) -> Vec<Option<String>> {
    read(sheets, title).tests.iter().map(|test| test.machine.tag.as_ref().map(|tag| tag.value.to_string())).collect()
}

fn read(sheets: &[&str], title: &str) -> Understood {
    let grid = |name: &&str| {
        let mut grid = Grid { name: Some((*name).to_owned()), ..Grid::default() };
        let rows = [vec![title], vec!["Date", "IR MΩ"], vec!["1994-03-04", "850"], vec!["1995-03-05", "910"]];
        for (row, line) in (0..).zip(rows) {
            for (column, text) in (0..).zip(line) {
                grid.cells.push(Cell::text(row, column, text));
            }
        }
        grid.finish();
        grid
    };
    let book = Workbook { sheets: sheets.iter().map(grid).collect(), ..Workbook::default() };
    Read::of_book(&book, &Settings::default()).0
}

#[test]
fn sheets_named_as_machines_are_tell_the_machine_and_numbered_sheets_do_not() {
    let title = "Insulation resistance";
    let told: Vec<Option<String>> =
        ["BF1761", "M1760"].iter().flat_map(|tag| vec![Some((*tag).to_owned()); 2]).collect();
    assert_eq!(machines(&["BF1761", "M1760"], title), told);
    for numbered in [["Sheet10", "Sheet11"], ["KW12", "KW13"], ["TEST01", "TEST02"], ["Data 10", "Data 11"]] {
        assert_eq!(machines(&numbered, title), vec![None; 4], "{numbered:?}");
    }
}

#[test]
fn three_letters_of_a_title_are_phases_only_beside_words_for_them() {
    let circuits = |title: &str| -> Vec<Option<&str>> {
        let read = read(&["Sheet1"], title);
        let readings = read.tests.iter().flat_map(|test| &test.readings);
        readings.map(|reading| reading.circuit.as_ref().map(|told| told.value.code())).collect()
    };
    assert_eq!(circuits("Insulation resistance, U, V, W to earth"), [Some("UVW-E"); 2]);
    assert_eq!(circuits("Insulation resistance of pumps A, B and C"), [None; 2]);
}
