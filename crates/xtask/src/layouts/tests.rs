//! The drawn files against their truth, read by the readers alone: what the sheet engine makes of them has no say here.

use super::corpus;
use crate::score::truth::{True, Truth};
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use windrow_dice::Dice;
use windrow_importer::{Source, read_source};
use windrow_source::{Cell, Content, Limits, Workbook};

const FILES: u32 = 54;

fn drawn(folder: &Path, seed: u64) -> Truth {
    corpus::write(folder, seed, FILES, None).expect("files are written")
}

/// The files as their readers give them; a text that could be two containers is refused, and nothing is asked of it here.
fn read_all(folder: &Path, truth: &Truth) -> BTreeMap<String, Workbook> {
    let registry = windrow_plugins::registry().expect("plugins are in order");
    let files: BTreeSet<&String> = truth.readings.iter().map(|reading| &reading.file).collect();
    let books: BTreeMap<String, Workbook> = files
        .iter()
        .filter_map(|file| {
            let bytes = std::fs::read(folder.join("files").join(file)).expect("the file is there");
            let source = Source::alone(file, &bytes);
            let (_, book) = read_source(source, &registry, &Limits::default()).ok()?;
            Some(((*file).clone(), book))
        })
        .collect();
    assert!(books.len() * 10 > files.len() * 8, "readers open only {} of {} files", books.len(), files.len());
    books
}

/// The cell at the place of a truth; a number of a print-out may stand within a longer text.
fn cell<'b>(book: &'b Workbook, truth: &True) -> Option<&'b Cell> {
    let sheet = book.sheets.iter().find(|sheet| truth.sheet.is_none() || sheet.name == truth.sheet)?;
    let place = truth.cell.clone().or_else(|| Some(format!("{}:{}", truth.line?, truth.column?)))?;
    sheet.cells.iter().find(|cell| cell.place() == place)
}

/// The numbers of a cell, whatever their marks: one, or those that strokes set apart.
fn numbers(cell: &Cell) -> Vec<f64> {
    if let Content::Number(number) = cell.content {
        return vec![number];
    }
    cell.text.replace("...", "/").split('/').filter_map(number).collect()
}

fn number(text: &str) -> Option<f64> {
    let joined: String = text.chars().filter(|letter| !matches!(letter, ' ' | '\u{a0}' | '\'')).collect();
    let digits = joined.trim_start_matches(|letter: char| !letter.is_ascii_digit());
    let end = digits.find(|letter: char| !letter.is_ascii_digit() && !".,".contains(letter)).unwrap_or(digits.len());
    digits.get(..end)?.replace(',', ".").parse().ok()
}

#[test]
fn every_truth_stands_where_it_says() {
    let folder = tempfile::tempdir().expect("a folder");
    let truth = drawn(folder.path(), 4711);
    assert!(truth.readings.len() > 1000, "only {} readings", truth.readings.len());
    let books = read_all(folder.path(), &truth);
    for reading in &truth.readings {
        let Some(book) = books.get(&reading.file) else { continue };
        // Print-outs are cut into cells by their reader; what it does there is not asked here.
        let Some(cell) = cell(book, reading) else {
            assert!(reading.line.is_some(), "nothing at {reading:?}");
            continue;
        };
        let (Some(value), false) = (reading.value, cell.text.starts_with("OL")) else { continue };
        let is_value = |written: f64| {
            let thousands = (value / written).log10() / 3.0;
            (thousands - thousands.round()).abs() < 1e-6 || (value / written - 0.01).abs() < 1e-9
        };
        assert!(numbers(cell).into_iter().any(is_value), "{:?} is not {value}: {reading:?}", cell.text);
    }
}

#[test]
fn the_machine_of_every_reading_is_named_in_its_file() {
    let folder = tempfile::tempdir().expect("a folder");
    let truth = drawn(folder.path(), 4712);
    let books = read_all(folder.path(), &truth);
    let machines: BTreeSet<_> = truth.readings.iter().map(|reading| (&reading.file, &reading.tag)).collect();
    for (file, tag) in machines {
        let Some(book) = books.get(file) else { continue };
        let tag = tag.as_deref().expect("readings have tags");
        let named = |text: &str| text.contains(tag);
        let told = book
            .sheets
            .iter()
            .any(|sheet| sheet.name.as_deref().is_some_and(named) || sheet.cells.iter().any(|cell| named(&cell.text)));
        assert!(told, "{tag} stands nowhere in {file}");
    }
}

#[test]
fn the_same_seed_draws_the_same_files() {
    let (one, other) = (tempfile::tempdir().expect("a folder"), tempfile::tempdir().expect("a folder"));
    let (first, again) = (drawn(one.path(), 1), drawn(other.path(), 1));
    assert_eq!(format!("{:?}", first.readings), format!("{:?}", again.readings));
    assert_ne!(format!("{:?}", first.readings), format!("{:?}", drawn(other.path(), 2).readings));
}

#[test]
fn draws_stay_between_their_ends() {
    let mut dice = Dice::new(7, 7);
    let draws: Vec<u32> = (0..2000).map(|_| dice.between(3, 6)).collect();
    assert_eq!((draws.iter().min(), draws.iter().max()), (Some(&3), Some(&6)));
    assert!((0..2000).map(|_| dice.part()).all(|part| (0.0..1.0).contains(&part)));
}
