//! Streams that are broken, odd, or ask for more than they hold.

use std::io::{Cursor, Write};

use proptest::prelude::*;
use windrow_source::{Limits, Refusal};

use super::{cells, read, read_within, record, sample_bytes, stream, words};

const BARE: [&str; 3] = ["card-1988.xls", "leakage-1991.xls", "workspace-1992.xls"];
const COMPOUND: [&str; 3] = ["motor-log.xls", "notes-1996.xls", "notes-1999.xls"];

#[test]
fn a_bare_stream_cut_anywhere_is_refused() {
    for name in BARE {
        let bytes = sample_bytes(name);
        for end in 0..bytes.len() {
            assert!(read(&bytes[..end]).is_err(), "{name} cut at {end}");
        }
    }
}

/// The stream inside a compound file.
fn inside(name: &str) -> (String, Vec<u8>) {
    let mut file = cfb::CompoundFile::open(Cursor::new(sample_bytes(name))).unwrap();
    let path = if file.exists("/Workbook") { "/Workbook" } else { "/Book" };
    let mut bytes = Vec::new();
    std::io::Read::read_to_end(&mut file.open_stream(path).unwrap(), &mut bytes).unwrap();
    (path.to_owned(), bytes)
}

fn compound(path: &str, stream: &[u8]) -> Vec<u8> {
    let mut file = cfb::CompoundFile::create(Cursor::new(Vec::new())).unwrap();
    file.create_stream(path).unwrap().write_all(stream).unwrap();
    file.flush().unwrap();
    file.into_inner().into_inner()
}

#[test]
fn a_stream_cut_within_its_last_sheet_is_refused() {
    for name in COMPOUND {
        let (path, mut bytes) = inside(name);
        // What fills the stream up behind its last record.
        while bytes.len() > 4 && !bytes.ends_with(&[0x0A, 0, 0, 0]) {
            bytes.pop();
        }
        assert_eq!(read(&compound(&path, &bytes)).unwrap().sheets, read(&sample_bytes(name)).unwrap().sheets);
        for end in (0..bytes.len()).step_by(3) {
            assert!(read(&compound(&path, &bytes[..end])).is_err(), "{name} cut at {end}");
            let mut zeros = bytes.clone();
            zeros[end..].fill(0);
            drop(read(&compound(&path, &zeros)));
        }
    }
}

#[test]
fn cut_and_flipped_compound_files_end_in_cells_or_in_an_error() {
    for name in COMPOUND {
        let bytes = sample_bytes(name);
        for at in 0..bytes.len() {
            drop(read(&bytes[..at]));
            let mut flipped = bytes.clone();
            flipped[at] ^= 1 << (at % 8);
            drop(read(&flipped));
        }
    }
}

#[test]
fn flipped_bits_of_bare_streams_end_in_cells_or_in_an_error() {
    for name in BARE {
        let bytes = sample_bytes(name);
        for bit in 0..bytes.len() * 8 {
            let mut flipped = bytes.clone();
            flipped[bit / 8] ^= 1 << (bit % 8);
            drop(read(&flipped));
        }
    }
}

/// Regression: a chain of sectors that leads back into itself made another reader take gigabytes.
#[test]
fn a_chain_of_sectors_without_end_is_refused() {
    let bytes = sample_bytes("motor-log.xls");
    let sector = |number: u32| 512 + 512 * usize::try_from(number).unwrap();
    let table = u32::from_le_bytes(bytes[76..80].try_into().unwrap());
    for entry in 0..(bytes.len() / 512).min(128) {
        let mut looped = bytes.clone();
        let at = sector(table) + 4 * entry;
        looped[at..at + 4].copy_from_slice(&0_u32.to_le_bytes());
        drop(read(&looped));
    }
}

fn refused(bytes: &[u8], limits: &Limits, refusal: Refusal, words: &str) {
    let error = read_within(bytes, limits).expect_err(words);
    assert_eq!(error.refusal, refusal, "{error}");
    assert!(error.found.contains(words), "{error}");
    assert!(!error.advice.is_empty());
}

fn label(row: u16, text: &str) -> Vec<u8> {
    let length = u16::try_from(text.len()).unwrap();
    record(0x0204, &[words(&[row, 0, 0, length]), vec![0], text.as_bytes().to_vec()].concat())
}

#[test]
fn errors_name_the_record_and_the_byte() {
    let limits = Limits::default();
    refused(&stream(&[], &[record(0x0203, &words(&[0, 0, 0]))]), &limits, Refusal::Damaged, "0x0203 is too short");
    let lost = record(0x00FD, &words(&[0, 0, 0, 7, 0]));
    refused(&stream(&[], &[lost]), &limits, Refusal::Damaged, "shared string 7");
    refused(&stream(&[], &[vec![0; 4]]), &limits, Refusal::Damaged, "stands within the sheet \"S\"");
    refused(b"hello, this is text", &limits, Refusal::Damaged, "at byte 0");
    refused(&[], &limits, Refusal::Empty, "no bytes");
}

#[test]
fn sheets_that_share_their_records_are_refused() {
    let entry = |offset: u32| record(0x0085, &[offset.to_le_bytes().to_vec(), vec![0, 0, 1, 0, b'T']].concat());
    let bytes = stream(&[entry(0)], &[label(0, "x")]);
    let begins = bytes.windows(2).rposition(|pair| pair == [0x09, 0x08]).unwrap();
    let twice = stream(&[entry(u32::try_from(begins).unwrap())], &[label(0, "x")]);
    refused(&twice, &Limits::default(), Refusal::Damaged, "stands within another one");
}

