//! The fleet folder as a whole.

mod commit;
mod folder;
mod kill;
mod query;
mod readers;
mod two_writers;

use crate::{AnalysisTables, Fleet, Import, ImportTables, Snapshot};
use jiff::civil::date;
use std::collections::BTreeMap;
use std::path::Path;
use std::time::SystemTime;
use windrow_model::place::Step;
use windrow_model::{
    Asset, CellRow, Coverage, Finding, Hold, ImportRow, Reading, SourceRow, Test, TestSummary, Waveform,
};

/// A new fleet in a folder with a name that is not plain.
pub(crate) fn new_fleet() -> (tempfile::TempDir, Fleet) {
    let folder = tempfile::tempdir().unwrap();
    let fleet = Fleet::open_or_create(&folder.path().join("Fleet \u{fc} %41 #1")).unwrap();
    (folder, fleet)
}

fn import(id: &str) -> Import {
    Import {
        import_id: id.into(),
        started_at: "2026-11-25T08:00:00Z".into(),
        tool_version: "0.1.0".into(),
        settings_hash: "settings".into(),
    }
}

/// What an analysis finds that gives these findings and nothing else.
pub(crate) fn analysis(findings: Vec<Finding>) -> AnalysisTables {
    AnalysisTables { findings, ..AnalysisTables::default() }
}

/// What tests proved of one machine; its tag is too long to stand in the column itself.
fn coverage(number: usize) -> Coverage {
    Coverage {
        asset_id: format!("asset-{number:02}").into(),
        tag: format!("P-{number:02}, second from the east").into(),
        site: None,
        insulation: "ground_wall".into(),
        rated_voltage_v: Some(6600.0),
        proven_v: None,
        proven_form: None,
        proven_crest_v: None,
        proven_kind: None,
        proven_on: None,
        proven_test_id: None,
        failed_v: None,
        failed_kind: None,
        failed_on: None,
        failed_test_id: None,
        untold_v: None,
        stress_v: None,
        stress_basis: None,
        since_year: None,
        standing: "never_tested".into(),
        statement: "".into(),
        cautions: "".into(),
    }
}

/// What import `id` reads: one machine, `tests` tests of two readings each, everything else once.
fn tables(id: &str, tests: usize) -> ImportTables {
    ImportTables {
        assets: vec![asset()],
        tests: (0..tests).map(|number| test(id, number)).collect(),
        readings: (0..tests).flat_map(|number| [reading(number, 0), reading(number, 1)]).collect(),
        reported_figures: Vec::new(),
        waveforms: vec![waveform()],
        cells: vec![cell(id, "B10"), cell(id, "A2"), cell(id, "B9")],
        holds: vec![hold(id)],
        sources: vec![source()],
    }
}

pub(crate) fn commit(fleet: &Fleet, id: &str, tests: usize) {
    fleet.writer().unwrap().commit_import(&import(id), tables(id, tests)).unwrap();
}

fn asset() -> Asset {
    Asset {
        asset_id: "asset-1".into(),
        tag: "P-101".into(),
        aliases: vec!["P101".into(), "P 101".into()],
        site: None,
        area: Some("Pumpwerk S\u{fc}d".into()),
        description: Some("feed, \"main\"".into()),
        equipment_class: "EM".into(),
        manufacturer: None,
        model: None,
        serial_number: None,
        rated_power_w: Some(200.0 * 745.699_872),
        rated_voltage_v: Some(4000.0),
        rated_voltage_basis: Some("recorded".into()),
        rated_current_a: None,
        rated_speed_rpm: None,
        rated_frequency_hz: Some(60.0),
        winding_kind: Some("form".into()),
        insulation_class: None,
        insulation_era: None,
        conductor: None,
        made_year: Some(1968),
        rewound_years: vec![1991, 2004],
        in_service: Some(true),
        functional_location: None,
        location_levels: Vec::new(),
        parent: None,
        list_key: None,
        listed_at: None,
        nameplate_conflicts: Vec::new(),
    }
}

fn test(id: &str, number: usize) -> Test {
    Test {
        test_id: format!("test-{number}").into(),
        asset_id: (number != 1).then(|| "asset-1".into()),
        kind: "insulation_resistance".into(),
        performed_on: (number != 2).then(|| date(1969, 12, 30)),
        performed_precision: "day".into(),
        stage: None,
        winding_temperature_c: Some(21.5),
        winding_temperature_basis: "measured".into(),
        ambient_temperature_c: None,
        relative_humidity_pct: None,
        dew_point_c: None,
        test_voltage_v: Some(1000.0),
        test_voltage_basis: "recorded".into(),
        instrument: None,
        tester: None,
        remarks: Some("line one\nline two".into()),
        work_order: None,
        reported_outcome: None,
        duplicate_of: None,
        source_file: "old/book.xlsx".into(),
        source_sheet: Some("1969".into()),
        source_cell: format!("A{}", number + 2).into(),
        import_id: id.into(),
    }
}

