use std::path::Path;

use proptest::prelude::*;
use windrow_source::{Content, Grid, Input, Limits, ReadError, Refusal, Workbook};

use crate::claim::{Form, form};
use crate::read::read;
use crate::single::section;

fn sample(name: &str) -> Vec<u8> {
    std::fs::read(Path::new(env!("CARGO_MANIFEST_DIR")).join("samples").join(name)).unwrap()
}

fn book(bytes: &[u8]) -> Result<Workbook, ReadError> {
    read(&Input { name: "x.cff", bytes }, &Limits::default())
}

/// A single file with one analog channel (factor 0.1, offset 1) and one digital one.
fn file(kind: &str, rates: &str, data: &[u8]) -> Vec<u8> {
    let channels = "s,r,2013\n2,1A,1D\n1,U1,,,V,0.1,1,0,-9,9,1,1,P\n1,trip,,,0\n";
    let times = "01/02/2003,00:00:00.0\n01/02/2003,00:00:00.1\n";
    let bytes = if kind == "ASCII" { String::new() } else { format!(": {}", data.len()) };
    let text = format!(
        "--- file type: CFG ---\n{channels}50\n{rates}\n{times}{kind}\n2\n--- file type: DAT {kind}{bytes} ---\n"
    );
    [text.as_bytes(), data].concat()
}

fn samples(book: &Workbook) -> &Grid {
    book.sheets.iter().find(|grid| grid.name.as_deref() == Some("samples")).unwrap()
}

/// Texts of the samples, a line each; headings first.
fn rows(book: &Workbook) -> Vec<String> {
    let grid = samples(book);
    let last = grid.cells.last().unwrap().row;
    (0..=last)
        .map(|row| {
            grid.cells
                .iter()
                .filter(|cell| cell.row == row)
                .map(|cell| cell.text.as_str())
                .collect::<Vec<_>>()
                .join(" | ")
        })
        .collect()
}

#[test]
fn every_kind_of_data_gives_the_same_values() {
    let wanted = ["sample | time (µs) | U1 (V) | trip", "1 | 0 | 1.3 | 0", "2 | 400 | 0.9 | 1"];
    let head = |number: u32, time: u32| [number.to_le_bytes(), time.to_le_bytes()].concat();
    let stored = |bytes: [&[u8]; 2]| {
        [head(1, 0), bytes[0].to_vec(), vec![0, 0], head(2, 200), bytes[1].to_vec(), vec![1, 0]].concat()
    };
    let bits16 = stored([&3_i16.to_le_bytes(), &(-1_i16).to_le_bytes()]);
    let bits32 = stored([&3_i32.to_le_bytes(), &(-1_i32).to_le_bytes()]);
    let float = stored([&3_f32.to_le_bytes(), &(-1_f32).to_le_bytes()]);
    for (kind, data) in
        [("ASCII", b"1,0,3,0\r\n2,200,-1,1\r\n".to_vec()), ("BINARY", bits16), ("BINARY32", bits32), ("FLOAT32", float)]
    {
        let book = book(&file(kind, "1\n5000,2", &data)).unwrap();
        assert_eq!(rows(&book), wanted, "{kind}");
        assert_eq!(samples(&book).get(2, 2).unwrap().place(), "C2");
    }
}

#[test]
fn missing_values_are_left_out_and_told() {
    let book = book(&sample("bench-16-bit.cff")).unwrap();
    let grid = samples(&book);
    assert_eq!(grid.get(4, 3), None);
    assert_eq!(grid.get(1, 2).unwrap().content, Content::Number(0.25));
    assert_eq!(grid.get(2, 3).unwrap().text, "10.1");
    assert!(book.notes.iter().any(|note| note.starts_with("1 values of analog channels are marked as missing")));
    let names: Vec<_> = book.sheets.iter().filter_map(|grid| grid.name.as_deref()).collect();
    assert_eq!(names, ["configuration", "samples", "header"]);
}

#[test]
fn times_come_from_the_rates_where_samples_tell_none() {
    let data = b"1,,3,0\n2,,3,0\n3,,3,0\n4,,3,0\n";
    let book = book(&file("ASCII", "2\n1000,2\n500,4", data)).unwrap();
    let times: Vec<_> = (1..=4).map(|row| samples(&book).get(row, 1).unwrap().text.clone()).collect();
    assert_eq!(times, ["0", "1000", "2000", "4000"]);
    assert!(book.notes.iter().any(|note| note.contains("computed from the sampling rates")));
}

