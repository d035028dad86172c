use std::path::Path;

use proptest::prelude::*;
use windrow_model::PartialDate;
use windrow_source::wave::Record;
use windrow_source::{Companion, Input, Limits, ReadError, Refusal, Workbook};

use crate::claim::{Form, form};
use crate::read::read;
use crate::single::section;

fn sample(name: &str) -> Vec<u8> {
    std::fs::read(Path::new(env!("CARGO_MANIFEST_DIR")).join("samples").join(name)).unwrap()
}

fn book(bytes: &[u8]) -> Result<Workbook, ReadError> {
    read(&Input::alone("x.cff", bytes), &Limits::default())
}

fn pair(config: &str, data: &[u8]) -> Result<Workbook, ReadError> {
    let companion = Some(Companion { name: "x.cfg", bytes: config.as_bytes() });
    read(&Input { companion, ..Input::alone("x.dat", data) }, &Limits::default())
}

const CHANNELS: &str = "s,r,2013\n2,1A,1D\n1,U1,,,V,0.1,1,0,-9,9,1,1,P\n1,trip,,,0\n";

/// A configuration with one analog channel (factor 0.1, offset 1) and one digital one.
fn config(kind: &str, rates: &str) -> String {
    format!("{CHANNELS}50\n{rates}\n01/02/2003,00:00:00.0\n01/02/2003,00:00:00.1\n{kind}\n2\n")
}

/// The same as a single file.
fn file(kind: &str, rates: &str, data: &[u8]) -> Vec<u8> {
    let bytes = if kind == "ASCII" { String::new() } else { format!(": {}", data.len()) };
    let text = format!("--- file type: CFG ---\n{}--- file type: DAT {kind}{bytes} ---\n", config(kind, rates));
    [text.as_bytes(), data].concat()
}

fn record(book: &Workbook) -> &Record {
    book.record.as_deref().unwrap()
}

/// Samples of all channels, in their order.
fn values(book: &Workbook) -> Vec<Vec<Option<f32>>> {
    record(book).channels.iter().map(|channel| channel.samples.clone()).collect()
}

fn stretches(book: &Workbook) -> Vec<(f64, f64, usize)> {
    record(book).stretches.iter().map(|stretch| (stretch.start_s, stretch.interval_s, stretch.samples)).collect()
}

#[test]
fn every_kind_of_data_gives_the_same_values() {
    let head = |number: u32, time: u32| [number.to_le_bytes(), time.to_le_bytes()].concat();
    let stored = |bytes: [&[u8]; 2]| {
        [head(1, 0), bytes[0].to_vec(), vec![0, 0], head(2, 100), bytes[1].to_vec(), vec![1, 0]].concat()
    };
    let bits16 = stored([&3_i16.to_le_bytes(), &(-1_i16).to_le_bytes()]);
    let bits32 = stored([&3_i32.to_le_bytes(), &(-1_i32).to_le_bytes()]);
    let float = stored([&3_f32.to_le_bytes(), &(-1_f32).to_le_bytes()]);
    for (kind, data) in
        [("ASCII", b"1,0,3,0\r\n2,100,-1,1\r\n".to_vec()), ("BINARY", bits16), ("BINARY32", bits32), ("FLOAT32", float)]
    {
        for book in [book(&file(kind, "1\n5000,2", &data)).unwrap(), pair(&config(kind, "1\n5000,2"), &data).unwrap()] {
            assert_eq!(values(&book), [[Some(1.3), Some(0.9)], [Some(0.0), Some(1.0)]], "{kind}");
            assert_eq!(stretches(&book), [(0.0, 0.0002, 2)], "{kind}");
            assert_eq!(record(&book).channels[0].place.cell, "C1:C2");
        }
    }
}

#[test]
fn missing_values_stay_missing_and_told() {
    let book = book(&sample("bench-16-bit.cff")).unwrap();
    let samples = values(&book);
    assert!(samples[1][3].is_none() && samples[0].iter().all(Option::is_some));
    assert!(book.notes.iter().any(|note| note.starts_with("1 values of analog channels are marked as missing")));
    let names: Vec<_> = book.sheets.iter().filter_map(|grid| grid.name.as_deref()).collect();
    assert_eq!(names, ["configuration", "samples", "header"]);
}

