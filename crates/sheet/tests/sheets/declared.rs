//! Tables whose fields the container names: database files, records of XML. Common practice, no source.

use crate::grid::Read;
use windrow_source::{Cell, Grid};

/// A sheet whose first row are names that the container gives, over values stored as text.
fn declared(names: &[&str], rows: &[&[&str]]) -> Read {
    let mut grid = Grid::default();
    let head = (0u32..).zip(names).map(|(column, name)| Cell::name(0, column, *name));
    grid.cells.extend(head);
    for (row, cells) in (1u32..).zip(rows) {
        grid.cells.extend((0u32..).zip(*cells).map(|(column, text)| Cell::text(row, column, *text)));
    }
    grid.finish();
    Read::of(grid)
}

#[test]
fn declared_fields_head_records_and_nothing_is_turned_over() {
    let read = declared(
        &["ASSETNO", "TESTDATE", "TESTVOLTS", "WDGTEMPC", "IR1MINMEG", "IR10MINMEG"],
        &[&["PS2-P1", "2001-04-17", "500", "14", "310", "702"], &["PS2-P2", "2001-04-17", "500", "15", "118.5", "201"]],
    );
    assert_eq!(read.tag("E3"), Some("PS2-P2"));
    assert_eq!((read.seconds("E3"), read.seconds("F3")), (Some(60.0), Some(600.0)));
    assert_eq!((read.volts("F2"), read.celsius("F2")), (Some(500.0), Some(14.0)));
    assert_eq!(read.quantity("F3"), Some("insulation_resistance"));
}

#[test]
fn a_declared_field_that_says_nothing_known_is_no_reading() {
    let read = declared(
        &["MAQUINA", "FECHA", "XQZ", "WVB"],
        &[&["MB-104", "2004-06-15", "118", "702"], &["MB-109", "2004-06-17", "87", "113"]],
    );
    assert_eq!(read.0.tests.len(), 0);
    let unread = |cell: &str| read.0.cells.iter().any(|mark| mark.place.cell == cell);
    assert!(unread("C2") && unread("D3"), "what is not understood stays visible");
}
