use std::path::Path;

use proptest::prelude::*;
use windrow_source::{Content, Input, Limits, ReadError, Refusal, Workbook};

use crate::read::read;

fn sample(name: &str) -> Vec<u8> {
    std::fs::read(Path::new(env!("CARGO_MANIFEST_DIR")).join("samples").join(name)).unwrap()
}

fn book(bytes: &[u8]) -> Result<Workbook, ReadError> {
    read(&Input::alone("x.dif", bytes), &Limits::default())
}

fn listed(book: &Workbook) -> String {
    book.sheets[0].cells.iter().map(|cell| format!("{} {}", cell.place(), cell.text)).collect::<Vec<_>>().join("; ")
}

/// A table of the given data items.
fn table(data: &str) -> String {
    format!("TABLE\n0,1\n\"\"\nDATA\n0,0\n\"\"\n-1,0\nBOT\n{data}-1,0\nEOD\n")
}

#[test]
fn rows_are_tuples_and_empty_cells_keep_their_place() {
    let book = book(&sample("meter-log.dif")).unwrap();
    assert!(listed(&book).starts_with("A1 Lindquay Board Mill (invented); A3 Motor; B3 Date"), "{}", listed(&book));
    let megohms = book.sheets[0].get(3, 3).unwrap();
    assert_eq!((megohms.text.as_str(), megohms.content), ("850.5", Content::Number(850.5)));
    assert_eq!(book.sheets[0].get(4, 3), None, "a blank text is no cell");
    assert!(book.notes.iter().any(|note| note.contains("title of the table")), "{:?}", book.notes);
}

#[test]
fn values_that_are_none_and_decimal_commas_stay_what_was_written() {
    let book = book(&sample("old-letters.dif")).unwrap();
    let find = |text: &str| book.sheets[0].cells.iter().find(|cell| cell.text == text).unwrap().content;
    assert_eq!(find("NA"), Content::Error);
    assert_eq!(find("TRUE"), Content::Bool(true));
    assert_eq!(find("5,2"), Content::Text);
    assert_eq!(find("M\u{3A9}"), Content::Text, "letters of a code page of DOS");
    assert!(book.notes.iter().any(|note| note.contains("the header tells 7 rows")), "{:?}", book.notes);
}

#[test]
fn quotes_end_texts_however_programs_write_them() {
    for (written, text) in [
        ("\"say \"\"dry\"\"\"", "say \"dry\""),
        ("\"\"\"", "\""),
        ("\"\"\"\"", "\""),
        ("plain", "plain"),
        ("\"two\nlines\"", "two\nlines"),
    ] {
        let book = book(table(&format!("1,0\n{written}\n0,7\nV\n")).as_bytes()).unwrap();
        let texts: Vec<&str> = book.sheets[0].cells.iter().map(|cell| cell.text.as_str()).collect();
        assert_eq!(texts, [text, "7"], "{written}");
    }
}

#[test]
fn what_is_cut_or_makes_no_sense_is_refused_with_its_line() {
    let refused = |text: &str, words: &str| {
        let error = book(text.as_bytes()).unwrap_err();
        assert_eq!(error.refusal, Refusal::Damaged, "{error}");
        assert!(error.found.contains(words), "{error}");
    };
    refused("TABLE\n0,1\n\"\"\nDATA\n0,0\n\"\"\n-1,0\nBOT\n0,5\nV\n", "before the mark of its end");
    refused("TABLE\n0,1\n\"\"\n", "within its header");
    refused(&table("7,0\nV\n"), "line 10: an item of the data is of no type");
    refused("TABLE\n0,1\n\"\"\nDATA\n0,0\n\"\"\n0,5\nV\n-1,0\nEOD\n", "before the first row");
    let limits = Limits { cells: 1, ..Limits::default() };
    let error = read(&Input::alone("x", table("0,1\nV\n0,2\nV\n").as_bytes()), &limits).unwrap_err();
    assert_eq!(error.refusal, Refusal::TooLarge);
}

proptest! {
    #[test]
    fn cut_and_changed_files_end_in_cells_or_in_an_error(
        cut in any::<prop::sample::Index>(),
        changes in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 0..6),
    ) {
        let mut bytes = sample("meter-log.dif");
        for (at, byte) in changes {
            let at = at.index(bytes.len());
            bytes[at] = byte;
        }
        bytes.truncate(bytes.len() - cut.index(bytes.len()) / 2);
        drop(book(&bytes));
    }

    #[test]
    fn no_items_make_it_panic(data in "((-1|0|1|9),[0-9]{0,3}\n(BOT|EOD|V|NA|\"|\"a|a\"|)\n){0,12}") {
        if let Ok(book) = book(table(&data).as_bytes()) {
            prop_assert!(book.sheets[0].cells.iter().all(|cell| !cell.text.trim().is_empty()));
        }
    }
}
