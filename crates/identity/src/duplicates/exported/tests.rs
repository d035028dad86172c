//! Exports beside what they were exported from, and beside each other. All records are invented.

use crate::duplicates::tests::{BOOK, SLIP, readings, test};
use crate::duplicates::{Beside, mark};
use jiff::civil::date;
use std::collections::BTreeMap;
use windrow_model::raw::Exported;
use windrow_model::{Decision, Hold, Question, Reading, Test, Text};

/// A test of a year only, which no other rule takes for a copy.
fn of_a_year(id: &str, file: &str) -> Test {
    Test { performed_precision: "year".into(), ..test(id, file) }
}

fn marked(tests: &mut [Test], rows: &mut [Reading], ids: &[(&str, &str, Option<&str>)]) -> Vec<Hold> {
    let ids = ids.iter().map(|(id, test_id, copy_of)| {
        (Text::from(*id), Exported { test_id: (*test_id).into(), copy_of: copy_of.map(Text::from) })
    });
    let ids: BTreeMap<Text, Exported> = ids.collect();
    mark(tests, rows, Beside { exported: Some(&ids), ..Beside::default() })
}

fn all(tests: &[Test], values: [[(f64, &str); 3]; 2]) -> Vec<Reading> {
    tests.iter().zip(values.into_iter().cycle()).flat_map(|(test, values)| readings(test, values)).collect()
}

fn copies(tests: &[Test]) -> Vec<Option<&str>> {
    tests.iter().map(|test| test.duplicate_of.as_deref()).collect()
}

#[test]
fn an_export_beside_its_sources_repeats_them_and_the_source_is_kept() {
    // The workbook comes first in the order of names, and is the copy all the same.
    let mut tests = [of_a_year("w", "a workbook.xlsx"), of_a_year("s", "log.xlsx")];
    let mut rows = all(&tests, [BOOK, BOOK]);
    assert!(marked(&mut tests, &mut rows, &[("w", "s", None)]).is_empty());
    assert_eq!(copies(&tests), [Some("s"), None]);
}

#[test]
fn two_exports_of_one_fleet_repeat_each_other_and_keep_the_copies_that_were_known() {
    let mut tests =
        ["w1", "w2", "v1", "v2"].map(|id| of_a_year(id, if id.starts_with('v') { "may.xlsx" } else { "june.xlsx" }));
    let mut rows = all(&tests, [BOOK, BOOK]);
    let ids = [("w1", "s1", None), ("w2", "s2", Some("s1")), ("v1", "s1", None), ("v2", "s2", Some("s1"))];
    assert!(marked(&mut tests, &mut rows, &ids).is_empty());
    assert_eq!(copies(&tests), [None, Some("w1"), Some("w1"), Some("w1")]);
}

#[test]
fn a_number_that_was_changed_in_an_export_is_asked_about() {
    let mut tests = [of_a_year("w", "workbook.xlsx"), of_a_year("s", "log.xlsx")];
    let mut rows = all(&tests, [SLIP, BOOK]);
    let holds = marked(&mut tests, &mut rows, &[("w", "s", None)]);
    assert_eq!((holds.len(), copies(&tests)), (1, vec![Some("s"), None]));
    assert!(holds[0].context.contains("6.33") && holds[0].context.contains("633"), "{}", holds[0].context);
    assert_eq!(rows.iter().filter(|row| !row.flags.is_empty()).count(), 2, "both say so");
}

#[test]
fn another_machine_under_the_same_id_stays_a_test_of_its_own() {
    let mut tests = [of_a_year("w", "workbook.xlsx"), of_a_year("s", "log.xlsx")];
    tests[0].asset_id = Some("another".into());
    let mut rows = all(&tests, [BOOK, BOOK]);
    marked(&mut tests, &mut rows, &[("w", "s", None)]);
    assert_eq!(copies(&tests), [None, None]);
}

