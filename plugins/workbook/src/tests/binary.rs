//! What comes out of the binary sample, which was written record by record after MS-XLSB.

use windrow_source::{Area, Content};

use super::{at, check, check_format, sample};

#[test]
fn records_become_cells_with_their_formats() {
    let rewinds = &sample("rewinds.xlsb").sheets[0];
    check(rewinds, "A2", "RM-3A", Content::Text);
    check(rewinds, "B2", "1987-03-14", Content::Date { serial: 31850.0, is_1904: false });
    check(rewinds, "C2", "5.2", Content::Number(5.2));
    check_format(rewinds, "C2", Some("0.0\" MΩ\""));
    check(rewinds, "B3", "12.5", Content::Number(12.5));
    check(rewinds, "C4", "FALSE", Content::Bool(false));
    check(rewinds, "B4", "#N/A", Content::Error);
    check(rewinds, "D4", "dry", Content::Text);
}

#[test]
fn results_of_formulas_are_values_errors_and_blanks_too() {
    let rewinds = &sample("rewinds.xlsb").sheets[0];
    check(rewinds, "C3", "2.5", Content::Number(2.5));
    check(rewinds, "D3", "#DIV/0!", Content::Error);
    check(rewinds, "E3", "TRUE", Content::Bool(true));
    check(rewinds, "A4", "", Content::NoResult);
}

#[test]
fn struck_text_notes_merges_and_what_is_hidden_are_told() {
    let book = sample("rewinds.xlsb");
    let rewinds = &book.sheets[0];
    let reading = at(rewinds, "D2");
    assert_eq!((reading.text.as_str(), reading.struck.as_deref()), ("720", Some("900")));
    assert_eq!(at(rewinds, "A3").struck.as_deref(), Some("RM-3B"));
    assert_eq!(at(rewinds, "C2").note.as_deref(), Some("at 40 °C"));
    assert_eq!(rewinds.merges, [Area { top: 0, left: 2, bottom: 0, right: 3 }]);
    assert_eq!((rewinds.hidden_rows.as_slice(), rewinds.hidden_columns.as_slice()), (&[2][..], &[3, 4][..]));
    assert_eq!((rewinds.hidden, book.sheets[1].hidden), (false, true));
}
