//! Importing more than once.

use crate::{SAMPLES, ask, commits, count, demo, everything, folder, log_of, on};
use std::fs;

#[test]
fn the_same_folder_again_changes_nothing() {
    let folder = folder();
    let fleet = folder.path().join("fleet");
    on(&fleet, "run", &[SAMPLES]);
    let (before, number) = (everything(&fleet), commits(&fleet));
    let said = on(&fleet, "run", &[SAMPLES]);
    assert_eq!(said.status, Some(1));
    assert!(said.out.contains("27 unchanged; the tables stay as they are"), "{}", said.out);
    assert_eq!(everything(&fleet), before);
    assert_eq!(commits(&fleet), number, "no new snapshot");
}

#[test]
fn folders_one_by_one_are_the_folders_at_once() {
    let folder = folder();
    let parts = ["lindquay", "ferrow_bridge", "contractors", "absorption", "store_room"];
    let paths = parts.map(|part| format!("{SAMPLES}/{part}"));
    let paths: Vec<&str> = paths.iter().map(String::as_str).collect();
    let (once, split) = (folder.path().join("once"), folder.path().join("split"));
    on(&once, "run", &paths);
    for path in paths.iter().rev() {
        on(&split, "import", &[path]);
    }
    on(&split, "analyze", &[]);
    for ((table, split), (_, once)) in everything(&split).into_iter().zip(everything(&once)) {
        assert_eq!(split, once, "{table}");
    }
    // And the whole, with what lies beside these folders, is what it is without the steps before.
    on(&split, "run", &[SAMPLES]);
    let demo = &demo().0;
    for ((table, split), (_, demo)) in everything(&split).into_iter().zip(everything(demo)) {
        // Findings remember what was found in between.
        assert!(table == "findings" || split == demo, "{table}");
    }
    let open = "SELECT finding_id, level, statement, value, evidence FROM findings WHERE state IN ('open', 'changed') ORDER BY finding_id";
    assert_eq!(ask(&split, open), ask(demo, open));
}

#[test]
fn the_summary_says_what_is_new_changed_and_missing() {
    let folder = folder();
    let (records, fleet) = (folder.path().join("records"), folder.path().join("fleet"));
    fs::create_dir(&records).unwrap();
    for name in ["a", "b", "c"] {
        fs::write(records.join(format!("{name}.csv")), log_of(&format!("P-10-{name}"), 500)).unwrap();
    }
    let path = records.to_str().unwrap();
    let said = on(&fleet, "import", &[path]);
    assert_eq!(said.status, Some(0), "all is read and nothing is held: {}", said.out);
    assert!(said.out.contains("3 new"), "{}", said.out);
    fs::write(records.join("b.csv"), log_of("P-10-b", 444)).unwrap();
    fs::write(records.join("d.csv"), log_of("P-10-d", 500)).unwrap();
    fs::remove_file(records.join("c.csv")).unwrap();
    let said = on(&fleet, "import", &[path]);
    assert!(said.out.contains("1 new, 1 changed, 1 unchanged, 1 missing (what they told is kept)"), "{}", said.out);
    for line in ["changed    b.csv", "missing    c.csv"] {
        assert!(said.out.lines().any(|said| said == line), "{line}: {}", said.out);
    }
    assert_eq!(ask(&fleet, "SELECT raw_text FROM readings ORDER BY source_file"), ["500", "444", "500", "500"]);
    let said = on(&fleet, "import", &[path, "--forget-missing"]);
    assert!(said.out.lines().any(|line| line == "forgotten  c.csv"), "{}", said.out);
    assert_eq!(count(&fleet, "SELECT count(*) FROM sources"), 3);
}