#[test]
fn a_copy_of_a_copy_is_one_of_the_original() {
    let mut tests = [test("a", "book.xlsx"), test("b", "office.xlsx"), test("w", "workbook.xlsx")];
    let mut rows = all(&tests, [BOOK, BOOK]);
    marked(&mut tests, &mut rows, &[("w", "b", Some("a"))]);
    assert_eq!(copies(&tests), [None, Some("a"), Some("a")]);
}

#[test]
fn a_test_that_reads_the_same_twice_is_compared_reading_by_reading() {
    let mut tests = [of_a_year("w", "workbook.xlsx"), of_a_year("s", "log.xlsx")];
    let twice = |test: &Test| {
        let mut rows = readings(test, BOOK);
        rows.extend(readings(test, SLIP).into_iter().map(|row| Reading { reading_id: "again".into(), ..row }));
        rows
    };
    let mut rows: Vec<Reading> = tests.iter().flat_map(twice).collect();
    assert!(marked(&mut tests, &mut rows, &[("w", "s", None)]).is_empty());
    assert_eq!(copies(&tests), [Some("s"), None]);
}

/// What somebody does to a test and its readings.
type Change = fn(&mut Test, &mut [Reading]);

#[test]
fn what_an_export_changes_of_a_test_is_asked_about_and_a_ruling_settles_it() {
    let changes: [(&str, Change); 7] = [
        ("39 / 24", |test, _| test.winding_temperature_c = Some(24.0)),
        ("2019-11-16 (year) / 2020-11-16 (year)", |test, _| test.performed_on = Some(date(2020, 11, 16))),
        ("nothing / as_found", |test, _| test.stage = Some("as_found".into())),
        ("remarks: nothing / after drying", |test, _| test.remarks = Some("after drying".into())),
        ("nothing / failed", |test, _| test.reported_outcome = Some("failed".into())),
        ("none at D4V-E / broke_down", |_, rows| rows[1].outcome = Some("broke_down".into())),
        ("3 readings differ", |_, rows| rows.iter_mut().for_each(|row| row.elapsed_s = Some(600.0))),
    ];
    for (said, change) in changes {
        let mut tests = [of_a_year("w", "workbook.xlsx"), of_a_year("s", "log.xlsx")];
        let mut rows = all(&tests, [BOOK, BOOK]);
        change(&mut tests[0], &mut rows[..3]);
        let (mut again, mut rows_again) = (tests.clone(), rows.clone());
        let holds = marked(&mut tests, &mut rows, &[("w", "s", None)]);
        assert_eq!((holds.len(), copies(&tests)), (1, vec![Some("s"), None]), "{said}");
        assert!(holds[0].context.contains(said), "{said}: {}", holds[0].context);
        let ruling = Decision {
            question: Question::SameTest,
            answer: "one test, workbook.xlsx is right".to_owned(),
            file: Some(holds[0].source_file.to_string()),
            sheet: None,
            cells: holds[0].source_cell.as_ref().map(ToString::to_string),
            text: None,
            by: None,
            on: None,
            why: None,
        };
        let ids = BTreeMap::from([(Text::from("w"), Exported { test_id: "s".into(), copy_of: None })]);
        let beside = Beside { exported: Some(&ids), decisions: &[ruling], ..Beside::default() };
        assert!(mark(&mut again, &mut rows_again, beside).is_empty(), "{said}");
        assert_eq!(copies(&again), [None, Some("w")], "{said}");
    }
}

#[test]
fn names_that_an_export_left_out_are_no_change() {
    let mut tests = [of_a_year("w", "workbook.xlsx"), of_a_year("s", "log.xlsx")];
    tests[1].tester = Some("A. Example".into());
    tests[1].remarks = Some("dried by A. Example for a week".into());
    for (tester, remarks) in [(None, "[name]"), (Some("person-0123456789"), "person-0123456789")] {
        tests[0].tester = tester.map(Text::from);
        tests[0].remarks = Some(format!("dried by {remarks} for a week").into());
        let mut rows = all(&tests, [BOOK, BOOK]);
        assert!(marked(&mut tests, &mut rows, &[("w", "s", None)]).is_empty());
    }
}
