//! Questions in SQL and the forms of their answers.

use super::{analysis, commit, finding, import, new_fleet, tables};
use crate::answer::{self, Format};
use crate::{Fleet, Snapshot, Span};
use windrow_model::{Finding, Reading};

windrow_model::table! {
    /// Some columns of findings, in another order than the table has them.
    pub struct Level in "findings" {
        /// `act` and so on.
        level: String,
        /// Id.
        finding_id: String,
    }
}

fn filled() -> (tempfile::TempDir, Snapshot) {
    let (folder, fleet) = new_fleet();
    let mut writer = fleet.writer().unwrap();
    writer.commit_import(&import("one"), tables("one", 3)).unwrap();
    writer.commit_analysis(analysis(vec![finding("f")])).unwrap();
    let snapshot = writer.snapshot().clone();
    (folder, snapshot)
}

fn answer(snapshot: &Snapshot, sql: &str, format: Format) -> String {
    let mut out = Vec::new();
    answer::write(&snapshot.query(sql).unwrap(), format, &mut out).unwrap();
    String::from_utf8(out).unwrap()
}

fn csv(snapshot: &Snapshot, sql: &str) -> String {
    answer(snapshot, sql, Format::Csv)
}

fn refused(snapshot: &Snapshot, sql: &str) -> String {
    let error = snapshot.query(sql).unwrap_err();
    assert!(error.is_query(), "{error}");
    error.to_string()
}

#[test]
fn readings_join_their_tests_and_machines_with_flags_as_words() {
    let (_folder, snapshot) = filled();
    let text = csv(
        &snapshot,
        "SELECT r.reading_id, r.test_id, r.seq, r.quantity, r.circuit, r.elapsed_s, r.applied_voltage_v, r.value, r.bound, \
         r.as_reported, r.raw_text, r.source_file, r.source_sheet, r.source_cell, r.flags AS flags, t.asset_id, \
         t.performed_on, t.performed_precision, t.winding_temperature_c, t.winding_temperature_basis, t.test_voltage_v, \
         t.test_voltage_basis, t.duplicate_of, a.tag FROM readings r JOIN tests t ON r.test_id = t.test_id \
         LEFT JOIN assets a ON t.asset_id = a.asset_id",
    );
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let rows: Vec<std::collections::HashMap<String, String>> = reader.deserialize().collect::<Result<_, _>>().unwrap();
    assert_eq!(rows.len(), 6);
    let first = rows.iter().find(|row| row["reading_id"] == "reading-0-0").unwrap();
    assert_eq!(first["flags"], "unit_assumed date_order_assumed");
    assert_eq!(first["value"], "2000000000");
    assert_eq!((first["performed_on"].as_str(), first["tag"].as_str()), ("1969-12-30", "P-101"));
    assert_eq!((first["applied_voltage_v"].as_str(), first["raw_text"].as_str()), ("", "> 2000 M\u{3a9}"));
    let nameless = rows.iter().find(|row| row["test_id"] == "test-1").unwrap();
    assert_eq!((nameless["asset_id"].as_str(), nameless["tag"].as_str()), ("", ""));
    let undated = rows.iter().find(|row| row["test_id"] == "test-2").unwrap();
    assert_eq!(undated["performed_on"], "");
}

#[test]
fn every_table_answers_and_those_without_rows_too() {
    let (_folder, snapshot) = filled();
    assert_eq!(
        csv(&snapshot, "SELECT source_file, source_sheet, source_cell, question, resolved_by FROM holds")
            .lines()
            .count(),
        2
    );
    assert_eq!(
        csv(&snapshot, "SELECT source_file, source_sheet, source_cell, disposition FROM cells").lines().count(),
        4
    );
    assert_eq!(csv(&snapshot, "SELECT source_file, status FROM sources"), "source_file,status\nold/book.xlsx,read\n");
    assert_eq!(csv(&snapshot, "SELECT tag, ir_1min_40c_ohm FROM test_summary"), "tag,ir_1min_40c_ohm\n");
    assert_eq!(csv(&snapshot, "SHOW TABLES").lines().count(), 1 + windrow_model::table::TABLES.len());
    let (_folder, fleet) = new_fleet();
    let empty = fleet.snapshot().unwrap();
    for info in windrow_model::table::TABLES {
        let answer = empty.query(&format!("SELECT * FROM {}", info.name)).unwrap();
        assert_eq!((answer.height(), answer.width()), (0, info.columns.len()));
    }
}