#[test]
fn times_come_from_the_rates_or_from_even_times_and_uneven_ones_are_not_made_even() {
    let blank = b"1,,3,0\n2,,3,0\n3,,3,0\n4,,3,0\n";
    let two_rates = book(&file("ASCII", "2\n1000,2\n500,4", blank)).unwrap();
    assert_eq!(stretches(&two_rates), [(0.0, 0.001, 2), (0.002, 0.002, 2)]);
    let timed = book(&file("ASCII", "0\n0,3", b"1,0,3,0\n2,200,3,0\n3,400,3,0\n")).unwrap();
    assert_eq!(stretches(&timed), [(0.0, 0.0004, 3)], "microseconds, doubled by the factor of times");
    let uneven = book(&file("ASCII", "0\n0,3", b"1,0,3,0\n2,200,3,0\n3,900,3,0\n")).unwrap();
    assert_eq!(stretches(&uneven), []);
    let nanoseconds = config("ASCII", "0\n0,2").replace("00:00:00.0\n", "00:00:00.000000000\n");
    assert_eq!(stretches(&pair(&nanoseconds, b"1,0,3,0\n2,200,3,0\n").unwrap()), [(0.0, 4e-7, 2)]);
}

#[test]
fn rate_and_times_that_differ_are_told() {
    let notes = book(&file("ASCII", "1\n5000,2", b"1,0,3,0\n2,700,3,0\n")).unwrap().notes;
    assert!(notes.iter().any(|note| note.contains("the rate is taken")), "{notes:?}");
}

#[test]
fn the_order_of_day_and_month_is_that_of_the_edition() {
    let day = |edition: &str, fields: &str, date: &str| {
        let text = format!(
            "s,r{edition}\n1,1A,0D\n1,U,,,V,1,0,0,-9,9{fields}\n50\n1\n5000,1\n{date},0:0:0\n{date},0:0:0\nASCII\n"
        );
        record(&pair(&text, b"1,0,3\n").unwrap()).day.clone().and_then(|day| day.date)
    };
    let known = |year, month, day| Some(PartialDate::day(year, month, day).unwrap());
    assert_eq!(day("", "", "03/04/87"), known(1987, 3, 4), "1991");
    assert_eq!(day(",1999", ",1,1,P", "03/04/1987"), known(1987, 4, 3));
    assert_eq!(day(",2013", ",1,1,P", "14/03/2015"), known(2015, 3, 14));
    assert_eq!(day(",1999", ",1,1,P", "03/14/1999"), None, "no day in the order of its edition: asked, not guessed");
    assert_eq!(day("", ",1,1,P", "03/04/1999"), None, "no edition, and both orders are possible");
    assert_eq!(day("", ",1,1,P", "03/14/1999"), known(1999, 3, 14));
}

#[test]
fn a_configuration_says_whether_its_samples_are_there() {
    let beside = |data: Option<&[u8]>| {
        let bytes = sample("pair-1991.cfg");
        let companion = data.map(|bytes| Companion { name: "x.dat", bytes });
        read(&Input { companion, ..Input::alone("x.cfg", &bytes) }, &Limits::default()).unwrap()
    };
    let alone = beside(None);
    assert!(alone.notes[0].contains("no file of samples (.dat)") && alone.sheets[0].told.is_none());
    let data = sample("pair-1991-samples.dat");
    assert!(beside(Some(&data)).sheets[0].told.as_ref().unwrap().contains("x.dat"));
    assert!(beside(Some(&data[..300])).notes[0].contains("the configuration tells 24 samples, and the data hold 13"));
    let other = beside(Some(b"not,samples\n"));
    assert!(other.notes[0].contains("are not read") && other.sheets[0].told.is_none());
    let at = |address: &str| alone.sheets[0].cells.iter().find(|cell| cell.place() == address).unwrap();
    assert_eq!((at("3:6").text.as_str(), at("10:1").text.as_str()), ("0.02", "03/14/87"));
}

