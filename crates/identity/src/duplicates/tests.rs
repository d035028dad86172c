//! Copies of invented tests.

use super::{Beside, digits, mark};
use jiff::civil::date;
use proptest::prelude::*;
use std::collections::BTreeMap;
use windrow_model::{Decision, Question, Reading, Test, Text};

pub(super) fn test(id: &str, file: &str) -> Test {
    Test {
        test_id: id.into(),
        asset_id: Some("machine".into()),
        kind: "insulation_resistance".into(),
        performed_on: Some(date(2019, 11, 16)),
        performed_precision: "day".into(),
        stage: None,
        winding_temperature_c: Some(39.0),
        winding_temperature_basis: "measured".into(),
        ambient_temperature_c: None,
        relative_humidity_pct: None,
        dew_point_c: None,
        test_voltage_v: Some(500.0),
        test_voltage_basis: "recorded".into(),
        instrument: None,
        tester: None,
        remarks: None,
        work_order: None,
        reported_outcome: None,
        duplicate_of: None,
        source_file: file.into(),
        source_sheet: None,
        source_cell: "A4".into(),
        import_id: "i".into(),
    }
}

pub(super) fn readings(test: &Test, values: [(f64, &str); 3]) -> Vec<Reading> {
    ["U-E", "V-E", "W-E"]
        .iter()
        .zip(values)
        .map(|(circuit, (value, text))| Reading {
            reading_id: format!("{}{circuit}", test.test_id).into(),
            test_id: test.test_id.clone(),
            seq: 0,
            quantity: "insulation_resistance".into(),
            circuit: Some((*circuit).into()),
            elapsed_s: Some(60.0),
            applied_voltage_v: None,
            value,
            unit: "Ohm".into(),
            bound: "exact".into(),
            as_reported: "as_read".into(),
            reported_reference_c: None,
            value_ref: None,
            reference_c: None,
            correction: None,
            value_ref_low: None,
            value_ref_high: None,
            outcome: None,
            raw_text: text.into(),
            source_file: test.source_file.clone(),
            source_sheet: None,
            source_cell: format!("D4{circuit}").into(),
            derivation: vec![],
            flags: vec![],
        })
        .collect()
}

pub(super) const BOOK: [(f64, &str); 3] = [(6.82e8, "682"), (6.33e8, "633"), (6.45e8, "645")];
const OFFICE: [(f64, &str); 3] = [(6.82e8, "0.682"), (6.33e8, "0.633"), (6.45e8, "0.645")];
pub(super) const SLIP: [(f64, &str); 3] = [(6.82e8, "0.682"), (6.33e9, "6.33"), (6.45e8, "0.645")];

fn marked(copy: [(f64, &str); 3], change: impl Fn(&mut Test)) -> (Vec<Test>, Vec<Reading>, usize) {
    let mut tests = vec![test("a", "book.xlsx"), test("b", "office.xlsx")];
    change(&mut tests[1]);
    let mut rows = readings(&tests[0], BOOK);
    rows.extend(readings(&tests[1], copy));
    let holds = mark(&mut tests, &mut rows, Beside::default());
    (tests, rows, holds.len())
}

#[test]
fn a_copy_in_another_unit_is_the_same_test() {
    let (tests, _, holds) = marked(OFFICE, |_| {});
    assert_eq!((tests[0].duplicate_of.as_deref(), tests[1].duplicate_of.as_deref(), holds), (None, Some("a"), 0));
}

#[test]
fn a_slip_is_asked_about_and_both_numbers_stay() {
    let (tests, rows, holds) = marked(SLIP, |_| {});
    assert_eq!((tests[1].duplicate_of.as_deref(), holds), (Some("a"), 1));
    let flagged: Vec<&str> = rows
        .iter()
        .filter(|row| row.flags.iter().any(|flag| flag == "copies_differ"))
        .map(|row| row.raw_text.as_str())
        .collect();
    assert_eq!(flagged, ["633", "6.33"]);
}

#[test]
fn a_person_rules_which_copy_is_right_or_that_there_are_two_tests() {
    let ruled = |answer: &str| {
        let mut tests = vec![test("a", "book.xlsx"), test("b", "office.xlsx")];
        let mut rows = readings(&tests[0], BOOK);
        rows.extend(readings(&tests[1], SLIP));
        let ruling = Decision {
            question: Question::SameTest,
            answer: answer.to_owned(),
            file: Some("office.xlsx".to_owned()),
            sheet: None,
            cells: Some("D4V-E".to_owned()),
            text: None,
            by: None,
            on: None,
            why: None,
        };
        let holds = mark(&mut tests, &mut rows, Beside { decisions: &[ruling], ..Beside::default() });
        let copies: Vec<Option<Text>> = tests.into_iter().map(|test| test.duplicate_of).collect();
        (copies, holds.len())
    };
    assert_eq!(ruled("two tests"), (vec![None, None], 0));
    assert_eq!(ruled("one test, book.xlsx is right"), (vec![None, Some("a".into())], 0));
    assert_eq!(ruled("one test, office.xlsx is right"), (vec![Some("b".into()), None], 0));
}

