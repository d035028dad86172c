//! The same cells as calamine finds, over all samples and every workbook of `tests/corpus` that it can read too.

use std::collections::BTreeMap;
use std::io::Cursor;
use std::path::{Path, PathBuf};

use calamine::{Data, Ods, Reader, Xlsb, Xlsx};
use windrow_source::{Cell, Content, Grid};

use super::{read, sample_path};

/// Cells of a sheet by place.
type Cells = BTreeMap<(u32, u32), Data>;

#[test]
fn samples_have_the_cells_that_calamine_finds() {
    for name in ["motor-log.xlsx", "calendar-1904.xlsm", "far-corner.xlsx", "rewinds.xlsb", "annual-round.ods"] {
        compare(&sample_path(name));
    }
}

#[test]
fn corpus_workbooks_have_the_cells_that_calamine_finds() {
    let corpus = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/corpus");
    let compared = workbooks_below(&corpus).iter().filter(|path| compare(path)).count();
    assert!(compared > 50 || !corpus.exists(), "only {compared} workbooks of the corpus could be compared");
}

fn workbooks_below(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in std::fs::read_dir(folder).into_iter().flatten().flatten() {
        let path = entry.path();
        if path.is_dir() {
            found.extend(workbooks_below(&path));
        } else if path
            .extension()
            .is_some_and(|extension| ["xlsx", "xlsm", "xlsb", "ods"].iter().any(|e| extension == *e))
        {
            found.push(path);
        }
    }
    found.sort();
    found
}

/// Compares a workbook; tells whether both could read it. Where only one can, it is ours.
fn compare(path: &Path) -> bool {
    let bytes = std::fs::read(path).unwrap();
    let theirs = by_calamine(path, &bytes);
    let Ok(ours) = read(&bytes) else {
        assert!(theirs.is_none(), "{} is refused and calamine reads it", path.display());
        return false;
    };
    let Some(theirs) = theirs else { return false };
    for sheet in &ours.sheets {
        let name = sheet.name.as_deref().unwrap();
        compare_sheet(&format!("{} [{name}]", path.display()), sheet, &theirs[name]);
    }
    true
}

fn by_calamine(path: &Path, bytes: &[u8]) -> Option<BTreeMap<String, Cells>> {
    let source = Cursor::new(bytes);
    let mut sheets = BTreeMap::new();
    // Streams where there are streams: the other calls make the whole rectangle.
    macro_rules! streamed {
        ($book:ty) => {{
            let mut book = <$book>::new(source).ok()?;
            for name in book.sheet_names() {
                let Ok(mut reader) = book.worksheet_cells_reader(&name) else { continue };
                let mut cells = Cells::new();
                while let Some(cell) = reader.next_cell().ok()? {
                    cells.insert(cell.get_position(), cell.get_value().clone().into());
                }
                sheets.insert(name, cells);
            }
        }};
    }
    match path.extension()?.to_str()? {
        "xlsb" => streamed!(Xlsb<_>),
        "ods" => {
            let mut book = Ods::new(source).ok()?;
            for (name, range) in book.worksheets() {
                let (top, left) = range.start().unwrap_or_default();
                let at = |(row, column, value): (usize, usize, &Data)| {
                    ((top + u32::try_from(row).unwrap(), left + u32::try_from(column).unwrap()), value.clone())
                };
                sheets.insert(name, range.used_cells().map(at).collect());
            }
        }
        _ => streamed!(Xlsx<_>),
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
        assert!(found || is_gap(place, cell), "{place} {}: calamine finds nothing at {cell:?}", cell.place());
    }
}

/// What calamine is known to pass over: formulas without result, and, in the binary form, texts in runs and errors of formulas.
fn is_gap(place: &str, cell: &Cell) -> bool {
    let in_binary = place.contains(".xlsb") && matches!(cell.content, Content::Text | Content::Error);
    in_binary || cell.content == Content::NoResult
}

/// Whether both mean the same. Dates are compared as numbers where calamine took a unit for a date, or a small number for one.
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
        (Content::NoResult, _) | (Content::Duration(_), Data::DurationIso(_)) => true,
        (Content::Number(ours), _) => close(ours),
        (Content::Date { .. }, Data::DateTimeIso(iso)) => iso.starts_with(text.get(..10).unwrap_or(text)),
        (Content::Date { serial, .. }, _) => close(serial),
        (Content::Duration(seconds), _) => close(seconds / 86_400.0),
        (Content::Bool(ours), Data::Bool(theirs)) => ours == *theirs,
        (Content::Error, Data::Error(error)) => text == error.to_string(),
        (Content::Text, Data::DateTimeIso(iso)) => text == iso,
        // Errors of OpenDocument are strings to calamine.
        (Content::Error | Content::Text, Data::String(theirs)) => {
            same_text(theirs, text)
                || struck.is_some_and(|struck| theirs.contains(struck) && theirs.contains(first_word(text)))
        }
        _ => false,
    }
}

fn first_word(text: &str) -> &str {
    text.split_whitespace().next().unwrap_or_default()
}

/// The same but for white space, which calamine trims.
fn same_text(left: &str, right: &str) -> bool {
    left.split_whitespace().eq(right.split_whitespace())
}
