//! One source through the engine, with readers made for the test.

use super::{Source, understand_source};
use crate::Registry;
use windrow_model::Disposition;
use windrow_model::raw::SourceStatus;
use windrow_model::settings::Settings;
use windrow_source::{Cell, Grid, Input, Limits, Maturity, Probe, ReadError, ReaderPlugin, Refusal, Verdict, Workbook};

fn claim(probe: &Probe<'_>) -> Verdict {
    if probe.head.starts_with(b"CELLS") { Verdict::new(0.9, "begins with CELLS") } else { Verdict::refuse("no mark") }
}

fn read(input: &Input<'_>, _limits: &Limits) -> Result<Workbook, ReadError> {
    assert!(!input.bytes.ends_with(b"!"), "a reader with a bug");
    if input.bytes.ends_with(b"?") {
        return Err(ReadError::new(Refusal::Damaged, "it ends in a question", "ask somebody"));
    }
    let mut grid = Grid { name: Some("One".into()), ..Grid::default() };
    grid.cells = vec![Cell::text(0, 0, "something"), Cell::name(1, 0, "field"), Cell::text(2, 0, "else")];
    let sheets = if input.bytes.ends_with(b" CELLS") { vec![grid.clone(), grid] } else { vec![grid] };
    let notes = input.companion.map(|beside| format!("beside {} of {} bytes", beside.name, beside.bytes.len()));
    Ok(Workbook { sheets, notes: notes.into_iter().collect(), ..Workbook::default() })
}

inventory::submit! {
    ReaderPlugin {
        id: "of-the-test", title: "Test", summary: "Reads the test's bytes.", version: "1", since: "0", maturity: Maturity::Draft,
        reads: &["application/x-test"], companions: &[(".bin", ".twin"), (".twin", ".bin")], claim, read,
    }
}

fn understand(bytes: &[u8]) -> windrow_model::raw::Understood {
    let registry = Registry::of_linked().unwrap();
    understand_source(Source::alone("a/b.bin", bytes), &registry, &Settings::default(), &Limits::default())
}

#[test]
fn every_cell_of_the_source_is_accounted_for_once() {
    let understood = understand(b"CELLS");
    assert_eq!(understood.reader.as_deref(), Some("of-the-test"));
    let addresses: Vec<&str> = understood.cells.iter().map(|cell| cell.place.cell.as_str()).collect();
    assert_eq!(addresses, ["A1", "A3"], "names of the container are no cells");
    assert!(understood.cells.iter().all(|cell| Disposition::ALL.contains(&cell.disposition)));
}

#[test]
fn cells_of_two_sheets_of_one_name_are_told_apart() {
    let understood = understand(b"CELLS CELLS");
    let places: Vec<String> = understood.cells.iter().map(|cell| cell.place.to_string()).collect();
    let unique: std::collections::BTreeSet<&String> = places.iter().collect();
    assert_eq!((places.len(), unique.len()), (4, 4), "{places:?}");
    assert_eq!(understood.notes, ["two sheets are named \"One\"; the later one is called \"One (2)\" here"]);
}

#[test]
fn what_no_reader_knows_is_refused_with_advice() {
    let alien = understand(b"\x00\x01\x02 nothing we know");
    assert_eq!(alien.status, SourceStatus::Refused);
    assert!(alien.reason.unwrap().contains(';'), "says what to do");
    assert!(understand(b"").reason.unwrap().contains("empty"));
    assert!(understand(b"%PDF-1.7").reason.unwrap().contains("PDF"));
}

#[test]
fn a_reader_that_panics_costs_its_file_only() {
    let understood = understand(b"CELLS!");
    assert_eq!(understood.status, SourceStatus::Refused);
    assert!(understood.reason.unwrap().contains("our bug"));
}
