//! Whatever a grid holds, every cell gets exactly one mark, nothing panics, and the same grid gives the same result.

use crate::grid::Read;
use proptest::prelude::*;
use std::collections::BTreeSet;
use windrow_model::Text;
use windrow_model::raw::Understood;
use windrow_source::{Area, Cell, Content, Grid};

fn read(grid: Grid) -> Understood {
    Read::of(grid).0
}

fn assert_conserved(grid: &Grid, understood: &Understood) {
    let expected: BTreeSet<Text> = grid.cells.iter().filter(|cell| !cell.synthetic).map(Cell::place).collect();
    let marked: BTreeSet<Text> = understood.cells.iter().map(|mark| mark.place.cell.clone()).collect();
    assert_eq!(understood.cells.len(), expected.len(), "one mark a cell");
    assert_eq!(marked, expected);
}

/// Texts of records, of every kind that the engine tells apart.
fn texts() -> impl Strategy<Value = String> {
    prop_oneof![
        prop::sample::select(vec![
            "Machine",
            "Tag",
            "Date",
            "Test V",
            "U",
            "V",
            "W",
            "1 min",
            "10 min",
            "MΩ",
            "Winding °C",
            "P-101A",
            "K-12",
            "14.03.1987",
            "03/04/87",
            "1994 tests",
            ">2000",
            "OL",
            "\"",
            "do.",
            "n/t",
            "P.I.",
            "Average",
            "Remarks",
            "Insulation resistance to earth, MΩ, 1 min",
            "Date: 14.3.87  By: R.K.",
            "450/470/465",
            "2?0",
            "1,130",
            "* = corrected to 40 °C",
            "850*",
            "500 V DC",
            "Serial No.",
            "Alder Works - P-12",
            "Unit",
            "Phase",
        ])
        .prop_map(str::to_owned),
        "[0-9]{1,6}",
        "\\PC{1,12}",
    ]
}

fn cells() -> impl Strategy<Value = Cell> {
    let content = prop_oneof![
        3 => texts().prop_map(|text| (Content::Text, text)),
        3 => (0.0..100_000.0f64).prop_map(|value| (Content::Number(value), value.to_string())),
        1 => (10_000.0..60_000.0f64).prop_map(|serial| (Content::Date { serial, is_1904: false }, "1990-01-01".to_owned())),
        1 => (0.0..90_000.0f64).prop_map(|seconds| (Content::Duration(seconds), "00:10:00".to_owned())),
        1 => Just((Content::NoResult, "=A1/B2".to_owned())),
        1 => Just((Content::Error, "#N/A".to_owned())),
    ];
    (0u32..14, 0u32..9, content).prop_map(|(row, column, (content, text))| Cell {
        content,
        ..Cell::text(row, column, if text.trim().is_empty() { "x".to_owned() } else { text })
    })
}

fn grids() -> impl Strategy<Value = Grid> {
    let merges = prop::collection::vec((0u32..12, 0u32..8, 0u32..3, 0u32..3), 0..4);
    (prop::collection::vec(cells(), 0..70), merges).prop_map(|(cells, merges)| {
        let merges = merges
            .into_iter()
            .map(|(top, left, height, width)| Area { top, left, bottom: top + height, right: left + width })
            .collect();
        let mut grid = Grid { name: Some("Sheet1".to_owned()), cells, merges, ..Grid::default() };
        grid.finish();
        grid
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn any_grid_is_accounted_for(grid in grids()) {
        let understood = read(grid.clone());
        assert_conserved(&grid, &understood);
        prop_assert_eq!(read(grid), understood);
    }
}

#[test]
fn a_stray_cell_at_the_last_corner_costs_nothing() {
    let mut grid =
        Grid { cells: vec![Cell::number(0, 0, 1.0), Cell::text(1_048_575, 16_383, "stray")], ..Grid::default() };
    grid.merges.push(Area { top: 0, left: 0, bottom: 1_048_575, right: 16_383 });
    grid.finish();
    assert_conserved(&grid, &read(grid.clone()));
}

#[test]
fn an_empty_grid_gives_nothing() {
    let understood = read(Grid::default());
    assert!(understood.cells.is_empty() && understood.tests.is_empty() && understood.holds.is_empty());
}

#[test]
fn a_long_log_is_read_to_its_last_row() {
    let mut grid = Grid::default();
    for (column, text) in ["Machine", "Date", "IR 1 min (MΩ)"].iter().enumerate() {
        grid.cells.push(Cell::text(0, u32::try_from(column).unwrap(), *text));
    }
    for row in 1..=20_000 {
        grid.cells.push(Cell::text(row, 0, format!("P-{}", 100 + row % 50)));
        grid.cells.push(Cell::text(row, 1, format!("{:02}.03.{}", 1 + row % 28, 1970 + row % 50)));
        grid.cells.push(Cell::number(row, 2, f64::from(row) + 0.5));
    }
    grid.finish();
    let understood = read(grid.clone());
    assert_conserved(&grid, &understood);
    assert_eq!(understood.tests.iter().map(|test| test.readings.len()).sum::<usize>(), 20_000);
}
