//! Parts of a page beside and below each other: forms continued on the next page, sections in merged lines, groups with units of their own,
//! what a comment or a sheet of notes says. Common practice in records, no source; all sheets are invented.

use crate::grid::{Read, grid, text_grid};
use windrow_model::settings::Settings;
use windrow_source::{Area, Grid, Workbook};

#[test]
fn a_form_goes_on_under_the_head_of_a_page_whatever_the_form_beside_it_says() {
    let read = Read::texts(&[
        "Motor:|MTR-22||||Motor:|MTR-20",
        "Test volts (V):|500||||Test volts (V):|5000",
        "",
        "Tested on|Circuit|Time (min)|Ins. res. (kΩ)||Tested on|Circuit|Time (min)|Ins. res. (kΩ)",
        "1993-03-22|U1 to earth|1|1120000||1993-03-22|U1 to earth|1|596000",
        "|U1 to earth|2|1630000|||U1 to earth|2|754000",
        "|V1 to earth|1|1170000|||V1 to earth|1|623000",
        "Form 12-B rev. 3||||||V1 to earth|2|788000",
        "Tested on|Circuit|Time (min)|Ins. res. (kΩ)||Printed for the records office",
        "1993-03-22|V1 to earth|2|1700000||Tested on|Circuit|Time (min)|Ins. res. (kΩ)",
        "|W1 to earth|1|1230000||1993-03-22|W1 to earth|1|649000",
        "|W1 to earth|2|1780000|||W1 to earth|2|822000",
    ]);
    assert_eq!((read.tag("D5"), read.volts("D5")), (Some("MTR-22"), Some(500.0)));
    for cell in ["D10", "D11", "D12"] {
        assert!(read.tag(cell).is_none_or(|tag| tag == "MTR-22"), "{cell} is put to {:?}", read.tag(cell));
        assert!(read.volts(cell).is_none_or(|volts| volts < 600.0), "{cell} at {:?} V", read.volts(cell));
    }
    assert!(read.tag("I11").is_none_or(|tag| tag == "MTR-20"));
}

#[test]
fn the_warmth_in_the_line_of_the_next_machine_is_its_own() {
    let read = Read::texts(&[
        "Equip. No.:|P-71||Tested on:|18-Apr-84",
        "Winding|Wdg resistance|Unit",
        "T1-T2|2.318|Ω",
        "T2-T3|2.332|Ω",
        "T3-T1|2.346|Ω",
        "",
        "Equip. No.:|PU-70||Tested on:|19-Mar-88||Winding temperature (°F):|111",
        "Winding|Wdg resistance|Unit",
        "T1-T2|0.2122|Ω",
        "T2-T3|0.2135|Ω",
        "T3-T1|0.2144|Ω",
    ]);
    assert_eq!((read.value("B3"), read.tag("B3"), read.celsius("B3")), (Some(2.318), Some("P-71"), None));
    assert!(read.celsius("B9").is_some_and(|celsius| (celsius - 43.9).abs() < 0.1));
}

#[test]
fn a_merged_line_right_below_the_header_names_a_section() {
    let mut grid = grid(&[
        "INSULATION SURVEY 1997 - MEGOHMS, 500 V D.C. FOR 1 MINUTE",
        "",
        "Motor|Drive|Date|U to E|V to E|W to E",
        "Brine field",
        "BF-1|Lift pump|1997-07-15|270|295|280",
        "BF-2|Lift pump||385|375|365",
        "Evaporators",
        "EV-1|Compressor|1997-09-23|325|320|360",
    ]);
    grid.merges = [3, 6].map(|row| Area { top: row, left: 0, bottom: row, right: 5 }).into();
    let read = Read::of(grid);
    assert_eq!(
        (read.value("D5"), read.tag("D5"), read.day("D5").as_deref()),
        (Some(270e6), Some("BF-1"), Some("1997-07-15"))
    );
    assert_eq!((read.value("F8"), read.tag("F8")), (Some(360e6), Some("EV-1")));
}

