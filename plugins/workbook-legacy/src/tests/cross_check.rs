//! The same cells as calamine finds, over all samples and every .xls of `tests/corpus` that it can read too. Known gaps of calamine:
//! it forgets formats with numbers outside its list (dates come as numbers), takes units for dates, joins struck text with what
//! stands, sees no fonts, and reads no bare streams.

use std::collections::BTreeMap;
use std::io::Cursor;
use std::path::{Path, PathBuf};

use calamine::{Data, Reader, Xls};
use windrow_source::{Content, Grid};

use super::{read, sample_path};

/// Cells of a sheet by place.
type Cells = BTreeMap<(u32, u32), Data>;

#[test]
fn samples_and_corpus_have_the_cells_that_calamine_finds() {
    let corpus = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/corpus");
    let mut workbooks = workbooks_below(&corpus);
    workbooks.extend(workbooks_below(&sample_path("")));
    let compared = workbooks.iter().filter(|path| compare(path)).count();
    assert!(compared >= 6, "only {compared} workbooks could be compared");
}

fn workbooks_below(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in std::fs::read_dir(folder).into_iter().flatten().flatten() {
        let path = entry.path();
        if path.is_dir() {
            found.extend(workbooks_below(&path));
        } else if path.extension().is_some_and(|extension| extension.eq_ignore_ascii_case("xls")) {
            found.push(path);
        }
    }
    found.sort();
    found
}

/// Compares a workbook; tells whether both could read it. Where only one can, it is ours.
fn compare(path: &Path) -> bool {
    let bytes = std::fs::read(path).unwrap();
    let theirs = by_calamine(&bytes);
    let ours = match read(&bytes) {
        Ok(ours) => ours,
        Err(error) => {
            assert!(theirs.is_none(), "{}: {error}; calamine reads it", path.display());
            return false;
        }
    };
    let Some(theirs) = theirs else { return false };
    for sheet in &ours.sheets {
        let name = sheet.name.as_deref().unwrap_or("?");
        compare_sheet(&format!("{} [{name}]", path.display()), sheet, &theirs[name]);
    }
    true
}

fn by_calamine(bytes: &[u8]) -> Option<BTreeMap<String, Cells>> {
    let mut book = Xls::new(Cursor::new(bytes)).ok()?;
    let mut sheets = BTreeMap::new();
    for (name, range) in book.worksheets() {
        let (top, left) = range.start().unwrap_or_default();
        let at = |(row, column, value): (usize, usize, &Data)| {
            ((top + u32::try_from(row).unwrap(), left + u32::try_from(column).unwrap()), value.clone())
        };
        sheets.insert(name, range.used_cells().map(at).collect());
    }
    Some(sheets)
}

fn compare_sheet(place: &str, ours: &Grid, theirs: &Cells) {
    let is_blank = |value: &Data| match value {
        Data::Empty => true,
        Data::String(text) => text.trim().is_empty(),
        _ => false,
    };
    for ((row, column), value) in theirs.iter().filter(|(_, value)| !is_blank(value)) {
        let covered =
            ours.merges.iter().any(|area| area.contains(*row, *column) && (area.top, area.left) != (*row, *column));
        match ours.get(*row, *column) {
            None => assert!(covered, "{place} row {row} column {column}: nothing, calamine finds {value:?}"),
            Some(cell) => {
                let is_same = same(cell.content, &cell.text, cell.struck.as_deref(), value);
                assert!(is_same, "{place} {}: {cell:?}, calamine finds {value:?}", cell.place());
            }
        }
    }
    for cell in &ours.cells {
        let found = theirs.get(&(cell.row, cell.column)).is_some_and(|value| !is_blank(value));
        // A formula without result is blank to calamine.
        assert!(found || cell.content == Content::NoResult, "{place}: calamine finds nothing at {cell:?}");
    }
}

/// Whether both mean the same. Dates are compared as numbers where calamine took a unit for a date, or knows no format for the id.
fn same(content: Content, text: &str, struck: Option<&str>, theirs: &Data) -> bool {
    let number = match theirs {
        Data::Float(number) => Some(*number),
        #[expect(clippy::cast_precision_loss, reason = "the numbers of the samples are small")]
        Data::Int(number) => Some(*number as f64),
        Data::DateTime(moment) => Some(moment.as_f64()),
        _ => None,
    };
    let close = |ours: f64| number.is_some_and(|number| (number - ours).abs() <= 1e-9 * number.abs());
    match (content, theirs) {
        // A stored result that is only a placeholder.
        (Content::NoResult, _) => true,
        (Content::Number(ours) | Content::Date { serial: ours, .. }, _) => close(ours),
        (Content::Duration(seconds), _) => close(seconds / 86_400.0),
        (Content::Bool(ours), Data::Bool(theirs)) => ours == *theirs,
        (Content::Error, Data::Error(error)) => text == error.to_string(),
        // Fonts are nothing to calamine: a W in the Symbol font stays one.
        (Content::Text, Data::String(theirs)) => {
            same_text(theirs, text)
                || same_text(theirs, &text.replace('Ω', "W"))
                || struck.is_some_and(|struck| theirs.contains(struck))
        }
        _ => false,
    }
}

/// The same but for white space, which calamine trims.
fn same_text(left: &str, right: &str) -> bool {
    left.split_whitespace().eq(right.split_whitespace())
}