fn reading(test: usize, seq: i32) -> Reading {
    Reading {
        reading_id: format!("reading-{test}-{seq}").into(),
        test_id: format!("test-{test}").into(),
        seq,
        quantity: "insulation_resistance".into(),
        circuit: Some("UVW-E".into()),
        elapsed_s: (seq == 0).then_some(60.0),
        applied_voltage_v: None,
        value: 2e9 + f64::from(seq),
        unit: "Ohm".into(),
        bound: if seq == 0 { "at_least" } else { "exact" }.into(),
        as_reported: "as_read".into(),
        reported_reference_c: None,
        value_ref: None,
        reference_c: None,
        correction: None,
        value_ref_low: None,
        value_ref_high: None,
        outcome: None,
        raw_text: "> 2000 M\u{3a9}".into(),
        source_file: "old/book.xlsx".into(),
        source_sheet: Some("1969".into()),
        source_cell: format!("B{}", test + 2).into(),
        derivation: vec![Step::new("text", "> 2000 M\u{3a9}"), Step::new("unit", "M\u{3a9}, from the cell")],
        flags: if seq == 0 { vec!["unit_assumed".into(), "date_order_assumed".into()] } else { Vec::new() },
    }
}

fn waveform() -> Waveform {
    Waveform {
        waveform_id: "waveform-0".into(),
        test_id: "test-0".into(),
        channel: "U-V".into(),
        circuit: None,
        applied_voltage_v: Some(9000.0),
        started: None,
        start_s: 0.0,
        sample_interval_s: 1e-7,
        samples: vec![0.0, -1.5, 3.25e-8],
        unit: "V".into(),
        derivation: vec![Step::new("unit", "V, as written")],
        flags: vec!["samples_missing".into()],
        source_file: "surge/a.csv".into(),
        source_sheet: None,
        source_cell: "A1".into(),
    }
}

fn cell(id: &str, place: &str) -> CellRow {
    CellRow {
        import_id: id.into(),
        source_file: "old/book.xlsx".into(),
        source_sheet: Some("1969".into()),
        source_cell: place.into(),
        raw_text: "\u{201d}".into(),
        disposition: "repeat".into(),
        target: None,
        reason: Some("ditto mark".into()),
    }
}

fn hold(id: &str) -> Hold {
    Hold {
        hold_id: "hold-1".into(),
        import_id: id.into(),
        source_file: "old/book.xlsx".into(),
        source_sheet: None,
        source_cell: None,
        raw_text: "\u{221e}, \"quoted\"".into(),
        question: "missing_ceiling".into(),
        choices: vec!["1000 M\u{3a9}".into(), String::new()],
        context: "".into(),
        cause: "c".into(),
        resolved_by: None,
    }
}

fn source() -> SourceRow {
    SourceRow {
        source_file: "old/book.xlsx".into(),
        origin: "/plant/records".into(),
        path: "/plant/records/old/book.xlsx".into(),
        blake3: "00".into(),
        bytes: 5_000_000_000,
        media_type: "application/x".into(),
        reader: None,
        importer: None,
        importer_version: None,
        layout: None,
        claimed_confidence: Some(0.9),
        cells_total: 3,
        cells_value: 0,
        cells_label: 0,
        cells_derived: 0,
        cells_repeat: 3,
        cells_decor: 0,
        cells_held: 0,
        cells_unread: 0,
        status: "read".into(),
        reason: None,
    }
}

fn finding(id: &str) -> Finding {
    Finding {
        finding_id: id.into(),
        asset_id: Some("asset-1".into()),
        test_id: None,
        rule: "below_minimum".into(),
        level: "watch".into(),
        statement: "one".into(),
        evidence: vec!["reading-0-0".into()],
        value: Some(1.0),
        limit: None,
        unit: None,
        basis: "b".into(),
        next_test: None,
        cautions: "c".into(),
        q_value: None,
        forecast_date: None,
        forecast_from: None,
        forecast_to: None,
        first_seen: Some(date(1969, 12, 30)),
        last_seen: None,
        state: "open".into(),
        working: Vec::new(),
        proposal: None,
        changes: Vec::new(),
    }
}

/// Rows of all tables, as text.
pub(crate) fn contents(snapshot: &Snapshot) -> Vec<String> {
    vec![
        format!("{:?}", snapshot.rows::<Asset>().unwrap()),
        format!("{:?}", snapshot.rows::<Test>().unwrap()),
        format!("{:?}", snapshot.rows::<Reading>().unwrap()),
        format!("{:?}", snapshot.rows::<Waveform>().unwrap()),
        format!("{:?}", snapshot.rows::<CellRow>().unwrap()),
        format!("{:?}", snapshot.rows::<Hold>().unwrap()),
        format!("{:?}", snapshot.rows::<SourceRow>().unwrap()),
        format!("{:?}", snapshot.rows::<ImportRow>().unwrap()),
        format!("{:?}", snapshot.rows::<TestSummary>().unwrap()),
        format!("{:?}", snapshot.rows::<Finding>().unwrap()),
    ]
}

/// Every file below `folder` with its time of change.
pub(crate) fn files(folder: &Path) -> BTreeMap<String, SystemTime> {
    let mut found = BTreeMap::new();
    let mut waiting = vec![folder.to_path_buf()];
    while let Some(next) = waiting.pop() {
        for entry in std::fs::read_dir(&next).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                waiting.push(path);
            } else {
                found.insert(path.display().to_string(), path.metadata().unwrap().modified().unwrap());
            }
        }
    }
    found
}