#[test]
fn a_file_copied_under_another_name_repeats_its_tests_whatever_their_dates() {
    let marked = |machine: &str| {
        let mut tests = vec![test("a", "book.xlsx"), test("b", "copy of book.xlsx")];
        for test in &mut tests {
            (test.performed_on, test.performed_precision) = (None, "unknown".into());
        }
        tests[1].asset_id = Some(machine.into());
        let files = BTreeMap::from([("copy of book.xlsx", "book.xlsx")]);
        let holds = mark(&mut tests, &mut [], Beside { same_bytes: Some(&files), ..Beside::default() });
        assert!(holds.is_empty());
        tests.into_iter().map(|test| test.duplicate_of).collect::<Vec<_>>()
    };
    assert_eq!(marked("machine"), [None, Some("a".into())]);
    assert_eq!(marked("another"), [None, None]);
}

#[test]
fn different_tests_on_one_day_stay_apart() {
    let other = [(9.1e8, "910"), (8.8e8, "880"), (9.0e8, "900")];
    assert_eq!(marked(other, |_| {}).0[1].duplicate_of, None);
    assert_eq!(marked(OFFICE, |test| test.stage = Some("after_cleaning".into())).0[1].duplicate_of, None);
    assert_eq!(marked(OFFICE, |test| test.winding_temperature_c = Some(20.0)).0[1].duplicate_of, None);
    assert_eq!(
        marked(OFFICE, |test| test.source_file = "book.xlsx".into()).0[1].duplicate_of,
        None,
        "one sheet repeats nothing"
    );
    assert_eq!(marked(OFFICE, |test| test.performed_precision = "year".into()).0[1].duplicate_of, None);
}

#[test]
fn a_winding_that_broke_down_in_one_record_and_withstood_in_the_other_is_asked_about() {
    let mut tests = [test("a", "book.xlsx"), test("b", "office.xlsx")];
    let mut rows: Vec<Reading> = tests.iter().flat_map(|test| readings(test, BOOK)).collect();
    (rows[1].outcome, rows[4].outcome) = (Some("withstood".into()), Some("broke_down".into()));
    assert_eq!(mark(&mut tests, &mut rows, Beside::default()).len(), 1);
    rows[1].outcome = None;
    assert!(mark(&mut tests, &mut rows, Beside::default()).is_empty(), "one of them does not tell it");
}

#[test]
fn readings_at_the_end_of_the_range_alone_show_no_copy() {
    let at_ceiling = |temperature: Option<f64>| {
        let mut tests = vec![test("a", "book.xlsx"), test("b", "office.xlsx")];
        let mut rows = readings(&tests[0], BOOK);
        rows.extend(readings(&tests[1], BOOK));
        for test in &mut tests {
            test.winding_temperature_c = temperature;
        }
        for row in &mut rows {
            row.bound = "at_least".into();
        }
        let _ = mark(&mut tests, &mut rows, Beside::default());
        tests[1].duplicate_of.is_some()
    };
    assert!(at_ceiling(Some(39.0)));
    assert!(!at_ceiling(None));
}

#[test]
fn digits_are_those_written() {
    assert_eq!((digits("0.6825 GΩ"), digits(">2000"), digits("6"), digits("∞")), (4, 4, 3, 3));
}

proptest! {
    #[test]
    fn the_order_of_rows_changes_nothing(order in Just((0..6_usize).collect::<Vec<_>>()).prop_shuffle(), swap in any::<bool>()) {
        let (sorted, _, _) = marked(OFFICE, |_| {});
        let mut tests = vec![test("a", "book.xlsx"), test("b", "office.xlsx")];
        let mut rows = readings(&tests[0], BOOK);
        rows.extend(readings(&tests[1], OFFICE));
        let mut rows: Vec<Reading> = order.iter().map(|index| rows[*index].clone()).collect();
        if swap { tests.reverse(); }
        let _ = mark(&mut tests, &mut rows, Beside::default());
        tests.sort_by(|a, b| a.test_id.cmp(&b.test_id));
        prop_assert_eq!(tests, sorted);
    }
}