#[test]
fn a_lost_cache_costs_time_only_and_never_rows() {
    let folder = folder();
    let (records, fleet) = (folder.path().join("records"), folder.path().join("fleet"));
    fs::create_dir(&records).unwrap();
    fs::write(records.join("a.csv"), log_of("P-10-a", 500)).unwrap();
    fs::write(records.join("b.csv"), log_of("P-10-b", 500)).unwrap();
    on(&fleet, "import", &[records.join("a.csv").to_str().unwrap()]);
    fs::remove_dir_all(fleet.join("store/cache")).unwrap();
    let said = on(&fleet, "import", &[records.join("b.csv").to_str().unwrap()]);
    assert_eq!(said.status, Some(0), "{}", said.err);
    assert_eq!(count(&fleet, "SELECT count(*) FROM readings"), 2, "the first file was opened again");
    fs::remove_dir_all(fleet.join("store/cache")).unwrap();
    fs::remove_file(records.join("a.csv")).unwrap();
    let said = on(&fleet, "import", &[records.join("b.csv").to_str().unwrap()]);
    assert_eq!(said.status, Some(3), "it cannot be opened any more: {}", said.out);
    assert!(said.err.contains("a.csv") && said.err.contains("--forget-missing"), "{}", said.err);
    assert_eq!(count(&fleet, "SELECT count(*) FROM readings"), 2, "and nothing was lost");
}

#[test]
fn two_imports_at_once_are_both_in_the_fleet() {
    let folder = folder();
    let fleet = folder.path().join("fleet");
    let start = |part: &str| {
        let mut command = crate::program();
        command.args(["import", &format!("{SAMPLES}/{part}"), "--workers", "1", "--fleet"]).arg(&fleet);
        command.stdout(std::process::Stdio::null()).stderr(std::process::Stdio::null()).spawn().unwrap()
    };
    let children = ["contractors", "absorption", "lindquay"].map(start);
    for mut child in children {
        assert!(child.wait().unwrap().code().is_some_and(|code| code < 2));
    }
    let once = folder.path().join("once");
    on(
        &once,
        "import",
        &["contractors", "absorption", "lindquay"]
            .map(|part| format!("{SAMPLES}/{part}"))
            .each_ref()
            .map(String::as_str),
    );
    assert_eq!(everything(&fleet), everything(&once));
}

/// Of what the analysis before worked out, only what changed is worked out again, and nobody sees a difference but in the time.
#[test]
fn an_analysis_after_one_more_file_works_out_what_changed() {
    let folder = folder();
    let (fleet, once) = (folder.path().join("fleet"), folder.path().join("once"));
    let paths = ["lindquay", "ferrow_bridge"].map(|part| format!("{SAMPLES}/{part}"));
    on(&fleet, "run", &[&paths[0]]);
    on(&fleet, "import", &[&paths[1]]);
    let said = on(&fleet, "analyze", &[]).out;
    let looked_at = said.lines().find(|line| line.contains("looked at")).unwrap_or_default().to_owned();
    assert!(!looked_at.contains(" 0 as before") && !looked_at.contains(" 0 machines anew"), "{said}");
    on(&once, "import", &[&paths[0], &paths[1]]);
    let said = on(&once, "analyze", &[]).out;
    assert!(said.contains(" 0 as before"), "{said}");
    for ((table, fleet), (_, once)) in everything(&fleet).into_iter().zip(everything(&once)) {
        // Findings remember what was found in between.
        assert!(table == "findings" || fleet == once, "{table}");
    }
    let (before, number) = (everything(&fleet), commits(&fleet));
    let kept = fleet.join("store/cache/features.kept");
    let whole = fs::read(&kept).unwrap();
    for damaged in [&whole[..whole.len() / 2], b"not what was kept"] {
        fs::write(&kept, damaged).unwrap();
        let said = on(&fleet, "analyze", &[]);
        assert!(said.out.contains("damaged") && said.status == Some(0), "{}{}", said.out, said.err);
        let again = on(&fleet, "analyze", &[]).out;
        assert!(again.contains("looked at  0 machines anew") && again.contains("forecasts  0 anew"), "{again}");
    }
    fs::remove_file(&kept).unwrap();
    assert!(on(&fleet, "analyze", &[]).out.contains(" 0 as before"), "a lost file costs time");
    assert_eq!((everything(&fleet), commits(&fleet)), (before, number), "no new snapshot");
}