#[test]
fn what_is_cut_short_is_read_as_far_as_it_is_whole_and_told() {
    let cut = book(&file("ASCII", "1\n5000,3", b"1,0,3,0\n2,200,-1,1\n3,400,1")).unwrap();
    assert_eq!(values(&cut)[0], [Some(1.3), Some(0.9)], "half a number is no number");
    assert!(record(&cut).is_cut);
    assert!(cut.notes.iter().any(|note| note.contains("line 16 does not end")), "{:?}", cut.notes);
    let cut =
        book(&file("BINARY", "1\n5000,2", &[[1, 0, 0, 0, 0, 0, 0, 0, 3, 0, 0, 0].as_slice(), &[2, 0, 0]].concat()))
            .unwrap();
    assert_eq!(values(&cut)[0], [Some(1.3)]);
    assert!(cut.notes.iter().any(|note| note.contains("3 bytes are left")), "{:?}", cut.notes);
}

#[test]
fn what_is_not_whole_or_stands_alone_is_refused_with_what_to_do() {
    let refused = |bytes: &[u8], refusal: Refusal, words: &str| {
        let error = book(bytes).unwrap_err();
        assert_eq!(error.refusal, refusal, "{error}");
        assert!(error.to_string().contains(words), "{error}");
    };
    refused(&sample("samples-alone.dat"), Refusal::Unsupported, "import the folder that holds both");
    refused(
        &file("ASCII", "1\n5000,1", b"1,0,3\n"),
        Refusal::Damaged,
        "has 3 fields, and the configuration asks for 4",
    );
    refused(&file("ASCII", "1\n5000,1", b"1,0,x,0\n"), Refusal::Damaged, "\"x\" is no number");
    refused(&file("ASCII", "1\n5000,1", b"1,0,3,7\n"), Refusal::Damaged, "neither 0 nor 1");
    refused(&file("BINARY", "1\n5000,1", &[0; 11]), Refusal::Damaged, "no whole sample");
    refused(&file("PACKED", "1\n5000,1", &[]), Refusal::Damaged, "the kind of data is \"PACKED\"");
    refused(b"s,r,2013\n9,8A,1D\n1,a", Refusal::Damaged, "ends before all of its channels");
}

#[test]
fn forms_are_told_apart_and_tables_left_to_others() {
    assert_eq!(section("--- FILE TYPE: dat binary: 702 ---").unwrap().bytes, Some(702));
    assert_eq!(section("--- notes ---"), None);
    let lines = (0..10).map(|i| format!("{},{},{},0", i + 1, i * 208, i * 7 - 20));
    let text = lines.collect::<Vec<_>>().join("\n");
    let alone = |name: &str, bytes: &[u8]| form(name, bytes, bytes.len(), None);
    assert_eq!(alone("run.DAT", text.as_bytes()), Some(Form::Data));
    assert_eq!(alone("run.csv", text.as_bytes()), None, "a table of numbers may be anything");
    assert_eq!(alone("run.dat", b"1,0,5.2\n2,60,7.1\n"), None);
    assert_eq!(alone("x", b"Tag,Date\n3,2A,2D\n"), None);
    let config = config("ASCII", "1\n5000,2");
    let beside =
        |bytes: &[u8]| form("x.dat", bytes, bytes.len(), Some(Companion { name: "x.cfg", bytes: config.as_bytes() }));
    assert_eq!(beside(b"1,,3,0\n2,,4,1\n"), Some(Form::Data), "the configuration tells what it is");
    assert_eq!(beside(b"Tag;Date;Megohms\nP-1;1998;500\n"), None, "a table that lies beside it is none of it");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    #[test]
    fn cut_and_changed_files_end_in_a_record_or_in_an_error(
        name in prop::sample::select(vec!["bench-16-bit.cff", "bench-text.cff", "first-edition.cfg", "pair-1999.cfg"]),
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
        let data = sample("pair-1999-samples.dat");
        drop(pair(&String::from_utf8_lossy(&bytes), &data));
    }

    #[test]
    fn no_counts_make_it_panic(counts in "[0-9]{1,20}A?", rates in "[0-9]{1,20}\n[0-9.]{1,5},[0-9]{1,20}", data in prop::collection::vec(any::<u8>(), 0..60)) {
        drop(book(&file("BINARY", &rates, &data)));
        drop(book(format!("s,r,1999\n{counts},{counts},0D\n").as_bytes()));
    }
}