#[test]
fn groups_windows_and_named_subqueries_are_answered() {
    let (_folder, snapshot) = filled();
    let counted =
        csv(&snapshot, "SELECT bound, count(*) AS n, max(value) AS top FROM readings GROUP BY bound ORDER BY bound");
    assert_eq!(counted, "bound,n,top\nat_least,3,2000000000\nexact,3,2000000001\n");
    let windows = csv(
        &snapshot,
        "WITH r AS (SELECT test_id, seq, value FROM readings) SELECT test_id, seq, \
         ROW_NUMBER() OVER (PARTITION BY test_id ORDER BY value DESC) AS place, \
         value - LAG(value) OVER (PARTITION BY test_id ORDER BY seq) AS step FROM r ORDER BY test_id, seq LIMIT 2",
    );
    assert_eq!(windows, "test_id,seq,place,step\ntest-0,0,2,\ntest-0,1,1,1\n");
    let nested = csv(
        &snapshot,
        "SELECT tag FROM assets WHERE asset_id IN (SELECT asset_id FROM tests WHERE performed_on < '1970-01-01')",
    );
    assert_eq!(nested, "tag\nP-101\n");
    assert_eq!(csv(&snapshot, "SELECT tag FROM assets EXCEPT SELECT 'P-101' AS tag"), "tag\n");
    assert_eq!(
        csv(&snapshot, "SELECT EXTRACT(YEAR FROM performed_on) AS y FROM tests ORDER BY y LIMIT 1"),
        "y\n1969\n"
    );
}

#[test]
fn lists_are_words_in_csv_and_arrays_in_json() {
    let (_folder, snapshot) = filled();
    let csv = csv(&snapshot, "SELECT derivation, flags FROM readings WHERE reading_id = 'reading-0-1'");
    assert_eq!(csv, "derivation,flags\n\"text: > 2000 M\u{3a9}; unit: M\u{3a9}, from the cell\",\n");
    let sql = "SELECT a.tag, a.aliases, a.rewound_years, a.site, r.derivation, w.samples, a.in_service \
               FROM assets a, readings r, waveforms w WHERE r.reading_id = 'reading-0-0'";
    let json: serde_json::Value = serde_json::from_str(&answer(&snapshot, sql, Format::Json)).unwrap();
    let expected = serde_json::json!([{
        "tag": "P-101", "aliases": ["P101", "P 101"], "rewound_years": [1991, 2004], "site": null,
        "derivation": [{"step": "text", "detail": "> 2000 M\u{3a9}"}, {"step": "unit", "detail": "M\u{3a9}, from the cell"}],
        "samples": [0.0, -1.5, 3.25e-8], "in_service": true,
    }]);
    assert_eq!(json, expected);
    assert_eq!(answer(&snapshot, "SELECT tag FROM assets WHERE tag = 'x'", Format::Json), "[]\n");
}

#[test]
fn numbers_read_back_as_the_same_number() {
    let (_folder, snapshot) = filled();
    let counted = csv(&snapshot, "SELECT count(*) AS n FROM readings WHERE value > 1E9 AND raw_text <> '1e9 ''x'");
    assert_eq!(counted, "n\n6\n");
    let numbers =
        csv(&snapshot, "SELECT 1e-12 AS a, 2.5e9 AS b, 1e300 AS c, 0.1 + 0.2 AS d, 0.0 AS e, -7 AS f, 1.0/0.0 AS g");
    assert_eq!(numbers, "a,b,c,d,e,f,g\n1e-12,2500000000,1e300,0.30000000000000004,0,-7,inf\n");
}