#[test]
fn groups_with_units_of_their_own_over_the_same_header_are_tables_beside_each_other() {
    let mut grid = grid(&[
        "Polarisation test MX1",
        "",
        "Date|2007-08-07||||Date|2012-08-16",
        "Test voltage|2.5 kV||||Test voltage|5 kV",
        "|phase to earth, MΩ|||||phase to earth, GΩ",
        "min|U|V|W||min|U|V|W",
        "1|5700|4900|6500||1|5.7|5|7.3",
        "10|14500|12400|16500||10|14.6|12.6|18.5",
    ]);
    grid.merges = [1, 6].map(|left| Area { top: 4, left, bottom: 4, right: left + 2 }).into();
    let read = Read::of(grid);
    assert_eq!(
        (read.value("B7"), read.day("B7").as_deref(), read.volts("B7")),
        (Some(5.7e9), Some("2007-08-07"), Some(2500.0))
    );
    assert_eq!(
        (read.value("I8"), read.day("I8").as_deref(), read.volts("I8")),
        (Some(18.5e9), Some("2012-08-16"), Some(5000.0))
    );
}

#[test]
fn a_comment_that_tells_another_number_is_asked_about() {
    let rows = ["Insulation, MΩ to frame, 500 V", "Motor|Date|1 min", "P-1|2012-01-18|48", "P-2|2012-01-18|490"];
    let noted = |note: &str| {
        let mut grid = grid(&rows);
        for cell in grid.cells.iter_mut().filter(|cell| (cell.row, cell.column) == (2, 2)) {
            cell.note = Some(note.to_owned());
        }
        Read::of(grid)
    };
    let read = noted("Correction: point misplaced, should read 480");
    assert!(read.value("C3").is_none() && read.is_held("C3"));
    assert_eq!(read.value("C4"), Some(490e6));
    assert_eq!(noted("winding at 23 °C").value("C3"), Some(48e6));
}

#[test]
fn a_sheet_of_notes_states_the_unit_of_a_column_that_tells_none() {
    let notes = |text: &str| Grid { name: Some("Notes".to_owned()), ..grid(&["Motor book", text]) };
    let tests = || grid(&["Motor|Date|Insulation", "P-1|2012-01-18|335", "P-2|2012-01-18|490"]);
    let of = |notes: Grid| {
        let book = Workbook { sheets: vec![notes, tests()], ..Workbook::default() };
        Read::of_book(&book, &Settings::default())
    };
    assert_eq!(of(notes("Insulation in MΩ at 500 V, all phases to frame")).value("C2"), Some(335e6));
    let limit = of(notes("Insulation below the limit of 5 MΩ: report"));
    assert!(limit.value("C2").is_none() && limit.is_held("C2"), "a limit states no unit of the readings");
}

#[test]
fn percent_between_phases_under_a_surge_test_tells_how_far_its_traces_differ() {
    let mut grid = grid(&[
        "Job|Final test|Motor|Surge test||||Remarks",
        "|||peak V|1-2 %|2-3 %|3-1 %|",
        "03-011|2003-01-03|BM-101|2100|1.1|1.2|1.9|rewound",
        "03-018|2003-02-05|BM-102|2100|2.3|2|0.6|rewound",
    ]);
    grid.merges = vec![Area { top: 0, left: 3, bottom: 0, right: 6 }];
    let read = Read::of(grid);
    assert_eq!(
        (read.quantity("E3"), read.circuit("E3"), read.volts("E3")),
        (Some("surge_difference"), Some("U-V"), Some(2100.0))
    );
    assert!(read.value("G4").is_some_and(|share| (share - 0.006).abs() < 1e-9));

    let headed = Read::rows(&["Motor|Date|Pair|Surge test, %", "DS-01|2005-12-14|U-V|0.8", "DS-01|2005-12-14|V-W|2.1"]);
    assert_eq!((headed.quantity("D2"), headed.circuit("D2")), (Some("surge_difference"), Some("U-V")));
}

