//! Results of formulas beside what was typed. Common practice in workbooks, no source; all sheets are invented.

use crate::grid::{Read, grid};
use windrow_model::settings::Settings;
use windrow_source::{Grid, Workbook};

/// The sheet with results of formulas in these cells.
fn computed(rows: &[&str], cells: &[(u32, u32)]) -> Grid {
    let mut grid = grid(rows);
    for cell in grid.cells.iter_mut().filter(|cell| cells.contains(&(cell.row, cell.column))) {
        cell.computed = true;
    }
    grid
}

#[test]
fn a_result_beside_the_typed_reading_is_no_second_reading() {
    let rows = ["Motor|Date|R 1 min (MΩ)|R 1 min (GΩ)", "P-1|2002-08-01|355|0.36", "P-2|2002-08-03|690|0.69"];
    assert!(!Read::rows(&rows).is_derived("D2"), "typed, it may be of another measurement");
    let read = Read::of(computed(&rows, &[(1, 3), (2, 3)]));
    assert_eq!(read.value("C2"), Some(355e6));
    assert!(read.value("D2").is_none() && read.is_derived("D2"), "the formula takes it from the column before");
    assert!(read.is_derived("D3"));
}

#[test]
fn results_are_read_where_nothing_was_typed() {
    let rows = ["Insulation, MΩ to earth, 500 V", "Motor|Date|1 min", "P-1|2002-08-01|355", "P-2|2002-08-03|690"];
    let read = Read::of(computed(&rows, &[(2, 2), (3, 2)]));
    assert_eq!((read.value("C3"), read.value("C4")), (Some(355e6), Some(690e6)));
}

#[test]
fn a_formula_that_repeats_the_phase_beside_is_a_reading() {
    let rows = [
        "Insulation, MΩ, 500 V, 1 min",
        "Motor|Date|U-E|V-E|W-E",
        "P-1|2002-08-01|355|355|410",
        "P-2|2002-08-03|690|580|520",
    ];
    let read = Read::of(computed(&rows, &[(2, 3)]));
    assert_eq!((read.value("D3"), read.circuit("D3")), (Some(355e6), Some("V-E")));
}

#[test]
fn a_sheet_that_looks_readings_up_has_none_of_its_own() {
    let tests = Grid {
        name: Some("Rounds".to_owned()),
        ..grid(&["Insulation, MΩ to earth", "Motor|Date|1 min", "P-1|2002-08-01|355", "P-2|2002-08-03|690"])
    };
    let rows =
        ["Newest reading", "Motor|Date|1 min MΩ", "P-1|2002-08-01|355", "P-2|2002-08-03|691", "P-3|2002-08-01|355"];
    let latest = Grid { name: Some("Newest".to_owned()), ..computed(&rows, &[(2, 2), (3, 2), (4, 2)]) };
    let book = Workbook { sheets: vec![tests, latest], ..Workbook::default() };
    let read = Read::of_book(&book, &Settings::default());
    let of = |sheet: &str, cell: &str| {
        let readings = read.0.tests.iter().flat_map(|test| &test.readings);
        readings.filter(|it| it.place.sheet.as_deref() == Some(sheet) && it.place.cell == cell).count()
    };
    assert_eq!((of("Rounds", "C3"), of("Newest", "C3")), (1, 0), "the formula repeats it");
    assert_eq!(of("Newest", "C4"), 1, "another number is no repetition");
    assert_eq!(of("Newest", "C5"), 1, "nor is the number of another machine on that day");
    let marks = read.0.cells.iter().filter(|mark| mark.place.sheet.as_deref() == Some("Newest"));
    let marked = marks.filter(|mark| mark.place.cell == "C3").map(|mark| mark.disposition.code());
    assert_eq!(marked.collect::<Vec<_>>(), ["derived"]);
}
