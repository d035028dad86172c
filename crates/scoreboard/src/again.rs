//! An analysis after one more import works out what changed, and stores what an analysis of everything in a new fleet stores.

use super::habits::{B, Habits};
use super::{draw, tables};
use std::collections::HashSet;
use std::ffi::OsString;
use std::fs;
use std::path::{Path, PathBuf};
use windrow_model::{Coverage, Finding, Test, TestSummary, Text};
use windrow_store::{Fleet, Import, ImportTables};
use windrow_tasks::judge::{Judgement, judge};

/// A part and a few more.
const MACHINES: u32 = 520;

fn drawn(machines: u32) -> tables::Rows {
    tables::rows(&draw::world(Habits { faults: 0.2, ..B }, machines, 17), 0)
}

/// Imports the rows of a fleet but for the newest test of some machines, which a second import brings.
fn import(folder: &Path, without_newest_of: &[&str]) {
    let rows = drawn(MACHINES);
    let newest = |asset: &str| rows.tests.iter().rfind(|test| test.asset_id.as_deref() == Some(asset));
    let left_out: Vec<_> = without_newest_of.iter().filter_map(|asset| Some(newest(asset)?.test_id.clone())).collect();
    import_without(folder, rows.clone(), &left_out);
}

/// Imports rows but for some tests.
fn import_without(folder: &Path, rows: tables::Rows, left_out: &[Text]) {
    let left_out: HashSet<&Text> = left_out.iter().collect();
    let tables::Rows { assets, mut tests, mut readings } = rows;
    tests.retain(|test| !left_out.contains(&test.test_id));
    readings.retain(|reading| !left_out.contains(&reading.test_id));
    let fleet = Fleet::open_or_create(folder).unwrap();
    let import = Import {
        import_id: format!("without {}", left_out.len()),
        started_at: "2026-01-01T00:00:00Z".into(),
        tool_version: "0".into(),
        settings_hash: fleet.settings_hash().unwrap(),
    };
    let tables = ImportTables { assets, tests, readings, ..ImportTables::default() };
    fleet.writer().unwrap().commit_import(&import, tables).unwrap();
}

/// Everything that an analysis stores; what findings remember of analyses before is another matter.
fn stored(folder: &Path) -> (Vec<TestSummary>, Vec<Coverage>, Vec<Finding>) {
    let snapshot = Fleet::open(folder).unwrap().snapshot().unwrap();
    let mut findings: Vec<Finding> = snapshot.rows().unwrap();
    findings.retain(Finding::is_open);
    for finding in &mut findings {
        finding.changes.clear();
        finding.state = "open".into();
        finding.first_seen = None;
    }
    (snapshot.rows().unwrap(), snapshot.rows().unwrap(), findings)
}

/// Where each part of a file ends: before it stand its length and its hash.
fn ends(bytes: &[u8]) -> Vec<usize> {
    let mut end = 0;
    let next = || {
        let length = u64::from_le_bytes(bytes.get(end..end + 8)?.try_into().ok()?);
        end += 40 + usize::try_from(length).ok()?;
        Some(end)
    };
    std::iter::from_fn(next).collect()
}

/// The data files that hold what an analysis stores of each machine, as the logs of the tables name them: by their bytes, so that equal names are
/// equal bytes.
fn files(folder: &Path) -> Vec<PathBuf> {
    let of_table = |table: &str| {
        let table = folder.join("store").join(table);
        let log = fs::read_dir(table.join("_delta_log")).unwrap().map(|entry| entry.unwrap().path());
        let newest = log.filter(|path| path.extension().is_some_and(|kind| kind == "json")).max().unwrap();
        let log = fs::read_to_string(newest).unwrap();
        let added = log.lines().find(|line| line.contains("\"add\"")).unwrap().split('"');
        table.join(added.clone().find(|text| text.starts_with("part-")).unwrap())
    };
    vec![of_table("test_summary"), of_table("coverage")]
}

fn names(folder: &Path) -> Vec<OsString> {
    files(folder).iter().map(|path| path.file_name().unwrap().to_owned()).collect()
}

fn looked(judgement: &Judgement) -> (usize, usize, bool) {
    (judgement.looks.machines, judgement.looks.anew, judgement.damage.is_some())
}

#[test]
fn one_more_import_is_worked_out_alone_and_the_result_is_that_of_the_whole() {
    let folder = tempfile::tempdir().unwrap();
    let (grown, whole) = (folder.path().join("grown"), folder.path().join("whole"));
    let all = MACHINES as usize;
    import(&grown, &["m0000003", "m0000515"]);
    assert_eq!(looked(&judge(&grown).unwrap()), (all, all, false));
    import(&grown, &[]);
    assert_eq!(looked(&judge(&grown).unwrap()), (all, 2, false));
    import(&whole, &[]);
    judge(&whole).unwrap();
    assert!(stored(&grown) == stored(&whole));

    // What was kept is damaged: the forecasts at its end, then the last machines before them, then all of it; each is told and made anew.
    let kept = grown.join("store/cache/features.kept");
    let bytes = fs::read(&kept).unwrap();
    let ends = ends(&bytes);
    let [.., machines, forecasts] = ends[..] else { panic!("{ends:?}") };
    fs::write(&kept, &bytes[..forecasts - 10]).unwrap();
    assert_eq!(looked(&judge(&grown).unwrap()), (all, 0, true));
    fs::write(&kept, &bytes[..machines - 10]).unwrap();
    let (machines, anew, damaged) = looked(&judge(&grown).unwrap());
    assert!(machines == all && (1..all).contains(&anew) && damaged, "{anew}");
    fs::write(&kept, b"not what was kept").unwrap();
    assert_eq!(looked(&judge(&grown).unwrap()), (all, all, true));
    assert_eq!(looked(&judge(&grown).unwrap()), (all, 0, false));
    assert!(stored(&grown) == stored(&whole));

    // So is a table whose rows would be taken over, and what was kept beside other tables is left alone.
    for table in files(&grown) {
        let mut bytes = fs::read(&table).unwrap();
        let middle = bytes.len() / 2;
        bytes[middle] ^= 1;
        fs::write(&table, bytes).unwrap();
        assert_eq!(looked(&judge(&grown).unwrap()), (all, all, true));
        assert_eq!(looked(&judge(&grown).unwrap()), (all, 0, false));
        assert!(stored(&grown) == stored(&whole) && names(&grown) == names(&whole));
    }
    let bytes = fs::read(&kept).unwrap();
    import(&grown, &["m0000003"]);
    judge(&grown).unwrap();
    fs::write(&kept, bytes).unwrap();
    import(&grown, &[]);
    assert_eq!(looked(&judge(&grown).unwrap()), (all, all, false));
    assert!(stored(&grown) == stored(&whole) && names(&grown) == names(&whole));

    // Other settings may judge otherwise.
    let settings = grown.join("windrow.toml");
    fs::write(&settings, "[judging]\nthermosetting_since = 1960\n").unwrap();
    assert_eq!(looked(&judge(&grown).unwrap()), (all, all, false));
}

