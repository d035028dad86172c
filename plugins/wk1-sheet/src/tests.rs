use std::path::Path;

use proptest::prelude::*;
use windrow_source::{Content, Input, Limits, Preview, ReadError, Refusal, Workbook};

use crate::claim::claim;
use crate::read::read;

fn sample(name: &str) -> Vec<u8> {
    std::fs::read(Path::new(env!("CARGO_MANIFEST_DIR")).join("samples").join(name)).unwrap()
}

fn book(bytes: &[u8]) -> Result<Workbook, ReadError> {
    read(&Input::alone("x.wk1", bytes), &Limits::default())
}

fn record(kind: u16, body: &[u8]) -> Vec<u8> {
    let length = u16::try_from(body.len()).unwrap();
    [&kind.to_le_bytes(), &length.to_le_bytes(), body].concat()
}

/// A file of the given records.
fn file(records: &[Vec<u8>]) -> Vec<u8> {
    [record(0, &[6, 4]), records.concat(), record(1, &[])].concat()
}

/// The body of a cell in column A of row 1.
fn cell(format: u8, content: &[u8]) -> Vec<u8> {
    [&[format, 0, 0, 0, 0], content].concat()
}

fn texts(book: &Workbook) -> Vec<String> {
    book.sheets[0].cells.iter().map(|cell| format!("{} {}", cell.place(), cell.text)).collect()
}

#[test]
fn numbers_dates_results_and_hidden_columns_come_out() {
    let book = book(&sample("ir-log.wk1")).unwrap();
    let grid = &book.sheets[0];
    assert_eq!(grid.get(3, 0).unwrap().text, "RM-3");
    // 31850 is 14 March 1987 by the count of serial numbers of ECMA-376 part 1, 18.17.4.1, which has the same leap day of 1900.
    assert_eq!(grid.get(3, 1).unwrap().text, "1987-03-14");
    assert_eq!(grid.get(3, 2).unwrap().content, Content::Number(850.5));
    assert_eq!(grid.get(3, 2).unwrap().format.as_deref(), Some("0.0"));
    assert_eq!(grid.get(3, 4).unwrap().text, "2.5", "the result of a formula");
    assert_eq!(grid.get(4, 4).unwrap().content, Content::Error);
    assert_eq!(grid.get(3, 5).unwrap().text, "good", "the result of a formula that is a text");
    assert_eq!(grid.hidden_columns, [6]);
    assert!(book.notes.iter().any(|note| note.contains("1 results are errors")), "{:?}", book.notes);
}

#[test]
fn letters_of_old_code_pages_are_judged_by_the_units_in_them() {
    let book = book(&sample("letters.wks")).unwrap();
    let all = texts(&book).join("; ");
    assert!(all.contains("Prüfling") && all.contains("Riso MΩ") && all.contains("20 °C"), "{all}");
    assert_eq!(book.sheets[0].get(1, 0).unwrap().text, "---------");
}

#[test]
fn a_format_of_the_worksheet_is_that_of_cells_without_one() {
    let window = record(7, &[0, 0, 0, 0, 0x72, 0, 9, 0]);
    let day = record(0x0D, &cell(0xFF, &31850_u16.to_le_bytes()));
    assert_eq!(texts(&book(&file(&[window, day])).unwrap()), ["A1 1987-03-14"]);
    let negative = record(0x0D, &cell(0x71, &(-5_i16).to_le_bytes()));
    assert_eq!(texts(&book(&file(&[negative])).unwrap()), ["A1 -5"]);
}

#[test]
fn passwords_cuts_and_short_records_have_their_own_refusals() {
    let refused = |bytes: &[u8], refusal: Refusal, words: &str| {
        let error = book(bytes).unwrap_err();
        assert_eq!(error.refusal, refusal, "{error}");
        assert!(error.found.contains(words), "{error}");
    };
    refused(&file(&[record(0x4B, &[1, 2, 3, 4])]), Refusal::Encrypted, "password");
    refused(&file(&[record(0x0E, &cell(0, &[1, 2, 3]))]), Refusal::Damaged, "at byte 6 is too short");
    refused(&file(&[]), Refusal::Empty, "without a cell");
    let whole = sample("ir-log.wk1");
    for end in 0..whole.len() {
        refused(&whole[..end], Refusal::Damaged, "before its end mark");
    }
    let limits = Limits { cells: 3, ..Limits::default() };
    assert_eq!(read(&Input::alone("x", &whole), &limits).unwrap_err().refusal, Refusal::TooLarge);
}

#[test]
fn other_versions_are_left_to_others() {
    let bid = |bytes: &[u8]| claim(&Preview::of("x.wk1", bytes).probe()).confidence;
    assert!(bid(&sample("ir-log.wk1")) >= 0.9);
    assert!(bid(&record(0, &[0x20, 0x51])) <= 0.0);
    assert!(bid(&record(0, &[0; 26])) <= 0.0);
}

proptest! {
    #[test]
    fn cut_and_changed_files_end_in_cells_or_in_an_error(
        cut in any::<prop::sample::Index>(),
        changes in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 0..6),
    ) {
        let mut bytes = sample("ir-log.wk1");
        for (at, byte) in changes {
            let at = at.index(bytes.len());
            bytes[at] = byte;
        }
        bytes.truncate(bytes.len() - cut.index(bytes.len()) / 2);
        drop(book(&bytes));
    }

    #[test]
    fn no_records_make_it_panic(
        records in prop::collection::vec(
            (prop::sample::select(vec![7_u16, 8, 0x0D, 0x0E, 0x0F, 0x10, 0x33, 0x64]), prop::collection::vec(any::<u8>(), 0..40)),
            0..12,
        ),
    ) {
        let records: Vec<Vec<u8>> = records.iter().map(|(kind, body)| record(*kind, body)).collect();
        if let Ok(book) = book(&file(&records)) {
            prop_assert!(book.sheets[0].cells.iter().all(|cell| !cell.text.trim().is_empty()));
        }
    }
}
