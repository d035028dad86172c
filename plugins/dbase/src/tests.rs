//! Samples made by another program, and tables put together byte by byte.

use std::path::{Path, PathBuf};

use proptest::prelude::*;
use windrow_source::{Cell, Content, Input, Limits, Probe, ReadError, Refusal, Workbook};

use crate::{claim::claim, read::read};

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("samples")
}

fn bytes(name: &str) -> Vec<u8> {
    std::fs::read(folder().join(name)).unwrap()
}

fn table(bytes: &[u8]) -> Result<Workbook, ReadError> {
    read(&Input::alone("x.dbf", bytes), &Limits::default())
}

fn sample(name: &str) -> Workbook {
    table(&bytes(name)).unwrap_or_else(|error| panic!("{name}: {error}"))
}

fn cells(book: &Workbook) -> impl Iterator<Item = &Cell> {
    book.sheets[0].cells.iter().filter(|cell| !cell.synthetic)
}

/// Addresses and texts of all cells.
fn listed(book: &Workbook) -> String {
    cells(book).map(|cell| format!("{} {}", cell.place(), cell.text)).collect::<Vec<_>>().join("; ")
}

fn at<'b>(book: &'b Workbook, address: &str) -> &'b Cell {
    cells(book).find(|cell| cell.place() == address).unwrap_or_else(|| panic!("nothing at {address}"))
}

fn told(book: &Workbook, note: &str) {
    assert!(book.notes.iter().any(|line| line.contains(note)), "{note}: {:?}", book.notes);
}

/// `memo-iii.dbf` was written by the Python package `dbf`; its memo file is missing.
#[test]
fn records_keep_their_numbers_and_deleted_ones_are_counted() {
    let book = sample("memo-iii.dbf");
    let expected = "A1 RM-3; B1 1987-03-14; C1 850.5; D1 TRUE; A2 RM-4; C2 1200; D2 FALSE; A3 Prüfst.; B3 1991-09-01; \
                    A5 RM-5; B5 1992-02-29; C5 -0.25; D5 TRUE";
    assert_eq!(listed(&book), expected);
    assert_eq!(at(&book, "B1").content, Content::Date { serial: 31850.0, is_1904: false });
    assert_eq!((at(&book, "C1").content, at(&book, "C1").format.as_deref()), (Content::Number(850.5), Some("0.00")));
    told(&book, "deleted was passed over: record 4");
    told(&book, "the memo REMARK stands in a file of its own, which is not read: record 1, 2, 3, 5");
    told(&book, "text read as cp850, as declared");
}

#[test]
fn names_of_fields_stand_above_and_are_no_cells() {
    let book = sample("memo-iii.dbf");
    let names: Vec<_> = book.sheets[0].cells.iter().filter(|cell| cell.synthetic).collect();
    let texts: Vec<_> = names.iter().map(|cell| cell.text.as_str()).collect();
    assert_eq!(texts, ["MOTOR", "TESTED", "MEG", "DRY", "REMARK"]);
    assert!(names.iter().all(|cell| cell.row == 0 && cell.place() == format!("field:{}", cell.text)));
    let rows: Vec<u32> = cells(&book).map(|cell| cell.row).collect();
    assert_eq!((rows[0], *rows.last().unwrap()), (1, 4), "a deleted record leaves no gap");
}

/// `foxpro.dbf` was written by the Python package `dbf`.
#[test]
fn binary_numbers_and_empty_ones_of_foxpro_are_told_apart() {
    let book = sample("foxpro.dbf");
    let expected =
        "A1 KL-1; B1 3; C1 1234.5; D1 1998-05-02T13:30:00; E1 12; A2 KL-2; E2 0; A3 für; B3 -1; C3 0; E3 1.25";
    assert_eq!(listed(&book), expected);
    assert!(book.sheets[0].cells.iter().all(|cell| cell.text != "_NullFlags"));
}

#[test]
fn without_a_language_the_units_tell_the_code_page() {
    let book = sample("no-language.dbf");
    assert_eq!(at(&book, "A1").text, "W-1 über");
    assert_eq!(at(&book, "D1").text, "MΩ");
    assert_eq!(at(&book, "E3").text, "Lecks. 5 µA");
    told(&book, "no code page is declared; text read as cp437");
}

#[test]
fn what_is_no_date_or_number_stays_text_and_is_told() {
    let book = sample("no-language.dbf");
    for (address, text) in [("B3", "19860231"), ("C3", "********"), ("C4", "1,5")] {
        assert_eq!((at(&book, address).text.as_str(), at(&book, address).content), (text, Content::Text), "{address}");
    }
    told(&book, "field DATUM holds a text and not a date: record 3");
    told(&book, "field RISO holds a text and not a number: record 3, 4");
}

#[test]
fn records_behind_those_counted_are_read_and_told() {
    let book = sample("never-counted.dbf");
    assert_eq!(at(&book, "C1").text, "850.5");
    told(&book, "tells 0 records, 2 more stand behind them");
}

fn refused(bytes: &[u8], refusal: Refusal, words: &str) {
    let error = table(bytes).expect_err(words);
    assert_eq!(error.refusal, refusal);
    assert!(error.found.contains(words), "{error}");
}

