//! What came out of a sample, one item a line, as people compare it.

use super::case::{Case, Expect};
use crate::engine::{read_source, understand_source};
use crate::registry::Registry;
use serde_json::{Map, Value, json};
use std::collections::BTreeMap;
use windrow_model::place::{a1, column_letters};
use windrow_model::raw::Understood;
use windrow_model::settings::Settings;
use windrow_model::{Text, ToText};
use windrow_source::wave::Record;
use windrow_source::{Cell, Grid, Limits, ReadError, Workbook};

/// Whether a case has a golden: a look-alike gives nothing to compare.
pub(super) fn has_one(case: &Case) -> bool {
    case.expect() != Expect::Refuse
}

/// The golden of a case as it is now.
pub(super) fn of(case: &Case, registry: &Registry) -> String {
    let source = case.source();
    let is_reader = registry.readers().iter().any(|plugin| plugin.id == case.id());
    let lines = if is_reader {
        match read_source(source, registry, &Limits::default()) {
            Ok((_, book)) => of_book(&book),
            Err(error) => of_error(&error),
        }
    } else {
        of_understood(&understand_source(source, registry, &Settings::default(), &Limits::default()))
    };
    lines.into_iter().map(|line| lean(line).to_string() + "\n").collect()
}

fn of_error(error: &ReadError) -> Vec<Value> {
    vec![json!({ "refusal": error.refusal, "found": error.found, "advice": error.advice })]
}

fn of_book(book: &Workbook) -> Vec<Value> {
    let mut lines = Vec::new();
    for (number, grid) in book.sheets.iter().enumerate() {
        lines.push(of_sheet(number, grid));
        lines.extend(grid.cells.iter().map(|cell| of_cell(number, cell)));
    }
    lines.extend(book.record.iter().flat_map(|record| of_record(record)));
    lines.extend(book.notes.iter().map(|note| json!({ "note of the source": note })));
    lines
}

fn of_record(record: &Record) -> Vec<Value> {
    let whole = Record { channels: Vec::new(), ..record.clone() };
    let mut lines = vec![json!({ "record": whole })];
    lines.extend(record.channels.iter().map(|channel| json!({ "channel": channel })));
    lines
}

fn of_sheet(number: usize, grid: &Grid) -> Value {
    let merges: Vec<String> =
        grid.merges.iter().map(|area| format!("{}:{}", a1(area.top, area.left), a1(area.bottom, area.right))).collect();
    let mut sheet = json!({ "sheet": number, "name": grid.name, "merges": merges });
    if let Some(sheet) = sheet.as_object_mut() {
        if grid.hidden {
            sheet.insert("hidden".to_owned(), json!(true));
        }
        sheet.insert("hidden rows".to_owned(), json!(runs(&grid.hidden_rows, |row| (row + 1).to_smolstr())));
        sheet.insert("hidden columns".to_owned(), json!(runs(&grid.hidden_columns, column_letters)));
    }
    sheet
}

/// `5`, `7:9`: sorted numbers as the runs that they form, so that a sheet with all columns hidden is one line.
fn runs(numbers: &[u32], name: fn(u32) -> Text) -> Vec<String> {
    let chunks = numbers.chunk_by(|before, after| before + 1 == *after);
    let run = |chunk: &[u32]| match chunk {
        [only] => Some(name(*only).to_string()),
        [first, .., last] => Some(format!("{}:{}", name(*first), name(*last))),
        [] => None,
    };
    chunks.filter_map(run).collect()
}

fn of_cell(sheet: usize, cell: &Cell) -> Value {
    let at = a1(cell.row, cell.column);
    let mut line = json!({ "sheet": sheet, "at": at, "text": cell.text, "content": cell.content });
    if let Some(line) = line.as_object_mut() {
        for (name, value) in [
            ("address", cell.address.as_deref()),
            ("format", cell.format.as_deref()),
            ("note", cell.note.as_deref()),
            ("struck", cell.struck.as_deref()),
        ] {
            line.extend(value.iter().map(|value| (name.to_owned(), json!(value))));
        }
        if cell.synthetic {
            line.insert("synthetic".to_owned(), json!(true));
        }
    }
    line
}

fn of_understood(understood: &Understood) -> Vec<Value> {
    let mut lines =
        vec![json!({ "status": understood.status, "reader": understood.reader, "reason": understood.reason })];
    lines.extend(understood.regions.iter().map(|region| json!({ "region": region })));
    for (number, test) in understood.tests.iter().enumerate() {
        let mut line = json!({ "test": number });
        if let (Some(line), Ok(Value::Object(mut fields))) = (line.as_object_mut(), serde_json::to_value(test)) {
            fields.remove("readings");
            fields.remove("derived");
            line.extend(fields);
        }
        lines.push(line);
        lines.extend(test.readings.iter().map(|reading| json!({ "of test": number, "reading": reading })));
        lines.extend(test.derived.iter().map(|reading| json!({ "of test": number, "derived": reading })));
    }
    lines.extend(understood.machines.iter().map(|machine| json!({ "machine": machine })));
    lines.extend(understood.cells.iter().map(|cell| json!({ "cell": cell })));
    lines.extend(understood.holds.iter().map(|hold| json!({ "hold": hold })));
    lines.extend(understood.notes.iter().map(|note| json!({ "note of the source": note })));
    lines
}

/// Without what is absent, with places as people write them, and fields by name whatever the order they came in.
fn lean(value: Value) -> Value {
    match value {
        Value::Object(fields) => place(&fields).map_or_else(|| lean_object(fields.clone()), Value::String),
        Value::Array(items) => Value::Array(items.into_iter().map(lean).collect()),
        other => other,
    }
}

fn lean_object(fields: Map<String, Value>) -> Value {
    let fields = fields.into_iter().map(|(name, field)| (name, lean(field)));
    let sorted: BTreeMap<String, Value> = fields.filter(|(_, field)| !is_absent(field)).collect();
    Value::Object(sorted.into_iter().collect())
}

fn is_absent(value: &Value) -> bool {
    match value {
        Value::Null => true,
        Value::Array(items) => items.is_empty(),
        Value::Object(fields) => fields.is_empty(),
        _ => false,
    }
}

/// `Sheet!C14`, where the fields are those of a place.
fn place(fields: &Map<String, Value>) -> Option<String> {
    let (sheet, cell) = (fields.get("sheet")?, fields.get("cell")?.as_str()?);
    (fields.len() == 2).then(|| match sheet.as_str() {
        Some(sheet) => format!("{sheet}!{cell}"),
        None => cell.to_owned(),
    })
}
