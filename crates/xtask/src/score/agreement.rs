//! `score` counts like `tests/corpus/score_import.py`: both are shown the same imports, faulty in known ways. What the script counted
//! stands beside them (`tests/corpus/agreement`, written by `make_score_agreement.py` there).

use super::count::{Machines, Score, count};
use super::truth;
use serde::Deserialize;
use serde_json::Value;
use std::collections::BTreeMap;
use std::path::Path;
use windrow_model::{CellRow, Hold, Reading, Test, Text};
use windrow_pipeline::Rows;

#[derive(Deserialize)]
struct Case {
    name: String,
    rows: Answers,
    golden: Golden,
}

#[derive(Deserialize)]
struct Answers {
    readings: Vec<Answer>,
    holds: Vec<At>,
    held: Vec<At>,
}

/// A reading joined to its test, as a query answers.
#[derive(Deserialize)]
struct Answer {
    test_id: Text,
    quantity: Text,
    circuit: Option<Text>,
    elapsed_s: Option<f64>,
    applied_voltage_v: Option<f64>,
    value: f64,
    bound: Option<Text>,
    as_reported: Option<Text>,
    source_file: Text,
    source_sheet: Option<Text>,
    source_cell: Text,
    flags: Option<Text>,
    asset_id: Option<Text>,
    performed_on: Option<Text>,
    performed_precision: Option<Text>,
    winding_temperature_c: Option<f64>,
    winding_temperature_basis: Option<Text>,
    test_voltage_v: Option<f64>,
    test_voltage_basis: Option<Text>,
    duplicate_of: Option<Text>,
}

#[derive(Deserialize)]
struct At {
    source_file: Text,
    source_sheet: Option<Text>,
    source_cell: Option<Text>,
}

#[derive(Deserialize)]
struct Golden {
    styles: BTreeMap<String, BTreeMap<String, usize>>,
    bcubed: Value,
    duplicates: Value,
}

/// Counters that both have, under one name.
const SHARED: [&str; 13] = [
    "truth",
    "right",
    "right_flagged",
    "wrong_flagged",
    "silently_wrong",
    "held",
    "missed",
    "expect_hold",
    "held_as_expected",
    "guessed_silently",
    "guessed_flagged",
    "hold_lost",
    "false_readings",
];
const BY_FIELD: [&str; 9] =
    ["value", "bound", "quantity", "circuit", "elapsed", "voltage", "date", "temperature", "as_reported"];

#[test]
fn the_counters_agree_with_the_script_case_by_case() {
    for part in ["bench", "corpus"] {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/corpus/agreement").join(part);
        let truth = truth::read(&folder).expect("the truth");
        let text = std::fs::read_to_string(folder.join("cases.jsonl")).expect("the cases");
        let cases: Vec<Case> = text.lines().map(|line| serde_json::from_str(line).expect("a case")).collect();
        assert!(cases.len() >= 15);
        for case in cases {
            let score = count(&truth, &rows(&case.rows), Machines::ByGroup);
            let told: Vec<String> = differences(&score, &case.golden);
            assert_eq!(told, [""; 0], "{part}, {}", case.name);
        }
    }
}

fn differences(score: &Score, golden: &Golden) -> Vec<String> {
    let mut told = Vec::new();
    let by_field = BY_FIELD.iter().flat_map(|field| [format!("wrong_{field}"), format!("incomplete_{field}")]);
    let keys: Vec<String> =
        SHARED.iter().map(|key| (*key).to_owned()).chain(by_field).chain(["invented".to_owned()]).collect();
    let ours = score.as_json();
    let styles: std::collections::BTreeSet<&String> =
        golden.styles.keys().chain(ours["styles"].as_object().into_iter().flat_map(serde_json::Map::keys)).collect();
    for style in styles {
        for key in &keys {
            let (want, have) = (
                golden.styles.get(style).and_then(|counts| counts.get(key)).copied().unwrap_or(0) as u64,
                ours["styles"][style][key].as_u64().unwrap_or(0),
            );
            if want != have {
                told.push(format!("{style} {key}: the script counts {want}, this {have}"));
            }
        }
    }
    for (key, have) in [("precision", score.machines.precision), ("recall", score.machines.recall)] {
        let want = golden.bcubed[key].as_f64().unwrap_or(0.0);
        if (want - have).abs() > 1e-9 {
            told.push(format!("machines {key}: the script counts {want}, this {have}"));
        }
    }
    let copies = &score.duplicates;
    for (key, have) in [
        ("due", copies.due),
        ("found", copies.found),
        ("slips_due", copies.slips_due),
        ("slips_found", copies.slips_found),
        ("false", copies.invented.len()),
    ] {
        if golden.duplicates[key].as_u64() != Some(have as u64) {
            told.push(format!("duplicates {key}: the script counts {}, this {have}", golden.duplicates[key]));
        }
    }
    told
}