/// Changes something that an import brings.
type Change = fn(&mut tables::Rows);

/// Of one machine a test comes or goes, its plate or a reading is told otherwise; machines come and go.
#[test]
fn whatever_an_import_changes_the_next_analysis_stores_what_a_new_fleet_would() {
    const FEW: u32 = 60;
    let newest_of = |rows: &mut tables::Rows, asset: &str| {
        let of_asset = |test: &Test| test.asset_id.as_deref() == Some(asset);
        let test = rows.tests.remove(rows.tests.iter().rposition(of_asset).unwrap());
        rows.readings.retain(|reading| reading.test_id != test.test_id);
    };
    let changes: [(Change, usize); 6] = [
        (|_| {}, 1),
        (|rows| rows.assets[7].rated_voltage_v = Some(690.0), 1),
        (|rows| rows.assets[8].tag = "0 renamed".into(), 1),
        (|rows| rows.readings[40].value *= 0.01, 1),
        (
            |rows| {
                rows.tests
                    .iter_mut()
                    .filter(|test| test.asset_id.as_deref() == Some("m0000011"))
                    .for_each(|test| test.asset_id = Some("a0000011".into()));
            },
            1,
        ),
        (|rows| rows.tests.retain(|test| test.asset_id.as_deref() != Some("m0000012")), 0),
    ];
    for (number, (change, anew)) in changes.into_iter().enumerate() {
        let folder = tempfile::tempdir().unwrap();
        let (grown, whole) = (folder.path().join("grown"), folder.path().join("whole"));
        let mut rows = drawn(FEW);
        if number == 0 {
            newest_of(&mut rows, "m0000005");
        }
        import_without(&grown, rows, &[]);
        judge(&grown).unwrap();
        let mut rows = drawn(FEW);
        change(&mut rows);
        import_without(&whole, rows.clone(), &[]);
        let of_whole = judge(&whole).unwrap().looks;
        assert_eq!((of_whole.machines, of_whole.forecasts), (of_whole.anew, of_whole.forecasts_anew));
        // Twice: what is taken over is taken over again.
        for anew in [anew, 0] {
            import_without(&grown, rows.clone(), &[]);
            let looks = judge(&grown).unwrap().looks;
            assert_eq!((looks.machines, looks.anew), (of_whole.machines, anew), "change {number}");
            assert!(stored(&grown) == stored(&whole) && names(&grown) == names(&whole), "change {number}");
        }
    }
}

/// The scatter of a fleet hardly moves with one more reading, and forecasts rest on no more of it than can be known.
#[test]
fn one_more_resistance_leaves_the_forecasts_of_other_machines_as_they_were() {
    let folder = tempfile::tempdir().unwrap();
    let resistance =
        |test: &&Test| test.kind == "insulation_resistance" && test.asset_id.as_deref() == Some("m0000003");
    let rows = drawn(MACHINES);
    let newest = rows.tests.iter().rfind(resistance).unwrap().test_id.clone();
    import_without(folder.path(), rows, &[newest]);
    let first = judge(folder.path()).unwrap().looks;
    import(folder.path(), &[]);
    let again = judge(folder.path()).unwrap().looks;
    assert!(first.forecasts > 20 && again.forecasts > 20, "{first:?}, {again:?}");
    assert!(again.anew == 1 && again.forecasts_anew <= 1, "{again:?}");
}

/// Tests come in three imports, in another order each time, machines of their own among them, and some go again in between.
#[test]
fn imports_in_pieces_end_where_one_import_ends() {
    const FEW: u32 = 60;
    let folder = tempfile::tempdir().unwrap();
    let whole = folder.path().join("whole");
    import_without(&whole, drawn(FEW), &[]);
    judge(&whole).unwrap();
    for shift in 0..3 {
        let pieces = folder.path().join(format!("pieces {shift}"));
        for piece in 0..3 {
            let rows = drawn(FEW);
            let is_missing = |place: usize| (place * 7 + place / 5 + shift * 3 + piece * 5) % 11 < 4 - 2 * piece.min(2);
            let tests = rows.tests.iter().enumerate();
            let missing: Vec<Text> =
                tests.filter(|(place, _)| is_missing(*place)).map(|(_, test)| test.test_id.clone()).collect();
            assert_eq!(missing.is_empty(), piece == 2);
            import_without(&pieces, rows, &missing);
            judge(&pieces).unwrap();
        }
        assert!(stored(&pieces) == stored(&whole), "{shift}");
    }
}