#[test]
fn amperes_of_a_list_of_plates_are_rated() {
    let read =
        Read::of(text_grid(&["Ident|kW|kV|A|rpm|Made", "MX-1|1250|6.6|137|990|1978", "MX-2|1500|6.6|164|990|1991"]));
    assert!(!read.is_held("D2"), "no test stands in a list of nameplates");
    assert!(read.reading("D2").is_none());
}

/// A list of plates, and tests under a heading for numbers.
fn numbered(plates: &[&str], tests: &[&str]) -> Read {
    let sheet = |name: &str, rows: &[&str]| Grid { name: Some(name.to_owned()), ..grid(rows) };
    let book = Workbook { sheets: vec![sheet("Plates", plates), sheet("Rounds", tests)], ..Workbook::default() };
    Read::of_book(&book, &Settings::default())
}

#[test]
fn lines_that_bear_the_number_of_a_list_are_of_its_machines() {
    let plates = ["No.|Tag|Duty|kW", "1|FD-1|Tunnel fan|450", "2|FD-2|Tunnel fan|315", "3|VP-1|Vacuum pump|132"];
    let tests = ["No.|Date|1 min MΩ", "3|2001-03-21|53", "1|2001-03-23|1150", "3|2002-03-20|48"];
    let read = numbered(&plates, &tests);
    let named = |tag: &str| {
        let own = read.0.tests.iter().filter(|test| test.machine.tag.as_ref().is_some_and(|told| told.value == tag));
        own.flat_map(|test| &test.readings).map(|reading| reading.place.cell.to_string()).collect::<Vec<_>>()
    };
    assert_eq!((named("VP-1"), named("FD-1")), (vec!["C2".to_owned(), "C4".to_owned()], vec!["C3".to_owned()]));

    // Lines that are merely counted may be of any machine.
    let counted = numbered(&plates, &["No.|Date|1 min MΩ", "1|2001-03-21|53", "2|2001-03-23|1150", "3|2002-03-20|48"]);
    let is_named = |test: &windrow_model::raw::RawTest| test.machine.tag.is_some();
    assert!(!counted.0.tests.iter().any(is_named));
    // So may they where another sheet bears the numbers; all of the list in its order are its machines.
    let sheet = |name: &str, rows: &[&str]| Grid { name: Some(name.to_owned()), ..grid(rows) };
    let some = sheet("Checks", &["No.|Date|1 min MΩ", "1|2003-03-21|60", "2|2003-03-23|61"]);
    let all = sheet("Coils", &["No.|Date|U-V mΩ", "1|2009-05-04|755", "2|2009-05-05|1187", "3|2009-05-06|40"]);
    let sheets = vec![sheet("Plates", &plates), sheet("Rounds", &tests), some, all];
    let book = Read::of_book(&Workbook { sheets, ..Workbook::default() }, &Settings::default());
    let on = |name: &str| {
        let own =
            book.0.tests.iter().filter(|test| test.readings.iter().any(|one| one.place.sheet.as_deref() == Some(name)));
        own.map(is_named).collect::<Vec<_>>()
    };
    assert!(on("Checks").iter().all(|named| !named) && !on("Checks").is_empty());
    assert!(on("Coils").iter().all(|named| *named) && !on("Coils").is_empty());
    // A number that the list does not have makes them another one's.
    let other = numbered(&plates, &["No.|Date|1 min MΩ", "7|2001-03-21|53", "1|2001-03-23|1150", "3|2002-03-20|48"]);
    assert!(!other.0.tests.iter().any(is_named));
    // One among many is a slip: its line alone has no machine.
    let mut lines = vec!["No.|Date|1 min MΩ".to_owned()];
    lines.extend((0..24).map(|line| format!("{}|{}-03-21|{}", 1 + line % 3, 1990 + line, 50 + line)));
    lines.push("9|2014-03-21|75".to_owned());
    let slip = numbered(&plates, &lines.iter().map(String::as_str).collect::<Vec<_>>());
    let unnamed = slip.0.tests.iter().filter(|test| !is_named(test)).flat_map(|test| &test.readings);
    assert_eq!(unnamed.map(|reading| reading.place.cell.to_string()).collect::<Vec<_>>(), ["C26"]);
}