#[test]
fn a_table_for_people_is_aligned_and_passes_no_control_character() {
    let (_folder, snapshot) = filled();
    let table = answer(&snapshot, "SELECT test_id, test_voltage_v, remarks FROM tests ORDER BY test_id", Format::Table);
    assert!(table.contains(" test-0              1000   line one line two \n test-1 "), "{table}");
    assert!(table.ends_with("3 rows\n"), "{table}");
    let long = answer(
        &snapshot,
        "SELECT CONCAT('xxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxx', 'xxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxx') AS x FROM assets",
        Format::Table,
    );
    assert!(long.contains(&format!(" {}\u{2026} ", "x".repeat(80))), "{long}");
    assert!(long.ends_with("1 row\n"), "{long}");
}

#[test]
fn parquet_reads_back() {
    use polars::prelude::{ParquetReader, SerReader};
    let (_folder, snapshot) = filled();
    let frame = snapshot.query("SELECT * FROM readings").unwrap();
    let mut out = Vec::new();
    answer::write(&frame, Format::Parquet, &mut out).unwrap();
    let back = ParquetReader::new(std::io::Cursor::new(out)).finish().unwrap();
    assert!(back.equals_missing(&frame));
}

#[test]
fn a_misspelt_name_is_answered_with_the_nearest_one() {
    let (_folder, snapshot) = filled();
    assert!(refused(&snapshot, "SELECT * FROM reading").contains("did you mean readings?"));
    assert!(refused(&snapshot, "SELECT valeu FROM readings").contains("did you mean value?"));
    assert!(refused(&snapshot, "SELECT r.valeu FROM readings r").contains("did you mean value?"));
    let strange = refused(&snapshot, "SELECT zzz FROM assets");
    assert!(strange.contains("assets has asset_id, tag"), "{strange}");
    let strange = refused(&snapshot, "SELECT * FROM zzz");
    assert!(strange.contains("the tables are assets, tests, readings"), "{strange}");
}

#[test]
fn broken_sql_is_refused_with_the_place_and_changing_sql_with_the_reason() {
    let (_folder, snapshot) = filled();
    let message = refused(&snapshot, "SELECT value FROM readings WHERE");
    assert!(message.contains("could not be understood") && message.contains("Expected"), "{message}");
    let message = refused(&snapshot, "SELECT value\nFROM readings WHERE value >= > 3");
    assert!(message.contains("found: > at Line: 2, Column: 30"), "{message}");
    for changing in
        ["DELETE FROM readings", "DROP TABLE readings", "CREATE TABLE x AS SELECT 1", "TRUNCATE TABLE readings"]
    {
        assert!(refused(&snapshot, changing).contains("imports only"), "{changing}");
    }
    assert!(refused(&snapshot, "SELECT 1; SELECT 2").contains("one statement"));
    assert!(refused(&snapshot, "").contains("empty"));
}

/// The engine reads any file by `read_parquet` and its like, wherever a table may stand.
#[test]
fn files_are_no_tables_wherever_they_are_named() {
    let (_folder, snapshot) = filled();
    let (_other, fleet) = new_fleet();
    commit(&fleet, "other", 1);
    let file = fleet.dir().join("store/assets/*.parquet");
    for function in ["read_parquet", "READ_PARQUET", "\"read_parquet\"", "read_csv", "x.read_parquet"] {
        let table = format!("{function}('{}')", file.display());
        for sql in [
            format!("SELECT tag FROM {table}"),
            format!("SELECT a.tag FROM assets a, {table} b"),
            format!("SELECT a.tag FROM assets a JOIN {table} b ON a.tag = b.tag"),
            format!("SELECT a.tag FROM (assets a CROSS JOIN {table} b)"),
            format!("SELECT tag FROM (SELECT tag FROM {table}) x"),
            format!("WITH x AS (SELECT tag FROM {table}) SELECT tag FROM x"),
            format!("SELECT tag FROM assets WHERE tag IN (SELECT tag FROM {table})"),
            format!("SELECT (SELECT count(*) FROM {table}) AS n FROM assets"),
            format!("SELECT tag FROM assets UNION ALL SELECT tag FROM {table}"),
            format!("SELECT tag, FROM {table}"),
            format!("SELECT count(*) FROM {table} WHERE 1e3 > 0"),
            format!("EXPLAIN SELECT tag FROM {table}"),
            format!("SELECT tag FROM TABLE({table})"),
            format!("SELECT tag FROM LATERAL {table}"),
        ] {
            let message = refused(&snapshot, &sql);
            assert!(message.contains("only the tables of the fleet"), "{sql}: {message}");
        }
    }
    for changing in ["EXPLAIN DELETE FROM readings", "EXPLAIN DROP TABLE readings"] {
        assert!(refused(&snapshot, changing).contains("imports only"), "{changing}");
    }
    assert_eq!(
        csv(&snapshot, "SELECT x.tag FROM (SELECT tag FROM assets) x JOIN assets a ON x.tag = a.tag"),
        "tag\nP-101\n"
    );
}

