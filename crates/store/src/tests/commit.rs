//! What a commit stores, and when it stores nothing.

use super::{analysis, asset, cell, commit, contents, coverage, files, finding, import, new_fleet, reading, tables};
use crate::{AnalysisTables, Fleet, Gathered, ImportTables, Outcome};
use windrow_model::{Asset, CellRow, Coverage, Finding, ImportRow, Reading, Waveform};

#[test]
fn every_row_comes_back_from_the_disk_as_it_went_in() {
    let (_folder, fleet) = new_fleet();
    commit(&fleet, "one", 3);
    let snapshot = Fleet::open(fleet.dir()).unwrap().snapshot().unwrap();
    assert_eq!(snapshot.rows::<Asset>().unwrap(), [asset()]);
    let readings: Vec<Reading> = snapshot.rows().unwrap();
    assert_eq!(readings.len(), 6);
    assert_eq!(readings[1], reading(0, 1));
    assert_eq!(snapshot.rows::<Waveform>().unwrap(), tables("one", 0).waveforms);
    let as_on_the_sheet = [cell("one", "A2"), cell("one", "B9"), cell("one", "B10")];
    assert_eq!(snapshot.rows::<CellRow>().unwrap(), as_on_the_sheet);
    let imports: Vec<ImportRow> = snapshot.rows().unwrap();
    assert_eq!((imports[0].tests, imports[0].readings, imports[0].cells, imports[0].holds), (3, 6, 3, 1));
}

#[test]
fn the_same_import_again_writes_nothing() {
    let (_folder, fleet) = new_fleet();
    commit(&fleet, "one", 2);
    let before = files(fleet.dir());
    let outcome = fleet.writer().unwrap().commit_import(&import("one"), tables("one", 2)).unwrap();
    assert_eq!(outcome, Outcome::Unchanged);
    assert_eq!(files(fleet.dir()), before);
}

#[test]
fn the_same_analysis_again_writes_nothing_and_one_after_another_import_does() {
    let (_folder, fleet) = new_fleet();
    commit(&fleet, "one", 2);
    let mut writer = fleet.writer().unwrap();
    let mut analyze = || writer.commit_analysis(analysis(vec![finding("f")])).unwrap();
    assert_eq!(analyze(), Outcome::Committed);
    assert_eq!(analyze(), Outcome::Unchanged);
    writer.commit_import(&import("two"), tables("two", 2)).unwrap();
    assert_eq!(writer.snapshot().judged_import_id(), Some("one"), "the findings are still those of the import before");
    assert_eq!(writer.commit_analysis(analysis(vec![finding("f")])).unwrap(), Outcome::Committed);
    assert_eq!(writer.snapshot().judged_import_id(), Some("two"));
    assert_eq!(writer.snapshot().rows::<Finding>().unwrap(), [finding("f")]);
}

/// Rows that came part by part are stored as if they had come at once.
#[test]
fn parts_of_an_analysis_make_the_table_that_the_whole_makes() {
    let (_folder, fleet) = new_fleet();
    commit(&fleet, "one", 2);
    let all: Vec<Coverage> = (0..40).map(coverage).collect();
    let mut parts = Gathered::default();
    for part in [&all[25..], &all[..0], &all[..10], &all[10..25]] {
        parts.push(part.to_vec());
    }
    let mut writer = fleet.writer().unwrap();
    let mut store =
        |coverage| writer.commit_analysis(AnalysisTables { coverage, ..AnalysisTables::default() }).unwrap();
    assert_eq!(store(Gathered::from(all.clone())), Outcome::Committed);
    assert_eq!(store(parts), Outcome::Unchanged, "the same bytes");
    assert_eq!(writer.snapshot().rows::<Coverage>().unwrap(), all);
}

#[test]
fn an_import_replaces_all_rows_and_keeps_the_list_of_imports() {
    let (_folder, fleet) = new_fleet();
    commit(&fleet, "one", 5);
    let old = fleet.snapshot().unwrap();
    let old_contents = contents(&old);
    fleet.writer().unwrap().commit_import(&import("two"), ImportTables::default()).unwrap();
    let new = fleet.snapshot().unwrap();
    assert_eq!(new.rows::<Reading>().unwrap(), []);
    let ids: Vec<String> = new.rows::<ImportRow>().unwrap().into_iter().map(|row| row.import_id).collect();
    assert_eq!(ids, ["one", "two"]);
    assert_eq!(contents(&old), old_contents, "a snapshot taken before is not disturbed");
}

#[test]
fn equal_rows_in_any_order_are_equal_bytes() {
    let (_first_folder, first) = new_fleet();
    let (_second_folder, second) = new_fleet();
    commit(&first, "one", 40);
    let mut shuffled = tables("one", 40);
    shuffled.readings.reverse();
    shuffled.tests.rotate_left(17);
    shuffled.cells.rotate_left(1);
    second.writer().unwrap().commit_import(&import("one"), shuffled).unwrap();
    let data = |fleet: &Fleet| -> Vec<String> {
        let names = files(fleet.dir()).into_keys().filter(|name| name.contains("part-") && !name.contains("/commits/"));
        names.map(|name| name.rsplit('/').next().unwrap().to_owned()).collect()
    };
    assert_eq!(data(&first), data(&second), "files are named by their content");
    assert_eq!(data(&first).len(), 8);
}

#[test]
fn an_analysis_needs_an_import() {
    let (_folder, fleet) = new_fleet();
    let error = fleet.writer().unwrap().commit_analysis(analysis(vec![finding("f")])).unwrap_err();
    assert!(error.to_string().contains("import some first"), "{error}");
}

#[test]
fn many_commits_stay_readable_past_the_summing_up_of_logs() {
    let (_folder, fleet) = new_fleet();
    for number in 0..22 {
        let tables = ImportTables { assets: tables("", 0).assets, ..ImportTables::default() };
        fleet.writer().unwrap().commit_import(&import(&number.to_string()), tables).unwrap();
    }
    assert!(files(fleet.dir()).keys().any(|name| name.contains("checkpoint.parquet")));
    let snapshot = Fleet::open(fleet.dir()).unwrap().snapshot().unwrap();
    assert_eq!((snapshot.commit(), snapshot.rows::<ImportRow>().unwrap().len()), (22, 22));
    assert_eq!(snapshot.rows::<Asset>().unwrap(), [asset()]);
}

#[test]
fn a_hundred_thousand_readings_are_stored_and_counted() {
    let (_folder, fleet) = new_fleet();
    let tables = ImportTables {
        readings: (0..50_000).flat_map(|test| [reading(test, 0), reading(test, 1)]).collect(),
        ..ImportTables::default()
    };
    fleet.writer().unwrap().commit_import(&import("big"), tables).unwrap();
    let counted =
        fleet.snapshot().unwrap().query("SELECT bound, count(*) AS n FROM readings GROUP BY bound ORDER BY bound");
    let counted = counted.unwrap();
    let counts: Vec<Option<u32>> = counted.column("n").unwrap().u32().unwrap().iter().collect();
    assert_eq!(counts, [Some(50_000), Some(50_000)]);
}
