//! Equal lines of headings one below the other: page breaks, and tests that look alike. Common practice, no source; all sheets are invented.

use crate::grid::{Read, text_grid};

#[test]
fn a_title_between_two_equal_headers_begins_the_next_test() {
    let read = Read::of(text_grid(&[
        "Motor P-101 2018-03-04",
        "Voltage on at|10:00:00",
        "",
        "Clock time|IR MOhm",
        "10:01:00|120",
        "10:10:00|240",
        "",
        "Motor P-102 2018-03-05",
        "Voltage on at|11:00:00",
        "",
        "Clock time|IR MOhm",
        "11:01:00|320",
        "11:10:00|440",
        "Motor P-103 2018-03-06",
        "Clock time|IR MOhm",
        "11:31:00|520",
        "11:40:00|640",
    ]));
    assert_eq!(["B6", "B13", "B16"].map(|cell| read.tag(cell)), [Some("P-101"), Some("P-102"), Some("P-103")]);
    assert_eq!(read.day("B12").as_deref(), Some("2018-03-05"));
    assert_eq!(read.day("B17").as_deref(), Some("2018-03-06"));
    assert_eq!((read.seconds("B5"), read.seconds("B12")), (Some(60.0), Some(60.0)));
    assert_eq!(read.seconds("B16"), None, "the voltage of another test was switched on long before");
}

#[test]
fn a_page_break_within_a_list_of_machines_begins_no_test() {
    let read = Read::of(text_grid(&[
        "Motor P-100 2018-03-04",
        "Motor|IR MOhm",
        "P-101|120",
        "P-102|",
        "Page 2",
        "Motor|IR MOhm",
        "P-103|320",
    ]));
    assert_eq!(["B3", "B7"].map(|cell| read.tag(cell)), [Some("P-101"), Some("P-103")]);
    assert_eq!(read.day("B7").as_deref(), Some("2018-03-04"));
}
