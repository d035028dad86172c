//! What comes out of the samples, and of packages that mean harm.

mod binary;
mod cross_check;
mod hostile;
mod ods;
mod xlsx;

use std::io::{Cursor, Read, Write};
use std::path::{Path, PathBuf};

use windrow_source::{Cell, Content, Grid, Input, Limits, ReadError, Workbook};
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipArchive, ZipWriter};

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
fn check_format(grid: &Grid, address: &str, format: Option<&str>) {
    assert_eq!(at(grid, address).format.as_deref(), format, "{address}");
}

/// The parts of a package.
fn parts(bytes: &[u8]) -> Vec<(String, Vec<u8>)> {
    let mut archive = ZipArchive::new(Cursor::new(bytes)).unwrap();
    let mut parts = Vec::new();
    for index in 0..archive.len() {
        let mut file = archive.by_index(index).unwrap();
        let mut content = Vec::new();
        file.read_to_end(&mut content).unwrap();
        parts.push((file.name().unwrap().into_owned(), content));
    }
    parts
}

/// A package of parts.
fn package(parts: &[(String, Vec<u8>)]) -> Vec<u8> {
    let mut writer = ZipWriter::new(Cursor::new(Vec::new()));
    for (name, content) in parts {
        let stored = SimpleFileOptions::default().compression_method(CompressionMethod::Stored);
        writer.start_file(name.as_str(), stored).unwrap();
        writer.write_all(content).unwrap();
    }
    writer.finish().unwrap().into_inner()
}

/// A sample in which the text of one part is replaced.
fn sample_with(name: &str, part: &str, text: &str) -> Vec<u8> {
    let mut parts = parts(&sample_bytes(name));
    let found = parts.iter_mut().find(|(name, _)| name == part).expect("the sample has the part");
    found.1 = text.as_bytes().to_vec();
    package(&parts)
}

/// The far-corner sample with another worksheet: cells in place of its own.
fn sheet_of(cells: &str) -> Vec<u8> {
    let space = "http://schemas.openxmlformats.org/spreadsheetml/2006/main";
    let text = format!("<worksheet xmlns=\"{space}\"><sheetData>{cells}</sheetData></worksheet>");
    sample_with("far-corner.xlsx", "xl/worksheets/sheet1.xml", &text)
}