#[test]
fn tables_that_are_not_whole_are_refused() {
    refused(&bytes("cut-short.dbf"), Refusal::Damaged, "the header tells 4 records, and the file holds 2");
    refused(&[], Refusal::Empty, "no bytes");
    let whole = bytes("no-language.dbf");
    // The last byte is only the mark of the end.
    for end in 1..whole.len() - 1 {
        assert!(table(&whole[..end]).is_err(), "cut at {end}");
    }
    let mut shifted = whole.clone();
    shifted[193 + 2 * 55] = b'x';
    refused(&shifted, Refusal::Damaged, "record 3 has no mark of a record");
    let mut narrow = whole;
    narrow[10] += 1;
    refused(&narrow, Refusal::Damaged, "the fields need 55 bytes, and the header tells records of 56");
}

#[test]
fn limits_of_cells_and_fields_hold() {
    let input = bytes("no-language.dbf");
    for limits in [Limits { cells: 5, ..Limits::default() }, Limits { columns: 4, ..Limits::default() }] {
        let error = read(&Input::alone("x", &input), &limits).unwrap_err();
        assert_eq!(error.refusal, Refusal::TooLarge, "{error}");
    }
}

#[test]
fn tables_are_known_by_their_header_and_not_by_their_name() {
    let bid = |name: &str, bytes: &[u8]| {
        claim(&Probe { name, head: bytes, len: bytes.len(), zip_members: &[], ole_streams: &[], companion: None })
            .confidence
    };
    for name in ["memo-iii.dbf", "foxpro.dbf", "no-language.dbf", "never-counted.dbf"] {
        assert!(bid("data", &bytes(name)) >= 0.9, "{name}");
    }
    assert!(bid("data", &bytes("cut-short.dbf")) >= 0.6);
    for other in [bytes("notes.dbf").as_slice(), b"", b"\x03", b"PK\x03\x04", b"Motor;Datum\r\nRM-3;1.2.87\r\n"] {
        assert!(bid("data", other) <= 0.0);
    }
}

#[test]
fn every_sample_ends_as_its_description_says() {
    let mut cases = 0;
    for entry in std::fs::read_dir(folder()).unwrap() {
        let path = entry.unwrap().path();
        let Some(name) = path.file_name().unwrap().to_str().unwrap().strip_suffix(".toml") else { continue };
        let told = std::fs::read_to_string(&path).unwrap();
        let found = match table(&bytes(&format!("{name}.dbf"))) {
            Ok(book) => format!("expect = \"read\"\ncells = {}\n", cells(&book).count()),
            Err(_) if told.contains("refuse") => "expect = \"refuse\"\n".to_owned(),
            Err(_) => "expect = \"error\"\n".to_owned(),
        };
        assert!(told.ends_with(&found), "{name}: {found}");
        cases += 1;
    }
    assert!(cases >= 6, "{cases}");
}

#[test]
fn flipped_bits_end_in_cells_or_in_an_error() {
    for name in ["memo-iii.dbf", "foxpro.dbf", "no-language.dbf"] {
        let whole = bytes(name);
        for bit in 0..whole.len() * 8 {
            let mut flipped = whole.clone();
            flipped[bit / 8] ^= 1 << (bit % 8);
            drop(table(&flipped));
        }
    }
}

/// The truth of the corpus was made from the numbers before they were written into the tables, and names cells by its own count.
#[test]
fn numbers_of_the_corpus_stand_where_its_truth_says() {
    let corpus = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/corpus/open");
    let truth = std::fs::read_to_string(corpus.join("truth.jsonl")).unwrap();
    let mut checked = 0;
    for line in truth.lines() {
        let line: serde_json::Value = serde_json::from_str(line).unwrap();
        let (file, address) = (line["file"].as_str().unwrap(), line["cell"].as_str().unwrap_or_default());
        if !file.to_ascii_lowercase().ends_with(".dbf") {
            continue;
        }
        let book = table(&std::fs::read(corpus.join("files").join(file)).unwrap()).unwrap();
        let Content::Number(megohms) = at(&book, address).content else { panic!("{file} {address}") };
        let ohms = line["value"].as_f64().unwrap();
        assert!((megohms * 1e6 - ohms).abs() <= 1e-9 * ohms, "{file} {address}: {megohms}");
        checked += 1;
    }
    assert!(checked > 50, "{checked}");
}

proptest! {
    #[test]
    fn any_bytes_behind_a_header_end_in_cells_or_in_an_error(
        kinds in prop::collection::vec((prop::sample::select(b"CNFDLMIBYTV0G@".to_vec()), 1_u8..12, any::<u8>()), 1..6),
        records in prop::collection::vec(any::<u8>(), 0..200),
    ) {
        let width = 1 + kinds.iter().map(|(_, width, _)| u16::from(*width)).sum::<u16>();
        let count = u32::try_from(records.len() / usize::from(width)).unwrap();
        let start = u16::try_from(33 + 32 * kinds.len()).unwrap();
        let mut bytes = vec![0x30, 95, 1, 1];
        bytes.extend(count.to_le_bytes());
        bytes.extend(start.to_le_bytes());
        bytes.extend(width.to_le_bytes());
        bytes.resize(32, 0);
        for (kind, width, flags) in &kinds {
            let mut field = *b"FIELD\0\0\0\0\0\0C\0\0\0\0\0\0\0\0\0\0\0\0\0\0\0\0\0\0\0\0";
            (field[11], field[16], field[18]) = (*kind, *width, *flags);
            bytes.extend(&field[..32]);
        }
        bytes.push(0x0D);
        bytes.extend(records.chunks_exact(usize::from(width)).flat_map(|record| [b" ", &record[1..]].concat()));
        let book = table(&bytes).unwrap();
        prop_assert!(cells(&book).all(|cell| !cell.text.trim().is_empty()));
    }
}
