//! Lines across a table of years: the voltage of the lines below them, the temperature of the line above. Common practice, no source; all
//! sheets are invented.

use crate::grid::Read;

#[test]
fn a_line_of_voltages_is_of_the_machines_below_it_until_the_next_one() {
    let read = Read::rows(&[
        "Insulation to earth, MΩ",
        "",
        "Place|Motor|kW|1991|1993|1996|Lowest",
        "Test volts d.c. (H.T. machines)|||1000|1000|2500|",
        "Mill|A1|250|640|810|590|590",
        "|A2|250|700|660|610|610",
        "Test volts d.c. (L.T. machines)|||500|500|500|",
        "Yard|B1|30|75|60|44|44",
        "|B2|30|66|58|51|51",
        "Average|||370|397|324|",
        "No. of motors tested|||4|4|4|",
    ]);
    assert_eq!((read.volts("D5"), read.volts("E6"), read.volts("F6")), (Some(1000.0), Some(1000.0), Some(2500.0)));
    assert_eq!((read.volts("D8"), read.volts("F9")), (Some(500.0), Some(500.0)));
    assert!(read.is_derived("D11") && read.reading("E11").is_none(), "a count is no reading");
    // Counter-case: two such lines on top of each other say of no machine which of them is its own.
    let open = Read::rows(&[
        "Insulation to earth, MΩ, tester 250 V",
        "",
        "Motor|kW|1991|1993",
        "Test volts (H.T. machines)||1000|1000",
        "Test volts (L.T. machines)||500|500",
        "A1|250|640|810",
        "B1|30|75|60",
    ]);
    assert!(open.reading("C6").is_some());
    assert_eq!((open.volts("C6"), open.volts("D7")), (None, None));
}

#[test]
fn a_line_of_temperatures_below_each_machine_is_of_that_machine() {
    let read = Read::rows(&[
        "Isolationswiderstand gegen Masse, MΩ",
        "",
        "Motor|1988|1990|1992",
        "P-1|75|110|80",
        "Wicklungstemp. °C|34|37|",
        "P-2|90|100|85",
        "Wicklungstemp. °C|26|22|21",
        "P-3|60|a. B.|55",
        "Wicklungstemp. °C|19||23",
    ]);
    assert_eq!((read.celsius("B4"), read.celsius("C4"), read.celsius("D4")), (Some(34.0), Some(37.0), None));
    assert_eq!((read.celsius("B6"), read.celsius("D8")), (Some(26.0), Some(23.0)));
    // Counter-case: the machine without a line of its own has no temperature.
    let open = Read::rows(&[
        "Isolationswiderstand gegen Masse, MΩ",
        "",
        "Motor|1988|1990",
        "P-1|75|110",
        "P-2|90|100",
        "Wicklungstemp. °C|26|22",
        "P-3|60|55",
        "Wicklungstemp. °C|19|23",
    ]);
    assert_eq!((open.celsius("B4"), open.celsius("B5"), open.celsius("C7")), (None, Some(26.0), Some(23.0)));
}
