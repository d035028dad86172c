//! What comes out of the OpenDocument sample.

use windrow_source::{Area, Content};

use super::{at, check, check_format, sample};

#[test]
fn repeated_cells_and_rows_are_there_as_often_as_they_are_shown_and_the_filler_is_not() {
    let round = &sample("annual-round.ods").sheets[0];
    for row in ["5", "6"] {
        check(round, &format!("A{row}"), "ditto", Content::Text);
        for column in ["B", "C", "D"] {
            check(round, &format!("{column}{row}"), "500", Content::Number(500.0));
        }
    }
    assert_eq!(round.cells.last().map(windrow_source::Cell::place).as_deref(), Some("C9"));
}

#[test]
fn styles_become_format_codes_and_units_only_shown_become_formats_too() {
    let round = &sample("annual-round.ods").sheets[0];
    check(round, "C4", "5.2", Content::Number(5.2));
    check_format(round, "C4", Some("0.0\" MΩ\""));
    check_format(round, "D4", Some("[>=1000]0.0,\" GΩ\";0\" MΩ\""));
    check_format(round, "E4", Some("0.0\" °C\""));
    check_format(round, "C5", Some("0.0\" MΩ\""));
    check_format(round, "B5", None);
    check(round, "C7", "0.075", Content::Number(0.075));
    check_format(round, "C7", Some("0.0%"));
}

#[test]
fn dates_times_and_truth_keep_their_types() {
    let book = sample("annual-round.ods");
    let round = &book.sheets[0];
    check(round, "B4", "1987-03-14", Content::Date { serial: 31850.0, is_1904: false });
    check_format(round, "B4", Some("dd.mm.yyyy"));
    check(round, "B7", "1991-05-01", Content::Date { serial: 33359.0, is_1904: false });
    check_format(round, "B7", Some("mmm-yy"));
    check(round, "B9", "1900-01-04T04:48:00", Content::Text);
    assert!(book.notes.iter().any(|note| note.contains("before March 1900") && note.contains("Round!B9")));
    check(round, "D7", "10:00:00", Content::Duration(36_000.0));
    check(round, "E7", "TRUE", Content::Bool(true));
}

#[test]
fn formulas_give_results_errors_or_say_that_there_is_none() {
    let round = &sample("annual-round.ods").sheets[0];
    check(round, "B8", "0.001", Content::Number(0.001));
    assert!(at(round, "B8").computed && !at(round, "E4").computed, "a result of a quotient beside a typed number");
    check(round, "C8", "=[.C4]*2", Content::NoResult);
    check(round, "D8", "#DIV/0!", Content::Error);
    check(round, "C9", "#N/A", Content::Error);
    check(round, "E8", "", Content::NoResult);
}

#[test]
fn struck_text_is_kept_apart_whether_a_span_or_an_inherited_style_says_so() {
    let round = &sample("annual-round.ods").sheets[0];
    let reading = at(round, "A7");
    assert_eq!((reading.text.as_str(), reading.struck.as_deref()), ("1200  dry\nretest", Some("1500")));
    assert_eq!(at(round, "A8").struck.as_deref(), Some("FN-2"));
}

#[test]
fn notes_are_no_part_of_the_value() {
    let round = &sample("annual-round.ods").sheets[0];
    check(round, "E4", "21.5", Content::Number(21.5));
    assert_eq!(at(round, "E4").note.as_deref(), Some("air\nnot winding"));
}

#[test]
fn merges_and_what_is_hidden_are_told() {
    let book = sample("annual-round.ods");
    let (round, spare) = (&book.sheets[0], &book.sheets[1]);
    assert_eq!(round.merges, [Area { top: 0, left: 0, bottom: 0, right: 3 }]);
    assert_eq!((round.hidden_rows.as_slice(), round.hidden_columns.as_slice()), (&[4, 5, 6][..], &[4][..]));
    assert_eq!((round.hidden, spare.hidden), (false, true));
    check(spare, "A1", "RM-9", Content::Text);
}
