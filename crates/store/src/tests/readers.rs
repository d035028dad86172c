//! The tables are open: a reader of the Delta log and the Parquet files that shares no code with the store finds the same.
//!
//! Delta protocol: <https://github.com/delta-io/delta/blob/master/PROTOCOL.md>, sections "Delta Log Entries", "Actions" and
//! "Per-file Statistics". The Parquet reader is that of Apache Arrow for Rust, where the store writes with that of Polars.

use super::{analysis, commit, finding, import, new_fleet, tables};
use crate::{AnalysisTables, Fleet};
use parquet::file::reader::{FileReader, SerializedFileReader};
use parquet::record::Field;
use serde_json::Value;
use std::collections::BTreeMap;
use std::fs::{self, File};
use windrow_model::table::{ColumnType, TABLES};

/// Active files of a table after the entries up to `version`, with what the log says about them.
fn active(fleet: &Fleet, table: &str, version: u64) -> BTreeMap<String, Value> {
    let log = fleet.dir().join("store").join(table).join("_delta_log");
    let mut files = BTreeMap::new();
    for number in 0..=version {
        let entry = fs::read_to_string(log.join(format!("{number:020}.json"))).unwrap();
        for line in entry.lines() {
            let action: Value = serde_json::from_str(line).unwrap();
            if let Some(path) = action["remove"]["path"].as_str() {
                files.remove(path);
            }
            if let Some(path) = action["add"]["path"].as_str() {
                files.insert(path.to_owned(), action["add"].clone());
            }
        }
    }
    files
}

/// Schema of a table as its log tells it: name and type of each column.
fn schema(fleet: &Fleet, table: &str) -> Vec<(String, String)> {
    let entry = fleet.dir().join("store").join(table).join("_delta_log/00000000000000000000.json");
    let entry = fs::read_to_string(entry).unwrap();
    let mut actions = entry.lines().map(|line| serde_json::from_str::<Value>(line).unwrap());
    let schema = actions.find_map(|action| action["metaData"]["schemaString"].as_str().map(str::to_owned)).unwrap();
    let schema: Value = serde_json::from_str(&schema).unwrap();
    let fields = schema["fields"].as_array().unwrap().iter();
    fields.map(|field| (field["name"].as_str().unwrap().to_owned(), field["type"].to_string())).collect()
}

fn rows(fleet: &Fleet, table: &str, file: &str) -> Vec<Vec<(String, Field)>> {
    let file = File::open(fleet.dir().join("store").join(table).join(file)).unwrap();
    let reader = SerializedFileReader::new(file).unwrap();
    let rows = reader.get_row_iter(None).unwrap();
    rows.map(|row| row.unwrap().into_columns()).collect()
}

/// The newest rows of `commits`: table, version, file.
fn pointers(fleet: &Fleet) -> Vec<(String, u64, Option<String>, i64)> {
    let log = fleet.dir().join("store/commits/_delta_log");
    let last =
        fs::read_dir(log).unwrap().filter(|entry| entry.as_ref().unwrap().path().extension().is_some()).count() - 1;
    let files = active(fleet, "commits", u64::try_from(last).unwrap());
    let rows: Vec<_> = files.keys().flat_map(|file| rows(fleet, "commits", file)).collect();
    let number = |row: &[(String, Field)], name: &str| match row.iter().find(|(found, _)| found == name) {
        Some((_, Field::Long(number))) => *number,
        other => panic!("{other:?}"),
    };
    let newest = rows.iter().map(|row| number(row, "commit")).max().unwrap();
    let text = |row: &[(String, Field)], name: &str| match row.iter().find(|(found, _)| found == name) {
        Some((_, Field::Str(text))) => Some(text.clone()),
        _ => None,
    };
    rows.iter()
        .filter(|row| number(row, "commit") == newest)
        .map(|row| {
            let version = u64::try_from(number(row, "version")).unwrap();
            (text(row, "table_name").unwrap(), version, text(row, "file"), number(row, "rows"))
        })
        .collect()
}

#[test]
fn the_log_names_the_files_of_the_snapshot_with_true_statistics() {
    let (_folder, fleet) = new_fleet();
    commit(&fleet, "one", 7);
    let mut writer = fleet.writer().unwrap();
    writer.commit_import(&import("two"), tables("two", 5)).unwrap();
    writer.commit_analysis(analysis(vec![finding("f")])).unwrap();
    let pointers = pointers(&fleet);
    let names: Vec<&str> = pointers.iter().map(|(table, ..)| table.as_str()).collect();
    assert_eq!(names, TABLES.iter().map(|info| info.name).collect::<Vec<_>>());
    for (table, version, file, count) in pointers {
        let files = active(&fleet, &table, version);
        assert_eq!(files.keys().collect::<Vec<_>>(), file.iter().collect::<Vec<_>>(), "{table}");
        for (file, add) in files {
            let rows = rows(&fleet, &table, &file);
            assert_eq!(i64::try_from(rows.len()).unwrap(), count, "{table}");
            let path = fleet.dir().join("store").join(&table).join(&file);
            assert_eq!(add["size"].as_u64().unwrap(), path.metadata().unwrap().len());
            check_statistics(&add, &rows);
        }
    }
}

