//! What comes out of xlsx and xlsm samples. Serial numbers: 31850 is 14 March 1987 and 33359 is 1 May 1991 (checked with openpyxl 3.1).

use windrow_source::{Area, Content};

use super::{at, check, check_format, read, sample, sheet_of};

#[test]
fn values_keep_their_type_and_their_format() {
    let log = &sample("motor-log.xlsx").sheets[0];
    check(log, "C4", "5.2", Content::Number(5.2));
    check_format(log, "C4", Some("0.0\" MΩ\""));
    check_format(log, "D4", Some("[>=1000]0.0,\" GΩ\";0\" MΩ\""));
    check(log, "C5", "1500", Content::Number(1500.0));
    check_format(log, "C5", Some("0.0 Mohm"));
    check(log, "E6", "0.075", Content::Number(0.075));
    check_format(log, "E6", Some("0%"));
    check(log, "E4", "21", Content::Number(21.0));
    check_format(log, "E4", None);
    check(log, "D6", "TRUE", Content::Bool(true));
    check(log, "C6", "#N/A", Content::Error);
    check(log, "G4", "2.5", Content::Number(2.5));
    check(log, "G6", "see card", Content::Text);
}

#[test]
fn dates_are_dates_and_small_numbers_are_none() {
    let book = sample("motor-log.xlsx");
    let log = &book.sheets[0];
    check(log, "B4", "1987-03-14", Content::Date { serial: 31850.0, is_1904: false });
    check(log, "B5", "1991-05-01", Content::Date { serial: 33359.0, is_1904: false });
    check_format(log, "B5", Some("mmm\\-yy"));
    check(log, "B6", "10:00:00", Content::Duration(36_000.0));
    check(log, "B7", "1991-05-01", Content::Date { serial: 33359.0, is_1904: false });
    check(log, "D5", "5.2", Content::Number(5.2));
    check_format(log, "D5", Some("mm-dd-yy"));
    assert!(book.notes.iter().any(|note| note.contains("too small for a date") && note.contains("Log!D5")));
}

#[test]
fn the_calendar_of_1904_counts_from_1904() {
    let drives = &sample("calendar-1904.xlsm").sheets[0];
    check(drives, "B2", "1987-03-14", Content::Date { serial: 30388.0, is_1904: true });
    check(drives, "B3", "1987-03-15T12:00:00", Content::Date { serial: 30389.5, is_1904: true });
}

#[test]
fn formulas_without_results_say_so() {
    let log = &sample("motor-log.xlsx").sheets[0];
    check(log, "G5", "=D5/C5", Content::NoResult);
    assert!(at(log, "G4").computed && !at(log, "C4").computed, "a result of =D4/C4 beside a typed number");
    check(log, "F6", "", Content::NoResult);
    let book = sample("calendar-1904.xlsm");
    check(&book.sheets[0], "D2", "=C2*2", Content::NoResult);
    check(&book.sheets[0], "D3", "=C2*2 filled from D2", Content::NoResult);
    assert!(
        book.notes.iter().any(|note| note.contains("computed when opened") && note.contains("Drives!D2, Drives!D3"))
    );
}

#[test]
fn texts_are_joined_without_what_was_struck_or_only_tells_how_to_say_it() {
    let log = &sample("motor-log.xlsx").sheets[0];
    let remark = at(log, "F4");
    assert_eq!((remark.text.as_str(), remark.struck.as_deref()), ("dried out, retested", Some("wet")));
    assert_eq!(at(log, "C5").struck.as_deref(), Some("1500"));
    assert_eq!(at(log, "A7").text, "ペーパーミル");
    assert_eq!(at(log, "F5").text, "as found\r\nA side");
    assert!(log.get(4, 4).is_none(), "a text of blanks is an empty cell");
}

#[test]
fn notes_hang_on_their_cells_and_threads_count_instead_of_their_stand_ins() {
    let book = sample("motor-log.xlsx");
    let log = &book.sheets[0];
    assert_eq!(at(log, "C4").note.as_deref(), Some("mill:\nwinding at 40 °C"));
    assert_eq!(at(log, "E4").note.as_deref(), Some("air, not winding?\nair"));
    assert!(book.notes.iter().any(|note| note.contains("Log!H9") && note.contains("card lost")));
}

#[test]
fn what_is_hidden_is_read_and_marked() {
    let book = sample("motor-log.xlsx");
    let names: Vec<_> = book.sheets.iter().map(|sheet| (sheet.name.as_deref().unwrap(), sheet.hidden)).collect();
    assert_eq!(names, [("Log", false), ("Old cards", true)]);
    assert_eq!((book.sheets[0].hidden_rows.as_slice(), book.sheets[0].hidden_columns.as_slice()), (&[4][..], &[4][..]));
    check(&book.sheets[1], "B2", "7", Content::Number(7.0));
    assert!(book.notes.iter().any(|note| note.contains("\"Trend\" is a chartsheet")));
}

#[test]
fn the_value_of_a_merged_area_stands_top_left_and_what_lies_under_it_is_told() {
    let book = sample("motor-log.xlsx");
    assert_eq!(book.sheets[0].merges, [Area { top: 2, left: 2, bottom: 2, right: 3 }]);
    assert!(book.sheets[0].get(2, 3).is_none());
    assert!(book.notes.iter().any(|note| note.contains("under a merged area") && note.contains("Log!D3")));
}

#[test]
fn a_number_that_is_none_is_kept_as_text() {
    let book = sample("motor-log.xlsx");
    check(&book.sheets[0], "C7", "1,5", Content::Text);
    assert!(book.notes.iter().any(|note| note.contains("marked as a number") && note.contains("Log!C7")));
}

#[test]
fn a_stray_cell_at_the_last_address_costs_one_cell() {
    // A reader that makes the whole rectangle asks for half a terabyte here.
    let corner = &sample("far-corner.xlsx").sheets[0];
    let places: Vec<String> = corner.cells.iter().map(|cell| cell.place().to_string()).collect();
    assert_eq!(places, ["A1", "XFD1048576"]);
    assert_eq!((corner.hidden_rows.len(), corner.hidden_columns.len()), (1, 16_383));
}

#[test]
fn cells_and_rows_without_address_follow_one_another() {
    let cells = "<row><c><v>1</v></c><c r=\"D1\"><v>2</v></c><c><v>3</v></c></row><row r=\"4\"><c><v>4</v></c></row><row><c/><c><v>5</v></c></row>";
    let grid = &read(&sheet_of(cells)).unwrap().sheets[0];
    let found: Vec<String> = grid.cells.iter().map(|cell| format!("{}={}", cell.place(), cell.text)).collect();
    assert_eq!(found, ["A1=1", "D1=2", "E1=3", "A4=4", "B5=5"]);
}

#[test]
fn numbers_are_shown_in_their_shortest_exact_form() {
    let cells = "<row><c><v>5.2000000000000002</v></c><c><v>1.5E9</v></c><c><v>-0.10</v></c><c><v>1e-9</v></c></row>";
    let grid = &read(&sheet_of(cells)).unwrap().sheets[0];
    let found: Vec<&str> = grid.cells.iter().map(|cell| cell.text.as_str()).collect();
    assert_eq!(found, ["5.2", "1500000000", "-0.1", "0.000000001"]);
}