#[test]
fn one_long_text_told_by_many_cells_counts_as_often_as_it_is_told() {
    let long = "a".repeat(8_000);
    let strings = [words(&[1, 0, 1, 0, 8_000]), vec![0], long.into_bytes()].concat();
    let rows: Vec<Vec<u8>> = (0..2_000).map(|row| record(0x00FD, &words(&[row, 0, 0, 0, 0]))).collect();
    let bytes = stream(&[record(0x00FC, &strings)], &rows);
    let limits = Limits { memory_bytes: 8 << 20, ..Limits::default() };
    refused(&bytes, &limits, Refusal::TooLarge, "bytes in its cells");
    let short = Limits { cell_text_bytes: 1_000, ..Limits::default() };
    refused(&bytes, &short, Refusal::TooLarge, "cell A1 has a text of more than 1000 bytes");
    let few = Limits { cells: 1_000, ..Limits::default() };
    refused(&bytes, &few, Refusal::TooLarge, "more than 1000 cells");
}

#[test]
fn counts_that_lie_cost_nothing() {
    let many = [words(&[0xFFFF, 0xFFFF, 0xFFFF, 0xFFFF, 2]), vec![0], b"ok".to_vec()].concat();
    let cell = record(0x00FD, &words(&[0, 0, 0, 0, 0]));
    assert_eq!(cells(&[record(0x00FC, &many)], &[cell]), ["A1 ok"]);
}

/// [MS-XLS] 2.5.293 and 2.4.58: letters that go on in the next record begin with a byte that says anew how wide they are. An empty
/// CONTINUE record made another reader fail.
#[test]
fn texts_go_on_in_the_next_record_with_another_width() {
    let first = [words(&[1, 0, 1, 0, 6]), vec![0], b"IR ".to_vec()].concat();
    let second = [vec![1], "5MΩ".encode_utf16().flat_map(u16::to_le_bytes).collect()].concat();
    let cell = record(0x00FD, &words(&[0, 0, 0, 0, 0]));
    let globals = [record(0x00FC, &first), record(0x003C, &[]), record(0x003C, &second)];
    assert_eq!(cells(&globals, std::slice::from_ref(&cell)), ["A1 IR 5MΩ"]);
    let torn = [words(&[1, 0, 1, 0, 2]), vec![1, b'a', 0, b'b']].concat();
    let globals = [record(0x00FC, &torn), record(0x003C, &[1, 0])];
    refused(&stream(&globals, &[cell]), &Limits::default(), Refusal::Damaged, "ends within a letter");
}

#[test]
fn a_zero_that_waits_to_be_computed_is_no_result() {
    let formula = |flags: u16| record(0x0006, &words(&[0, 0, 0, 0, 0, 0, 0, flags]));
    let none: [&str; 0] = [];
    assert_eq!(cells(&[], &[formula(2)]), ["A1 "]);
    assert_eq!(cells(&[], &[formula(0)]), ["A1 0"]);
    assert_eq!(cells(&[], &[label(0, "  ")]), none);
}

#[test]
fn a_result_of_other_cells_is_told_from_what_was_typed() {
    let formula = |expression: &[u8]| {
        let length = u16::try_from(expression.len()).unwrap();
        let parts = [words(&[0, 0, 0]), 2f64.to_le_bytes().to_vec(), words(&[0, 0, 0, length]), expression.to_vec()];
        read(&stream(&[], &[record(0x0006, &parts.concat())])).unwrap().sheets[0].cells[0].computed
    };
    assert!(formula(&[0x44, 1, 0, 1, 0xC0]), "=B2");
    assert!(!formula(&[0x1E, 2, 0]), "=2");
}

#[test]
fn a_chart_on_a_sheet_gives_no_cells() {
    let chart = [super::begins(0x0020), label(4, "cached"), record(0x000A, &[])].concat();
    assert_eq!(cells(&[], &[label(0, "before"), chart, label(1, "after")]), ["A1 before", "A2 after"]);
}

proptest! {
    #[test]
    fn any_records_end_in_cells_or_in_an_error(
        parts in prop::collection::vec((prop::sample::select(ids()), prop::collection::vec(any::<u8>(), 0..40)), 0..20),
    ) {
        let records: Vec<Vec<u8>> = parts.iter().map(|(id, body)| record(*id, body)).collect();
        drop(read(&stream(&records, &records)));
        for beginning in [record(0x0009, &words(&[2, 0x10])), record(0x0409, &words(&[0, 0x100, 0]))] {
            drop(read(&[beginning, records.concat()].concat()));
        }
    }
}

/// Types of records that are looked into.
fn ids() -> Vec<u16> {
    vec![
        0x0002, 0x0003, 0x0004, 0x0005, 0x0006, 0x0007, 0x0008, 0x000A, 0x001C, 0x001E, 0x0022, 0x0024, 0x0031, 0x003C,
        0x0042, 0x0043, 0x0044, 0x005D, 0x007D, 0x007E, 0x0085, 0x008F, 0x00BD, 0x00D6, 0x00E0, 0x00E5, 0x00FC, 0x00FD,
        0x01B6, 0x0203, 0x0204, 0x0205, 0x0206, 0x0207, 0x0208, 0x0231, 0x0243, 0x027E, 0x0406, 0x0409, 0x041E, 0x0443,
        0x0809,
    ]
}