#[test]
fn a_configuration_alone_says_where_its_samples_are() {
    let book = book(&sample("first-edition.cfg")).unwrap();
    let at = |address: &str| book.sheets[0].cells.iter().find(|cell| cell.place() == address).unwrap();
    assert_eq!(at("3:6").text, "0.5");
    assert_eq!(at("9:1").text, "03/14/87");
    assert!(book.sheets[0].cells.iter().any(|cell| cell.synthetic && cell.text == "factor a"));
    assert!(book.notes.iter().any(|note| note.contains("file of their own (.dat), which is not read")));
}

#[test]
fn what_is_not_whole_or_stands_alone_is_refused_with_what_to_do() {
    let refused = |bytes: &[u8], refusal: Refusal, words: &str| {
        let error = book(bytes).unwrap_err();
        assert_eq!(error.refusal, refusal, "{error}");
        assert!(error.to_string().contains(words), "{error}");
    };
    refused(&sample("samples-alone.dat"), Refusal::Unsupported, "single file (.cff)");
    refused(&sample("cut-short.cff"), Refusal::Damaged, "are told to have 84 bytes, and 64 are there");
    refused(&file("ASCII", "1\n5000,3", b"1,0,3,0\n"), Refusal::Damaged, "tells 3 samples, and the data hold 1");
    refused(
        &file("ASCII", "1\n5000,1", b"1,0,3\n"),
        Refusal::Damaged,
        "has 3 fields, and the configuration asks for 4",
    );
    refused(&file("ASCII", "1\n5000,1", b"1,0,x,0\n"), Refusal::Damaged, "\"x\" is no number");
    refused(&file("ASCII", "1\n5000,1", b"1,0,3,7\n"), Refusal::Damaged, "neither 0 nor 1");
    refused(&file("BINARY", "1\n5000,1", &[0; 11]), Refusal::Damaged, "11 bytes are left");
    refused(&file("PACKED", "1\n5000,1", &[]), Refusal::Damaged, "the kind of data is \"PACKED\"");
    refused(b"s,r,2013\n9,8A,1D\n1,a", Refusal::Damaged, "ends before all of its channels");
}

#[test]
fn forms_are_told_apart_and_tables_left_to_others() {
    assert_eq!(section("--- FILE TYPE: dat binary: 702 ---").unwrap().bytes, Some(702));
    assert_eq!(section("--- notes ---"), None);
    let lines = (0..10).map(|i| format!("{},{},{},0", i + 1, i * 208, i * 7 - 20));
    let text = lines.collect::<Vec<_>>().join("\n");
    assert_eq!(form("run.DAT", text.as_bytes(), text.len()), Some(Form::Data));
    assert_eq!(form("run.csv", text.as_bytes(), text.len()), None, "a table of numbers may be anything");
    let readings = "1,0,5.2\n2,60,7.1\n";
    assert_eq!(form("run.dat", readings.as_bytes(), readings.len()), None);
    assert_eq!(form("x", b"Tag,Date\n3,2A,2D\n", 17), None);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    #[test]
    fn cut_and_changed_files_end_in_cells_or_in_an_error(
        name in prop::sample::select(vec!["bench-16-bit.cff", "bench-text.cff", "first-edition.cfg"]),
        cut in any::<prop::sample::Index>(),
        changes in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 0..6),
    ) {
        let mut bytes = sample(name);
        for (at, byte) in changes {
            let at = at.index(bytes.len());
            bytes[at] = byte;
        }
        bytes.truncate(bytes.len() - cut.index(bytes.len()) / 2);
        drop(book(&bytes));
    }

    #[test]
    fn no_counts_make_it_panic(counts in "[0-9]{1,20}A?", rates in "[0-9]{1,20}\n[0-9.]{1,5},[0-9]{1,20}", data in prop::collection::vec(any::<u8>(), 0..60)) {
        drop(book(&file("BINARY", &rates, &data)));
        drop(book(format!("s,r,1999\n{counts},{counts},0D\n").as_bytes()));
    }
}
