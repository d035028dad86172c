//! Exports with two kinds of record, heads over details, that name their fields themselves. Invented; common practice, no source.

use crate::grid::{Read, grid};
use windrow_source::Cell;

/// Lines of text, each cut at its commas.
fn records(lines: &[&str]) -> Read {
    let mut grid = grid(&[]);
    for (row, line) in (0u32..).zip(lines) {
        let cells = (0u32..).zip(line.split(',')).filter(|(_, text)| !text.trim().is_empty());
        grid.cells.extend(cells.map(|(column, text)| Cell::text(row, column, text.trim())));
    }
    grid.finish();
    Read::of(grid)
}

const HEADS: &[&str] = &[
    "# store of the bench; two kinds of line",
    "# T;no;tag;date;winding degC;volts",
    "# V;no;point;value;unit",
    "T,71,WP-3,2017-01-31,21.5,1000",
    "V,71,insulation UVW to frame 30 s,380,MOhm",
    "V,71,insulation UVW to frame 1 min,519,MOhm",
    "T,72,WP-3,2017-02-02,19.0,",
    "V,72,winding resistance U-V,3.120,mOhm",
    "V,72,winding resistance V-W,3.121,mOhm",
    "T,73,WP-4,2018-05-09,13.9,500",
    "V,73,insulation UVW to frame 1 min,708,MOhm",
];

#[test]
fn what_a_head_tells_holds_for_its_details_and_no_others() {
    let read = records(HEADS);
    let told = |cell| (read.tag(cell), read.day(cell), read.celsius(cell), read.value(cell));
    assert_eq!(told("D5"), (Some("WP-3"), Some("2017-01-31".to_owned()), Some(21.5), Some(3.8e8)));
    assert_eq!((read.seconds("D6"), read.volts("D6"), read.circuit("D6")), (Some(60.0), Some(1000.0), Some("UVW-E")));
    assert_eq!(told("D9"), (Some("WP-3"), Some("2017-02-02".to_owned()), Some(19.0), Some(0.003_121)));
    assert_eq!((read.circuit("D9"), read.volts("D9")), (Some("V-W"), None));
    assert_eq!(told("D11"), (Some("WP-4"), Some("2018-05-09".to_owned()), Some(13.9), Some(7.08e8)));
    let cells = read.0.cells.len();
    let all: usize = HEADS.iter().map(|line| line.split(',').filter(|text| !text.is_empty()).count()).sum();
    assert_eq!(cells, all, "each cell has one mark");
}

#[test]
fn details_of_another_number_are_put_to_no_machine() {
    let mut lines = HEADS.to_vec();
    lines.push("V,74,insulation UVW to frame 1 min,44,MOhm");
    let read = records(&lines);
    assert_eq!(read.tag("D12"), None, "{:?}", read.found("D12"));
    assert_eq!(read.day("D12"), None);
    assert_eq!(read.tag("D11"), Some("WP-4"));
}