fn check_statistics(add: &Value, rows: &[Vec<(String, Field)>]) {
    let stats: Value = serde_json::from_str(add["stats"].as_str().unwrap()).unwrap();
    assert_eq!(stats["numRecords"].as_u64().unwrap(), u64::try_from(rows.len()).unwrap());
    for (name, nulls) in stats["nullCount"].as_object().unwrap() {
        let values = rows.iter().map(|row| &row.iter().find(|(found, _)| found == name).unwrap().1);
        assert_eq!(
            nulls.as_u64().unwrap(),
            u64::try_from(values.clone().filter(|value| **value == Field::Null).count()).unwrap()
        );
        for value in values {
            let (low, high) = (&stats["minValues"][name], &stats["maxValues"][name]);
            match value {
                Field::Double(value) => {
                    assert!(low.as_f64() <= Some(*value) && Some(*value) <= high.as_f64(), "{name}");
                }
                Field::Str(value) if !low.is_null() => {
                    assert!(low.as_str() <= Some(value) && Some(value.as_str()) <= high.as_str(), "{name}");
                }
                _ => {}
            }
        }
    }
}

#[test]
fn another_reader_finds_the_same_values() {
    let (_folder, fleet) = new_fleet();
    commit(&fleet, "one", 3);
    let (_, version, ..) = pointers(&fleet).into_iter().find(|(table, ..)| table == "readings").unwrap();
    let file = active(&fleet, "readings", version).into_keys().next().unwrap();
    let rows = rows(&fleet, "readings", &file);
    let text = |row: usize, name: &str| rows[row].iter().find(|(found, _)| found == name).unwrap().1.to_string();
    assert_eq!(rows.len(), 6);
    assert_eq!(text(0, "reading_id"), "\"reading-0-0\"");
    assert_eq!(text(0, "raw_text"), "\"> 2000 M\u{3a9}\"");
    assert_eq!(text(0, "flags"), "[\"unit_assumed\", \"date_order_assumed\"]");
    assert_eq!(text(1, "flags"), "[]");
    assert_eq!(text(1, "elapsed_s"), "null");
    assert!(
        text(1, "derivation").contains("{step: \"unit\", detail: \"M\u{3a9}, from the cell\"}"),
        "{}",
        text(1, "derivation")
    );
    let value = |row: usize| match rows[row].iter().find(|(found, _)| found == "value").unwrap().1 {
        Field::Double(value) => value,
        _ => panic!("no double"),
    };
    assert_eq!((value(0).to_bits(), value(1).to_bits()), (2e9_f64.to_bits(), 2_000_000_001_f64.to_bits()));
    let tests = active(&fleet, "tests", 1).into_keys().next().unwrap();
    let day = rows_of_tests(&fleet, &tests);
    // 1969-12-30 is two days before the day that Parquet counts from.
    assert_eq!(day, [Field::Date(-2), Field::Date(-2), Field::Null]);
}

fn rows_of_tests(fleet: &Fleet, file: &str) -> Vec<Field> {
    let rows = rows(fleet, "tests", file);
    rows.into_iter().map(|row| row.into_iter().find(|(name, _)| name == "performed_on").unwrap().1).collect()
}

#[test]
fn the_log_tells_the_columns_of_the_schema() {
    let (_folder, fleet) = new_fleet();
    let mut writer = fleet.writer().unwrap();
    writer.commit_import(&import("one"), tables("one", 1)).unwrap();
    writer.commit_analysis(AnalysisTables::default()).unwrap();
    for info in TABLES {
        let found = schema(&fleet, info.name);
        assert_eq!(found.len(), info.columns.len());
        for (column, (name, kind)) in info.columns.iter().zip(found) {
            let expected = match column.kind {
                ColumnType::Text => "\"string\"",
                ColumnType::Double => "\"double\"",
                ColumnType::Int => "\"integer\"",
                ColumnType::Long => "\"long\"",
                ColumnType::Bool => "\"boolean\"",
                ColumnType::Date => "\"date\"",
                ColumnType::TextList => "\"elementType\":\"string\"",
                ColumnType::IntList => "\"elementType\":\"integer\"",
                ColumnType::FloatList => "\"elementType\":\"float\"",
                ColumnType::StepList => "\"name\":\"detail\"",
            };
            assert!(name == column.name && kind.contains(expected), "{}.{name}: {kind}", info.name);
        }
    }
}
