//! What comes out of the samples, of broken streams, and of streams that mean harm; the same cells as another reader finds.

mod cross_check;
mod hostile;
mod samples;

use std::path::{Path, PathBuf};

use windrow_source::{Cell, Content, Grid, Input, Limits, ReadError, Workbook};

/// Path of a sample.
fn sample_path(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("samples").join(name)
}

fn sample_bytes(name: &str) -> Vec<u8> {
    std::fs::read(sample_path(name)).unwrap()
}

fn read(bytes: &[u8]) -> Result<Workbook, ReadError> {
    read_within(bytes, &Limits::default())
}

fn read_within(bytes: &[u8], limits: &Limits) -> Result<Workbook, ReadError> {
    crate::read::read(&Input::alone("workbook", bytes), limits)
}

fn sample(name: &str) -> Workbook {
    read(&sample_bytes(name)).unwrap_or_else(|error| panic!("{name}: {error}"))
}

/// The cell at an address such as `C14`.
fn at<'g>(grid: &'g Grid, address: &str) -> &'g Cell {
    grid.cells.iter().find(|cell| cell.place() == address).unwrap_or_else(|| panic!("nothing at {address}"))
}

/// Checks text and content of the cell at an address.
fn check(grid: &Grid, address: &str, text: &str, content: Content) {
    let cell = at(grid, address);
    assert_eq!((cell.text.as_str(), cell.content), (text, content), "{address}");
}

/// Checks the format code of the cell at an address.
fn check_format(grid: &Grid, address: &str, format: &str) {
    assert_eq!(at(grid, address).format.as_deref(), Some(format), "{address}");
}

/// A date of the 1900 system.
const fn day(serial: f64) -> Content {
    Content::Date { serial, is_1904: false }
}

/// A record.
fn record(id: u16, body: &[u8]) -> Vec<u8> {
    let mut bytes = id.to_le_bytes().to_vec();
    bytes.extend(u16::try_from(body.len()).unwrap().to_le_bytes());
    bytes.extend(body);
    bytes
}

/// A body of numbers of two bytes.
fn words(words: &[u16]) -> Vec<u8> {
    words.iter().flat_map(|word| word.to_le_bytes()).collect()
}

/// The first record of a part of an Excel 97 stream.
fn begins(kind: u16) -> Vec<u8> {
    record(0x0809, &words(&[0x0600, kind, 0, 0, 0, 0, 6, 0]))
}

/// A bare Excel 97 stream: globals with some records, and one sheet with some records.
fn stream(globals: &[Vec<u8>], sheet: &[Vec<u8>]) -> Vec<u8> {
    let end = record(0x000A, &[]);
    let mut head = begins(0x0005);
    head.extend(globals.concat());
    let offset = u32::try_from(head.len() + 4 + 9 + end.len()).unwrap();
    let mut entry = offset.to_le_bytes().to_vec();
    entry.extend([0, 0, 1, 0, b'S']);
    head.extend(record(0x0085, &entry));
    [head, end.clone(), begins(0x0010), sheet.concat(), end].concat()
}

/// Cells of the only sheet of such a stream as address and text.
fn cells(globals: &[Vec<u8>], sheet: &[Vec<u8>]) -> Vec<String> {
    let book = read(&stream(globals, sheet)).unwrap();
    book.sheets[0].cells.iter().map(|cell| format!("{} {}", cell.place(), cell.text)).collect()
}