fn rows(answers: &Answers) -> Rows {
    let mut rows = Rows::default();
    let mut tests: BTreeMap<(Text, String), Text> = BTreeMap::new();
    for (number, answer) in answers.readings.iter().enumerate() {
        // A query may answer with readings of one test that differ in what a test has once; each such is a test of its own here.
        let once = format!(
            "{:?}",
            (
                &answer.asset_id,
                &answer.performed_on,
                &answer.performed_precision,
                answer.winding_temperature_c,
                &answer.winding_temperature_basis,
                answer.test_voltage_v,
                &answer.test_voltage_basis,
                &answer.duplicate_of,
            )
        );
        let count = tests.keys().filter(|(id, _)| *id == answer.test_id).count();
        let id = tests
            .entry((answer.test_id.clone(), once))
            .or_insert_with(|| {
                let id = if count == 0 { answer.test_id.clone() } else { format!("{}/{count}", answer.test_id).into() };
                rows.tests.push(test(answer, &id));
                id
            })
            .clone();
        rows.readings.push(reading(answer, number, &id));
    }
    rows.holds = answers.holds.iter().map(hold).collect();
    rows.cells = answers.held.iter().map(cell).collect();
    rows
}

fn reading(answer: &Answer, number: usize, test_id: &Text) -> Reading {
    let words = answer.flags.as_deref().unwrap_or_default();
    let flags = words.split(|letter: char| !(letter.is_ascii_lowercase() || letter.is_ascii_digit() || letter == '_'));
    Reading {
        reading_id: number.to_string().into(),
        test_id: test_id.clone(),
        seq: 1,
        quantity: answer.quantity.clone(),
        circuit: answer.circuit.clone(),
        elapsed_s: answer.elapsed_s,
        applied_voltage_v: answer.applied_voltage_v,
        value: answer.value,
        unit: Text::default(),
        bound: answer.bound.clone().unwrap_or_else(|| "exact".into()),
        as_reported: answer.as_reported.clone().unwrap_or_else(|| "as_read".into()),
        reported_reference_c: None,
        value_ref: None,
        value_ref_low: None,
        value_ref_high: None,
        reference_c: None,
        correction: None,
        outcome: None,
        raw_text: Text::default(),
        source_file: answer.source_file.clone(),
        source_sheet: answer.source_sheet.clone(),
        source_cell: answer.source_cell.clone(),
        derivation: Vec::new(),
        flags: flags.filter(|flag| flag.len() > 1).map(str::to_owned).collect(),
    }
}

fn test(answer: &Answer, id: &Text) -> Test {
    Test {
        test_id: id.clone(),
        asset_id: answer.asset_id.clone(),
        kind: Text::default(),
        performed_on: answer.performed_on.as_ref().and_then(|date| date.get(..10)?.parse().ok()),
        performed_precision: answer.performed_precision.clone().unwrap_or_else(|| "unknown".into()),
        stage: None,
        winding_temperature_c: answer.winding_temperature_c,
        winding_temperature_basis: answer.winding_temperature_basis.clone().unwrap_or_default(),
        ambient_temperature_c: None,
        relative_humidity_pct: None,
        dew_point_c: None,
        test_voltage_v: answer.test_voltage_v,
        test_voltage_basis: answer.test_voltage_basis.clone().unwrap_or_default(),
        instrument: None,
        tester: None,
        remarks: None,
        work_order: None,
        reported_outcome: None,
        duplicate_of: answer.duplicate_of.clone(),
        source_file: answer.source_file.clone(),
        source_sheet: answer.source_sheet.clone(),
        source_cell: answer.source_cell.clone(),
        import_id: Text::default(),
    }
}

fn hold(at: &At) -> Hold {
    Hold {
        hold_id: Text::default(),
        import_id: Text::default(),
        source_file: at.source_file.clone(),
        source_sheet: at.source_sheet.clone(),
        source_cell: at.source_cell.clone(),
        raw_text: Text::default(),
        question: Text::default(),
        choices: Vec::new(),
        context: Text::default(),
        cause: Text::default(),
        resolved_by: None,
    }
}

fn cell(at: &At) -> CellRow {
    CellRow {
        import_id: Text::default(),
        source_file: at.source_file.clone(),
        source_sheet: at.source_sheet.clone(),
        source_cell: at.source_cell.clone().unwrap_or_default(),
        raw_text: Text::default(),
        disposition: "held".into(),
        target: None,
        reason: None,
    }
}