#[test]
fn rows_that_are_looked_up_are_those_of_the_table_in_its_order() {
    let (_folder, snapshot) = filled();
    let all: Vec<Reading> = snapshot.rows().unwrap();
    let of_tests: Vec<Reading> = snapshot.rows_where("test_id", &["test-2", "test-0", "none"]).unwrap();
    let expected: Vec<&Reading> = all.iter().filter(|reading| reading.test_id != "test-1").collect();
    assert_eq!(expected.len(), 4);
    assert_eq!(of_tests.iter().collect::<Vec<_>>(), expected);
    assert_eq!(snapshot.rows_where::<Reading>("test_id", &["test-1"]).unwrap(), all[2..4]);
    assert_eq!(snapshot.rows_where::<Reading>("test_id", &[]).unwrap(), []);
    let file = all[0].source_file.as_str();
    let own: Vec<Reading> = snapshot.rows_where_in("test_id", &["test-2", "test-0"], &["a", file, "z"]).unwrap();
    let of_file: Vec<&Reading> = expected.into_iter().filter(|reading| reading.source_file == file).collect();
    assert!(!of_file.is_empty());
    assert_eq!(own.iter().collect::<Vec<_>>(), of_file);
    assert_eq!(snapshot.rows_where_in::<Reading>("test_id", &["test-0"], &["none"]).unwrap(), []);
    assert_eq!(snapshot.rows_where_in::<Reading>("test_id", &["test-0"], &[]).unwrap(), []);
    let places = snapshot.places::<Reading, _>("test_id", |id| (id != "test-2").then(|| id.to_owned())).unwrap();
    assert_eq!(places.len(), 2, "what the key leaves out is not kept");
    assert_eq!(snapshot.rows_at::<Reading>(&places["test-1"]).unwrap(), all[2..4]);
    let apart: Vec<Span> = vec![0..=0, 2..=3, 5..=5];
    assert_eq!(snapshot.rows_at::<Reading>(&apart).unwrap(), [&all[..1], &all[2..4], &all[5..]].concat());
    assert_eq!(snapshot.rows_at::<Reading>(&[]).unwrap(), []);
    let error = snapshot.rows_where::<Reading>("winding", &["x"]).unwrap_err();
    assert!(error.to_string().contains("winding"), "{error}");
}

#[test]
fn some_columns_of_a_table_are_those_of_its_rows() {
    let (_folder, snapshot) = filled();
    let whole: Vec<Finding> = snapshot.rows().unwrap();
    let some: Vec<Level> = snapshot.rows_of_some_columns().unwrap();
    assert_eq!(some.len(), 1);
    assert!(
        some.into_iter().eq(whole.into_iter().map(|Finding { level, finding_id, .. }| Level { level, finding_id }))
    );
}

#[test]
fn a_question_is_answered_by_the_snapshot_it_was_put_to() {
    let (_folder, fleet) = new_fleet();
    commit(&fleet, "one", 1);
    let old = fleet.snapshot().unwrap();
    commit(&Fleet::open(fleet.dir()).unwrap(), "two", 2);
    let count = |snapshot: &Snapshot| answer(snapshot, "SELECT count(*) AS n FROM tests", Format::Csv);
    assert_eq!((count(&old), count(&fleet.snapshot().unwrap())), ("n\n1\n".to_owned(), "n\n2\n".to_owned()));
}
